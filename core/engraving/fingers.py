"""The fingers row: which finger of the fretting hand takes each note, 1 index to 4 little, 0 an open string.

MusicXML 4.0: `fingering` is the fretting hand's, as against `pluck`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.engraving.degrees import is_held
from core.engraving.drawing import Drawing, Tag, Text
from core.engraving.faces import face
from core.engraving.measures import GRACE
from core.engraving.style import Style
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span

_SIZE = 0.7
"""Of a finger number against a fret number, so that neither is taken for the other."""


class _Digit(NamedTuple):
    event: int
    note: int
    text: str


@dataclass(frozen=True, eq=False)
class FingerShape:
    """The row before it is stretched. digits: by column, low note first."""

    view: BarView
    digits: tuple[tuple[_Digit, ...], ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.3

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Digits standing on y 0, centred over their numbers; a double stop's in a stack, low note lowest."""
        style = self.view.style
        size = _size(style)
        tall = face(style.signs).cap_height * size
        marks = []
        for x, column in zip(xs, self.digits, strict=True):
            for level, digit in enumerate(column):
                scale = GRACE if self.view.bar.events[digit.event].grace else 1.0
                left = x + style.music.head / 2 * scale - face(style.signs).width(digit.text, size) / 2
                tag = Tag("hand", digit.event, digit.note)
                marks.append(Text(left, -level * (tall + 0.25), digit.text, style.signs, size, "ink", tag))
        top = min((mark.y - tall for mark in marks), default=0.0)
        return RowInk(Drawing(tuple(marks)), top, 0.0)


def finger_shape(view: BarView, columns: tuple[Column, ...]) -> FingerShape:
    """The fingers the teacher set, or every one, as the style asks; none for a note held on."""
    digits = tuple(_digits(view, column.event) for column in columns)
    half = face(view.style.signs).width("4", _size(view.style)) / 2
    head = view.style.music.head / 2
    reach = Reach(half - head, half + head)
    return FingerShape(view, digits, tuple(reach if column else NOTHING for column in digits))


def _size(style: Style) -> float:
    return max(style.fret_size * _SIZE, style.smallest)


def _digits(view: BarView, event: int | None) -> tuple[_Digit, ...]:
    if event is None:
        return ()
    found = []
    places = view.fingering.events[event].notes
    for index, (note, place) in enumerate(zip(view.bar.events[event].notes, places, strict=True)):
        finger = note.finger
        if view.style.fingers == "all":
            finger = place.finger if place else None
        if finger is not None and not _is_held(view, event, index):
            found.append(_Digit(event, index, str(finger)))
    return tuple(found)


def _is_held(view: BarView, event: int, note: int) -> bool:
    """Whether a note goes on from the event before it, in this bar or the last."""
    first = not any(not before.grace for before in view.bar.events[:event]) and not view.bar.events[event].grace
    if first and view.bar.events[event].notes[note].pitch.midi in {pitch.midi for pitch in view.tied_in}:
        return True
    return is_held(view, event, note)
