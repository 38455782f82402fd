"""A fingering for a whole study: the cheapest path through the hands of its events.

Optimum path by dynamic programming over layers of hands, one layer an event (Sayegh 1989;
the state with its hand position after Radicioni & Lombardo 2005), costs as in `costs`. Exact,
and the same each time: of equally cheap ways the first is taken.

Work is kept bar by bar: a bar met by the same hands at the same relative cost is not worked
again, and a bar that comes out as before keeps its BarFingering object.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from core.guitar.costs import time_class
from core.guitar.hands import Hand, Ints, Layer, Lock, layer_of
from core.guitar.moves import SCALED, moves
from core.guitar.neck import Neck, neck_of
from core.guitar.picking import strokes, technique
from core.guitar.values import BarFingering, EventFingering, Fingered, Stroke
from core.study import Event, InForce, Meter, Note, NotePlace, Study


class _Entry(NamedTuple):
    """What a bar meets, but for the costs: the last hands, the seconds since they were taken, whether
    a rest has passed since, key numbers held over, and whether a slur is open."""

    layer: Layer | None = None
    since: float = 0.0
    rested: bool = False
    tied: tuple[int, ...] = ()
    slurred: bool = False


class _Step(NamedTuple):
    """One event worked. layer: None where nothing new sounds. ties: (note of the hand before, note of this
    layer) that are one note; held: they all are. slurred: reached under a slur. heads: which note of the
    event each note of the layer is."""

    layer: Layer | None = None
    ties: tuple[tuple[int, int], ...] = ()
    held: bool = False
    slurred: bool = False
    heads: tuple[int, ...] = ()
    faults: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class _Work:
    """One bar worked forwards. best: for each event that sounds anew, the cost of each hand, the hand
    it comes from in its low bits. strokes: by place alone."""

    events: tuple[Event, ...]
    meter: Meter
    offset: Fraction
    entry: _Entry
    costs_in: Ints
    steps: tuple[_Step, ...]
    best: tuple[Ints | None, ...]
    leave: _Entry
    costs_out: Ints
    strokes: tuple[Stroke, ...]


class _Solved(NamedTuple):
    """One bar read backwards: the hand it is left with, the hand it is met with, and the outcome."""

    work: _Work
    leave: int
    enter: int
    bar: BarFingering


class _Grounds(NamedTuple):
    """What every bar's work depends on."""

    neck: Neck
    tempo: int


@dataclass(frozen=True)
class Fingering:
    """bars: parallel to the study's. notices: what the teacher set that cannot be, and notes no hand
    can hold beside others, each with the note it is about."""

    bars: tuple[BarFingering, ...]
    notices: tuple[tuple[NotePlace, str], ...] = ()
    _grounds: _Grounds | None = field(default=None, compare=False, repr=False)
    _solved: tuple[_Solved, ...] = field(default=(), compare=False, repr=False)


def finger(study: Study, before: Fingering | None = None) -> Fingering:
    """The cheapest fingering that keeps all the teacher set; strokes and techniques with it.

    before: the fingering of the study this one was edited from; it saves work and never changes
    the outcome. A lock that contradicts its pitch is set aside and told in `notices`; a note out
    of range is None.
    """
    grounds = _Grounds(neck_of(study.instrument), study.tempo)
    old = before._solved if before is not None and before._grounds == grounds else ()
    works = _forwards(study, grounds, old)
    solved = _backwards(works, old)
    return Fingering(tuple(one.bar for one in solved), tuple(_notices(study, works)), grounds, solved)


def _forwards(study: Study, grounds: _Grounds, old: tuple[_Solved, ...]) -> list[_Work]:
    works: list[_Work] = []
    entry, costs = _Entry(), np.zeros(1, dtype=np.int64)
    for here in study.in_force:
        offset = max(Fraction(0), here.meter.length - here.length) if here.index == 0 else Fraction(0)  # a pickup
        work = next((solved.work for solved in _alike(old, here.index, len(study.bars))
                     if _holds(solved.work, here, offset, entry, costs)), None)
        work = work or _advance(here, offset, entry, costs, grounds)
        works.append(work)
        entry, costs = work.leave, work.costs_out
    return works


def _alike(old: tuple[_Solved, ...], index: int, count: int) -> Iterator[_Solved]:
    """The bars this one may have been before the edit: as many from the front, or as many from the end."""
    for place in dict.fromkeys((index, index + len(old) - count)):
        if 0 <= place < len(old):
            yield old[place]


def _holds(work: _Work, here: InForce, offset: Fraction, entry: _Entry, costs: Ints) -> bool:
    return (work.events is here.bar.events and work.entry == entry
            and (work.meter is here.meter or work.meter == here.meter) and work.offset == offset
            and (work.costs_in is costs or np.array_equal(work.costs_in, costs)))


