"""The rows a template may name, each one function from a bar to its shape.

A new row is a module of its own and a line here. Callouts are not of one bar: see callouts.py.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from core.engraving.chords import chord_shape
from core.engraving.degrees import DegreeShape, is_held, labelled
from core.engraving.dynamics import dynamic_shape
from core.engraving.fingers import finger_shape
from core.engraving.notation import notation_shape
from core.engraving.positions import position_shape
from core.engraving.readings import reading_shape
from core.engraving.strokes import stroke_shape
from core.engraving.tab import tab_shape
from core.engraving.view import BarView, Column, RowShape
from core.errors import BarglossError
from core.harmony import Degree
from core.line import NoteAnalysis, shown_degree


def degree_shape(view: BarView, columns: tuple[Column, ...]) -> DegreeShape:
    """Degrees against the written chord; none where a note is held on within the bar."""

    def shown(event: int, index: int, found: NoteAnalysis) -> str:
        if is_held(view, event, index):
            return ""
        note = view.bar.events[event].notes[index]
        if view.style.tensions == "lower" and found.chord and found.chord.number > 7 and not note.degree:
            return Degree(found.chord.number - 7, found.chord.alter).name
        return shown_degree(note, found)

    return labelled(view, columns, shown, "degree")


ROWS: dict[str, Callable[[BarView, tuple[Column, ...]], RowShape]] = {
    "chords": chord_shape,
    "notation": notation_shape,
    "dynamics": dynamic_shape,
    "strokes": stroke_shape,
    "fingers": finger_shape,
    "positions": position_shape,
    "tab": tab_shape,
    "degrees": degree_shape,
    "readings": reading_shape,
}
STAVES = ("notation", "tab")


def check_rows(rows: Sequence[str]) -> None:
    """Raises BarglossError where a page cannot show these rows in this order, top to bottom.

    All else is free: the proof-reader finds nothing on the demo studies in such orders.
    """
    unknown = [row for row in rows if row not in ROWS and row != "callouts"]
    if unknown:
        raise BarglossError(f"there is no row {unknown[0]!r}; rows are {', '.join([*ROWS, 'callouts'])}")
    staves = [row for row in rows if row in STAVES]
    if not staves:
        raise BarglossError("a page needs notation or tab; show one of them")
    if staves == ["tab", "notation"]:
        raise BarglossError("the notation stands above the tab; move it up")
    if "degrees" in rows and rows.index("degrees") < rows.index(staves[0]):  # over a staff each bar has its own height
        raise BarglossError("degrees stand on one line, below the first staff; move them down")
    if "readings" in rows and rows.index("readings") < rows.index(staves[-1]):  # or barlines go through them
        raise BarglossError("readings stand below notation and tab; move them down")
