"""Played times to written ones: beat by beat, the grid that fits best.

The grids, what each costs and the reading of swung eighths are common practice, without one source.
Times are fractions of a quarter note from the start of the piece.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor
from typing import NamedTuple

# Parts a quarter is cut into, and what the cut costs, in squared quarters of error it must save:
# a beat is read as sixteenths or triplets only where eighths would move its notes visibly.
_COSTS = {2: 0.0, 4: 0.004, 3: 0.004, 6: 0.012}
_CROWDED = 1.0  # two notes on one grid point: never if any grid keeps them apart
TOGETHER = Fraction(1, 16)  # notes struck within this are one chord
LEGATO = Fraction(1, 4)  # a gap shorter than an off-beat sixteenth is articulation, not a rest
_SWUNG = (Fraction(7, 12), Fraction(3, 4))  # where a swung off-beat lies: about 2/3 of the beat (references P11)
_EVEN = (Fraction(5, 12), Fraction(7, 12))
_FEWEST_OFFBEATS = 6


class Played(NamedTuple):
    start: Fraction
    stop: Fraction
    key: int


class Placed(NamedTuple):
    """A note at its written place."""

    start: Fraction
    stop: Fraction
    key: int


@dataclass(frozen=True)
class Quantised:
    """tuplets: the beats, by their start, that are cut into 3 or 6.

    moved: how far each onset was moved from where it was played; under swing, from where the written one sounds.
    """

    notes: tuple[Placed, ...]
    tuplets: dict[Fraction, int]
    moved: tuple[Fraction, ...]
    is_swung: bool
    left_out: tuple[Played, ...]


def quantise(notes: Sequence[Played], beats: Sequence[Fraction], may_swing: bool = True) -> Quantised:
    """One line of written notes out of played ones: the top note where several sound.

    beats: where each begins, in order, from 0 past the last note; a beat is a quarter long, or less before a barline.
    """
    line, left_out = skyline(notes)
    grid = _fitted(line, beats, may_swing)
    starts = [grid.snap(note.start) for note in line]
    moved = tuple(abs(grid.sounding(start) - note.start) for start, note in zip(starts, line, strict=True))
    placed: list[Placed] = []
    for at, note in enumerate(line):
        after = line[at + 1] if at + 1 < len(line) else None
        if after is not None and starts[at + 1] <= starts[at]:
            left_out.append(note)
            continue
        stop = grid.stop(note, starts[at])
        if after is not None:
            stop = starts[at + 1] if after.start - note.stop < LEGATO else min(stop, starts[at + 1])
        placed.append(Placed(starts[at], stop, note.key))
    tuplets = {grid.beats[beat]: parts for beat, parts in grid.parts.items()
               if parts % 3 == 0 and grid.is_cut(placed, beat)}
    return Quantised(tuple(placed), tuplets, moved, grid.is_swung, tuple(left_out))


def _fitted(line: Sequence[Played], beats: Sequence[Fraction], may_swing: bool) -> _Grid:
    places: dict[int, list[Fraction]] = defaultdict(list)
    for note in line:
        beat = bisect_right(beats, note.start) - 1
        places[beat].append(note.start - beats[beat])
    is_swung = may_swing and _is_swung(places)
    swung = {beat for beat, row in places.items() if is_swung and _offbeat_only(row, _SWUNG)}
    parts = {beat: 2 if beat in swung else _best_parts(row, _length(beats, beat) == 1) for beat, row in places.items()}
    return _Grid(tuple(beats), parts, frozenset(swung), is_swung)


def skyline(notes: Sequence[Played]) -> tuple[list[Played], list[Played]]:
    """The top line, and what lay under it. A lower note that begins as the one above it ends belongs to the line."""
    line: list[Played] = []
    under: list[Played] = []
    for note in sorted(notes, key=lambda each: (each.start, -each.key)):
        last = line[-1] if line else None
        if last is None or note.start >= last.stop:
            line.append(note)
        elif note.start - last.start <= TOGETHER:
            if note.key > last.key:
                under.append(line.pop())
                line.append(note)
            else:
                under.append(note)
        elif note.key < last.key and last.stop - note.start > max(TOGETHER, (last.stop - last.start) / 4):
            under.append(note)
        else:
            line[-1] = last._replace(stop=note.start)
            line.append(note)
    return line, under


def _is_swung(by_beat: dict[int, list[Fraction]]) -> bool:
    """Most single off-beats near two thirds of the beat, and hardly any in the middle."""
    swung = sum(_offbeat_only(places, _SWUNG) for places in by_beat.values())
    even = sum(_offbeat_only(places, _EVEN) for places in by_beat.values())
    return swung >= _FEWEST_OFFBEATS and swung >= 3 * even


def _offbeat_only(places: Sequence[Fraction], span: tuple[Fraction, Fraction]) -> bool:
    """One note inside the beat, and that within `span`."""
    inside = [place for place in places if Fraction(1, 8) < place < Fraction(7, 8)]
    return len(inside) == 1 and span[0] <= inside[0] < span[1]


def _best_parts(places: Sequence[Fraction], is_whole: bool) -> int:
    """The cut that moves the notes least for its cost. is_whole: of a whole quarter, which alone takes triplets."""

    def cost(parts: int) -> float:
        snapped = [_round(place * parts) for place in places]
        crowded = sum(a == b for a, b in pairwise(snapped))
        return _COSTS[parts] + _CROWDED * crowded + sum(
            float(place - Fraction(at, parts)) ** 2 for place, at in zip(places, snapped, strict=True))

    return min((parts for parts in _COSTS if is_whole or parts % 3), key=cost)


def _round(value: Fraction) -> int:
    return floor(value + Fraction(1, 2))


def _length(beats: Sequence[Fraction], beat: int) -> Fraction:
    return beats[beat + 1] - beats[beat] if beat + 1 < len(beats) else Fraction(1)


@dataclass(frozen=True)
class _Grid:
    """Where notes may stand: beats, the parts each is cut into, and which of them are swung."""

    beats: tuple[Fraction, ...]
    parts: dict[int, int]
    swung: frozenset[int]
    is_swung: bool

    def snap(self, time: Fraction) -> Fraction:
        """The written place nearest to a played one; of a swung beat, cut in two, the off-beat is the nearer half."""
        beat = bisect_right(self.beats, time) - 1
        inside = time - self.beats[beat]
        parts = self.parts.get(beat, 2)
        return self.beats[beat] + Fraction(_round(inside * parts), parts)

    def sounding(self, place: Fraction) -> Fraction:
        """Where a written place sounds: the off-beat of a swung beat at two thirds of it."""
        beat = bisect_right(self.beats, place) - 1
        return place + Fraction(1, 6) if beat in self.swung and place - self.beats[beat] == Fraction(1, 2) else place

    def stop(self, note: Played, start: Fraction) -> Fraction:
        """The end nearest to the played one, at least one part of its beat after the start."""
        beat = bisect_right(self.beats, start) - 1
        return max(self.snap(note.stop), start + Fraction(1, self.parts.get(beat, 2)))

    def is_cut(self, notes: Sequence[Placed], beat: int) -> bool:
        """A note begins or ends inside the beat."""
        begin, end = self.beats[beat], self.beats[beat] + 1
        return any(begin < edge < end for note in notes for edge in (note.start, note.stop))
