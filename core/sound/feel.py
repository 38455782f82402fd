"""How late the off-beat eighths of a swing feel are.

Drummers swing from 3.5:1 near 120 quarters a minute down to even eighths at fast tempi,
about linearly (P6, Friberg & Sundström 2002); soloists swing less, below 2:1 at medium tempo
(P8, KTH "Ensemble Swing"), 1.3:1 is typical, 2:1 and above only occasional (P9, Corcoran &
Frieler 2021). We play a solo, so the soloist's line: 2:1 at 120 and below, 1:1 at 300 and
above, straight between. The line itself is ours; it passes the typical 1.3:1 at 246.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from core.study import InForce

Mover = Callable[[InForce, Fraction], Fraction]
"""From a written offset in a bar to the played one, both in quarters."""

_HALF = Fraction(1, 2)
_SLOW, _FAST = 120, 300  # quarters a minute


def swing_ratio(tempo: Fraction) -> Fraction:
    """Long to short eighth of a soloist, at so many quarters a minute."""
    held = min(max(tempo, Fraction(_SLOW)), Fraction(_FAST))
    return 2 - (held - _SLOW) / (_FAST - _SLOW)


def straight(here: InForce, at: Fraction) -> Fraction:
    """As written."""
    return at


def swing(ratio: Fraction) -> Mover:
    """Off-beat eighths at ratio/(1 + ratio) of their quarter (P11), all else as written."""
    late = ratio / (1 + ratio) - _HALF
    known: dict[int, frozenset[Fraction]] = {}

    def moved(here: InForce, at: Fraction) -> Fraction:
        if here.index not in known:
            known[here.index] = offbeats(here)
        return at + late if at in known[here.index] else at

    return moved


def offbeats(here: InForce) -> frozenset[Fraction]:
    """The offsets of a bar that swing moves: the middle of each quarter which the line divides in two or not at all.

    Meters counted in eighths or shorter are played as written, as is a quarter with triplets
    or sixteenths in it (P11: the unit of swing is the eighth).
    """
    if here.meter.unit > 4:
        return frozenset()
    shift = lead(here)
    onsets = [event.onset + shift for event in here.bar.events]
    divided = {int(at) for at in onsets if at % 1 not in (0, _HALF)}
    quarters = range(int(here.length + shift) + 1)
    middles = (quarter + _HALF - shift for quarter in quarters if quarter not in divided)
    return frozenset(at for at in middles if 0 <= at < here.length)


def lead(here: InForce) -> Fraction:
    """How far into its meter a pickup begins, in quarters; 0 for any other bar."""
    return max(here.meter.length - here.length, Fraction(0)) if here.index == 0 else Fraction(0)