def _advance(here: InForce, offset: Fraction, entry: _Entry, costs: Ints, grounds: _Grounds) -> _Work:
    """Work one bar forwards. Costs are relative: the cheapest hand at the barline counts 0."""
    now, ahead = entry, costs
    steps: list[_Step] = []
    kept: list[Ints | None] = []
    for event in here.bar.events:
        step = _step(event, now, grounds)
        best: Ints | None = None
        if step.layer is not None:
            table = moves(now.layer, step.layer, time_class(now.since, now.rested), now.slurred, step.ties,
                          grounds.neck.capo)
            best = np.minimum.reduce(table + ahead, axis=1)
            ahead = best & -SCALED
        steps.append(step)
        kept.append(best)
        now = _after(event, now, step, _seconds(event, grounds.tempo))
    return _Work(here.bar.events, here.meter, offset, entry, costs, tuple(steps), tuple(kept), now, ahead - ahead.min(),
                 strokes(here.bar.events, here.meter, offset))


def _step(event: Event, now: _Entry, grounds: _Grounds) -> _Step:
    if not event.notes:
        return _Step()
    pitches = tuple([note.pitch.midi for note in event.notes])
    locks = _locks(event.notes)
    layer = layer_of(pitches, locks, grounds.neck)
    ties = _ties(now, layer) if now.tied else ()
    held = bool(ties) and len(ties) == len(layer.pitches)
    sounds = layer if layer.hands and (locks or not held) else None
    return _Step(sounds, ties, held, now.slurred, layer.heads, layer.faults)


def _locks(notes: tuple[Note, ...]) -> tuple[Lock, ...]:
    for note in notes:
        if note.string is not None or note.finger is not None:
            return tuple([Lock(note.string, note.fret, note.finger) for note in notes])
    return ()


def _seconds(event: Event, tempo: int) -> float:
    """A grace note takes no time."""
    return 0.0 if event.grace else event.duration.numerator / event.duration.denominator * 60 / tempo


def _ties(now: _Entry, layer: Layer) -> tuple[tuple[int, int], ...]:
    """Which note of the hand before is held as which note of this layer."""
    free = [(note, midi) for note, midi in enumerate(now.layer.pitches) if midi in now.tied] if now.layer else []
    ties = []
    for note, midi in enumerate(layer.pitches):
        start = next((one for one in free if one[1] == midi), None)
        if start is not None:
            free.remove(start)
            ties.append((start[0], note))
    return tuple(ties)


def _after(event: Event, now: _Entry, step: _Step, seconds: float) -> _Entry:
    slurred = event.slur in ("start", "both") or (now.slurred and event.slur != "stop")
    tied = tuple([note.pitch.midi for note in event.notes if note.tie])
    if step.layer is not None and not step.held:
        return _Entry(step.layer, seconds, False, tied, slurred)
    return _Entry(step.layer or now.layer, now.since + seconds, now.rested or not step.held, tied, slurred)


def _backwards(works: list[_Work], old: tuple[_Solved, ...]) -> tuple[_Solved, ...]:
    solved: list[_Solved] = []
    leave = int(works[-1].costs_out.argmin())
    for index in reversed(range(len(works))):
        work = works[index]
        alike = tuple(_alike(old, index, len(works)))
        known = next((one for one in alike if one.work is work and one.leave == leave), None)
        known = known or _solve(work, leave, alike)
        solved.append(known)
        leave = known.enter
    return tuple(reversed(solved))


def _solve(work: _Work, leave: int, alike: tuple[_Solved, ...]) -> _Solved:
    """Read one bar backwards from the hand it is left with."""
    at = leave
    hands: list[Hand | None] = []
    for step, best in zip(reversed(work.steps), reversed(work.best), strict=True):
        if step.layer is None or best is None:
            hands.append(None)
        else:
            hands.append(step.layer.hands[at])
            at = int(best[at]) & (SCALED - 1)
    hands.reverse()
    bar = BarFingering(tuple(_events(work, hands, at)))
    return _Solved(work, leave, at, next((one.bar for one in alike if one.bar == bar), bar))


def _events(work: _Work, hands: list[Hand | None], enter: int) -> Iterator[EventFingering]:
    last = None if work.entry.layer is None else work.entry.layer.hands[enter]
    for event, step, placed, hand in zip(work.events, work.steps, work.strokes, hands, strict=True):
        if hand is None and step.held and last is not None:
            yield EventFingering(_by_head(event, step, tuple(last[one] for one, _ in step.ties)))
        elif hand is None:
            yield EventFingering((None,) * len(event.notes))
        else:
            how = technique(last, hand) if step.slurred and last is not None and not event.stroke else ""
            struck = event.stroke or ("" if how or step.held else placed)
            shift = last is not None and last[0].position != hand[0].position
            yield EventFingering(_by_head(event, step, hand), struck, how, shift)
            last = hand


def _by_head(event: Event, step: _Step, hand: Hand) -> tuple[Fingered | None, ...]:
    """The hand as a row parallel to the event's notes."""
    if len(hand) == len(event.notes):
        return hand
    found = dict(zip(step.heads, hand, strict=True))
    return tuple([found.get(head) for head in range(len(event.notes))])


def _notices(study: Study, works: list[_Work]) -> Iterator[tuple[NotePlace, str]]:
    for bar, work in enumerate(works):
        for event, step in enumerate(work.steps):
            for head, sentence in step.faults:
                place = NotePlace(bar, event, head)
                yield place, sentence.format(pitch=study.note_at(place).pitch.name)
