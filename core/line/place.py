"""How strong a place in the bar is, and which beat."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from core.study import Meter

_HALF_WAY = (Fraction(1, 2), Fraction(1, 3), Fraction(2, 3))


class Place(NamedTuple):
    """strength: 3 on the first beat of the bar or of its second half, 2 on another beat, 1 half way through a beat
    (or on a third of it), 0 elsewhere. beat: its number, 0 off the beat.
    """

    strength: int
    beat: int


def place_of(meter: Meter, onset: Fraction) -> Place:
    """Of an onset in quarters from where the full bar begins. Common practice, no source."""
    return _place(meter, onset.numerator, onset.denominator)


@lru_cache(maxsize=4096)
def _place(meter: Meter, numerator: int, denominator: int) -> Place:
    """Two numbers are looked up several times as fast as their fraction, once a note."""
    beats, onset = meter.beats, Fraction(numerator, denominator)
    if onset in beats:
        at = beats.index(onset)
        halves = len(beats) % 2 == 0 and len(beats) >= 4
        return Place(3 if at == 0 or (halves and at == len(beats) // 2) else 2, at + 1)
    last = max((beat for beat in beats if beat <= onset), default=Fraction(0))
    after = min((beat for beat in beats if beat > onset), default=meter.length)
    return Place(1 if after > last and (onset - last) / (after - last) in _HALF_WAY else 0, 0)
