"""Ties and slurs of one system, those that cross barlines and system breaks included.

They curve away from the stems; where stems are mixed a slur goes above (Gould ch. 2 and 4, from
memory). Thickness from SMuFL's slur and tie defaults.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest
from typing import NamedTuple

from core.engraving.boxes import ARC_PEN, Box
from core.engraving.clearance import LEAN, meets, over
from core.engraving.drawing import Arc, Tag
from core.engraving.heads import y_of
from core.engraving.measures import ARC_MIDDLE
from core.engraving.solids import Point, arc_solids
from core.engraving.view import Anchor
from core.study import Event, Note

_OFF_HEAD = 0.18
"""White between a head and the tip of a tie or slur beside it."""
_OFF_MIDDLE, _OFF_STEM = 0.45, 0.2
"""From a head's middle to a tie's tip; from a stem, where one is in its way."""
_LIFT, _MOST_LIFTS = 0.15, 8


class Placement(NamedTuple):
    """An event on the system: x of its bar's left edge, its ink, its bar's place in the system."""

    event: Event
    anchor: Anchor | None
    x: float
    bar: int


Ink = Callable[[int, int], Sequence[Box]]
"""The ink of the system's bars from one place to another (included) that arcs have to clear."""


def arcs_of(
    events: Sequence[Placement], left: float, right: float, tied_in: Sequence[int], slurred_in: bool, ink: Ink
) -> list[tuple[int, Arc]]:
    """Each arc with its bar's place in the system. left, right: where the music begins and ends;
    tied_in: midi numbers held over from the system before; slurred_in: a slur comes in from there.
    """
    ties = [(bar, _lifted(tie, ink(bar, last))) for bar, last, tie in _ties(events, left, right, tied_in)]
    return [*ties, *_slurs(events, left, right, slurred_in, _with_ties(ink, ties))]


def _with_ties(ink: Ink, ties: Sequence[tuple[int, Arc]]) -> Ink:
    if not ties:
        return ink
    boxes = [part.box for _, tie in ties for part in arc_solids(tie)]
    return lambda first, last: (*ink(first, last), *boxes)


def _lifted(tie: Arc, boxes: Sequence[Box]) -> Arc:
    """A tie moved off dots and articulations it would run through; where that takes too much, as it was."""
    step = _LIFT if tie.near[0][1] > tie.start[1] else -_LIFT
    for count in range(_MOST_LIFTS):
        here = moved(tie, step * count)
        if not meets(here, boxes):
            return here
    return tie


def _ties(
    events: Sequence[Placement], left: float, right: float, tied_in: Sequence[int]
) -> list[tuple[int, int, Arc]]:
    """With the places of the bars they begin and end in."""
    found = []
    timed = [place for place in events if not place.event.grace]
    first = timed[0] if timed else None
    if first is not None and first.anchor is not None:
        for index, note in enumerate(first.event.notes):
            if note.pitch.midi in tied_in:
                up = _curves_up(first, index)
                found.append((first.bar, first.bar, _tie(left + 0.3, _arrives(first, up), note, up, first.anchor)))
    for here, after in zip_longest(timed, timed[1:]):
        if here.anchor is None:
            continue
        for index, note in enumerate(here.event.notes):
            if not note.tie:
                continue
            up = _curves_up(here, index, after)
            start = _leaves(here, up)
            if after is None:
                found.append((here.bar, here.bar, _tie(start, right - 0.1, note, up, here.anchor)))
            elif any(other.pitch.midi == note.pitch.midi for other in after.event.notes):
                found.append((here.bar, after.bar, _tie(start, _arrives(after, up), note, up, here.anchor)))
    return found


def _centre(place: Placement) -> float:
    assert place.anchor is not None
    return place.x + place.anchor.middle


def _leaves(place: Placement, up: bool) -> float:
    """x of a tie's tip over (up) or under its first head: beside the stem where that stands there."""
    anchor = place.anchor
    assert anchor is not None
    if up and anchor.up and anchor.tip != anchor.top:
        return place.x + anchor.left + anchor.width + _OFF_STEM
    return _centre(place) + _OFF_MIDDLE


def _arrives(place: Placement, up: bool) -> float:
    """The same over or under its last head."""
    anchor = place.anchor
    assert anchor is not None
    if not up and not anchor.up and anchor.tip != anchor.bottom:
        return place.x + anchor.left - _OFF_STEM
    return _centre(place) - _OFF_MIDDLE


def _curves_up(place: Placement, index: int, after: Placement | None = None) -> bool:
    """Away from the stem; where the stems of the two notes part, above (Gould ch. 2, from memory)."""
    assert place.anchor is not None
    if len(place.event.notes) > 1:
        return index > 0
    return not place.anchor.up or (after is not None and after.anchor is not None and not after.anchor.up)


