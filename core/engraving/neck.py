"""A neck diagram of a passage: a ring at each place it takes, named by its finger or its degree.

The neck lies as a tab does, the highest string on top, low frets to the left; for a left-handed guitarist it is
turned round, as a tab is not: a tab is read from left to right whoever plays. Frets are numbered under it from the
capo, and a Roman numeral stands over the fret of each position (all common practice, no source). Frets are drawn
evenly, not to scale. All is as large as the names in the rings, which are set as the degree row is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import sqrt
from typing import Literal, NamedTuple

from core.engraving.boxes import ARC_PEN
from core.engraving.degrees import TENSION, degree_pieces, look_of
from core.engraving.drawing import Arc, Drawing, Ink, Line, Mark, NeckDiagram, Text
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE
from core.engraving.pieces import Piece, set_pieces, width_of
from core.engraving.positions import roman
from core.engraving.style import Style
from core.guitar import Fingered, Fingering, Place
from core.guitar.neck import neck_of
from core.line import Analysis, shown_degree
from core.study import Guitarist, Instrument, NotePlace, Study

Shows = Literal["fingers", "degrees"]
_CELL, _STEP = 2.45, 1.5
"""Width of a fret, and from string to string; these and what follows in ems of the names."""
_RADIUS, _CLEAR = 0.61, 0.07
"""Of a ring; white in it around a name."""
_FIGURE, _SIGN = 0.34, 0.49
"""Half the height of a figure and of an accidental at most."""
_GAP, _SPACE = 0.17, 0.23
"""Between a ring and its fret's ends, or the neck's; between two names in a ring."""
_NUMBER, _NUMERAL = 0.86, 0.95
_OFF = 0.36
"""White between the neck and what stands over or under it."""
_NUT = 0.3
_LINE = 0.1
"""Of strings and frets, in staff spaces: lighter than the rings on them."""
_LEAST_FRETS = 4


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
    for place, grip in grips_in(fingering, span):
        text, name = _name(study, analysis, place, grip, shows, style)
        if text:
            names.setdefault(Place(grip.string, grip.fret), {})[text] = name
        if grip.finger:
            positions.append(grip.position)
    frets = _shown([place.fret for place in names if place.fret] + positions, neck_of(study.instrument).frets)
    fitting = {place: _fitting([*found.values()], style) for place, found in names.items()}
    opened = max([_half(found, style) for place, found in fitting.items() if not place.fret], default=0.0)
    neck = _Neck(study.instrument, study.guitarist, frets, opened, style)
    rings = [mark for place, found in fitting.items() for mark in neck.ring(place, found)]
    numerals = [mark for position in sorted(set(positions)) for mark in neck.numeral(position)]
    marks = (*neck.lines(fitting), *neck.numbers(), *numerals, *rings)
    return NeckDiagram(Drawing(marks), neck.width, neck.height)


def grips_in(fingering: Fingering, span: tuple[NotePlace, NotePlace]) -> Iterator[tuple[NotePlace, Fingered]]:
    """The notes of the events from the first to the last of `span` that can be played, in order."""
    first, last = span
    for bar in range(first.bar, last.bar + 1):
        for event, played in enumerate(fingering.bars[bar].events):
            if first[:2] <= (bar, event) <= last[:2]:
                for note, grip in enumerate(played.notes):
                    if grip is not None:
                        yield NotePlace(bar, event, note), grip


def _shown(taken: Sequence[int], last: int) -> tuple[int, int]:
    """The lowest and the highest fret to show of a neck that ends at fret `last`: enough of them to see where they
    are, from the nut where it is near."""
    low, high = min(taken, default=1), max(taken, default=1)
    low = 1 if high <= _LEAST_FRETS else max(1, min(low, last - _LEAST_FRETS + 1))
    return low, max(high, min(low + _LEAST_FRETS - 1, last))


def _name(study: Study, analysis: Analysis, place: NotePlace, grip: Fingered, shows: Shows,
          style: Style) -> tuple[str, _Name]:
    if shows == "fingers":
        return str(grip.finger), _Name(degree_pieces(str(grip.finger), TENSION, style), "ink")
    found = analysis.bars[place.bar].notes[place.event][place.note]
    text, look = shown_degree(study.note_at(place), found), look_of(found.role)
    return text or "–", _Name(degree_pieces(text or "–", look, style), look.ink)


class _Neck:
    """Where strings and frets lie. frets: the lowest and the highest shown; opened: half the width of an open
    string's ring, which stands before them, 0 where there is none."""

    def __init__(self, instrument: Instrument, who: Guitarist, frets: tuple[int, int], opened: float,
                 style: Style) -> None:
        low, high = frets
        em = style.degree_size
        self._strings, self._mirrored, self._style = len(instrument.tuning), who.left_handed, style
        self._low, self._high, self._cell, self._step = low, high, _CELL * em, _STEP * em
        self._radius, self._edge = _RADIUS * em, _GAP * em
        self._board = 2 * (opened + self._edge) if opened else self._edge  # where the first shown fret begins
        self.width = self._board + self._cell * (high - low + 1) + self._edge
        cap = face(style.signs).cap_height
        self._over = cap * self._size(_NUMERAL)  # baseline of the numerals
        self._top = self._over + _OFF * em + self._radius
        self._bottom = self._top + self._step * (self._strings - 1)
        self._foot = self._bottom + self._radius + _OFF * em + cap * self._size(_NUMBER)
        self.height = self._foot + _GAP * em

    def _size(self, share: float) -> float:
        return max(self._style.degree_size * share, self._style.smallest)

    def _x(self, x: float) -> float:
        """As it stands on the page."""
        return self.width - x if self._mirrored else x

    def _middle(self, fret: int) -> float:
        """Of a fret, before it is turned round; of an open string 0."""
        return self._board + self._cell * (fret - self._low + 0.5) if fret else self._board / 2

    def _y(self, string: int) -> float:
        return self._top + self._step * (string - 1)

    def lines(self, names: Mapping[Place, Sequence[_Name]]) -> Iterator[Mark]:
        """Strings, broken behind their rings; frets; a thick nut where the first fret is the lowest shown."""
        for string in range(1, self._strings + 1):
            y, left = self._y(string), self._board
            for place in sorted(place for place in names if place.string == string and place.fret):
                middle, half = self._middle(place.fret), _half(names[place], self._style)
                yield self._line(left, y, middle - half, y, _LINE)
                left = middle + half
            yield self._line(left, y, self.width - self._edge, y, _LINE)
        for line in range(self._high - self._low + 2):
            x = self._board + self._cell * line
            width = _NUT * self._style.degree_size if line == 0 and self._low == 1 else _LINE
            yield self._line(x, self._top - _LINE / 2, x, self._bottom + _LINE / 2, width)

    def _line(self, x1: float, y1: float, x2: float, y2: float, width: float) -> Line:
        left, right = sorted((self._x(x1), self._x(x2)))
        return Line(left, y1, right, y2, width, "staff")

    def numbers(self) -> Iterator[Mark]:
        for fret in range(self._low, self._high + 1):
            yield self._named(str(fret), fret, self._foot, self._size(_NUMBER), "quiet")

    def numeral(self, position: int) -> Iterator[Mark]:
        yield self._named(roman(position), position, self._over, self._size(_NUMERAL), "ink")

    def _named(self, text: str, fret: int, y: float, size: float, ink: Ink) -> Text:
        name = self._style.signs
        left = self._x(self._middle(fret)) - face(name).width(text, size) / 2
        return Text(left, y, text, name, size, ink)

    def ring(self, place: Place, names: Sequence[_Name]) -> Iterator[Mark]:
        """Round, or drawn out where its names need more room."""
        x, y, half = self._x(self._middle(place.fret)), self._y(place.string), _half(names, self._style)
        radius = self._radius
        straight = half - radius
        for side in (-1, 1):
            yield _half_ring(x + side * straight, y, side, radius)
            if straight > 0:
                yield Line(x - straight, y + side * radius, x + straight, y + side * radius, HAIRLINE)
        before, after = _ends(names, self._style)
        at = x + (before - after - _wide(names, self._style)) / 2
        for name in names:
            size = name.pieces[-1].size
            tall = face(name.pieces[-1].face).cap_height * size
            yield from set_pieces(name.pieces, at, y + tall / 2, self._style.music, name.ink)
            at += width_of(name.pieces, self._style.music) + _SPACE * self._style.degree_size


