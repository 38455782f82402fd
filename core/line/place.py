"""How strong a place in the bar is."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from core.study import Meter

_HALF_WAY = (Fraction(1, 2), Fraction(1, 3), Fraction(2, 3))


@lru_cache(maxsize=4096)
def strength(meter: Meter, onset: Fraction) -> int:
    """3 on the first beat of the bar or of its second half, 2 on another beat, 1 half way through a beat (or on
    a third of it), 0 elsewhere. onset: in quarters from where the full bar begins. Common practice, no source.
    """
    beats = meter.beats
    if onset in beats:
        place = beats.index(onset)
        halves = len(beats) % 2 == 0 and len(beats) >= 4
        return 3 if place == 0 or (halves and place == len(beats) // 2) else 2
    last = max((beat for beat in beats if beat <= onset), default=Fraction(0))
    after = min((beat for beat in beats if beat > onset), default=meter.length)
    return 1 if after > last and (onset - last) / (after - last) in _HALF_WAY else 0
