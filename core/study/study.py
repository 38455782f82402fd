"""The whole study, and what is in force in each of its bars."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import InitVar, dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import inf
from typing import Literal, NamedTuple

from core.errors import BarglossError, Faults
from core.study.alike import shared_ends
from core.study.guitarist import Guitarist
from core.study.pitch import Key, Meter
from core.study.values import Bar, Change, Chorus, Event, Instrument, Note

FEELS = ("swing", "straight")
AGAIN, NO_CHORD = "%", "N.C."


@dataclass(frozen=True, slots=True)
class InForce:
    """A bar and what holds at its start.

    index counts from 0; number is the printed one (a pickup is 0, the bar after it 1).
    chord: the symbol in force when the bar begins, "" for none yet. changes: the bar's chord symbols with each `%`
    written out. key_changed and meter_changed: printed anew at this bar.
    """

    index: int
    number: int
    bar: Bar
    key: Key
    meter: Meter
    chord: str
    changes: tuple[Change, ...]
    key_changed: bool
    meter_changed: bool

    @property
    def length(self) -> Fraction:
        """Of this bar, in quarters."""
        return bar_length(self.bar, self.meter)


class NotePlace(NamedTuple):
    """Which head: indices of the bar in the study, the event in the bar, the note in the event."""

    bar: int
    event: int
    note: int = 0


@dataclass(frozen=True)
class Study:
    """A whole study. tempo: quarter notes a minute. starts_at: seconds into the recording.
    first_number: the number printed at the first bar; None: 0 for a pickup, 1 otherwise.

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
    guitarist: Guitarist = field(default_factory=Guitarist)
    choruses: tuple[Chorus, ...] = ()
    bars: tuple[Bar, ...] = (Bar(),)
    first_number: int | None = None
    before: InitVar[Study | None] = None

    def __post_init__(self, before: Study | None) -> None:
        """before: the study this one is edited from; what is in force alike in both is the same object."""
        if before is not None:
            self.__dict__["in_force"] = _walked(self, before)
        found = list(_faults(self))
        if found:
            raise Faults(tuple(found))

    @cached_property
    def in_force(self) -> tuple[InForce, ...]:
        """Every bar, with its number and the key, meter and chord it begins under."""
        return tuple(_walk(self, 0, self.key, self.meter, Harmony()))

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


def sounding_number(bar: Bar, event: int) -> int:
    """Which of the bar's sounding events the one at this index is, from 1: as a musician counts notes."""
    return sum(not one.is_rest for one in bar.events[:event]) + 1


def notes_named(study: Study, first: NotePlace, last: NotePlace | None = None) -> str:
    """Where notes stand, or one: `bar 7, notes 2 to 5`; `bar 7, note 2`; `bar 7, note 2 to bar 8, note 1`."""
    last = last or first
    numbers = [sounding_number(study.bars[place.bar], place.event) for place in (first, last)]
    bars = [f"bar {number}" if number else "pickup" for number in (study.in_force[place.bar].number
                                                                   for place in (first, last))]
    if first.bar != last.bar:
        return f"{bars[0]}, note {numbers[0]} to {bars[1]}, note {numbers[1]}"
    notes = f"note {numbers[0]}" if first[:2] == last[:2] else f"notes {numbers[0]} to {numbers[1]}"
    return f"{bars[0]}, {notes}"


class Harmony(NamedTuple):
    """The chord symbols of one bar. opening: in force when it begins, "" for none; changes: no `%` is among them."""

    opening: str = ""
    changes: tuple[Change, ...] = ()

    @property
    def last(self) -> str:
        """In force when the bar ends."""
        return self.changes[-1].symbol if self.changes else self.opening

    def after(self, changes: tuple[Change, ...], length: Fraction) -> Harmony:
        """Of the bar that follows, of this length: `%` alone on its first beat is this bar again, all its chords at
        their places; any other is the chord before it (common practice, no source)."""
        if not any(change.symbol == AGAIN for change in changes):
            return Harmony(self.last, changes)
        if says_again(changes):
            return Harmony(self.last, tuple([change for change in self._whole if change.offset < length]))
        found, chord = [], self.last
        for change in changes:
            chord = chord if change.symbol == AGAIN else change.symbol
            if chord:
                found.append(Change(change.offset, chord))
        return Harmony(self.last, tuple(found))

    @property
    def _whole(self) -> tuple[Change, ...]:
        """The changes, with what the bar begins under written at its beginning."""
        begins = bool(self.changes) and self.changes[0].offset == 0
        if begins or not self.last:
            return self.changes
        return (Change(Fraction(0), self.opening or NO_CHORD), *self.changes)


