"""Signs at a fret number: a bend's arrow and the short line of a slide into it; where no notation row has them,
falls, doits and scoops as well.

A study gives no amount for a bend, so the arrow carries none. Forms: common practice, no source. What
leaves a number or reaches it begins and ends beside its upper or lower half, so that it crosses its string.
"""

from __future__ import annotations

from typing import NamedTuple

from core.engraving.drawing import Line, Mark, Polygon, Tag
from core.engraving.inflections import brush
from core.engraving.view import Reach
from core.study import Event

_BEND_OUT, _BEND_UP = 1.15, 1.9
_ARROW = (0.26, 0.55)
"""Half the width and the length of an arrow's head."""
SLIDE_WIDTH = 0.15
SLIDE_RISE = 0.4
"""Half the height a slide's line climbs: it stays off the string lines above and below its own."""
_SLIDE_IN = 1.1
SLIDE_GAP = 0.2
"""White between a number and the end of a slide's line."""
SLIDE_ROOM = 0.9
"""What a slide needs between its two numbers beside the usual gap."""
_GAP = 0.15
_TAIL = (1.25, 1.1)
"""How far a fall, doit or scoop goes out, and down or up from its string."""
_OFF_STRING = 0.35
"""How far from its string such a stroke meets its number."""


class Edges(NamedTuple):
    """Of a number: left, right, and y of its string."""

    left: float
    right: float
    y: float


def gesture_reach(event: Event, *, alone: bool) -> Reach:
    """Room beside the number for its signs. alone: there is no notation row."""
    marks = event.articulations
    left = _SLIDE_IN + SLIDE_GAP if "slide" in marks else 0.0
    right = _BEND_OUT + 0.4 if "bend" in marks else 0.0
    if alone:
        left = max(left, _TAIL[0] + _GAP if "scoop" in marks else 0.0)
        right = max(right, _TAIL[0] + _GAP if "fall" in marks or "doit" in marks else 0.0)
    return Reach(left, right)


def slide_mark(number: Edges, tag: Tag, *, down: bool) -> Mark:
    """A short line into a number, from a lower note or down from a higher one."""
    end, rise = number.left - SLIDE_GAP, -SLIDE_RISE if down else SLIDE_RISE
    return Line(end - _SLIDE_IN, number.y + rise, end, number.y - rise, SLIDE_WIDTH, "ink", tag)


def bend_marks(number: Edges, tag: Tag) -> list[Mark]:
    """An arrow up from the right of a number."""
    start, y = number.right + _GAP, number.y
    x, foot, (half, long) = start + _BEND_OUT, y - _BEND_UP + _ARROW[1], _ARROW
    return [brush((start, y), (start + 0.75 * _BEND_OUT, y), (x, y - 0.3 * _BEND_UP), (x, foot - 0.1), tag),
            Polygon(((x - half, foot), (x, foot - long), (x + half, foot)), "ink", tag)]


def tail_mark(number: Edges, tag: Tag, *, up: bool) -> Mark:
    """A fall off a number, or (up) a doit."""
    x, way = number.right + _GAP, -1 if up else 1
    out, start, end = _TAIL[0], number.y - way * _OFF_STRING, number.y + way * _TAIL[1]
    return brush((x, start), (x + 0.5 * out, start), (x + 0.85 * out, start + 0.4 * (end - start)), (x + out, end), tag)


def scoop_mark(number: Edges, tag: Tag) -> Mark:
    """A curve from below up to a number."""
    x, out = number.left - _GAP, _TAIL[0]
    low, high = number.y + _TAIL[1], number.y - _OFF_STRING
    return brush((x - out, low), (x - 0.5 * out, low), (x - 0.12 * out, low + 0.65 * (high - low)), (x, high), tag)
