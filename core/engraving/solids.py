"""The ink of a mark as convex pieces, near enough to its outline to say whether two inks meet.

A glyph is cut into level slices, each as wide as the ink in it; a text is a box a character; a
curve is a chain of four-cornered pieces. Staff spaces, or points once placed on a page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from itertools import pairwise
from math import ceil, hypot
from typing import Any, NamedTuple

from core.engraving.boxes import ARC_PEN, Box, mark_box
from core.engraving.drawing import Arc, Frame, Glyph, Line, Mark, Polygon, Text
from core.engraving.faces import face
from core.engraving.outline import Outline
from core.engraving.smufl import MusicFont, music_font

_SLICE = 0.2
"""Height of a glyph's slices, in staff spaces."""
_STEPS = 16
"""Pieces of a tie or slur."""
_CURVE = 6
"""Straight strokes for a curve of an outline."""

Point = tuple[float, float]


class Solid(NamedTuple):
    """A convex piece of ink: its box and, where it does not fill it, its corners in order."""

    box: Box
    corners: tuple[Point, ...] = ()

    def moved(self, x: float, y: float, scale: float) -> Solid:
        """Scaled about its origin and shifted by x, y."""
        left, top, right, bottom = self.box
        return Solid(Box(x + left * scale, y + top * scale, x + right * scale, y + bottom * scale),
                     tuple([(x + across * scale, y + down * scale) for across, down in self.corners]))


def solids(mark: Mark, font: MusicFont) -> tuple[Solid, ...]:
    """The pieces of a mark, in staff spaces from its drawing's origin. A frame is filled.

    Raises KeyError for a glyph the font does not carry.
    """
    return _SOLIDS[type(mark)](mark, font)


def depth(one: Solid, other: Solid) -> float:
    """How far two pieces reach into one another along the axis where they do so least; 0 or less: not at all."""
    a, b = one.box, other.box
    least = min(min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top))
    if least <= 0 or not (one.corners or other.corners):
        return least
    first, second = one.corners or _corners(a), other.corners or _corners(b)
    for across, down in (*_normals(one.corners), *_normals(other.corners)):
        mine = [x * across + y * down for x, y in first]
        theirs = [x * across + y * down for x, y in second]
        least = min(least, min(max(mine), max(theirs)) - max(min(mine), min(theirs)))
        if least <= 0:
            break
    return least


def _corners(box: Box) -> tuple[Point, ...]:
    return (box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)


def _normals(corners: tuple[Point, ...]) -> Iterable[Point]:
    for (x1, y1), (x2, y2) in pairwise((*corners, *corners[:1])):
        length = hypot(x2 - x1, y2 - y1)
        if length > 1e-9:
            yield (y2 - y1) / length, (x1 - x2) / length


def _solid(corners: tuple[Point, ...]) -> Solid:
    xs, ys = zip(*corners, strict=True)
    return Solid(Box(min(xs), min(ys), max(xs), max(ys)), corners)


def _glyph(mark: Glyph, font: MusicFont) -> tuple[Solid, ...]:
    return tuple([one.moved(mark.x, mark.y, mark.scale) for one in _sliced(mark.name, font.name)])


@lru_cache(maxsize=512)
def _sliced(glyph: str, font: str) -> tuple[Solid, ...]:
    strokes = list(_strokes(music_font(font).outline(glyph)))
    if not strokes:
        return ()
    top = min(y for stroke in strokes for _, y in stroke)
    bottom = max(y for stroke in strokes for _, y in stroke)
    count = max(1, ceil((bottom - top) / _SLICE))
    step = (bottom - top) / count
    found = []
    for index in range(count):
        high, low = top + step * index, top + step * (index + 1)
        xs = [x for stroke in strokes for x in _between(stroke, high, low)]
        if xs:
            found.append(Solid(Box(min(xs), high, max(xs), low)))
    return tuple(found)


