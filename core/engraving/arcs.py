"""Ties and slurs of one system, those that cross barlines and system breaks included.

They curve away from the stems; where stems are mixed a slur goes above (Gould ch. 2 and 4, from
memory). Thickness from SMuFL's slur and tie defaults.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import NamedTuple

from core.engraving.boxes import ARC_PEN
from core.engraving.drawing import Arc, Tag
from core.engraving.heads import y_of
from core.engraving.measures import ARC_MIDDLE
from core.engraving.view import Anchor
from core.study import Event

_OFF_HEAD = 0.68
"""From a head's centre to the tip of a tie or slur beside it."""


class Placement(NamedTuple):
    """An event on the system: x of its bar's left edge, its ink, its bar's place in the system."""

    event: Event
    anchor: Anchor | None
    x: float
    bar: int


def arcs_of(
    events: Sequence[Placement], left: float, right: float, tied_in: Sequence[int], slurred_in: bool
) -> list[tuple[int, Arc]]:
    """Each arc with its bar's place in the system. left, right: where the music begins and ends;
    tied_in: midi numbers held over from the system before; slurred_in: a slur comes in from there.
    """
    return [*_ties(events, left, right, tied_in), *_slurs(events, left, right, slurred_in)]


def _ties(
    events: Sequence[Placement], left: float, right: float, tied_in: Sequence[int]
) -> list[tuple[int, Arc]]:
    found = []
    timed = [place for place in events if not place.event.grace]
    if timed and timed[0].anchor is not None:
        first = timed[0]
        for index, note in enumerate(first.event.notes):
            if note.pitch.midi in tied_in:
                y, up = y_of(note.pitch), _curves_up(first, index)
                found.append((first.bar, _tie(left + 0.3, _centre(first) - 0.45, y, up)))
    for here, after in zip_longest(timed, timed[1:]):
        if here.anchor is None:
            continue
        for index, note in enumerate(here.event.notes):
            if not note.tie:
                continue
            y, up = y_of(note.pitch), _curves_up(here, index)
            start = _centre(here) + 0.45
            if after is None:
                found.append((here.bar, _tie(start, right - 0.1, y, up)))
            elif any(other.pitch.midi == note.pitch.midi for other in after.event.notes):
                found.append((here.bar, _tie(start, _centre(after) - 0.45, y, up)))
    return found


def _centre(place: Placement) -> float:
    assert place.anchor is not None
    return place.x + place.anchor.middle


def _curves_up(place: Placement, index: int) -> bool:
    assert place.anchor is not None
    if len(place.event.notes) > 1:
        return index > 0
    return not place.anchor.up


def _tie(x1: float, x2: float, y: float, up: bool) -> Arc:
    side = -1 if up else 1
    length = max(x2 - x1, 0.8)
    height = min(0.3 + 0.07 * length, 0.95)
    return arc((x1, y + side * _OFF_HEAD), (x1 + length, y + side * _OFF_HEAD), side * height)


def arc(start: tuple[float, float], end: tuple[float, float], height: float) -> Arc:
    """The shape between two curves that rise `height` (negative: upward) over the chord of their ends."""
    dx = (end[0] - start[0]) * 0.27
    dy = end[1] - start[1]
    side = 1 if height > 0 else -1
    half = (ARC_MIDDLE - ARC_PEN) / 2  # painters add their pen
    outer, inner = (height + side * half) / 0.75, (height - side * half) / 0.75
    near = ((start[0] + dx, start[1] + dy * 0.27 + inner), (end[0] - dx, end[1] - dy * 0.27 + inner))
    far = ((start[0] + dx, start[1] + dy * 0.27 + outer), (end[0] - dx, end[1] - dy * 0.27 + outer))
    return Arc(start, end, near, far, "ink", Tag("bar"))


def _slurs(
    events: Sequence[Placement], left: float, right: float, slurred_in: bool
) -> list[tuple[int, Arc]]:
    found = []
    start: int | None = -1 if slurred_in else None
    for index, place in enumerate(events):
        if place.anchor is None:
            continue
        if place.event.slur in ("stop", "both") and start is not None:
            found.append(_slur(events, start, index, left, right))
            start = None
        if place.event.slur in ("start", "both"):
            start = index
    if start is not None:
        found.append(_slur(events, start, len(events), left, right))
    return [one for one in found if one is not None]


def _slur(
    events: Sequence[Placement], first: int, last: int, left: float, right: float
) -> tuple[int, Arc] | None:
    """From event `first` (-1: the system before) to `last` (one past the end: the system after)."""
    inside = [place for place in events[max(first, 0) : last + 1] if place.anchor is not None]
    if not inside:
        return None
    if len(inside) > 1 and all(place.event.grace for place in inside[:-1]) and not inside[-1].event.grace:
        return inside[0].bar, _grace_slur(inside[0], inside[-1])
    above = any(not place.anchor.up for place in inside if place.anchor is not None)
    ends = []
    for index, place, edge in ((first, inside[0], left + 0.3), (last, inside[-1], right - 0.1)):
        x, y = _slur_end(place, above)
        ends.append((x, y) if 0 <= index < len(events) else (edge, y))
    (x1, y1), (x2, y2) = ends
    if x2 - x1 < 0.8:
        x1, x2 = x1 - 0.4, x1 + 0.8
    side = -1 if above else 1
    bulge = min(0.45 + 0.05 * (x2 - x1), 1.5)
    for place in inside[1:-1]:
        x, y = _slur_end(place, above, clear=0.45)
        part = min(max((x - x1) / (x2 - x1), 0.12), 0.88)
        needed = side * (y - (y1 + (y2 - y1) * part)) / (4 * part * (1 - part))
        bulge = max(bulge, needed)
    return inside[0].bar, arc((x1, y1), (x2, y2), side * min(bulge, 5.0))


def _grace_slur(first: Placement, main: Placement) -> Arc:
    """Under the heads, away from the small stems, to the near side of the main head."""
    assert first.anchor is not None
    assert main.anchor is not None
    start = (_centre(first), first.anchor.bottom + 0.55)
    end = (max(main.x + main.anchor.left - 0.05, start[0] + 0.7), main.anchor.bottom + 0.5)
    return arc(start, end, 0.5)


def _slur_end(place: Placement, above: bool, clear: float = 0.0) -> tuple[float, float]:
    """The point beside a note's ink that a slur begins at, or (clear) must stay beyond."""
    anchor = place.anchor
    assert anchor is not None
    side = -1 if above else 1
    if anchor.up == above and anchor.tip not in (anchor.top, anchor.bottom):
        x = place.x + (anchor.left + anchor.width if anchor.up else anchor.left)
        return x, anchor.tip + side * (0.35 + clear)
    head = anchor.top if above else anchor.bottom
    return _centre(place), head + side * (_OFF_HEAD + 0.1 + clear)
