"""Ties and slurs kept clear of the ink they run over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from core.engraving.boxes import Box
from core.engraving.drawing import Arc, Drawing, Polygon
from core.engraving.smufl import MusicFont
from core.engraving.solids import Point, Solid, arc_solids, depth, solids

LEAN = 0.27
"""Where an arc's control points stand, as a share of its length from either end."""
_WHITE = 0.22
"""Between an arc and what it clears, to the arc's middle."""
_AT_TIP = 0.3
"""Ink this near a tip, sideways, is cleared by the tip."""
_BEGUN = 0.2
"""Nearer to its tip an arc has no height to speak of."""
_STEEPEST = 0.8
_STEP = 0.2
_MOST_STEPS = 100


@lru_cache(maxsize=4096)
def obstacles(drawing: Drawing, font: MusicFont) -> tuple[Box, ...]:
    """The ink of a bar that an arc may meet, in boxes: all but staff and ledger lines."""
    found: list[Box] = []
    for mark in drawing.marks:
        if mark.ink == "staff":
            continue
        if isinstance(mark, Polygon):
            found += _beam(mark)
        else:
            found += [part.box for part in solids(mark, font)]
    return tuple(found)


def _beam(mark: Polygon) -> Iterable[Box]:
    """A slanted beam as short level boxes."""
    (x1, y1), (x2, y2) = mark.points[0], mark.points[1]
    thick = mark.points[-1][1] - y1
    for one, other in pairwise([step / 6 for step in range(7)]):
        ys = y1 + (y2 - y1) * one, y1 + (y2 - y1) * other
        yield Box(x1 + (x2 - x1) * one, min(ys), x1 + (x2 - x1) * other, max(ys) + thick)


def over(start: Point, end: Point, height: float, boxes: Iterable[Box]) -> tuple[Point, Point, float]:
    """Tips and height of a slur that passes outside all the boxes. height: negative for one that rises."""
    side = -1 if height < 0 else 1
    (x1, y1), (x2, y2) = start, end
    first, last, height = side * y1, side * y2, abs(height)
    inside: list[tuple[float, float]] = []
    for box in boxes:
        far = max(side * box.top, side * box.bottom) + _WHITE
        if box.left < x1 + _AT_TIP and box.right > x1 - _AT_TIP:
            first = max(first, far)
        if box.left < x2 + _AT_TIP and box.right > x2 - _AT_TIP:
            last = max(last, far)
        inside += [((x - x1) / (x2 - x1), far) for x in (box.left, box.right) if x1 + _BEGUN < x < x2 - _BEGUN]
    steep = _STEEPEST * (x2 - x1)
    first, last = max(first, last - steep), max(last, first - steep)
    points = [(share, _time(share), far) for share, far in inside if far > min(first, last)]
    most = max(height, min(0.7 + 0.15 * (x2 - x1), 4.0))
    for _ in range(_MOST_STEPS):
        needed, share = max(
            [((far - first - (last - first) * share) / (4 * time * (1 - time)), share) for share, time, far in points],
            default=(0.0, 0.5))
        if needed <= most:
            break
        first += _STEP if share < 0.6 else 0.0
        last += _STEP if share > 0.4 else 0.0
    return (x1, side * first), (x2, side * last), side * max(height, min(needed, most))


def _time(share: float) -> float:
    """The curve's parameter where it has gone `share` of its way across."""
    low, high = 0.0, 1.0
    for _ in range(12):
        t = (low + high) / 2
        if 3 * (1 - t) ** 2 * t * LEAN + 3 * (1 - t) * t * t * (1 - LEAN) + t**3 < share:
            low = t
        else:
            high = t
    return (low + high) / 2


def meets(arc: Arc, boxes: Sequence[Box]) -> bool:
    """Whether an arc touches any of the boxes."""
    left, right = arc.start[0], arc.end[0]
    near = [Solid(box) for box in boxes if box.right > left and box.left < right]
    return any(depth(part, one) > 0 for part in arc_solids(arc) for one in near)
