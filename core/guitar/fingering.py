"""A fingering for a whole study: the cheapest path through the hands and strokes of its events.

Optimum path by dynamic programming over layers, one an event (Sayegh 1989; the state with its hand position after
Radicioni & Lombardo 2005, and here with the pick's last stroke), costs as in `costs`. Exact, and the same each time:
of equally cheap ways the first is taken.

Work is kept bar by bar: a bar met by the same states at the same relative cost is not worked again, and a bar that
comes out as before keeps its BarFingering object.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from core.guitar.forward import Entry, Grounds, Step, Window, Work, advance
from core.guitar.hands import Hand, Ints
from core.guitar.moves import SCALED
from core.guitar.neck import neck_of
from core.guitar.notices import Fault, faults_of_move
from core.guitar.picking import technique
from core.guitar.values import BarFingering, EventFingering, Fingered, Stroke, Technique
from core.study import Event, InForce, NotePlace, Study, shared_ends

_ANYWHERE: Mapping[int, Window] = MappingProxyType({})
_STROKES: tuple[Stroke, Stroke] = ("down", "up")
_ON_TIME = Fraction(0)


class _Chosen(NamedTuple):
    """The state an event comes out with. way: 0 struck down, 1 up, 2 slurred."""

    hand: Hand
    way: int


class _Solved(NamedTuple):
    """One bar read backwards: the state it is left with, the state it is met with, and the outcome."""

    work: Work
    leave: int
    enter: int
    bar: BarFingering
    faults: tuple[tuple[int, Fault], ...]


class _Known(NamedTuple):
    """What a fingering was found from, and how."""

    grounds: Grounds | None = None
    windows: Mapping[int, Window] = _ANYWHERE
    bars: tuple[InForce, ...] = ()
    solved: tuple[_Solved, ...] = ()


@dataclass(frozen=True)
class Fingering:
    """bars: parallel to the study's. notices: what the teacher set that cannot be, and notes no hand
    can hold beside others or come to in time, each with the note it is about."""

    bars: tuple[BarFingering, ...]
    notices: tuple[tuple[NotePlace, str], ...] = ()
    _known: _Known = field(default=_Known(), compare=False, repr=False)

    @property
    def cost(self) -> int:
        """Of the whole path, in the units of `costs`; no other path costs less."""
        return sum(one.work.spent for one in self._known.solved)


def finger(study: Study, before: Fingering | None = None, windows: Mapping[int, Window] = _ANYWHERE) -> Fingering:
    """The cheapest fingering that keeps all the teacher set; strokes and slurs with it.

    before: the fingering of the study this one was edited from; it saves work and never changes the outcome.
    windows: positions to keep to, by bar. A lock that contradicts its pitch is set aside and told in `notices`; a
    note out of range is None.
    """
    grounds = Grounds(neck_of(study.instrument), study.tempo, study.feel, study.guitarist)
    old = before._known if before is not None and before._known.grounds == grounds else _Known()
    works = _forwards(study, grounds, old, windows)
    solved = _backwards(works, old.solved)
    return Fingering(tuple([one.bar for one in solved]), tuple(_notices(study, solved)),
                     _Known(grounds, windows, study.in_force, solved))


def _forwards(study: Study, grounds: Grounds, old: _Known, windows: Mapping[int, Window]) -> list[Work]:
    bars, solved = study.in_force, old.solved
    lead, trail = shared_ends(old.bars, bars) if windows == old.windows else (0, 0)
    works = [one.work for one in solved[:lead]]
    entry, costs = (works[-1].leave, works[-1].costs_out) if works else (Entry(), np.zeros(1, dtype=np.int64))
    for here in bars[lead:]:
        offset = max(_ON_TIME, here.meter.length - here.length) if here.index == 0 else _ON_TIME  # a pickup
        window = windows.get(here.index)
        work = next((one.work for one in _alike(solved, here.index, len(bars))
                     if _holds(one.work, here, (offset, window), entry, costs)), None)
        if here.index >= len(bars) - trail and work is solved[here.index].work:  # and so is what it leads to
            return [*works, *[one.work for one in solved[here.index:]]]
        work = work or advance(here, offset, window, entry, costs, grounds)
        works.append(work)
        entry, costs = work.leave, work.costs_out
    return works


def _alike(old: tuple[_Solved, ...], index: int, count: int) -> Iterator[_Solved]:
    """The bars this one may have been before the edit: as many from the front, or as many from the end."""
    for place in dict.fromkeys((index, index + len(old) - count)):
        if 0 <= place < len(old):
            yield old[place]


def _holds(work: Work, here: InForce, where: tuple[Fraction, Window], entry: Entry, costs: Ints) -> bool:
    return (work.events is here.bar.events and work.entry == entry
            and (work.meter is here.meter or work.meter == here.meter) and (work.offset, work.window) == where
            and (work.costs_in is costs or np.array_equal(work.costs_in, costs)))


def _backwards(works: list[Work], old: tuple[_Solved, ...]) -> tuple[_Solved, ...]:
    lead, trail = shared_ends([one.work for one in old], works)
    same = old[len(old) - trail:]  # the last bar is left as it was
    leave = same[0].enter if same else int(works[-1].costs_out.argmin())
    solved: list[_Solved] = []
    for index in reversed(range(len(works) - trail)):
        if index < lead and old[index].leave == leave:  # and so is all before it
            return (*old[:index + 1], *reversed(solved), *same)
        work = works[index]
        alike = tuple(_alike(old, index, len(works)))
        known = next((one for one in alike if one.work is work and one.leave == leave), None)
        solved.append(known or _solve(work, leave, alike))
        leave = solved[-1].enter
    return (*reversed(solved), *same)


def _solve(work: Work, leave: int, alike: tuple[_Solved, ...]) -> _Solved:
    """Read one bar backwards from the state it is left with."""
    at = leave
    chosen: list[_Chosen | None] = []
    befores = _layers_before(work)
    for step, best, before in zip(reversed(work.steps), reversed(work.best), reversed(befores), strict=True):
        if step.layer is None or best is None:
            chosen.append(None)
            continue
        way, hand = divmod(at, len(step.layer.hands))
        chosen.append(_Chosen(step.layer.hands[hand], way))
        at = int(best[at]) & (SCALED - 1)
        if step.held:  # reached as it was before
            at += way * before
    chosen.reverse()
    events, faults = _events(work, chosen, at)
    bar = BarFingering(events)
    return _Solved(work, leave, at, next((one.bar for one in alike if one.bar == bar), bar), faults)


def _layers_before(work: Work) -> list[int]:
    """How many hands there were before each event."""
    count = 1 if work.entry.layer is None else len(work.entry.layer.hands)
    counts = []
    for step in work.steps:
        counts.append(count)
        count = count if step.layer is None else len(step.layer.hands)
    return counts


def _events(work: Work, chosen: list[_Chosen | None],
            enter: int) -> tuple[tuple[EventFingering, ...], tuple[tuple[int, Fault], ...]]:
    layer = work.entry.layer
    last = None if layer is None else layer.hands[enter % len(layer.hands)]
    events, faults = [], []
    for place, (event, step, state) in enumerate(zip(work.events, work.steps, chosen, strict=True)):
        faults += [(place, fault) for fault in step.faults]
        if state is None and step.held and last is not None:
            events.append(EventFingering(_by_head(event, step, tuple(last[one] for one, _ in step.ties))))
        elif state is None:
            events.append(EventFingering((None,) * len(event.notes)))
        else:
            shift = last is not None and last[0].position != state.hand[0].position
            events.append(EventFingering(_by_head(event, step, state.hand), *_struck(event, step, state, last), shift))
            if last is not None:
                faults += [(place, fault) for fault in faults_of_move(event, step, last, state.hand)]
            last = state.hand
    return tuple(events), tuple(faults)


def _struck(event: Event, step: Step, state: _Chosen, last: Hand | None) -> tuple[Stroke, Technique]:
    """The stroke, and how else it is reached. A ghost note takes none: the pick only passes."""
    if step.held:
        return event.stroke, ""
    if state.way == len(_STROKES) and last is not None:
        return "", technique(last, state.hand)
    if all(note.ghost for note in event.notes):
        return event.stroke, ""
    return _STROKES[state.way], ""


def _by_head(event: Event, step: Step, hand: Hand) -> tuple[Fingered | None, ...]:
    """The hand as a row parallel to the event's notes."""
    if len(hand) == len(event.notes):
        return hand
    found = dict(zip(step.heads, hand, strict=True))
    return tuple([found.get(head) for head in range(len(event.notes))])


def _notices(study: Study, solved: tuple[_Solved, ...]) -> Iterator[tuple[NotePlace, str]]:
    for bar, one in enumerate(solved):
        for event, (head, sentence) in one.faults:
            place = NotePlace(bar, event, head)
            yield place, sentence.format(pitch=study.note_at(place).pitch.name)