def says_again(changes: tuple[Change, ...]) -> bool:
    """Whether a bar says no more than `%`: the bar before again."""
    return len(changes) == 1 and changes[0].symbol == AGAIN and changes[0].offset == 0


def bar_length(bar: Bar, meter: Meter) -> Fraction:
    """Of a bar under a meter, in quarters."""
    return meter.length if bar.length is None else bar.length


def _walk(study: Study, first: int, key: Key, meter: Meter, harmony: Harmony) -> Iterator[InForce]:
    """From a bar on; key, meter and harmony: of the bar before it."""
    offset = _first_number(study)
    for index, bar in enumerate(study.bars[first:], first):
        key_changed = bar.key is not None and bar.key != key
        meter_changed = bar.meter is not None and bar.meter != meter
        key, meter = bar.key or key, bar.meter or meter
        harmony = harmony.after(bar.changes, bar_length(bar, meter))
        yield InForce(index, index + offset, bar, key, meter, harmony.opening, harmony.changes,
                      key_changed or index == 0, meter_changed or index == 0)


def _walked(study: Study, before: Study) -> tuple[InForce, ...]:
    old, count = before.in_force, len(study.bars)
    lead, trail = shared_ends(before.bars, study.bars)
    if not lead or (study.key, study.meter, _first_number(study)) != (before.key, before.meter, old[0].number):
        return tuple(_walk(study, 0, study.key, study.meter, Harmony()))
    found, last = list(old[:lead]), old[lead - 1]
    for here in _walk(study, lead, last.key, last.meter, Harmony(last.chord, last.changes)):
        if here.index >= count - trail and len(old) == count and here == old[here.index]:
            return (*found, *old[here.index:])  # and so is all that it leads to
        found.append(here)
    return tuple(found)


def _first_number(study: Study) -> int:
    if study.first_number is not None:
        return study.first_number
    first = study.bars[0]
    return opening_number(first.length, first.meter or study.meter, len(study.bars))


def opening_number(length: Fraction | None, meter: Meter, bars: int) -> int:
    """0 where the first of so many bars is a pickup (it gives a length below its meter's), else 1."""
    return 0 if bars > 1 and length is not None and length < meter.length else 1


def _faults(study: Study) -> Iterator[BarglossError]:
    if not study.bars:
        yield BarglossError("a study needs at least one bar")
        return
    yield from _heading_faults(study)
    strings = len(study.instrument.tuning)
    for here in study.in_force:
        for what in here.bar.faults_under(here.meter, strings):
            yield BarglossError(what, bar=here.number)
        for callout in here.bar.reaching:
            last = here.index + callout.bars_on
            if last >= len(study.bars) or callout.stop not in study.bars[last].onsets:
                yield BarglossError(f"the callout {callout.heading or callout.text[:20]!r} ends on a note that is "
                                    "not there; choose its last note again", bar=here.number)


def _heading_faults(study: Study) -> Iterator[BarglossError]:
    if not isinstance(study.tempo, int) or not 10 <= study.tempo <= 500:
        yield BarglossError(f"a tempo of {study.tempo} quarter notes a minute; give a whole number from 10 to 500")
    if study.feel not in FEELS:
        yield BarglossError(f"{study.feel!r} is not a feel; use {' or '.join(FEELS)}")
    if study.starts_at is not None and not 0 <= study.starts_at < inf:
        yield BarglossError("the solo starts before its recording does; give seconds from 0 on")
    if study.first_number is not None and not 0 <= study.first_number <= 100_000:
        yield BarglossError("the first bar is numbered from 0 to 100000; choose another number")
    at = [chorus.bar for chorus in study.choruses]
    if any(b <= a for a, b in pairwise(at)) or any(not 0 <= bar < len(study.bars) for bar in at):
        yield BarglossError("choruses go in order, each from a bar of the study; check where they begin")
