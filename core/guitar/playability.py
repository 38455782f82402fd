"""How hard a fingered study is, in counts a guitarist knows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from core.guitar.compass import out_of_range
from core.guitar.fingering import Fingering
from core.guitar.values import EventFingering, Fingered
from core.study import Event, Study


@dataclass(frozen=True, slots=True)
class Playability:
    """shifts: moves of the hand. widest_stretch: most frets held within one position by two notes in a
    row or at once, counting both ends (4 is no stretch). string_crossings: notes on another string than
    the one before. highest_fret: 0 if none. peak_notes_per_second: of the busiest bar, at the study's tempo.
    peak_bar: its printed number; None in a study of rests."""

    shifts: int
    widest_stretch: int
    string_crossings: int
    out_of_range: int
    highest_fret: int
    peak_notes_per_second: float
    peak_bar: int | None


def playability(study: Study, fingering: Fingering) -> Playability:
    """The counts for a study and its own fingering."""
    events = [event for bar in fingering.bars for event in bar.events if any(event.notes)]
    hands = [_hand(event) for event in events]
    speeds = {here.number: _attacks(here.bar.events) * study.tempo / (60 * here.length) for here in study.in_force}
    peak = max(speeds, key=lambda number: speeds[number])
    return Playability(
        shifts=sum(event.shift for event in events),
        widest_stretch=max([_width(hand) for hand in hands]
                           + [_width(a + b) for a, b in pairwise(hands) if a[0].position == b[0].position], default=0),
        string_crossings=sum({grip.string for grip in a}.isdisjoint(grip.string for grip in b)
                             for a, b in pairwise(hands)),
        out_of_range=len(out_of_range(study)),
        highest_fret=max((grip.fret for hand in hands for grip in hand), default=0),
        peak_notes_per_second=round(float(speeds[peak]), 2),
        peak_bar=peak if speeds[peak] else None)


def _hand(event: EventFingering) -> tuple[Fingered, ...]:
    return tuple(grip for grip in event.notes if grip is not None)


def _width(hand: tuple[Fingered, ...]) -> int:
    frets = [grip.fret for grip in hand if grip.finger]
    return max(frets) - min(frets) + 1 if frets else 0


def _attacks(events: tuple[Event, ...]) -> Fraction:
    """Events that begin a note: no rests, no notes held over within the bar."""
    held: set[int] = set()
    count = 0
    for event in events:
        pitches = {note.pitch.midi for note in event.notes}
        count += bool(pitches - held)
        held = {note.pitch.midi for note in event.notes if note.tie}
    return Fraction(count)
