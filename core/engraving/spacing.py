"""How far apart the columns of a bar stand.

A gap between two columns is a spring and a rod: it takes `stretch` staff spaces for an eighth,
growing by a constant factor with each doubling of the duration (Gourlay, "Spacing a Line of
Music", 1987; a factor between 1.41 and 1.6, from memory), but never less than the ink of any
row needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

_POWER = 0.6
"""2 ** 0.6 = 1.52 a doubling."""


class Gap(NamedTuple):
    """rod: least width in staff spaces. spring: width at a stretch of 1."""

    rod: float
    spring: float


def spring_of(duration: float) -> float:
    """Of a note this long (quarters); an eighth is 1."""
    return float((2 * duration) ** _POWER)


def width_at(gaps: Sequence[Gap], stretch: float) -> float:
    """Of a run of gaps, in staff spaces."""
    return sum([rod if rod > spring * stretch else spring * stretch for rod, spring in gaps])


def stretch_for(gaps: Sequence[Gap], width: float) -> float:
    """The stretch at which the gaps take exactly `width`; 0 where the rods alone take as much or more."""
    rods = sum([gap.rod for gap in gaps])
    if rods >= width:
        return 0.0
    # As the stretch grows, springs overtake their rods in the order of rod / spring.
    springs = 0.0
    for limit, rod, spring in sorted([(gap.rod / gap.spring, gap.rod, gap.spring) for gap in gaps if gap.spring > 0]):
        if springs > 0 and (width - rods) / springs <= limit:
            break
        rods -= rod
        springs += spring
    return (width - rods) / springs if springs > 0 else 0.0


def spread(gaps: list[Gap], first: int, last: int, width: float) -> None:
    """Make the gaps first..last (inclusive) together at least `width`, by rods in proportion to springs."""
    if first > last:
        return
    total = sum([gap.spring for gap in gaps[first : last + 1]])
    if total <= 0:
        gaps[last] = Gap(max(gaps[last].rod, width - sum(gap.rod for gap in gaps[first:last])), gaps[last].spring)
        return
    for index in range(first, last + 1):
        share = width * gaps[index].spring / total
        if gaps[index].rod < share:
            gaps[index] = Gap(share, gaps[index].spring)
