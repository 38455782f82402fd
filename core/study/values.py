"""What a study is made of, from the single head to the bar, as frozen values.

Times are fractions of a quarter note from the start of the bar. Pitches sound as
spelled. What follows from these values (degrees, fingering, ink) is never kept here.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal, NamedTuple

from core.errors import BarglossError
from core.study.pitch import Key, Meter, Pitch, parse_pitch

ARTICULATIONS = ("staccato", "tenuto", "accent", "marcato", "fall", "scoop", "doit", "bend", "slide", "turn")
BARLINES = ("", "double", "final", "dashed")
_BASE_VALUES = tuple(Fraction(8) / 2**power for power in range(10))  # double whole to 64th


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
    only written. slur: "start", "stop", "both" (one ends, one begins) or "".
    stroke and remark are the teacher's own.
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

    def __post_init__(self) -> None:
        if self.duration <= 0 or self.onset < 0:
            raise BarglossError("an event needs a place in the bar and a length above nothing")
        self.written  # noqa: B018  (raises where no single head will do)
        unknown = set(self.articulations) - set(ARTICULATIONS)
        if unknown:
            raise BarglossError(f"{unknown.pop()!r} is not an articulation; use one of {', '.join(ARTICULATIONS)}")
        for note in self.notes:
            if note.finger is not None and not 0 <= note.finger <= 4:
                raise BarglossError(f"finger {note.finger}: fingers count from 1 (index) to 4, 0 for an open string")
            if (note.string is not None and note.string < 1) or (note.fret is not None and note.fret < 0):
                raise BarglossError("strings count from 1 (the highest), frets from 0 (open)")
            if note.fret is not None and note.string is None:
                raise BarglossError(f"fret {note.fret} of no string; name the string as well")
        if list(self.notes) != sorted(self.notes, key=_height):
            raise BarglossError("the notes of a double stop go from low to high")

    @property
    def end(self) -> Fraction:
        """When the next event begins."""
        return self.onset if self.grace else self.onset + self.duration

    @property
    def is_rest(self) -> bool:
        return not self.notes

    @property
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


def _height(note: Note) -> tuple[int, int]:
    return note.pitch.midi, note.pitch.diatonic


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
    drafted from. heading and text may carry light marks and music tokens.
    """

    start: Fraction
    stop: Fraction
    bars_on: int = 0
    heading: str = ""
    text: str = ""
    source: str = "teacher"


@dataclass(frozen=True)
class Bar:
    """events in time order, filling the bar; none at all is a bar of rest.

    meter and key: where they change. length: of a bar that is deliberately not as long as its
    meter (a pickup, a bar split at a repeat), in quarters. recording: seconds into the
    recording where the bar starts. break_before: "system" or "page", a wish.
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

    def __post_init__(self) -> None:
        at = Fraction(0)
        for event in self.events:
            if event.onset != at:
                what = "a gap" if event.onset > at else "an overlap"
                raise BarglossError(f"{what} at {min(at, event.onset)} quarters: an event begins at {event.onset}, "
                                    f"the one before ends at {at}; fill it with a rest or move the notes")
            at = event.end
        for row, name in ((self.changes, "chord symbol"), (self.readings, "reading")):
            offsets = [mark.offset for mark in row]
            if any(b <= a for a, b in pairwise(offsets)) or (offsets and offsets[0] < 0):
                raise BarglossError(f"two {name}s share a place or stand out of order; give each its own offset")
        for callout in self.callouts:
            if callout.bars_on < 0 or (callout.bars_on == 0 and callout.stop < callout.start):
                raise BarglossError("a callout ends before it begins; swap its first and last note")
        if self.length is not None and self.length <= 0:
            raise BarglossError("a bar needs a length above nothing")

    @cached_property
    def filled(self) -> Fraction:
        """How much of the bar its events take, in quarters."""
        return self.events[-1].end if self.events else Fraction(0)


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
