"""A fingered study as a row of moments: each struck or slurred note, and the time there was to come to it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from core.guitar.fingering import Fingering
from core.guitar.forward import seconds_of, swung
from core.guitar.values import EventFingering, Fingered
from core.study import Event, NotePlace, Study


class Moment(NamedTuple):
    """place: of its lowest note. seconds: since the moment before, None for the first; rested: with a rest between."""

    place: NotePlace
    event: Event
    played: EventFingering
    hand: tuple[Fingered, ...]
    seconds: float | None
    rested: bool


def moments(study: Study, fingering: Fingering) -> Iterator[Moment]:
    """In order; no rests, no notes off the neck, none that are only held on."""
    since: float | None = None
    rested = False
    held: tuple[int, ...] = ()
    for here, bar in zip(study.in_force, fingering.bars, strict=True):
        offset = max(Fraction(0), here.meter.length - here.length) if here.index == 0 else Fraction(0)
        swings = swung(study.feel, here.meter)
        for index, (event, played) in enumerate(zip(here.bar.events, bar.events, strict=True)):
            hand = tuple([grip for grip in played.notes if grip is not None])
            anew = any(note.pitch.midi not in held for note in event.notes)
            if hand and anew:
                yield Moment(NotePlace(here.index, index), event, played, hand, since, rested)
                since, rested = 0.0, False
            rested = rested or not hand
            held = tuple([note.pitch.midi for note in event.notes if note.tie])
            if since is not None:
                since += seconds_of(event, offset, study.tempo, swings)
