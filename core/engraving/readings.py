"""The row under the degrees: what each note is of the harmony the teacher hears, in italics, its name on the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.engraving.chords import chord_marks, shifted
from core.engraving.degrees import DegreeShape, is_held, labelled
from core.engraving.drawing import Drawing, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.style import Style
from core.engraving.view import BarView, Column, Reach, RowInk, Span
from core.line import NoteAnalysis

_GAP = 0.7
_OVER_THE_BARLINE = 2.4
"""How far a name may stand out to the left of its bar: what lead-in and tail leave free."""


class _Name(NamedTuple):
    column: int
    marks: list[Mark]
    width: float


@dataclass(frozen=True, eq=False)
class ReadingShape:
    """The row before it is stretched."""

    degrees: DegreeShape
    names: tuple[_Name, ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.5

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Degrees under their heads, each reading's name to the left of its first."""
        row = self.degrees.ink(xs, width)
        marks = list(row.drawing.marks)
        for name in self.names:
            reach = self.degrees.reaches[name.column].left
            left = xs[name.column] - max(reach, 0.0) - _GAP - name.width
            marks += [shifted(mark, left) for mark in name.marks]
        top = min(row.top, -0.88 * self.degrees.view.style.degree_size) if self.names else row.top
        return RowInk(Drawing(tuple(marks)), top, row.bottom)


def reading_shape(view: BarView, columns: tuple[Column, ...]) -> ReadingShape:
    """Degrees against the reading in force, where there is one."""

    def shown(event: int, index: int, found: NoteAnalysis) -> str:
        if found.reading is None or is_held(view, event, index):
            return ""
        return found.reading.name

    degrees = labelled(view, columns, shown, "reading")
    at = {column.onset: index for index, column in reversed(list(enumerate(columns)))}
    names = []
    for index, reading in enumerate(view.bar.readings):
        goes_on = reading.offset == 0 and reading.harmony == view.reading_in
        if reading.harmony and not goes_on:
            marks, width = name_marks(reading.harmony, view.style, Tag("reading", index))
            names.append(_Name(at[reading.offset], marks, width))
    reaches = list(degrees.reaches)
    for name in names:
        reach = reaches[name.column]
        free = _OVER_THE_BARLINE if name.column == 0 and not view.reading_in else 0.0
        if name.column == 0 or degrees.labels[name.column - 1]:
            reaches[name.column] = Reach(max(reach.left, reach.left + _GAP + name.width - free), reach.right)
    return ReadingShape(degrees, tuple(names), tuple(reaches))


def name_marks(harmony: str, style: Style, tag: Tag) -> tuple[list[Mark], float]:
    """A reading's name from x 0 on, and its width: a chord symbol, or words for a key."""
    if harmony.startswith("key of "):
        name = style.signs + style.aside
        words = harmony.removeprefix("key of ")
        tonic, _, mode = words.partition(" ")
        marks, width = chord_marks(tonic, 0.0, 0.0, style.degree_size, style, tag, cut=style.aside)
        text = f" {mode}:" if mode else ":"
        marks.append(Text(width, 0.0, text, name, style.degree_size, "reading", tag))
        return _inked(marks), width + face(name).width(text, style.degree_size)
    marks, width = chord_marks(harmony, 0.0, 0.0, style.degree_size, style, tag, cut=style.aside)
    return _inked(marks), width


def _inked(marks: list[Mark]) -> list[Mark]:
    return [mark._replace(ink="reading") for mark in marks]


