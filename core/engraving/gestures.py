"""Signs at a fret number: a bend's arrow, and the short line of a slide into it.

A study gives no amount for a bend, so the arrow carries none. Forms: common practice, no source.
"""

from __future__ import annotations

from core.engraving.drawing import Line, Mark, Polygon, Tag
from core.engraving.inflections import brush
from core.engraving.view import NOTHING, Reach
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


def gesture_reach(event: Event) -> Reach:
    """Room beside the number for its signs."""
    if not event.notes:
        return NOTHING
    marks = event.articulations
    return Reach(_SLIDE_IN + SLIDE_GAP if "slide" in marks else 0.0, _BEND_OUT + 0.4 if "bend" in marks else 0.0)


def gesture_marks(event: Event, left: float, right: float, y: float, tag: Tag) -> list[Mark]:
    """Of the highest note's number. left, right: its edges; y: of its string."""
    marks: list[Mark] = []
    if "slide" in event.articulations:
        end = left - SLIDE_GAP
        marks.append(Line(end - _SLIDE_IN, y + SLIDE_RISE, end, y - SLIDE_RISE, SLIDE_WIDTH, "ink", tag))
    if "bend" in event.articulations:
        start = right + 0.15
        x, foot, (half, long) = start + _BEND_OUT, y - _BEND_UP + _ARROW[1], _ARROW
        marks.append(brush((start, y), (start + 0.75 * _BEND_OUT, y), (x, y - 0.3 * _BEND_UP), (x, foot - 0.1), tag))
        marks.append(Polygon(((x - half, foot), (x, foot - long), (x + half, foot)), "ink", tag))
    return marks
