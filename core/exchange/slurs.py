"""Slurs over one line: each event can begin one, end one, or both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from core.study.fit import PlainEvent

Mark = Literal["", "start", "stop", "both"]


def with_slurs(events: Sequence[PlainEvent], slurs: Sequence[tuple[int, int]]) -> tuple[list[PlainEvent], list[int]]:
    """The events with their slurs (first and last index of each), and the first index of each slur left out.

    A line shows one slur at a time. Of two that overlap the shorter is kept: on the guitar it says which
    notes are not struck, while the longer one only shapes the phrase (our rule).
    """
    kept: list[tuple[int, int]] = []
    dropped = []
    for first, last in sorted(set(slurs), key=lambda slur: (slur[1] - slur[0], slur)):
        if first >= last or any(first < other[1] and other[0] < last for other in kept):
            dropped.append(first)
        else:
            kept.append((first, last))
    starts, stops = {first for first, _ in kept}, {last for _, last in kept}
    return [replace(event, slur=_mark(at in starts, at in stops)) for at, event in enumerate(events)], dropped


def _mark(starts: bool, stops: bool) -> Mark:
    if starts and stops:
        return "both"
    if starts:
        return "start"
    return "stop" if stops else ""
