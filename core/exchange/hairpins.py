"""Hairpins of a line, to and from the places of a study's events."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Literal, NamedTuple

from core.study import Study
from core.study.fit import PlainEvent


class Span(NamedTuple):
    """A hairpin from one event to another, both included, as indices."""

    kind: Literal["cresc", "dim"]
    first: int
    last: int


class Edge(NamedTuple):
    """Where a hairpin begins or ends: quarters from the start of the bar."""

    onset: Fraction
    kind: Literal["cresc", "dim", "stop"]


def with_hairpins(events: Sequence[PlainEvent], spans: Sequence[Span]) -> tuple[list[PlainEvent], list[int]]:
    """The events with their hairpins, and where one begins that is left out for another that lies there.

    A line shows one at a time; it ends before the event after its last unless that begins another or has a dynamic.
    """
    marks: dict[int, Literal["cresc", "dim", "stop"]] = {}
    dropped = []
    until = -1
    for kind, first, last in sorted(set(spans), key=lambda span: span[1:]):
        if first <= until or last < first:
            dropped.append(first)
            continue
        marks[first], until = kind, last
        if last + 1 < len(events) and not events[last + 1].dynamic:
            marks[last + 1] = "stop"
    return [replace(event, hairpin=marks.get(at, "")) for at, event in enumerate(events)], dropped


def hairpin_edges(study: Study) -> tuple[tuple[Edge, ...], ...]:
    """By bar, in order. One that ends as a bar begins ends with the bar before: readers seek its last note there."""
    found: list[list[Edge]] = [[] for _ in study.bars]
    is_open = False
    for place, bar in enumerate(study.bars):
        for index, event in enumerate(bar.events):
            if not (event.hairpin or event.dynamic):
                continue
            if is_open and index:
                found[place].append(Edge(event.onset, "stop"))
            elif is_open:
                found[place - 1].append(Edge(study.in_force[place - 1].length, "stop"))
            is_open = event.hairpin in ("cresc", "dim")
            if event.hairpin in ("cresc", "dim"):
                found[place].append(Edge(event.onset, event.hairpin))
    if is_open:
        found[-1].append(Edge(study.in_force[-1].length, "stop"))
    return tuple(map(tuple, found))
