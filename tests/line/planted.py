"""Whole studies composed of devices that are known: what is there, from which tone to which.

A line is a chain of devices over changes in one of twelve keys, in a meter, with a random rhythm. The next one begins
on the last tone of the one before and turns back, or they are parted by a rest over an eighth, by a leap of a fourth or
more, or by filler: one note, struck again and again, foreign to the chord and a leap away on both sides. Beside an
arpeggio the leap is wider than a tenth. Ticks are twelfths of a quarter.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random
from typing import Any, NamedTuple

from core.harmony import parse_chord, spell
from core.harmony.chord import ChordSymbol
from core.study import Bar, Change, Event, Note, NotePlace, Pitch, Study, Tuplet, written
from tests.line.planted_frame import BARS, QUARTER, frame_of, lengths_of
from tests.line.planting import Beat, Claim, Draft, Lands, Setting
from tests.line.planting_changes import COMPOSERS, linked
from tests.line.trade import Harmony

_LOWEST, _HIGHEST = 45, 88
_LEAP, _OVER_A_TENTH = 5, 17


class Planted(NamedTuple):
    """A device that is in the line. first, last: None where not claimed."""

    kind: str
    first: NotePlace | None
    last: NotePlace | None
    facts: dict[str, Any]


class Sounded(NamedTuple):
    """A tone of the line. start, stop: ticks from the beginning; into: the chord that comes next, and when.

    beat: which of the bar it falls on, 0 for none. joined: no rest over an eighth before it.
    """

    place: NotePlace
    midi: int
    start: int
    stop: int
    here: Harmony
    into: Harmony | None
    change: int
    beat: int
    joined: bool
    scale: frozenset[int]


class Line(NamedTuple):
    study: Study
    tones: tuple[Sounded, ...]
    planted: tuple[Planted, ...]


class _Note(NamedTuple):
    midi: int
    start: int
    length: int


def planted_line(seed: int) -> Line:
    """The same line for the same seed."""
    return _Composer(seed).line()


class _Composer:
    """Writes one line from left to right."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)
        self.frame = frame_of(self.chance, seed % 12)
        self.notes: list[_Note] = []
        self.triplets: set[int] = set()
        self.claims: list[tuple[int, Claim]] = []  # with the index of the device's first tone
        self.counts = dict.fromkeys(COMPOSERS, 0)
        self.last: Draft | None = None
        self.at = 0

    def line(self) -> Line:
        failed = 0
        while self.at < self.frame.end - self.frame.bar and failed < 60:
            kind = min(self.counts, key=lambda kind: self.counts[kind] + 2 * self.chance.random())
            if self._add(kind):
                self.counts[kind] += 0.5 if kind == "altered" else 1  # few changes allow it
                failed = 0
            else:
                failed += 1
        return _written(self)

    def _add(self, kind: str) -> bool:
        """Whether one more device of this kind could be set; it is tried at one place only."""
        frame, chance = self.frame, self.chance
        earliest = self.at + chance.choice((0, 0, 0, frame.beat, 2 * frame.beat))
        if chance.random() < 0.15:
            earliest = max(earliest, frame.next_change(self.at)[0])
        change, coming = frame.next_change(earliest)
        setting = Setting(frame.chord(earliest), coming, frame.key.tonic.chroma, frame.scale)
        draft = COMPOSERS[kind](chance, setting)
        if draft is None:
            return False
        if chance.random() < 0.4:
            draft = linked(chance, setting, draft) or draft
        start = change - draft.lead if draft.lead else earliest
        lengths = draft.lengths or lengths_of(chance, frame, start, len(draft.notes), draft.even)
        if lengths[0] < 0:  # an eighth late
            start, lengths = start + 6, lengths[1:]
        if start < earliest or not self._fits(draft, start, lengths, setting):
            return False
        placed = self._joined(draft, start)
        if placed is None:
            return False
        self._play(placed, draft, start, lengths)
        return True

    def _fits(self, draft: Draft, start: int, lengths: tuple[int, ...], at: Setting) -> bool:
        """Whether the device lies in its chord and in three bars (a finding ends two bars on) and on its beats."""
        frame, stop = self.frame, start + sum(lengths)
        change, _ = frame.next_change(start)
        if any((start + sum(lengths[:place])) % frame.beat for place in draft.on_beat):
            return False
        if stop > (frame.next_change(change)[0] if draft.lead else change):
            return False
        if (stop - lengths[-1]) // frame.bar - start // frame.bar > 2:
            return False
        if draft.lead or stop < change or at.coming is None:
            return True
        return draft.notes[-1] % 12 not in at.coming.tones - at.here.tones  # that may be an anticipation as well

    def _joined(self, draft: Draft, start: int) -> list[_Note] | None:
        """The filler before the device and its tones an octave or two away, so that nothing runs into it."""
        chance, gap = self.chance, start - self.at
        octaves = [12 * k for k in range(-2, 3)]
        chance.shuffle(octaves)
        for octave in octaves:
            notes = [midi + octave for midi in draft.notes]
            if not all(_LOWEST <= midi <= _HIGHEST for midi in notes):
                continue
            filler = None
            if gap and (gap <= 6 or chance.random() < 0.3):
                filler = self._filler(notes, draft, start)
            touching = gap <= 6 and bool(self.notes)
            if filler is not None or not touching or (not gap and self._apart(self.notes[-1].midi, notes[0], draft)):
                return [*(filler or ()), *(_Note(midi, start, 0) for midi in notes)]
        return None

    def _filler(self, notes: list[int], draft: Draft, start: int) -> list[_Note] | None:
        here, coming = self.frame.chord(self.at), self.frame.next_change(self.at)
        gap = start - self.at
        count = gap // 6
        if coming[0] < start or gap % 6 or count > 6 or not self.notes:
            return None
        taken = here.tones | (coming[1].tones if coming[1] else set())
        plain = {(here.root + above) % 12 for above in (2, 5, 9)} - taken
        pitches = [midi for midi in range(_LOWEST - 4, _HIGHEST + 4) if midi % 12 in plain
                   and self._apart(self.notes[-1].midi, midi, None) and self._apart(midi, notes[0], draft)]
        if not pitches:
            return None
        pitch = self.chance.choice(pitches)
        return [_Note(pitch, self.at + 6 * k, 6) for k in range(count)]

    def _apart(self, before: int, first: int, draft: Draft | None) -> bool:
        """Whether a device may follow at once. A leap inside a tenth might go on with an arpeggio."""
        ends = [one.claims[place].kind for one, place in ((draft, 0), (self.last, -1)) if one]
        return abs(first - before) >= (_OVER_A_TENTH if "arpeggio" in ends else _LEAP)

    def _play(self, placed: list[_Note], draft: Draft, start: int, lengths: tuple[int, ...]) -> None:
        beat = self.frame.beat
        count = len(draft.notes)
        self.notes += placed[:-count]
        self.claims += [(len(self.notes), claim) for claim in draft.claims]
        at = start
        for note, length in zip(placed[-count:], lengths, strict=True):
            if length in (4, 8):
                self.triplets.add(at // beat * beat)
            self.notes.append(_Note(note.midi, at, length))
            at += length
        self.at, self.last = at, draft


def _written(made: _Composer) -> Line:
    frame = made.frame
    rows: list[list[Event]] = [[] for _ in range(BARS)]
    places: dict[int, NotePlace] = {}
    for start, stop, index in _heads(made):
        for a, b in _pieces(start, stop, made):
            bar = a // frame.bar
            notes: tuple[Note, ...] = ()
            if index is not None:
                places.setdefault(index, NotePlace(bar, len(rows[bar])))
                notes = (Note(_pitch(made, index), tie=b < stop),)
            group = a // frame.beat * frame.beat
            tuplets = (Tuplet(3, 2, starts=a == group),) if group in made.triplets else ()
            rows[bar].append(Event(Fraction(a % frame.bar, QUARTER), Fraction(b - a, QUARTER), notes, tuplets))
    bars = []
    for number, row in enumerate(rows):
        changes = tuple(Change(Fraction(start % frame.bar, QUARTER), harmony.symbol)
                        for start, harmony in frame.changes if start // frame.bar == number)
        bars.append(Bar(tuple(row) if any(event.notes for event in row) else (), changes))
    tones = tuple(_sounded(made, places))
    return Line(Study(bars=tuple(bars), key=frame.key, meter=frame.meter), tones, tuple(_planted(made, tones)))


def _heads(made: _Composer) -> Iterator[tuple[int, int, int | None]]:
    """Start, stop and index of every note and, with None, every rest."""
    at = 0
    for index, note in enumerate(made.notes):
        if note.start > at:
            yield at, note.start, None
        at = note.start + note.length
        yield note.start, at, index
    if at < made.frame.end:
        yield at, made.frame.end, None


def _pieces(start: int, stop: int, made: _Composer) -> Iterator[tuple[int, int]]:
    """A length cut at barlines, round triplets, and where no single head will do."""
    frame = made.frame
    while start < stop:
        cuts = [stop, (start // frame.bar + 1) * frame.bar]
        group = start // frame.beat * frame.beat
        if group in made.triplets:
            cuts.append(group + frame.beat)
        else:
            cuts += [beat for beat in made.triplets if beat > start]
            cut = min(cuts)
            while written(Fraction(cut - start, QUARTER)) is None:
                cut = (cut - 1) // 3 * 3
            cuts.append(cut)
        yield start, min(cuts)
        start = min(cuts)


def _pitch(made: _Composer, index: int) -> Pitch:
    """Notes of the key as the key has them, the others as the chord or the way they go asks."""
    note, frame = made.notes[index], made.frame
    chord = None if note.midi % 12 in frame.scale else parse_chord(frame.chord(note.start).symbol)
    following = made.notes[index + 1].midi if index + 1 < len(made.notes) else None
    return spell(note.midi, frame.key, chord if isinstance(chord, ChordSymbol) else None, following)


def _sounded(made: _Composer, places: dict[int, NotePlace]) -> Iterator[Sounded]:
    frame = made.frame
    stop = None
    for index, note in enumerate(made.notes):
        change, into = frame.next_change(note.start)
        within = note.start % frame.bar
        yield Sounded(places[index], note.midi, note.start, note.start + note.length, frame.chord(note.start), into,
                      change, 0 if within % frame.beat else within // frame.beat + 1,
                      stop is not None and note.start - stop <= 6, frame.scale)
        stop = note.start + note.length


def _planted(made: _Composer, tones: tuple[Sounded, ...]) -> Iterator[Planted]:
    for offset, claim in made.claims:
        def tone(at: int, offset: int = offset) -> Sounded:
            return tones[offset + at]

        facts = {}
        for name, value in claim.facts.items():
            if isinstance(value, Beat):
                facts[name] = tone(value.at).beat
            elif isinstance(value, Lands):
                if tone(value.at).beat:
                    facts[name] = tone(value.at).here.degree(tone(value.at).midi)
            else:
                facts[name] = value
        yield Planted(claim.kind, None if claim.first is None else tone(claim.first).place,
                      None if claim.last is None else tone(claim.last).place, facts)