def _fitting(names: Sequence[_Name], style: Style) -> Sequence[_Name]:
    """As many of a place's names as a fret has room for, one at least."""
    room = (_CELL - _GAP) * style.degree_size
    fits = [count for count in range(1, len(names) + 1) if 2 * _half(names[:count], style) <= room]
    return names[:max(fits, default=1)]


def _half(names: Sequence[_Name], style: Style) -> float:
    """Half the width of their ring."""
    return max(_RADIUS * style.degree_size, (_wide(names, style) + sum(_ends(names, style))) / 2)


def _ends(names: Sequence[_Name], style: Style) -> tuple[float, float]:
    """What of a ring is left and right of its names, so that it clears their corners."""
    at = [_FIGURE if piece.face else _SIGN for piece in (names[0].pieces[0], names[-1].pieces[-1])]
    left, right = [_RADIUS - sqrt((_RADIUS - _CLEAR) ** 2 - tall**2) for tall in at]
    return left * style.degree_size, right * style.degree_size


def _wide(names: Sequence[_Name], style: Style) -> float:
    return sum(width_of(name.pieces, style.music) for name in names) + _SPACE * style.degree_size * (len(names) - 1)


def _half_ring(x: float, y: float, side: int, radius: float) -> Arc:
    """From its top down to its bottom, to the left (side -1) or right of x; painters add their pen."""
    half = (HAIRLINE - ARC_PEN) / 2
    inner, outer = (side * (radius + by) / 0.75 for by in (-half, half))
    top, bottom = (y - radius, y + radius)
    return Arc((x, top), (x, bottom), ((x + inner, top), (x + inner, bottom)), ((x + outer, top), (x + outer, bottom)))
