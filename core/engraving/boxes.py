"""Where ink reaches: boxes of marks, and what lies under a point of a page."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import hypot, sqrt
from typing import Any, NamedTuple

from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Line, Mark, Page, Placed, Polygon, Tag, Text
from core.engraving.faces import face
from core.engraving.smufl import MusicFont

_ON_THE_LINE = frozenset("0123456789×△°–+ ")  # signs with nothing under the baseline
ARC_PEN = 0.07  # staff spaces; every painter also strokes an arc's outline this wide, so that its tips are blunt


class Box(NamedTuple):
    """A rectangle, y downward: staff spaces from a drawing's origin, or points from a page's top left."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def holds(self, x: float, y: float) -> bool:
        return self.left <= x <= self.right and self.top <= y <= self.bottom

    @property
    def area(self) -> float:
        return (self.right - self.left) * (self.bottom - self.top)


class Hit(NamedTuple):
    """What a point of a page is on: the placed drawing (its `bar`) and the tag in it."""

    placed: Placed
    tag: Tag


def mark_box(mark: Mark, font: MusicFont) -> Box:
    """The box of a mark's ink, in staff spaces from its drawing's origin.

    Exact but for text, which is taken from cap height to descender (figures: to the baseline) over
    its advance width.
    Raises KeyError for a glyph the font does not carry.
    """
    return _BOXES[type(mark)](mark, font)


@lru_cache(maxsize=8192)  # all of 720 bars on a strip
def drawing_box(drawing: Drawing, font: MusicFont) -> Box:
    """What all its marks keep within, in staff spaces: as exact as `mark_box`. Raises ValueError if it has none."""
    lefts, tops, rights, bottoms = zip(*(mark_box(mark, font) for mark in drawing.marks), strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


@lru_cache(maxsize=1024)
def tagged_boxes(drawing: Drawing, font: MusicFont) -> tuple[tuple[Box, Tag], ...]:
    """The box of each mark that carries a tag, in staff spaces, in the order of the marks."""
    return tuple((mark_box(mark, font), mark.tag) for mark in drawing.marks if mark.tag is not None)


def find(page: Page, x: float, y: float, font: MusicFont, tolerance: float = 2.0) -> Hit | None:
    """The thing whose smallest box lies within `tolerance` of a point; of equals, the one painted last.

    x, y, tolerance: points, from the page's top left corner.
    """
    best, smallest = None, float("inf")
    for placed in page.placed:
        across, down = (x - placed.x) / placed.scale, (y - placed.y) / placed.scale
        beyond = tolerance / placed.scale
        if not placed.drawing.marks or not drawing_box(placed.drawing, font).grown(beyond).holds(across, down):
            continue  # a strip has every system on its page
        for box, tag in tagged_boxes(placed.drawing, font):
            near = box.grown(beyond)
            if near.holds(across, down) and near.area * placed.scale ** 2 <= smallest:
                best, smallest = Hit(placed, tag), near.area * placed.scale ** 2
    return best


def _glyph(mark: Glyph, font: MusicFont) -> Box:
    box = font.box(mark.name)
    return Box(mark.x + box.left * mark.scale, mark.y + box.top * mark.scale,
               mark.x + box.right * mark.scale, mark.y + box.bottom * mark.scale)


def _line(mark: Line, _: MusicFont) -> Box:
    across, down = mark.x2 - mark.x1, mark.y2 - mark.y1
    length = hypot(across, down) or 1.0
    half_x, half_y = abs(down) / length * mark.width / 2, abs(across) / length * mark.width / 2
    return Box(min(mark.x1, mark.x2) - half_x, min(mark.y1, mark.y2) - half_y,
               max(mark.x1, mark.x2) + half_x, max(mark.y1, mark.y2) + half_y)


def _polygon(mark: Polygon, _: MusicFont) -> Box:
    xs, ys = zip(*mark.points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _arc(mark: Arc, _: MusicFont) -> Box:
    reach = [[value for first, second in (mark.near, mark.far)
              for value in _extremes(mark.start[axis], first[axis], second[axis], mark.end[axis])] for axis in (0, 1)]
    return Box(min(reach[0]), min(reach[1]), max(reach[0]), max(reach[1])).grown(ARC_PEN / 2)


def _extremes(a: float, b: float, c: float, d: float) -> list[float]:
    """The ends and turning points of a cubic Bézier curve along one axis."""
    square, linear, constant = d - 3 * c + 3 * b - a, 2 * (a - 2 * b + c), b - a  # its derivative, over 3
    if abs(square) < 1e-9:
        times = [-constant / linear] if linear else []
    else:
        under = linear * linear - 4 * square * constant
        times = [(-linear + sign * sqrt(under)) / (2 * square) for sign in (-1, 1)] if under >= 0 else []
    return [a, d, *((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t ** 3 * d
                    for t in times if 0 < t < 1)]


def _text(mark: Text, _: MusicFont) -> Box:
    font = face(mark.face)
    descent = 0.02 if _ON_THE_LINE.issuperset(mark.text) else font.descent
    return Box(mark.x, mark.y - font.cap_height * mark.size,
               mark.x + font.width(mark.text, mark.size), mark.y + descent * mark.size)


def _frame(mark: Frame, _: MusicFont) -> Box:
    return Box(mark.left, mark.top, mark.right, mark.bottom).grown(mark.width / 2)


_BOXES: dict[type[Any], Callable[[Any, MusicFont], Box]] = {
    Glyph: _glyph, Line: _line, Polygon: _polygon, Arc: _arc, Text: _text, Frame: _frame,
}
