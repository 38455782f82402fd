"""What joins fret numbers: arcs over notes reached without a stroke, slides, and the ties of a tab that stands alone.

An arc spans what one stroke sounds on a string (MusicXML 4.0 tutorial, "Tablature": one slur over both
pulls of 8-7-5). It curves over its numbers, under them where a number on the next string is in the way,
and keeps off the string lines unless it is long. Letters stand on one line over the staff, so that no
string runs through them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from core.engraving.accents import add_accents
from core.engraving.arcs import arc
from core.engraving.bar import BarShape
from core.engraving.boxes import mark_box
from core.engraving.crossing import Beyond, LaidBar
from core.engraving.drawing import Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.gestures import SLIDE_GAP, SLIDE_RISE, SLIDE_WIDTH
from core.engraving.tab import Number, TabShape, centre_of
from core.guitar import EventFingering

_LETTERS = {"hammer-on": "H", "pull-off": "P"}
_LETTER_SIZE = 0.68
"""Of a letter against a fret number."""
_OFF_NUMBER = 0.14
_INSET = 0.12
_OFF_STRING, _LEAST_BETWEEN = 0.25, 0.8
"""Of an arc between two numbers: how far over its string its tips are, and the least room for one."""
_FLAT, _ROUND, _LONG = 0.42, 1.0, 9.0
"""Height of an arc that stays between two strings, of one that crosses the next, and how long that one is."""
_OPEN_END = 1.6
"""Length of a half slide at the edge of a system."""


class _Spot(NamedTuple):
    """A fret number in its system: x of its centre, y of its string, its bar, and the strings taken with it."""

    number: Number
    x: float
    y: float
    place: int
    taken: frozenset[int]
    technique: str


@dataclass
class _Found:
    """What has been joined, by bar, and the letters over it: (bar, x, letter)."""

    marks: list[list[Mark]]
    letters: list[tuple[int, float, str]] = field(default_factory=list)


def is_reached(bar: BarShape) -> bool:
    """Whether the bar's first note is sounded by a stroke in the bar before."""
    events = bar.view.fingering.events
    return bool(events and events[0].technique)


def legato_across(bars: Sequence[LaidBar], ends: Beyond) -> list[list[Mark]]:
    """Marks of a system's tab by the bar each begins in, from its left edge; y from the top string."""
    found = _Found([[] for _ in bars])
    for run in _runs(bars, ends):
        _join(run, bars, ends, found)
    bears_rhythm = bars[0].view.style.tab_bears_rhythm
    if bears_rhythm:
        _ties(bars, ends, found)
    _set_letters(bars, found)
    if bears_rhythm:
        add_accents(bars, found.marks)
    return found.marks


def _spots(bars: Sequence[LaidBar]) -> Iterator[tuple[EventFingering, list[_Spot], bool]]:
    """Each event's fingering and numbers; and whether it is a rest."""
    for place, bar in enumerate(bars):
        assert isinstance(bar.row, TabShape)
        if not bar.view.bar.events:
            yield EventFingering(), [], True
        for column, x, numbers in zip(bar.columns, bar.xs, bar.row.numbers, strict=True):
            if column.event is None:
                continue
            played = bar.view.fingering.events[column.event]
            taken = frozenset(number.string for number in numbers)
            style = bar.view.style
            spots = [_Spot(number, bar.left + centre_of(number, x, style), style.tab_step * (number.string - 1), place,
                           taken, played.technique) for number in numbers]
            yield played, spots, bar.view.bar.events[column.event].is_rest


class _Run(NamedTuple):
    """Numbers on one string sounded by one stroke. before, after: fret of the number on the system before
    or after that belongs to it, or None."""

    spots: tuple[_Spot, ...]
    before: int | None = None
    after: int | None = None


