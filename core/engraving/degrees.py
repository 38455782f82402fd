"""The degree row: what each note is of the chord it sounds over, told by weight, shape and then colour.

Chord tones are bold, tensions plain, passing and approach notes small and light, altered tones
carry a rule over them (the lesson page's key).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.engraving.drawing import Drawing, Ink, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.pieces import Piece, set_pieces, split_signs, width_of
from core.engraving.remarks import letters
from core.engraving.style import Style
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span
from core.engraving.words import LETTER_LIFT
from core.line import NoteAnalysis

_RULE = 0.11
_LETTER_GAP = 0.16
_HANG = 0.175
"""How far a sharp reaches under the baseline at most, in ems of the row."""


class Look(NamedTuple):
    """How a role is set. cut: of the face; size against the row's; ruled: a line over it."""

    cut: str
    size: float
    ink: Ink
    ruled: bool = False


CHORD_TONE = Look("-semibold", 1.0, "chord-tone")
TENSION = Look("", 1.0, "tension")
ALTERED = Look("", 1.0, "altered", ruled=True)
LOOKS = {
    "chord tone": CHORD_TONE, "anticipation": CHORD_TONE,
    "tension": TENSION, "delay": TENSION, "pedal": TENSION,
    "altered tone": ALTERED, "blue note": ALTERED,
}
PASSING = Look("-light", 0.9, "passing")


def look_of(role: str) -> Look:
    """Of a role; everything that only leads elsewhere looks alike."""
    return LOOKS.get(role, PASSING)


def degree_pieces(text: str, look: Look, style: Style) -> list[Piece]:
    """A degree's name as pieces of its look."""
    return split_signs(text, style.signs + look.cut, max(style.degree_size * look.size, style.smallest))


class _Label(NamedTuple):
    pieces: list[Piece]
    look: Look
    width: float
    tag: Tag


@dataclass(frozen=True, eq=False)
class DegreeShape:
    """The row before it is stretched. labels: by column, low note first; letters: of remarks, by column."""

    view: BarView
    labels: tuple[tuple[_Label, ...], ...]
    letters: tuple[str, ...]
    columns: tuple[Column, ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.65

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Labels centred under their heads; y 0 is the baseline of the lowest note's label."""
        style = self.view.style
        font = style.music
        marks: list[Mark] = []
        top = 0.0
        for x, column, letter, at in zip(xs, self.labels, self.letters, self.columns, strict=True):
            for level, label in enumerate(column):
                left = x + (font.head - label.width) / 2
                y = -level * style.degree_size * 1.15
                marks += set_pieces(label.pieces, left, y, font, label.look.ink, label.tag)
                cap = face(label.pieces[-1].face).cap_height * style.degree_size
                if label.look.ruled:
                    over = y - cap - 0.25 * style.degree_size
                    marks.append(Line(left, over, left + label.width, over, _RULE, label.look.ink, label.tag))
                top = min(top, y - cap - (0.29 if label.look.ruled else 0.18) * style.degree_size)
            if letter:
                right = x + font.head / 2 + _half_width(column) + _LETTER_GAP
                tag = Tag("remark", at.event or 0)
                size, name = style.letter_size, style.words + style.emphasis
                marks.append(Text(right, -LETTER_LIFT * size, letter, name, size, "ink", tag))
                top = min(top, -1.25 * size)
        return RowInk(Drawing(tuple(marks)), top, _HANG * style.degree_size)


Shown = Callable[[int, int, NoteAnalysis], str]


def labelled(view: BarView, columns: tuple[Column, ...], shown: Shown, kind: str) -> DegreeShape:
    """A row of degrees. shown: the name to print for event, note and what was found of it, or ""."""
    labels: list[tuple[_Label, ...]] = []
    font = view.style.music
    for column in columns:
        if column.event is None or view.bar.events[column.event].grace:
            labels.append(())
            continue
        found = []
        for index, note in enumerate(view.analysis.notes[column.event]):
            text = shown(column.event, index, note)
            if not text:
                continue
            look = look_of(note.role)
            if kind == "reading":
                look = Look(view.style.aside, 1.0, "reading")
            pieces = degree_pieces(text, look, view.style)
            tag = Tag("reading" if kind == "reading" else "degree", column.event, index)
            found.append(_Label(pieces, look, width_of(pieces, font), tag))
        labels.append(tuple(found))
    known = letters(view.bar) if kind == "degree" else {}
    marked = tuple("" if column.event is None else known.get(column.event, "") for column in columns)
    reaches = tuple(_reach(column, letter, view.style) for column, letter in zip(labels, marked, strict=True))
    return DegreeShape(view, tuple(labels), marked, columns, reaches)


def _half_width(column: tuple[_Label, ...]) -> float:
    return max((label.width for label in column), default=0.0) / 2


def _reach(column: tuple[_Label, ...], letter: str, style: Style) -> Reach:
    half, head = _half_width(column), style.music.head
    if letter:
        wide = face(style.words + style.emphasis).width(letter, style.letter_size)
        return Reach(half - head / 2, half + head / 2 + _LETTER_GAP + wide)
    return Reach(half - head / 2, half + head / 2) if column else NOTHING


def is_held(view: BarView, event: int, note: int) -> bool:
    """Whether a note goes on sounding from the event before it in the same bar."""
    pitch = view.bar.events[event].notes[note].pitch
    for before in reversed(view.bar.events[:event]):
        if not before.grace:
            return any(other.tie and other.pitch.midi == pitch.midi for other in before.notes)
    return False
