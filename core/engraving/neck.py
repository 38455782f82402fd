"""A neck diagram of a passage: a ring at each place it takes, named by its finger or its degree.

The neck lies as a tab does, the highest string on top, low frets to the left; for a left-handed guitarist it is
turned round. Frets are numbered under it from the capo, and a Roman numeral stands over the fret of each position
(common practice, no source). Frets are drawn evenly, not to scale.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from core.engraving.boxes import ARC_PEN
from core.engraving.degrees import TENSION, degree_pieces, look_of
from core.engraving.drawing import Arc, Drawing, Ink, Line, Mark, Text
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE, STAFF_LINE, THICK_BARLINE
from core.engraving.pieces import Piece, set_pieces, width_of
from core.engraving.positions import roman
from core.engraving.style import Style
from core.guitar import Fingered, Fingering, Place
from core.line import Analysis, shown_degree
from core.study import Guitarist, Instrument, NotePlace, Study

Shows = Literal["fingers", "degrees"]
_CELL, _STEP = 4.4, 2.6
"""Width of a fret, and from string to string."""
_RADIUS = 1.05
_GAP, _SPACE = 0.3, 0.4
"""Between a name and the ends of its ring; between two names in it."""
_LEAST_FRETS = 4
_NUMBER, _NUMERAL = 0.62, 0.82
"""Of a fret number and of a numeral against a fret number in the tab."""
_OFF = 0.8
"""White between the neck and what stands over or under it."""


class NeckDiagram(NamedTuple):
    """From the left edge at x 0 and the top at y 0, in staff spaces."""

    drawing: Drawing
    width: float
    height: float


class _Name(NamedTuple):
    """What stands in a ring: a finger, or one of the degrees a place has in the passage."""

    pieces: list[Piece]
    ink: Ink


def neck_diagram(study: Study, fingering: Fingering, analysis: Analysis, span: tuple[NotePlace, NotePlace],
                 shows: Shows, style: Style) -> NeckDiagram:
    """The events from the first to the last of `span`. A place with several names has those that
    fit on a fret, in the order they come."""
    names: dict[Place, dict[str, _Name]] = {}
    positions: list[int] = []
    for place, grip in _grips(fingering, span):
        text, name = _name(study, analysis, place, grip, shows, style)
        if text:
            names.setdefault(Place(grip.string, grip.fret), {})[text] = name
        if grip.finger:
            positions.append(grip.position)
    frets = [place.fret for place in names if place.fret] + positions
    low, high = min(frets, default=1), max(frets, default=1)
    fitting = {place: _fitting([*found.values()], style) for place, found in names.items()}
    opened = max([_half(found, style) for place, found in fitting.items() if not place.fret], default=_RADIUS)
    neck = _Neck(study.instrument, study.guitarist, (low, max(high, low + _LEAST_FRETS - 1)), opened, style)
    rings = [mark for place, found in fitting.items() for mark in neck.ring(place, found)]
    numerals = [mark for position in sorted(set(positions)) for mark in neck.numeral(position)]
    marks = (*neck.lines(fitting), *neck.numbers(), *numerals, *rings)
    return NeckDiagram(Drawing(marks), neck.width, neck.height)


def _grips(fingering: Fingering, span: tuple[NotePlace, NotePlace]) -> Iterator[tuple[NotePlace, Fingered]]:
    first, last = span
    for bar in range(first.bar, last.bar + 1):
        for event, played in enumerate(fingering.bars[bar].events):
            if first[:2] <= (bar, event) <= last[:2]:
                for note, grip in enumerate(played.notes):
                    if grip is not None:
                        yield NotePlace(bar, event, note), grip


def _name(study: Study, analysis: Analysis, place: NotePlace, grip: Fingered, shows: Shows,
          style: Style) -> tuple[str, _Name]:
    if shows == "fingers":
        return str(grip.finger), _Name(degree_pieces(str(grip.finger), TENSION, style), "ink")
    found = analysis.bars[place.bar].notes[place.event][place.note]
    text, look = shown_degree(study.note_at(place), found), look_of(found.role)
    return text or "–", _Name(degree_pieces(text or "–", look, style), look.ink)


class _Neck:
    """Where strings and frets lie. frets: the lowest and the highest shown; opened: half the width of an open
    string's ring, which stands before them."""

    def __init__(self, instrument: Instrument, who: Guitarist, frets: tuple[int, int], opened: float,
                 style: Style) -> None:
        low, high = frets
        self._strings, self._mirrored, self._style = len(instrument.tuning), who.left_handed, style
        self._low, self._high = low, high
        self._board = 2 * opened + 2 * _GAP  # where the first shown fret begins
        self.width = self._board + _CELL * (high - low + 1) + _GAP
        self._top = self._size(_NUMERAL) + _OFF + _RADIUS
        self._bottom = self._top + _STEP * (self._strings - 1)
        self._foot = self._bottom + _RADIUS + _OFF + face(style.signs).cap_height * self._size(_NUMBER)
        self.height = self._foot + _GAP

    def _size(self, share: float) -> float:
        return max(self._style.fret_size * share, self._style.smallest)

    def _x(self, x: float) -> float:
        """As it stands on the page."""
        return self.width - x if self._mirrored else x

    def _middle(self, fret: int) -> float:
        """Of a fret, before it is turned round; of an open string 0."""
        return self._board + _CELL * (fret - self._low + 0.5) if fret else self._board / 2

    def _y(self, string: int) -> float:
        return self._top + _STEP * (string - 1)

    def lines(self, names: Mapping[Place, Sequence[_Name]]) -> Iterator[Mark]:
        """Strings, broken behind their rings; frets; a thick nut where the first fret is the lowest shown."""
        for string in range(1, self._strings + 1):
            y, left = self._y(string), self._board
            for place in sorted(place for place in names if place.string == string and place.fret):
                middle, half = self._middle(place.fret), _half(names[place], self._style)
                yield self._line(left, y, middle - half, y, STAFF_LINE)
                left = middle + half
            yield self._line(left, y, self.width - _GAP, y, STAFF_LINE)
        for line in range(self._high - self._low + 2):
            x = self._board + _CELL * line
            width = THICK_BARLINE if line == 0 and self._low == 1 else HAIRLINE
            yield self._line(x, self._top, x, self._bottom, width)

    def _line(self, x1: float, y1: float, x2: float, y2: float, width: float) -> Line:
        left, right = sorted((self._x(x1), self._x(x2)))
        return Line(left, y1, right, y2, width, "staff")

    def numbers(self) -> Iterator[Mark]:
        for fret in range(self._low, self._high + 1):
            yield self._over(str(fret), fret, self._foot, self._size(_NUMBER), "quiet")

    def numeral(self, position: int) -> Iterator[Mark]:
        yield self._over(roman(position), position, self._top - _RADIUS - _OFF, self._size(_NUMERAL), "ink")

    def _over(self, text: str, fret: int, y: float, size: float, ink: Ink) -> Text:
        name = self._style.signs
        left = self._x(self._middle(fret)) - face(name).width(text, size) / 2
        return Text(left, y, text, name, size, ink)

    def ring(self, place: Place, names: Sequence[_Name]) -> Iterator[Mark]:
        """Round, or drawn out where its names need more room."""
        x, y, half = self._x(self._middle(place.fret)), self._y(place.string), _half(names, self._style)
        straight = half - _RADIUS
        for side in (-1, 1):
            end = x + side * straight
            yield _half_ring(end, y, side)
            if straight > 0:
                yield Line(x - straight, y + side * _RADIUS, x + straight, y + side * _RADIUS, HAIRLINE)
        at = x - _wide(names, self._style) / 2
        for name in names:
            size = name.pieces[-1].size
            tall = face(name.pieces[-1].face).cap_height * size
            yield from set_pieces(name.pieces, at, y + tall / 2, self._style.music, name.ink)
            at += width_of(name.pieces, self._style.music) + _SPACE


def _fitting(names: Sequence[_Name], style: Style) -> Sequence[_Name]:
    """As many of a place's names as a fret has room for, one at least."""
    fits = [count for count in range(1, len(names) + 1) if 2 * _half(names[:count], style) <= _CELL - _GAP]
    return names[:max(fits, default=1)]


def _half(names: Sequence[_Name], style: Style) -> float:
    """Half the width of their ring."""
    return max(_RADIUS, _wide(names, style) / 2 + _GAP)


def _wide(names: Sequence[_Name], style: Style) -> float:
    return sum(width_of(name.pieces, style.music) for name in names) + _SPACE * (len(names) - 1)


def _half_ring(x: float, y: float, side: int) -> Arc:
    """From its top down to its bottom, to the left (side -1) or right of x; painters add their pen."""
    half = (HAIRLINE - ARC_PEN) / 2
    inner, outer = (side * (_RADIUS + by) / 0.75 for by in (-half, half))
    top, bottom = (y - _RADIUS, y + _RADIUS)
    return Arc((x, top), (x, bottom), ((x + inner, top), (x + inner, bottom)), ((x + outer, top), (x + outer, bottom)))