def _runs(bars: Sequence[LaidBar], ends: Beyond) -> list[_Run]:
    """All runs of more than one number, in time order."""
    is_open: dict[int, _Run] = {}
    done: list[_Run] = []
    outside = _last_frets(ends.before)
    for played, spots, is_rest in _spots(bars):
        if is_rest or (spots and not played.technique):
            done += is_open.values()
            is_open = {}
        for spot in spots:
            string = spot.number.string
            if not played.technique:
                is_open[string] = _Run((spot,))
            elif string in is_open:
                run = is_open[string]
                is_open[string] = run._replace(spots=(*run.spots, spot))
            else:
                is_open[string] = _Run((spot,), outside.get(string))
        if is_rest or spots:
            outside = {}
    reached = _first_frets(ends.after)
    done += [run._replace(after=reached.get(string)) for string, run in is_open.items()]
    return [run for run in done if len(run.spots) > 1 or run.before is not None or run.after is not None]


def _last_frets(row: object) -> dict[int, int]:
    """By string, of the last numbers of a bar."""
    if not isinstance(row, TabShape):
        return {}
    numbers = next((column for column in reversed(row.numbers) if column), ())
    return {number.string: number.fret for number in numbers if number.fret is not None}


def _first_frets(row: object) -> dict[int, int]:
    """By string, of the first numbers of a bar, where they are reached without a stroke."""
    if not isinstance(row, TabShape):
        return {}
    for column, numbers in zip(row.columns, row.numbers, strict=True):
        if column.event is not None:
            if not row.view.fingering.events[column.event].technique:
                return {}
            return {number.string: number.fret for number in numbers if number.fret is not None}
    return {}


def _join(run: _Run, bars: Sequence[LaidBar], ends: Beyond, found: _Found) -> None:
    first, last = run.spots[0], run.spots[-1]
    left = first.x + _INSET if run.before is None else ends.start + 0.2
    right = last.x - _INSET if run.after is None else ends.right - 0.1
    place = first.place
    found.marks[place] += _arc(run.spots, left, right, bars)
    for one, other in pairwise(run.spots):
        _step(one, other, bars, found)
    if run.before is not None:
        _step_in(run.before, first, ends, bars, found)
    if run.after is not None and _technique_after(ends) == "slide":
        rise = _rise(last.number.fret, run.after)
        x = last.x + last.number.half + SLIDE_GAP
        found.marks[last.place].append(_slide(x, min(x + _OPEN_END, ends.right - 0.2), last, rise, bars))


def _technique_after(ends: Beyond) -> str:
    row = ends.after
    if not isinstance(row, TabShape):
        return ""
    event = next(column.event for column in row.columns if column.event is not None)
    return row.view.fingering.events[event].technique


def _arc(spots: Sequence[_Spot], left: float, right: float, bars: Sequence[LaidBar]) -> list[Mark]:
    """Over a string's numbers from left to right, x of the system; under them where one on the next string is in
    the way; between them where others stand on both sides, or stems below.
    """
    spot = spots[0]
    view = bars[spot.place].view
    style, string = view.style, spot.number.string
    side = -1
    if any(string - 1 in one.taken for one in spots):
        side = 1
        over_stems = style.tab_bears_rhythm and string == len(view.instrument.tuning)
        if over_stems or any(string + 1 in one.taken for one in spots):
            return _between(spots, left, right, bars)
    y = spot.y + side * (face(f"{style.signs}-semibold").cap_height / 2 * style.fret_size + _OFF_NUMBER)
    shift = bars[spot.place].left
    length = max(right - left, 0.8)
    middle = (left + right) / 2
    height = _ROUND if length > _LONG else _FLAT
    return [arc((middle - length / 2 - shift, y), (middle + length / 2 - shift, y), side * height)]


