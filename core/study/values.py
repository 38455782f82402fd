"""What a study is made of, from the single head to the bar, as frozen values.

Times are fractions of a quarter note from the start of the bar. Pitches sound as
spelled. What follows from these values (degrees, fingering, ink) is never kept here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import pairwise
from math import inf
from numbers import Rational
from typing import Literal, NamedTuple

from core.errors import BarglossError
from core.study.pitch import STEPS, Key, Meter, Pitch, parse_pitch

ARTICULATIONS = ("staccato", "tenuto", "accent", "marcato", "fall", "scoop", "doit", "bend", "slide", "turn")
BARLINES = ("", "double", "final", "dashed")
SLURS = ("", "start", "stop", "both")
STROKES = ("", "down", "up")
BREAKS = ("", "system", "page")
HAIRPINS = ("", "cresc", "dim", "stop")
DYNAMICS = ("", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "sf", "sfz", "fp")
SIGNS = ("", "segno", "coda")
JUMPS = ("", "Fine", "To Coda", "D.C.", "D.C. al Fine", "D.C. al Coda", "D.S.", "D.S. al Fine", "D.S. al Coda")
_BASE_VALUES = tuple(Fraction(8) / 2**power for power in range(10))  # double whole to 256th


class Written(NamedTuple):
    """How a duration is written: the undotted value in quarters, and its dots."""

    value: Fraction
    dots: int


@lru_cache(maxsize=4096)
def written(duration: Fraction) -> Written | None:
    """The one notehead that lasts so long (quarters), or None where there is none."""
    for value in _BASE_VALUES:
        for dots in range(4):
            if value * (2 - Fraction(1, 2**dots)) == duration:
                return Written(value, dots)
    return None


class Tuplet(NamedTuple):
    """`actual` notes in the time of `normal`. starts: the first event of its group."""

    actual: int
    normal: int
    starts: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """One head. string (1 the highest), fret (0 open) and finger (1 index to 4 little, 0 none)
    are the teacher's own, None where Bargloss may choose; degree is the teacher's own name
    for it, as `#9`; tie: held on into the next event's same pitch.
    """

    pitch: Pitch
    tie: bool = False
    ghost: bool = False
    string: int | None = None
    fret: int | None = None
    finger: int | None = None
    degree: str = ""


@dataclass(frozen=True)
class Event:
    """A note, a double stop (several notes, low to high), or a rest (none).

    duration sounds; tuplets, outermost first, say what it is written as. A grace event takes
    no time of its own: it stands at the onset of the event it leads to, and its duration is
    only written. slur: "start", "stop", "both" (one ends, one begins) or "". dynamic: one of
    DYNAMICS, printed here. A slide or a scoop leads into its note, a fall or doit out of it.
    hairpin: "cresc" or "dim" begins here, "stop" ends one before this event; one also ends where the
    next begins, and at a dynamic. stroke and remark are the teacher's own.
    """

    onset: Fraction
    duration: Fraction
    notes: tuple[Note, ...] = ()
    tuplets: tuple[Tuplet, ...] = ()
    grace: bool = False
    slur: Literal["", "start", "stop", "both"] = ""
    articulations: tuple[str, ...] = ()
    stroke: Literal["", "down", "up"] = ""
    remark: str = ""
    dynamic: str = ""
    hairpin: Literal["", "cresc", "dim", "stop"] = ""

    def __post_init__(self) -> None:
        if not isinstance(self.duration, Rational) or not isinstance(self.onset, Rational):
            raise BarglossError("times are fractions of a quarter note; write 1/3, not 0.333")
        if self.duration <= 0 or self.onset < 0:
            raise BarglossError("an event needs a place in the bar and a length above nothing")
        if len(self.tuplets) > 4 or any(not 1 <= n <= 64 for tuplet in self.tuplets for n in tuplet[:2]):
            raise BarglossError("a tuplet sets 1 to 64 notes in the time of 1 to 64, at most four inside each other")
        self.written  # noqa: B018  (raises where no single head will do)
        if self.grace and not self.notes:
            raise BarglossError("a grace note needs a pitch; take the grace rest away")
        _one_of(self.slur, SLURS, "a slur mark")
        _one_of(self.stroke, STROKES, "a stroke")
        _one_of(self.dynamic, DYNAMICS, "a dynamic")
        _one_of(self.hairpin, HAIRPINS, "a hairpin")
        for articulation in self.articulations:
            _one_of(articulation, ARTICULATIONS, "an articulation")
        if len(set(self.articulations)) < len(self.articulations):
            raise BarglossError("an articulation stands twice on one note; take one away")
        for note in self.notes:
            _check_note(note)
        if list(self.notes) != sorted(self.notes, key=height):
            raise BarglossError("the notes of a double stop go from low to high")
        strings = [note.string for note in self.notes if note.string is not None]
        if len(set(strings)) < len(strings):
            raise BarglossError("two notes of a double stop are set on one string; move one to another")

    @cached_property
    def end(self) -> Fraction:
        """When the next event begins."""
        return self.onset if self.grace else self.onset + self.duration

    @property
    def is_rest(self) -> bool:
        return not self.notes

    @cached_property
    def written(self) -> Written:
        """The head it is written with. Raises BarglossError where no single head will do."""
        shape = written(_untuplet(self.duration, self.tuplets))
        if shape is None:
            raise BarglossError(f"no single note lasts {self.duration} quarters; split it and tie the parts")
        return shape


@lru_cache(maxsize=4096)
def _untuplet(duration: Fraction, tuplets: tuple[Tuplet, ...]) -> Fraction:
    for tuplet in tuplets:
        duration = duration * tuplet.actual / tuplet.normal
    return duration


def height(note: Note) -> tuple[int, int]:
    """Sorts the notes of a double stop from low to high."""
    return note.pitch.midi, note.pitch.diatonic


def _check_note(note: Note) -> None:
    pitch = note.pitch
    if pitch.step not in STEPS or not -3 <= pitch.alter <= 3 or not 0 <= pitch.midi <= 127:
        raise BarglossError(f"{tuple(pitch)} is no pitch that can be written and played; use C-1 to G9")
    if note.finger is not None and not 0 <= note.finger <= 4:
        raise BarglossError(f"finger {note.finger}: fingers count from 1 (index) to 4, 0 for an open string")
    if (note.string is not None and note.string < 1) or (note.fret is not None and not 0 <= note.fret <= 36):
        raise BarglossError("strings count from 1 (the highest), frets from 0 (open) to 36")
    if note.fret is not None and note.string is None:
        raise BarglossError(f"fret {note.fret} of no string; name the string as well")


def _one_of(value: str, allowed: tuple[str, ...], what: str) -> None:
    if value not in allowed:
        raise BarglossError(f"{value!r} is not {what}; use one of {', '.join(filter(None, allowed))}")


class Change(NamedTuple):
    """A chord symbol as the teacher writes it, in force from `offset` on."""

    offset: Fraction
    symbol: str


class Reading(NamedTuple):
    """The harmony the teacher hears from `offset` on: a chord symbol or a key (`key of Eb major`).

    It ends at the next reading, at a blank one, or with the bar.
    """

    offset: Fraction
    harmony: str


@dataclass(frozen=True, slots=True)
class Callout:
    """Words under the bar, about the notes from onset `start` in this bar to the note at
    onset `stop`, `bars_on` bars later. source: "teacher", or the kind of finding it was
    drafted from. heading and text may carry light marks and music tokens. neck: whether a
    picture of the neck stands under them, with the places of those notes.
    """

    start: Fraction
    stop: Fraction
    bars_on: int = 0
    heading: str = ""
    text: str = ""
    source: str = "teacher"
    neck: bool = False


class Dismissed(NamedTuple):
    """What the teacher does not want told: a kind of finding that begins at this onset."""

    onset: Fraction
    kind: str


@dataclass(frozen=True)
class Bar:
    """events in time order, filling the bar; none at all is a bar of rest.

    meter and key: where they change. length: of a bar that is deliberately not as long as its
    meter (a pickup, a bar split at a repeat), in quarters. recording: seconds into the
    recording where the bar starts. break_before: "system" or "page", a wish. repeat_end: how
    often the stretch that ends here is played, 0 where none ends. ending: the numbers over the
    bar, as "1" or "1, 2". sign: "segno" or "coda" where it starts; jump: one of JUMPS where it ends.
    """

    events: tuple[Event, ...] = ()
    changes: tuple[Change, ...] = ()
    readings: tuple[Reading, ...] = ()
    callouts: tuple[Callout, ...] = ()
    comment: str = ""
    key: Key | None = None
    meter: Meter | None = None
    length: Fraction | None = None
    barline: Literal["", "double", "final", "dashed"] = ""
    repeat_start: bool = False
    repeat_end: int = 0
    ending: str = ""
    rehearsal: str = ""
    break_before: Literal["", "system", "page"] = ""
    recording: float | None = None
    sign: Literal["", "segno", "coda"] = ""
    jump: str = ""
    dismissed: tuple[Dismissed, ...] = ()

    def __post_init__(self) -> None:
        self._check_line()
        self._check_rows()
        if self.length is not None and not 0 < self.length <= 256:
            raise BarglossError("a bar lasts more than nothing and at most 256 quarters; change its length")
        if not 0 <= self.repeat_end <= 99:
            raise BarglossError(f"a stretch played {self.repeat_end} times; give 99 at most, or 0 for no repeat")
        if self.recording is not None and not 0 <= self.recording < inf:
            raise BarglossError("a bar starts before its recording does; give seconds from 0 on")
        _one_of(self.barline, BARLINES, "a barline")
        _one_of(self.break_before, BREAKS, "a break")
        _one_of(self.sign, SIGNS, "a sign")
        _one_of(self.jump, JUMPS, "a jump")

    def _check_line(self) -> None:
        at = Fraction(0)
        before: tuple[Tuplet, ...] = ()
        for event in self.events:
            if event.onset != at:
                what = "a gap" if event.onset > at else "an overlap"
                raise BarglossError(f"{what} at {min(at, event.onset)} quarters: an event begins at {event.onset}, "
                                    f"the one before ends at {at}; fill it with a rest or move the notes")
            at = event.end
            if event.grace:
                continue
            for level, tuplet in enumerate(event.tuplets):
                if not tuplet.starts and (len(before) <= level or before[level][:2] != tuplet[:2]):
                    raise BarglossError(f"the tuplet {tuplet.actual}:{tuplet.normal} at {event.onset} quarters goes on "
                                        "without having begun; mark its first note as its start")
            before = event.tuplets

    def _check_rows(self) -> None:
        for row, name in ((self.changes, "chord symbol"), (self.readings, "reading")):
            offsets = [mark.offset for mark in row]
            if any(b <= a for a, b in pairwise(offsets)) or (offsets and offsets[0] < 0):
                raise BarglossError(f"two {name}s share a place or stand out of order; give each its own offset")
        if not all(change.symbol.strip() for change in self.changes):
            raise BarglossError("a chord symbol is empty; write N.C. for no chord, or take it away")
        if list(self.dismissed) != sorted(set(self.dismissed)) or any(one.onset < 0 for one in self.dismissed):
            raise BarglossError("what is dismissed goes in order, each once; take the second away")
        for place, callout in enumerate(self.callouts):
            name = repr(callout.heading or callout.text[:20])
            if callout.bars_on < 0 or (callout.bars_on == 0 and callout.stop < callout.start):
                raise BarglossError(f"the callout {name} ends before it begins; swap its first and last note")
            ends = (callout.start,) if callout.bars_on else (callout.start, callout.stop)
            if not self.onsets.issuperset(ends):
                raise BarglossError(f"the callout {name} speaks of notes that are not there; choose its notes again")
            if callout in self.callouts[:place]:
                raise BarglossError(f"the callout {name} stands twice in one bar; take one away")

    @cached_property
    def last_alters(self) -> tuple[tuple[int, int], ...]:
        """The last alteration heard on each letter and octave of the bar: (letters above C0, semitones)."""
        heard = {note.pitch.diatonic: note.pitch.alter for event in self.events for note in event.notes}
        return tuple(heard.items())

    @cached_property
    def hairpin_out(self) -> str | None:
        """The hairpin that is open where the bar ends, "" for none; None: the one it began with."""
        for event in reversed(self.events):
            if event.hairpin or event.dynamic:
                return event.hairpin.replace("stop", "")
        return None

    @cached_property
    def filled(self) -> Fraction:
        """How much of the bar its events take, in quarters."""
        return self.events[-1].end if self.events else Fraction(0)

    @cached_property
    def onsets(self) -> frozenset[Fraction]:
        """Where its events begin; of a bar of rest, 0."""
        return frozenset(event.onset for event in self.events) or frozenset((Fraction(0),))

    @cached_property
    def slur_out(self) -> bool | None:
        """Whether a slur is open where the bar ends; None: as it was where the bar began."""
        return next((event.slur != "stop" for event in reversed(self.events) if event.slur), None)

    @cached_property
    def reaching(self) -> tuple[Callout, ...]:
        """The callouts that end in a later bar."""
        return tuple(callout for callout in self.callouts if callout.bars_on)

    def faults_under(self, meter: Meter, strings: int) -> tuple[str, ...]:
        """What is wrong with the bar under this meter, on a guitar of so many strings.

        The last answer is kept on the bar: a study of 720 bars is built anew at each keystroke.
        """
        last: tuple[Meter, int, tuple[str, ...]] | None = self.__dict__.get("_last_faults")
        if last is not None and last[0] is meter and last[1] == strings:
            return last[2]
        found = tuple(self._find_faults(meter, strings))
        self.__dict__["_last_faults"] = (meter, strings, found)
        return found

    def _find_faults(self, meter: Meter, strings: int) -> Iterator[str]:
        length = meter.length if self.length is None else self.length
        if self.events and self.filled != length:
            amount = "less" if self.filled < length else "more"
            yield (f"{amount} music than fits: {self.filled} quarters of {length}; "
                   "add or take away notes, or give the bar a length of its own")
        if self.changes and self.changes[-1].offset >= length:
            yield f"the chord symbol {self.changes[-1].symbol!r} stands past the end of the bar; move it into the next"
        if self.readings and self.readings[-1].offset >= length:
            yield f"the reading {self.readings[-1].harmony!r} stands past the end of the bar; move it into the next"
        for event in self.events:
            for note in event.notes:
                if note.string is not None and note.string > strings:
                    yield f"{note.pitch.name} is set on string {note.string} of {strings}; choose another string"


@dataclass(frozen=True, slots=True)
class Chorus:
    """A labelled stretch of bars that begins at index `bar` (0 the first bar of the study)."""

    label: str
    bar: int


GUITAR = tuple(parse_pitch(name) for name in ("E2", "A2", "D3", "G3", "B3", "E4"))


@dataclass(frozen=True, slots=True)
class Instrument:
    """tuning: open strings, lowest-numbered last, so low to high as a rule. capo: fret, 0 none."""

    name: str = "guitar"
    tuning: tuple[Pitch, ...] = GUITAR
    frets: int = 22
    capo: int = 0

    def __post_init__(self) -> None:
        if not 4 <= len(self.tuning) <= 10:
            raise BarglossError(f"an instrument of {len(self.tuning)} strings; give 4 to 10")
        if not 1 <= self.frets <= 36:
            raise BarglossError(f"a neck of {self.frets} frets; give 1 to 36")
        if not 0 <= self.capo < self.frets:
            raise BarglossError(f"a capo at fret {self.capo} is not on a neck of {self.frets} frets")
