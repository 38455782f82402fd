"""The positions row: a Roman numeral where the hand takes a position, a line to the last note it plays there.

A position is the fret the first finger stands at; numerals are how guitar music names it (common
practice, no source). Each system begins with the numeral it goes on in. The line, its end turned down
toward the last note, is left out where the numeral itself covers it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import NamedTuple

from core.engraving.crossing import Beyond, LaidBar
from core.engraving.drawing import Drawing, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE
from core.engraving.style import Style
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span

_SIZE = 0.82
"""Of a numeral against a fret number."""
_GAP = 0.5
_DROP = 0.5
"""How far the end of a line turns down."""
_LEAST_LINE = 0.8
_DASH, _DASH_ROOM = 0.75, 1.0
"""A shift mark's width, and the room it takes before its numeral."""
_PARTS = ((10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def roman(number: int) -> str:
    """I, II, III, IV … of a number from 1 to 39."""
    text = ""
    for value, sign in _PARTS:
        while number >= value:
            text += sign
            number -= value
    return text


class Stand(NamedTuple):
    """Where the hand stands as it stops a string. moved: it comes from elsewhere."""

    column: int
    position: int
    moved: bool


@dataclass(frozen=True, eq=False)
class PositionShape:
    """Keeps room for numerals; what is drawn depends on the whole system (see positions_across)."""

    stands: tuple[Stand, ...]
    reaches: Sequence[Reach]
    spans: Sequence[Span] = ()
    gap: float = 0.0

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Nothing yet."""
        return RowInk(Drawing(()), 0.0, 0.0)


def position_shape(view: BarView, columns: tuple[Column, ...]) -> PositionShape:
    """Where the hand stands in the bar, column by column; on open strings it only waits, which nobody reads."""
    stands: list[Stand] = []
    for index, column in enumerate(columns):
        if column.event is None:
            continue
        played = view.fingering.events[column.event]
        position = next((place.position for place in played.notes if place and place.finger), None)
        if position is not None:
            stands.append(Stand(index, position, played.shift))
    named = [stand for place, stand in enumerate(stands) if place == 0 or stand.position != stands[place - 1].position]
    spans = []
    for stand, after in zip_longest(named, named[1:]):
        width = _width(stand, view.style) + _GAP
        spans.append(Span(stand.column, after.column if after else None, width))
    return PositionShape(tuple(stands), [NOTHING] * len(columns), tuple(spans))


def _width(stand: Stand, style: Style) -> float:
    dash = _DASH_ROOM if style.shift_marks else 0.0
    return dash + face(style.signs).width(roman(stand.position), _size(style))


def _size(style: Style) -> float:
    return max(style.fret_size * _SIZE, style.smallest)


class _Stay(NamedTuple):
    """A position held: the bar and x where it is taken, and x of the last note in it."""

    place: int
    x: float
    stand: Stand
    last: float


def positions_across(bars: Sequence[LaidBar], ends: Beyond) -> list[list[Mark]]:
    """Numerals and lines of a system, standing on y 0, by the bar each begins in, from its left edge."""
    stays: list[_Stay] = []
    for place, bar in enumerate(bars):
        assert isinstance(bar.row, PositionShape)
        for stand in bar.row.stands:
            x = bar.left + bar.xs[stand.column]
            if not stays or stand.position != stays[-1].stand.position:
                moved = stand.moved or bool(stays)
                stays.append(_Stay(place, x, stand._replace(moved=moved), x))
            else:
                stays[-1] = stays[-1]._replace(last=x)
    found: list[list[Mark]] = [[] for _ in bars]
    for stay, after in zip_longest(stays, stays[1:]):
        bar = bars[stay.place]
        event = bar.columns[stay.stand.column].event
        limit = after.x - _GAP if after else ends.right
        end = min(stay.last + bar.view.style.music.head, limit)
        found[stay.place] += _marks(stay, end, bar, Tag("hand", event or 0))
    return found


def _marks(stay: _Stay, end: float, bar: LaidBar, tag: Tag) -> list[Mark]:
    style = bar.view.style
    size = _size(style)
    middle = -face(style.signs).cap_height * size / 2
    x, marks = stay.x - bar.left, list[Mark]()
    if stay.stand.moved and style.shift_marks:
        marks.append(Line(x, middle + 0.3, x + _DASH, middle - 0.3, HAIRLINE, "ink", Tag("bar")))
        x += _DASH_ROOM
    text = roman(stay.stand.position)
    marks.append(Text(x, 0.0, text, style.signs, size, "ink", tag))
    start, end = x + face(style.signs).width(text, size) + 0.3, end - bar.left
    if end - start >= _LEAST_LINE:
        marks.append(Line(start, middle, end, middle, HAIRLINE, "rule", Tag("bar")))
        marks.append(Line(end - HAIRLINE / 2, middle, end - HAIRLINE / 2, middle + _DROP, HAIRLINE, "rule",
                          Tag("bar")))
    return marks
