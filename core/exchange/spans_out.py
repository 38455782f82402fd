"""What begins and ends at each event of a study: ties, slurs, slides and tuplet groups, paired and numbered.

MusicXML writes each of these as a start and a stop that share a number; a study only
says where they begin or that they go on. A start without its stop (a study cut from
a longer one) is left out: a reader could not close it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from core.study import Event, Study, written


class Edge(NamedTuple):
    """One end of a slur or slide. number: 1 or 2, shared by its two ends."""

    kind: Literal["start", "stop"]
    number: int


class TupletEdge(NamedTuple):
    """One end of a tuplet group. number: its depth from 1, the outermost; unit: the head counted, None if unclear."""

    kind: Literal["start", "stop"]
    number: int
    actual: int
    normal: int
    unit: Fraction | None


@dataclass(frozen=True, slots=True)
class EventSpans:
    """held: MIDI numbers that a tie carries into this event."""

    held: frozenset[int] = frozenset()
    slurs: tuple[Edge, ...] = ()
    slides: tuple[Edge, ...] = ()
    tuplets: tuple[TupletEdge, ...] = ()


def study_spans(study: Study) -> tuple[tuple[EventSpans, ...], ...]:
    """One EventSpans an event, bar by bar."""
    flat = [event for bar in study.bars for event in bar.events]
    held = _held(study)
    slurs = _edges(_slur_pairs(flat), len(flat))
    slides = _edges(_slide_pairs(flat), len(flat))
    found, at = [], 0
    for bar in study.bars:
        tuplets = _tuplet_edges(bar.events)
        row = []
        for edges in tuplets:
            row.append(EventSpans(held[at], slurs[at], slides[at], edges))
            at += 1
        found.append(tuple(row))
    return tuple(found)


def _held(study: Study) -> list[frozenset[int]]:
    """Per event, the pitches an earlier tie holds into it; a grace note between does not break a tie."""
    found: list[frozenset[int]] = []
    pending: frozenset[int] = frozenset()
    for bar in study.bars:
        if not bar.events:
            pending = frozenset()
        for event in bar.events:
            held = pending & {note.pitch.midi for note in event.notes}
            own = frozenset(note.pitch.midi for note in event.notes if note.tie)
            pending = own | (pending - held if event.grace else frozenset())
            found.append(held)
    return found


def _slur_pairs(flat: list[Event]) -> Iterator[tuple[int, int]]:
    begun: int | None = None
    for index, event in enumerate(flat):
        if event.slur in ("stop", "both") and begun is not None:
            yield begun, index
            begun = None
        if event.slur in ("start", "both"):
            begun = index


def _slide_pairs(flat: list[Event]) -> Iterator[tuple[int, int]]:
    """A slide leads into its note from the event before; after a rest it has nowhere to begin."""
    for index, event in enumerate(flat):
        if index and "slide" in event.articulations and event.notes and flat[index - 1].notes:
            yield index - 1, index


def _edges(pairs: Iterator[tuple[int, int]], count: int) -> list[tuple[Edge, ...]]:
    """Both ends of each pair, numbers taking turns so that a stop and a start on one note differ."""
    found: list[list[Edge]] = [[] for _ in range(count)]
    for turn, (first, last) in enumerate(pairs):
        found[first].append(Edge("start", turn % 2 + 1))
        found[last].insert(0, Edge("stop", turn % 2 + 1))
    return [tuple(edges) for edges in found]


def _tuplet_edges(events: tuple[Event, ...]) -> list[tuple[TupletEdge, ...]]:
    """A group runs from the event that starts it until an event outside it or one that starts the next."""
    found: list[list[TupletEdge]] = [[] for _ in events]
    depths = max((len(event.tuplets) for event in events), default=0)
    for depth in range(depths):
        for first, last in _groups(events, depth):
            edge = TupletEdge("start", depth + 1, *events[first].tuplets[depth][:2],
                              _unit(events[first:last + 1], depth))
            found[first].append(edge)
            found[last].insert(0, edge._replace(kind="stop"))
    return [tuple(edges) for edges in found]


def _groups(events: tuple[Event, ...], depth: int) -> Iterator[tuple[int, int]]:
    first: int | None = None
    last: int | None = None
    for index, event in enumerate(events):
        ratios = [tuplet[:2] for tuplet in event.tuplets[:depth + 1]]
        if event.grace and len(ratios) <= depth:
            continue
        goes_on = (first is not None and not any(tuplet.starts for tuplet in event.tuplets[:depth + 1])
                   and ratios == [tuplet[:2] for tuplet in events[first].tuplets[:depth + 1]])
        if first is not None and last is not None and not goes_on:
            yield first, last
            first = None
        if len(ratios) > depth:
            first, last = index if first is None else first, index
        else:
            first = None
    if first is not None and last is not None:
        yield first, last


def _unit(group: tuple[Event, ...], depth: int) -> Fraction | None:
    """The head that `actual` counts: the group's sounding length, unscaled, shared among them."""
    length = sum((event.duration for event in group if not event.grace), Fraction(0))
    for tuplet in group[0].tuplets[:depth + 1]:
        length *= Fraction(tuplet.actual, tuplet.normal)
    unit = length / group[0].tuplets[depth].actual
    shape = written(unit)
    return unit if shape is not None and not shape.dots else None