def _strokes(outline: Outline) -> Iterable[tuple[Point, Point]]:
    """The outline as straight strokes."""
    at = start = (0.0, 0.0)
    for verb, points in outline:
        if verb == "move":
            at = start = points[0]
            continue
        if verb == "curve":
            first, second, end = points
            ends = [_on_curve(at, first, second, end, step / _CURVE) for step in range(1, _CURVE + 1)]
        else:
            ends = [points[0] if verb == "line" else start]
        for end in ends:
            yield at, end
            at = end


def _on_curve(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    u = 1 - t
    first, second, third, fourth = u**3, 3 * u * u * t, 3 * u * t * t, t**3
    return (first * a[0] + second * b[0] + third * c[0] + fourth * d[0],
            first * a[1] + second * b[1] + third * c[1] + fourth * d[1])


def _between(stroke: tuple[Point, Point], high: float, low: float) -> list[float]:
    """x of where a stroke enters and leaves the levels high..low; none where it stays outside."""
    (x1, y1), (x2, y2) = stroke
    if max(y1, y2) < high or min(y1, y2) > low:
        return []
    if abs(y2 - y1) < 1e-9:
        return [x1, x2]
    return [x1 + (x2 - x1) * (min(max(y, high), low) - y1) / (y2 - y1) for y in (y1, y2)]


def _line(mark: Line, font: MusicFont) -> tuple[Solid, ...]:
    across, down = mark.x2 - mark.x1, mark.y2 - mark.y1
    length = hypot(across, down)
    if length < 1e-9 or abs(across) < 1e-9 or abs(down) < 1e-9:
        return (Solid(mark_box(mark, font)),)
    dx, dy = -down / length * mark.width / 2, across / length * mark.width / 2
    return (_solid(((mark.x1 + dx, mark.y1 + dy), (mark.x2 + dx, mark.y2 + dy),
                    (mark.x2 - dx, mark.y2 - dy), (mark.x1 - dx, mark.y1 - dy))),)


def _polygon(mark: Polygon, _: MusicFont) -> tuple[Solid, ...]:
    return (_solid(mark.points),)


def _arc(mark: Arc, _: MusicFont) -> tuple[Solid, ...]:
    return arc_solids(mark)


def arc_solids(mark: Arc) -> tuple[Solid, ...]:
    """The pieces of a tie or slur, from its start to its end."""
    times = [step / _STEPS for step in range(_STEPS + 1)]
    one, other = ([_on_curve(mark.start, *controls, mark.end, t) for t in times] for controls in (mark.near, mark.far))
    middle = _STEPS // 2
    pen = ARC_PEN / 2 if one[middle][1] < other[middle][1] else -ARC_PEN / 2
    upper, lower = [(x, y - pen) for x, y in one], [(x, y + pen) for x, y in other]
    return tuple([_solid((upper[i], upper[i + 1], lower[i + 1], lower[i])) for i in range(_STEPS)])


def _text(mark: Text, _: MusicFont) -> tuple[Solid, ...]:
    font = face(mark.face)
    at = mark.x
    found = []
    for character in mark.text:
        box = _character(mark.face, character)
        if box is not None:
            found.append(Solid(box).moved(at, mark.y, mark.size))
        at += font.width(character, mark.size)
    return tuple(found)


@lru_cache(maxsize=2048)
def _character(name: str, character: str) -> Box | None:
    """The ink of a character at an em of 1; None of a blank."""
    ends = [point for stroke in _strokes(face(name).outline(character)) for point in stroke]
    if not ends:
        return None
    return Box(min(x for x, _ in ends), min(y for _, y in ends), max(x for x, _ in ends), max(y for _, y in ends))


def _frame(mark: Frame, font: MusicFont) -> tuple[Solid, ...]:
    return (Solid(mark_box(mark, font)),)


_SOLIDS: dict[type[Any], Callable[[Any, MusicFont], tuple[Solid, ...]]] = {
    Glyph: _glyph, Line: _line, Polygon: _polygon, Arc: _arc, Text: _text, Frame: _frame,
}
