"""Passages copied: as events to paste, and as a study of their own; and pasted over what stands there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from core.errors import BarglossError
from core.study.edits import set_events
from core.study.fit import PlainEvent, with_groups, writable
from core.study.study import NotePlace, Study
from core.study.values import Bar, Event, Instrument
from core.study.writing import plain_of, settle_ties, write

_START = Fraction(0)


def copy(study: Study, first: NotePlace, last: NotePlace) -> tuple[PlainEvent, ...]:
    """The events from one place to another, both counted, onsets from the first on (quarters)."""
    found = []
    shift = -study.event_at(first).onset if study.bars[first.bar].events else _START
    for bar in range(first.bar, last.bar + 1):
        events = study.bars[bar].events
        start = first.event if bar == first.bar else 0
        stop = last.event + 1 if bar == last.bar else len(events)
        found += [replace(plain_of(event), onset=event.onset + shift) for event in events[start:stop]]
        if not events:
            found.append(PlainEvent(shift, study.in_force[bar].length))
        shift += study.in_force[bar].length
    return tuple(found)


def paste(study: Study, bar: int, onset: Fraction, passage: Sequence[PlainEvent]) -> Study:
    """With a copied passage from this place on, over what stands there."""
    for event in sorted(passage, key=lambda one: one.grace):  # a grace stands before a note that is there
        at, into = _place_after(study, bar, onset + event.onset)
        study = _put_grace(study, at, into, event) if event.grace else write(study, at, replace(event, onset=into))
    return settle_ties(study, bar)


def fragment(study: Study, first: NotePlace, last: NotePlace) -> Study:
    """The events from one place to another as a study of its own, of bars no longer than they are.

    Grace notes that end it lead to nothing in it and may be left out. Raises BarglossError where there is
    nothing but grace notes.
    """
    bars: list[Bar] = []
    waiting: list[Event] = []
    for index in range(first.bar, last.bar + 1):
        here = study.in_force[index]
        events = here.bar.events
        own = events[first.event if index == first.bar else 0:last.event + 1 if index == last.bar else len(events)]
        start = own[0].onset if own else _START
        length = own[-1].end - start if own else here.length
        moved = [*waiting, *(replace(event, onset=event.onset - start) for event in own)]
        waiting = [] if length else moved  # grace notes at a bar's end lead to the next
        if length:
            bars.append(Bar(tuple(with_groups(moved)), meter=here.meter if bars else None,
                            length=None if length == here.meter.length else length))
    if not bars:
        raise BarglossError("a grace note alone is no passage; select the note it leads to as well",
                            bar=study.in_force[first.bar].number)
    opening = study.in_force[first.bar]
    return settle_ties(Study(key=opening.key, meter=opening.meter, instrument=study.instrument, tempo=study.tempo,
                             feel=study.feel, bars=tuple(bars)), 0, len(bars) - 1)


def whole(study: Study) -> tuple[PlainEvent, ...]:
    """Every event of a study, onsets from its start (quarters), to be pasted."""
    last = len(study.bars) - 1
    return copy(study, NotePlace(0, 0), NotePlace(last, max(0, len(study.bars[last].events) - 1)))


def from_first_note(passage: Sequence[PlainEvent]) -> tuple[PlainEvent, ...]:
    """Without the rests it begins with; all of it, where nothing else is in it."""
    first = next((at for at, event in enumerate(passage) if event.notes), 0)
    return tuple(replace(event, onset=event.onset - passage[first].onset) for event in passage[first:])


def for_instrument(passage: Study, instrument: Instrument) -> Study:
    """The passage for another instrument: strings, frets and fingers that were set for another neck go."""
    old = passage.instrument
    if (old.tuning, old.capo) == (instrument.tuning, instrument.capo):
        return passage

    def freed(event: Event) -> Event:
        return replace(event, notes=tuple(replace(note, string=None, fret=None, finger=None) for note in event.notes))

    bars = tuple(replace(bar, events=tuple(freed(event) for event in bar.events)) for bar in passage.bars)
    return replace(passage, instrument=instrument, bars=bars)


def _place_after(study: Study, bar: int, onset: Fraction) -> tuple[int, Fraction]:
    while bar < len(study.bars) and onset >= study.in_force[bar].length:
        onset -= study.in_force[bar].length
        bar += 1
    return bar, onset


def _put_grace(study: Study, bar: int, onset: Fraction, grace: PlainEvent) -> Study:
    if bar >= len(study.bars):
        study = replace(study, bars=(*study.bars, Bar()))
    events = study.bars[bar].events or (Event(_START, study.in_force[bar].length),)
    at = next((index for index, event in enumerate(events) if event.onset >= onset and not event.grace), len(events))
    heads = writable(replace(grace, onset=events[at].onset if at < len(events) else onset), study.in_force[bar].meter)
    return set_events(study, bar, (*events[:at], *heads, *events[at:]))
