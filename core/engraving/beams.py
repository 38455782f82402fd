"""Where beams lie: slant and height of a group, and the runs of its lesser beams.

Slant after Ross, *Art of Music Engraving and Processing*, 1970, ch. 3 and Gould ch. 1 (both
from memory): by the interval of the outer notes, flat where an inner note stands nearer the
beam than both ends. Heights are staff spaces, y downward, the top line 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from core.engraving.measures import BEAM, BEAM_STEP, BEAMED_STEM, STEM_LENGTH

_SLANTS = (0.0, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 1.75)
"""Rise of the beam for outer notes a unison, second, third … apart, at the usual distance."""
_STEEPEST = 0.22
"""Rise per space of length that a beam never passes: close notes slant less."""


_CLEAR = 0.25
"""White between a beam and an accidental under it (our own figure)."""


class Sign(NamedTuple):
    """An accidental between the stems of a group. x of its edges, from the first stem; y of the edge nearest the
    beam; beams: how many may lie over it."""

    left: float
    right: float
    y: float
    beams: int


class BeamLine(NamedTuple):
    """y of the outermost beam's centre at the first and at the last stem."""

    first: float
    last: float


@lru_cache(maxsize=8192)
def beam_line(
    near: tuple[float, ...], at: tuple[float, ...], beams: tuple[int, ...], up: bool, signs: tuple[Sign, ...] = ()
) -> BeamLine:
    """The beam over (up) or under heads, clear of signs between its stems. near: y of the head nearest the
    beam, per stem; at: x of each stem from the first, rounded; beams: how many beams each stem carries.
    """
    # Everything is reckoned for beams above; beams below are its mirror image about the middle line.
    heads = near if up else tuple(4 - y for y in near)
    signs = signs if up else tuple(sign._replace(y=4 - sign.y) for sign in signs)
    length = max(at[-1], 0.5)
    rise = _slant(heads, length)
    best: tuple[float, BeamLine] | None = None
    for slant in {rise, rise - 0.25 if rise > 0 else rise + 0.25, 0.0}:
        line = _settle(_lowest(heads, at, beams, signs, slant / length), slant)
        cost = 3 * abs(slant - rise) + 0.4 * _too_long(heads, at, line, length)
        if best is None or cost < best[0] - 1e-9:
            best = cost, line
    assert best is not None  # the set above is never empty
    first, last = best[1]
    return BeamLine(first, last) if up else BeamLine(4 - first, 4 - last)


def _slant(heads: tuple[float, ...], length: float) -> float:
    """Signed y difference from first to last; 0 is flat."""
    first, last = heads[0], heads[-1]
    if first == last or (len(heads) > 2 and min(heads[1:-1]) <= min(first, last)):
        return 0.0
    if len(heads) > 3 and heads[: len(heads) // 2] == heads[len(heads) // 2 :]:
        return 0.0
    size = _SLANTS[min(round(abs(first - last) * 2), len(_SLANTS) - 1)]
    size = min(size, int(_STEEPEST * length * 4) / 4)
    return size if last > first else -size


def _lowest(
    heads: tuple[float, ...], at: tuple[float, ...], beams: tuple[int, ...], signs: tuple[Sign, ...], rise: float
) -> float:
    """How low a line that rises so much a space may begin, for stems to be long enough and signs to be clear."""
    shortest = STEM_LENGTH if rise == 0 else BEAMED_STEM + 0.25
    return min([y - shortest - BEAM_STEP * max(0, count - 2) - rise * x
                for y, x, count in zip(heads, at, beams, strict=True)]
               + [sign.y - _CLEAR - BEAM / 2 - BEAM_STEP * (sign.beams - 1) - rise * x
                  for sign in signs for x in (sign.left, sign.right)])


def _settle(first: float, slant: float) -> BeamLine:
    """The lowest line with that slant, on quarter spaces, which begins no lower than `first`, reaches the
    middle line and has both ends on staff lines: sitting, straddling or hanging."""
    first = min(first, 2.0 - max(slant, 0.0))
    first = (first * 4 // 1) / 4
    while _floats(first) or _floats(first + slant):
        first -= 0.25
    return BeamLine(first, first + slant)


def _floats(y: float) -> bool:
    """Whether a beam's centre lies in the middle of a space of the staff: two slivers of white would be left."""
    return 0 <= y <= 4 and y % 1 == 0.5


def _too_long(heads: tuple[float, ...], at: tuple[float, ...], line: BeamLine, length: float) -> float:
    rise = (line.last - line.first) / length
    return min(y - (line.first + rise * x) for y, x in zip(heads, at, strict=True)) - BEAMED_STEM


class BeamRun(NamedTuple):
    """One stroke of beam. level 1 is the outermost; stems by place in the group; stub: -1 a
    short one to the left of `first`, 1 to its right, 0 a beam from `first` to `last`."""

    level: int
    first: int
    last: int
    stub: int


def beam_runs(counts: Sequence[int], breaks: Sequence[bool], leftward: Sequence[bool]) -> tuple[BeamRun, ...]:
    """The strokes of a group. counts: beams of each stem; breaks[i]: lesser beams part before
    stem i (a new beat); leftward[i]: a lone lesser beam at stem i points back into its beat.
    """
    runs = [BeamRun(1, 0, len(counts) - 1, 0)]
    for level in range(2, max(counts) + 1):
        start: int | None = None
        edges = [*range(len(counts)), len(counts)]
        for here in edges:
            goes_on = here < len(counts) and counts[here] >= level
            if start is not None and (not goes_on or breaks[here]):
                runs.append(_run(level, start, here - 1, leftward, len(counts)))
                start = None
            if goes_on and start is None:
                start = here
    return tuple(runs)


def _run(level: int, start: int, end: int, leftward: Sequence[bool], size: int) -> BeamRun:
    if start != end:
        return BeamRun(level, start, end, 0)
    if start == 0:
        return BeamRun(level, start, end, 1)
    if start == size - 1:
        return BeamRun(level, start, end, -1)
    return BeamRun(level, start, end, -1 if leftward[start] else 1)


