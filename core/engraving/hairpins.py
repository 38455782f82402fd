"""Hairpins: two lines that open (crescendo) or close (diminuendo) between the dynamics, over barlines too.

One that goes on over the end of a system neither closes to a point there nor begins at one on the next
(Gould ch. 4, from memory). Height and gaps are ours, by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from core.engraving.crossing import Beyond, LaidBar
from core.engraving.drawing import Line, Mark, Tag
from core.engraving.dynamics import DynamicShape
from core.engraving.measures import HAIRPIN

_MIDDLE, _HALF = -0.5, 0.62
"""y of its middle against the letters' baseline, and half its mouth."""
_GAP = 0.45
"""White between a hairpin and the letters or the note it ends at."""
_OFF_BARLINE = 0.3
_LEAST = 1.0
_NEARER, _WIDER = 0.35, 0.7
"""Of its mouth, how far it is open where it is broken."""


class _Open(NamedTuple):
    """kind: "cresc" or "dim"; place, event: where it begins; left: x of the system; comes_in: from the one before."""

    kind: str
    place: int
    event: int
    left: float
    comes_in: bool = False


def hairpins_across(bars: Sequence[LaidBar], ends: Beyond) -> list[list[Mark]]:
    """Marks of a system's hairpins by the bar each begins in, from its left edge; y from the dynamics' baseline."""
    found: list[list[Mark]] = [[] for _ in bars]
    comes_in, goes_on = ends.hairpins
    now = _Open(comes_in, 0, 0, ends.start, True) if comes_in else None
    for place, bar in enumerate(bars):
        row = bar.row
        assert isinstance(row, DynamicShape)
        for at, (column, x) in enumerate(zip(bar.columns, bar.xs, strict=True)):
            event = None if column.event is None else bar.view.bar.events[column.event]
            if event is None or not (event.hairpin or event.dynamic):
                continue
            centre, half = bar.left + x + row.centres[at], row.half(at)
            if now is not None:
                right = (centre - half if half else bar.left + x) - _GAP
                if place > now.place and not any(one.onset < column.onset for one in bar.columns):
                    right = bars[place - 1].right - _OFF_BARLINE  # not past it to the first note
                found[now.place] += _marks(now, right, bars, False)
            now = None
            if event.hairpin in ("cresc", "dim"):
                left = centre + half + _GAP if half else bar.left + x
                now = _Open(event.hairpin, place, column.event or 0, left)
    if now is not None:
        found[now.place] += _marks(now, ends.right - _GAP, bars, bool(goes_on))
    return found


def _marks(one: _Open, right: float, bars: Sequence[LaidBar], goes_on: bool) -> list[Mark]:
    """Its two lines; none where it would be too short to be seen."""
    if right - one.left < _LEAST:
        return []
    first, last = (0.0, 1.0) if one.kind == "cresc" else (1.0, 0.0)
    if one.comes_in:
        first = _NEARER if one.kind == "cresc" else _WIDER
    if goes_on:
        last = _WIDER if one.kind == "cresc" else _NEARER
    left = bars[one.place].left
    return [
        Line(one.left - left, _MIDDLE + side * first, right - left, _MIDDLE + side * last, HAIRPIN, "ink",
             Tag("dynamic", one.event))
        for side in (-_HALF, _HALF)
    ]