def _between(spots: Sequence[_Spot], left: float, right: float, bars: Sequence[LaidBar]) -> list[Mark]:
    """Flat arcs from each number to the next on their string, the first from `left` and the last to `right` where
    those lie outside; none where a slide's line is.
    """
    first, last = spots[0], spots[-1]
    gaps = [(one.x + one.number.half, other.x - other.number.half)
            for one, other in pairwise(spots) if other.technique != "slide"]
    if left < first.x - first.number.half:
        gaps.insert(0, (left, first.x - first.number.half))
    if right > last.x + last.number.half:
        gaps.append((last.x + last.number.half, right))
    shift, y = bars[first.place].left, first.y - _OFF_STRING
    return [arc((start + _OFF_NUMBER - shift, y), (end - _OFF_NUMBER - shift, y), -_FLAT) for start, end in gaps
            if end - start > _LEAST_BETWEEN]


def _step(one: _Spot, other: _Spot, bars: Sequence[LaidBar], found: _Found) -> None:
    """The letter or the slide between two numbers of a run."""
    if other.technique == "slide":
        left, right = one.x + one.number.half + SLIDE_GAP, other.x - other.number.half - SLIDE_GAP
        found.marks[one.place].append(_slide(left, right, one, _rise(one.number.fret, other.number.fret), bars))
    elif other.technique in _LETTERS:
        found.letters.append((one.place, (one.x + other.x) / 2, _LETTERS[other.technique]))


def _step_in(fret: int, spot: _Spot, ends: Beyond, bars: Sequence[LaidBar], found: _Found) -> None:
    """Likewise where the number before is on the system before."""
    if spot.technique == "slide":
        right = spot.x - spot.number.half - SLIDE_GAP
        mark = _slide(max(right - _OPEN_END, ends.start), right, spot, _rise(fret, spot.number.fret), bars)
        found.marks[spot.place].append(mark)
    elif spot.technique in _LETTERS:
        found.letters.append((spot.place, (ends.start + spot.x) / 2, _LETTERS[spot.technique]))


def _rise(fret: int | None, other: int | None) -> int:
    """1 where the second lies higher up the neck, else -1."""
    return 1 if fret is not None and other is not None and other > fret else -1


def _slide(left: float, right: float, spot: _Spot, rise: int, bars: Sequence[LaidBar]) -> Mark:
    shift = bars[spot.place].left
    tag = Tag("note", spot.number.event, spot.number.note)
    return Line(left - shift, spot.y + rise * SLIDE_RISE, max(right, left + 0.5) - shift, spot.y - rise * SLIDE_RISE,
                SLIDE_WIDTH, "ink", tag)


def _ties(bars: Sequence[LaidBar], beyond: Beyond, found: _Found) -> None:
    """From each number that is held on to the bracketed one it is held into."""
    held: dict[int, _Spot] = {}
    first = True
    for _, spots, is_rest in _spots(bars):
        for spot in spots:
            before = held.get(spot.number.string)
            if spot.number.held and (before is not None or first):
                left = beyond.start + 0.2 if before is None else before.x + _INSET
                ends = (spot,) if before is None else (before, spot)
                found.marks[ends[0].place] += _arc(ends, left, spot.x - _INSET, bars)
        grace = bool(spots) and bars[spots[0].place].view.bar.events[spots[0].number.event].grace
        if not grace and (spots or is_rest):
            held = {spot.number.string: spot for spot in spots if spot.number.tied}
            first = False
    for spot in held.values():
        found.marks[spot.place] += _arc((spot,), spot.x + _INSET, beyond.right - 0.1, bars)


def _set_letters(bars: Sequence[LaidBar], found: _Found) -> None:
    style = bars[0].view.style
    if not (style.tab_letters and found.letters):
        return
    size = max(style.fret_size * _LETTER_SIZE, style.smallest)
    tops = [mark_box(mark, style.music).top for marks in found.marks for mark in marks]
    baseline = min([bar.row.numbers_top for bar in bars if isinstance(bar.row, TabShape)] + tops) - 0.3
    for place, x, letter in dict.fromkeys(found.letters):
        left = x - face(style.signs).width(letter, size) / 2 - bars[place].left
        found.marks[place].append(Text(left, baseline, letter, style.signs, size, "ink", Tag("bar")))
