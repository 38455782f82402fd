"""The whole study, and what is in force in each of its bars."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

from core.errors import BarglossError, Faults
from core.study.pitch import Key, Meter
from core.study.values import Bar, Chorus, Event, Instrument, Note


@dataclass(frozen=True, slots=True)
class InForce:
    """A bar and what holds at its start.

    index counts from 0; number is the printed one (a pickup is 0, the bar after it 1).
    chord: the symbol in force when the bar begins, "" for none yet. key_changed and
    meter_changed: printed anew at this bar.
    """

    index: int
    number: int
    bar: Bar
    key: Key
    meter: Meter
    chord: str
    key_changed: bool
    meter_changed: bool

    @property
    def length(self) -> Fraction:
        """Of this bar, in quarters."""
        return self.meter.length if self.bar.length is None else self.bar.length


class NotePlace(NamedTuple):
    """Which head: indices of the bar in the study, the event in the bar, the note in the event."""

    bar: int
    event: int
    note: int = 0


@dataclass(frozen=True)
class Study:
    """A whole study. tempo: quarter notes a minute. starts_at: seconds into the recording.

    Raises Faults, one fault a bar, where a bar is not as long as its meter and does not say so.
    """

    title: str = ""
    tune: str = ""
    player: str = ""
    transcriber: str = ""
    recording: str = ""
    starts_at: float | None = None
    rights: str = ""
    tempo: int = 120
    feel: Literal["swing", "straight"] = "swing"
    key: Key = field(default_factory=Key)
    meter: Meter = field(default_factory=Meter)
    instrument: Instrument = field(default_factory=Instrument)
    choruses: tuple[Chorus, ...] = ()
    bars: tuple[Bar, ...] = (Bar(),)

    def __post_init__(self) -> None:
        found = list(_faults(self))
        if found:
            raise Faults(tuple(found))

    @cached_property
    def in_force(self) -> tuple[InForce, ...]:
        """Every bar, with its number and the key, meter and chord it begins under."""
        return tuple(_walk(self))

    def event_at(self, place: NotePlace) -> Event:
        return self.bars[place.bar].events[place.event]

    def note_at(self, place: NotePlace) -> Note:
        return self.event_at(place).notes[place.note]

    def bar_index(self, number: int) -> int:
        """Index of the bar printed with this number. Raises BarglossError."""
        index = number - self.in_force[0].number
        if not 0 <= index < len(self.bars):
            raise BarglossError(f"there is no bar {number}; the study has bars "
                                f"{self.in_force[0].number} to {self.in_force[-1].number}")
        return index


def note_name(study: Study, place: NotePlace) -> str:
    """The id of a head in reports: `7.3` is the third event of bar 7, `7.3.2` the second head of a double stop."""
    number = study.in_force[place.bar].number
    return f"{number}.{place.event + 1}" + (f".{place.note + 1}" if place.note else "")


def _walk(study: Study) -> Iterator[InForce]:
    key, meter, chord = study.key, study.meter, ""
    first = study.bars[0]
    opening = first.meter or meter
    is_pickup = len(study.bars) > 1 and first.length is not None and first.length < opening.length
    for index, bar in enumerate(study.bars):
        key_changed = bar.key is not None and bar.key != key
        meter_changed = bar.meter is not None and bar.meter != meter
        key, meter = bar.key or key, bar.meter or meter
        yield InForce(index, index + (0 if is_pickup else 1), bar, key, meter, chord,
                      key_changed or index == 0, meter_changed or index == 0)
        for change in bar.changes:
            chord = change.symbol if change.symbol != "%" else chord


def _faults(study: Study) -> Iterator[BarglossError]:
    if not study.bars:
        yield BarglossError("a study needs at least one bar")
        return
    if not 10 <= study.tempo <= 500:
        yield BarglossError(f"a tempo of {study.tempo} quarter notes a minute; give 10 to 500")
    at = [chorus.bar for chorus in study.choruses]
    if any(b <= a for a, b in pairwise(at)) or any(not 0 <= bar < len(study.bars) for bar in at):
        yield BarglossError("choruses go in order, each from a bar of the study; check where they begin")
    strings = len(study.instrument.tuning)
    for here in study.in_force:
        bar, number, length = here.bar, here.number, here.length
        if bar.events and bar.filled != length:
            amount = "less" if bar.filled < length else "more"
            yield BarglossError(f"{amount} music than fits: {bar.filled} quarters of {length}; "
                                f"add or take away notes, or give the bar a length of its own", bar=number)
        if bar.changes and bar.changes[-1].offset >= length:
            yield BarglossError(f"the chord symbol {bar.changes[-1].symbol} stands past the end of the bar; "
                                "move it into the next", bar=number)
        if bar.readings and bar.readings[-1].offset >= length:
            yield BarglossError(f"the reading {bar.readings[-1].harmony} stands past the end of the bar; "
                                "move it into the next", bar=number)
        for callout in bar.callouts:
            if callout.start >= length or here.index + callout.bars_on >= len(study.bars):
                yield BarglossError(f"the callout {callout.heading or callout.text[:20]!r} speaks of notes that are "
                                    "not there; choose its notes again", bar=number)
        for event in bar.events:
            for note in event.notes:
                if note.string is not None and note.string > strings:
                    yield BarglossError(f"{note.pitch.name} is set on string {note.string} of {strings}; "
                                        "choose another string", bar=number)
