"""The rests that stand for a silence, so that the beat shows. What the study says of it stays as it is.

A rest fills a whole bar, half of a bar of four beats, a beat, or an even part of one, and begins
where that does: none bridges the middle of 4/4, and 3/4 has no half rest (Gould ch. 6, from memory;
Read, *Music Notation*, 1979). In a beat of three parts the first two make one rest and the last two
do not; dots stand for a whole such beat, and for the first three quarters of an even one (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from core.study import Meter, Written, written

_FINEST = Fraction(1, 128)


@lru_cache(maxsize=4096)
def rest_parts(start: Fraction, length: Fraction, meter: Meter) -> tuple[Written, ...]:
    """The rests that show the beat from `start` in the metre on, in quarters; none where no rests add up to it."""
    parts: list[Written] = []
    at, end = start, start + length
    while at < end:  # a bar longer than its metre counts on from its beginning
        bar = at // meter.length * meter.length
        found = list(_within(at - bar, min(end - bar, meter.length), Fraction(0), meter.length, meter))
        if None in found:
            return ()
        parts += [one for one in found if one is not None]
        at = bar + min(end - bar, meter.length)
    return tuple(parts)


def _within(start: Fraction, end: Fraction, first: Fraction, last: Fraction, meter: Meter) -> Iterator[Written | None]:
    """Rests of what lies in the window first..last; None for what no rest stands for."""
    start, end = max(start, first), min(end, last)
    if start >= end:
        return
    one = written(end - start)
    if last - first < _FINEST:
        yield None
    elif one is not None and start == first and _is_one(end, first, last, meter):
        yield one
    else:
        for left, right in pairwise(_edges(first, last, meter)):
            yield from _within(start, end, left, right, meter)


def _is_one(end: Fraction, first: Fraction, last: Fraction, meter: Meter) -> bool:
    """Whether a rest from the beginning of a window to `end` is one sign."""
    covered, length = end - first, last - first
    is_beat = not any(first < beat < last for beat in meter.beats)
    if not is_beat and length == meter.length:
        return False
    if length.numerator == 3:
        return meter.unit >= 8 and (end == last or (is_beat and covered == length * 2 / 3))
    return end == last or (is_beat and length <= 1 and covered == length * 3 / 4)


@lru_cache(maxsize=1024)
def _edges(first: Fraction, last: Fraction, meter: Meter) -> tuple[Fraction, ...]:
    """Where a window falls into its parts: four beats into halves, else into beats, a beat into two or three.
    Five or more eighths that nothing groups are taken by twos.
    """
    unit, length = Fraction(4, meter.unit), last - first
    inside = [beat for beat in meter.beats if first < beat < last]
    if length == meter.length and len(meter.beats) == 4 and len(meter.groups) == 1:
        return first, meter.beats[2], last
    is_loose = not inside or (meter.unit >= 8 and meter.beats[1] == unit)
    units = length / unit
    if is_loose and units.denominator == 1 and units > 4 and units % 2:
        return (*(first + 2 * unit * pair for pair in range(int(units) // 2 + 1)), last)
    if inside:
        return (first, *inside, last)
    parts = 3 if length.numerator == 3 else 2
    return tuple(first + length * part / parts for part in range(parts + 1))
