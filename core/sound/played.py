"""What sounds, in quarters from the first bar: ties merged, graces given time, the changes as chords."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal, NamedTuple

from core.errors import BarglossError
from core.harmony import NoChord, parse_chord
from core.sound.feel import Mover, straight
from core.sound.loudness import LEVELS, velocity
from core.study import Event, InForce, Note, Study

_GRACE = Fraction(1, 8)
"""Quarters a grace note takes at most: common practice, no source."""
_COMP = 40
"""MIDI velocity of the changes, our own choice."""


class Played(NamedTuple):
    """One sounding note. start, length: quarters. velocity: 1 to 127."""

    start: Fraction
    length: Fraction
    midi: int
    velocity: int
    kind: Literal["line", "comp"]
    staccato: bool = False

    @property
    def end(self) -> Fraction:
        return self.start + self.length


def line_notes(study: Study, order: Iterable[int], moved: Mover = straight) -> tuple[Played, ...]:
    """The solo, bars in the given order, by start."""
    line = _Line()
    for begin, here in placed_bars(study, order):
        if not here.bar.events:
            line.rest()
        for event in here.bar.events:
            line.add(event, begin + moved(here, event.onset), begin + moved(here, event.end))
    return tuple(sorted(line.notes))


def placed_bars(study: Study, order: Iterable[int]) -> Iterator[tuple[Fraction, InForce]]:
    """Each bar with the quarter it begins at."""
    begin = Fraction(0)
    for index in order:
        here = study.in_force[index]
        yield begin, here
        begin += here.length


class _Line:
    """Collects the notes of a line as its events go by."""

    def __init__(self) -> None:
        self.notes: list[Played] = []
        self._tied: dict[int, int] = {}
        """Place in `notes` of each note a tie holds on, by MIDI number."""
        self._last: tuple[int, ...] = ()
        self._onset: Fraction | None = None
        self._graces: list[Event] = []
        self._level = "mf"

    def rest(self) -> None:
        self._tied, self._last, self._graces = {}, (), []

    def add(self, event: Event, start: Fraction, end: Fraction) -> None:
        if event.dynamic in LEVELS:
            self._level = event.dynamic
        if event.grace:
            self._graces.append(event)
            return
        begin = self._play_graces(event, start, end) if self._graces else start
        self._last = tuple(self._strike(note, event, begin, end) for note in event.notes)
        self._hold(event)
        self._onset = begin

    def _hold(self, event: Event) -> None:
        self._tied = {note.pitch.midi: place for note, place in zip(event.notes, self._last, strict=True) if note.tie}

    def _strike(self, note: Note, event: Event, start: Fraction, end: Fraction) -> int:
        """Begin a note, or lengthen the one a tie holds on; return its place."""
        midi = note.pitch.midi
        staccato = "staccato" in event.articulations
        if midi in self._tied:
            place = self._tied[midi]
            before = self.notes[place]
            self.notes[place] = before._replace(length=end - before.start, staccato=staccato)
            return place
        self.notes.append(Played(start, end - start, midi, velocity(note, event, self._level), "line", staccato))
        return len(self.notes) - 1

    def _play_graces(self, event: Event, start: Fraction, end: Fraction) -> Fraction:
        """Play the waiting graces just before `start`, in time taken from the event before.

        Before the first event there is no time to take: they begin on it and it comes late. Returns its start.
        """
        graces, self._graces = self._graces, []
        room = end - start if self._onset is None else start - self._onset
        step = min(_GRACE, room / (2 * len(graces)))
        at = start if self._onset is None else start - step * len(graces)
        wanted = {note.pitch.midi for each in (*graces, event) for note in each.notes}
        for place in self._last:
            note = self.notes[place]
            if not (note.midi in self._tied and note.midi in wanted):
                self.notes[place] = note._replace(length=min(note.end, at) - note.start)
        for grace in graces:
            held = dict(self._tied)
            self._last = tuple(self._strike(note, grace, at, at + step) for note in grace.notes)
            self._hold(grace)
            self._tied = {midi: place for midi, place in held.items() if place not in self._last} | self._tied
            at += step
        return at


def comp_notes(study: Study, order: Iterable[int], moved: Mover = straight) -> tuple[Played, ...]:
    """The changes as soft block chords, struck at each change and at each barline."""
    found = []
    for begin, here in placed_bars(study, order):
        for start, end, symbol in _stretches(here):
            first, last = moved(here, start), moved(here, end)
            found += [Played(begin + first, last - first, midi, _COMP, "comp") for midi in voicing(symbol)]
    return tuple(found)


def _stretches(here: InForce) -> Iterator[tuple[Fraction, Fraction, str]]:
    """Each chord symbol of a bar with its start and end; the first may have come from an earlier bar."""
    at, symbol = Fraction(0), here.chord
    for change in here.changes:
        if change.offset > at:
            yield at, change.offset, symbol
        at, symbol = change
    yield at, here.length, symbol


def voicing(symbol: str) -> tuple[int, ...]:
    """MIDI numbers of a plain voicing: the bass from E2 up, the other chord tones within the octave from F#3.

    None for no chord, and none for a symbol that cannot be read: checking a study reports those.
    """
    try:
        chord = parse_chord(symbol)
    except BarglossError:
        return ()
    if isinstance(chord, NoChord):
        return ()
    bass = (chord.bass or chord.root).chroma
    upper = set(chord.pitch_classes) - {bass}
    return tuple(sorted([40 + (bass - 40) % 12, *(54 + (chroma - 54) % 12 for chroma in upper)]))