def _tie(x1: float, x2: float, note: Note, up: bool, anchor: Anchor) -> Arc:
    side = -1 if up else 1
    length = max(x2 - x1, 0.8)
    height = min(0.3 + 0.07 * length, 0.95)
    y = y_of(note.pitch) + side * (anchor.half_head + _OFF_HEAD)
    return arc((x1, y), (x1 + length, y), side * height)


def arc(start: tuple[float, float], end: tuple[float, float], height: float) -> Arc:
    """The shape between two curves that rise `height` (negative: upward) over the chord of their ends."""
    dx = (end[0] - start[0]) * LEAN
    dy = end[1] - start[1]
    side = 1 if height > 0 else -1
    half = (ARC_MIDDLE - ARC_PEN) / 2  # painters add their pen
    outer, inner = (height + side * half) / 0.75, (height - side * half) / 0.75
    near = ((start[0] + dx, start[1] + dy * LEAN + inner), (end[0] - dx, end[1] - dy * LEAN + inner))
    far = ((start[0] + dx, start[1] + dy * LEAN + outer), (end[0] - dx, end[1] - dy * LEAN + outer))
    return Arc(start, end, near, far, "ink", Tag("bar"))


def moved(one: Arc, down: float) -> Arc:
    """The same arc lower by `down`."""
    def at(point: Point) -> Point:
        return point[0], point[1] + down

    return one._replace(start=at(one.start), end=at(one.end), near=(at(one.near[0]), at(one.near[1])),
                        far=(at(one.far[0]), at(one.far[1])))


def _slurs(
    events: Sequence[Placement], left: float, right: float, slurred_in: bool, ink: Ink
) -> list[tuple[int, Arc]]:
    found = []
    start: int | None = -1 if slurred_in else None
    for index, place in enumerate(events):
        if place.anchor is None:
            continue
        if place.event.slur in ("stop", "both") and start is not None:
            found.append(_slur(events, start, index, (left, right), ink))
            start = None
        if place.event.slur in ("start", "both"):
            start = index
    if start is not None:
        found.append(_slur(events, start, len(events), (left, right), ink))
    return [one for one in found if one is not None]


def _slur(
    events: Sequence[Placement], first: int, last: int, edges: tuple[float, float], ink: Ink
) -> tuple[int, Arc] | None:
    """From event `first` (-1: the system before) to `last` (one past the end: the system after)."""
    inside = [place for place in events[max(first, 0) : last + 1] if place.anchor is not None]
    if not inside:
        return None
    bars = events[max(first, 0)].bar, events[min(last, len(events) - 1)].bar
    boxes = ink(*bars)
    if len(inside) > 1 and all(place.event.grace for place in inside[:-1]) and not inside[-1].event.grace:
        return bars[0], arc(*over(*_grace_slur(inside[0], inside[-1]), 0.5, boxes))
    above = any(not place.anchor.up for place in inside if place.anchor is not None)
    ends = []
    for index, place, edge in ((first, inside[0], edges[0] + 0.3), (last, inside[-1], edges[1] - 0.1)):
        x, y = _slur_end(place, above)
        ends.append((x, y) if 0 <= index < len(events) else (edge, y))
    (x1, y1), (x2, y2) = ends
    if x2 - x1 < 0.8:
        x1, x2 = x1 - 0.4, x1 + 0.8
    height = min(0.45 + 0.05 * (x2 - x1), 1.5)
    return bars[0], arc(*over((x1, y1), (x2, y2), -height if above else height, boxes))


def _grace_slur(first: Placement, main: Placement) -> tuple[Point, Point]:
    """Under the heads, away from the small stems, to the near side of the main head."""
    assert first.anchor is not None
    assert main.anchor is not None
    start = (_centre(first), first.anchor.bottom + 0.55)
    # Short of the main note's stem, which would push the whole slur below its tip.
    return start, (max(main.x + main.anchor.left - 0.3, start[0] + 0.6), main.anchor.bottom + 0.3)


def _slur_end(place: Placement, above: bool) -> tuple[float, float]:
    """The point beside a note's ink that a slur begins at."""
    anchor = place.anchor
    assert anchor is not None
    side = -1 if above else 1
    if anchor.up == above and anchor.tip not in (anchor.top, anchor.bottom):
        x = place.x + (anchor.left + anchor.width if anchor.up else anchor.left)
        return x, anchor.tip + side * 0.35
    head = anchor.top if above else anchor.bottom
    return _centre(place), head + side * (anchor.half_head + _OFF_HEAD + 0.1)
