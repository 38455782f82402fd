"""The line as the devices see it: its sounding notes in order, each over its harmony and at its place in the bar.

A tie makes one tone of several heads; of a double stop only the highest counts; grace notes and rests
are left out. A bar's tones follow from the bar, its analysis and what stands next to it, so they are
made once and kept while those stay the same objects.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from core.harmony import ChordSymbol
from core.line.analysis import Analysis, BarAnalysis
from core.line.roles import Role
from core.study import Bar, Event, InForce, Key, Note, NotePlace, Pitch, Study

_NOTHING = Fraction(0)
_NO_PITCHES: frozenset[int] = frozenset()
_PARTS = Fraction(1, 2)  # a longer rest, in quarters, ends a phrase


class Tone(NamedTuple):
    """One sounding note.

    chord: what it is judged by (of an anticipation the coming one), None for none. above: semitones over
    its root, 0 to 11, -1 without a chord. degree: as `b9`, "" without a chord. strength: 3 on the first
    beat of the bar or of its second half, 2 on any other beat, 1 half way through a beat (or on a third
    of it), 0 elsewhere. length: quarters it sounds, ties counted. joined: no rest over an eighth parts it from the tone
    before. ahead: the chord that takes over while it sounds or as it ends, None where none does; until: how many
    quarters after its onset that is, 0 where none does. under: the chord in force when it is struck; since: how many
    quarters before that it was written, None where in an earlier bar. beat: its number, 0 off the beat.
    """

    place: NotePlace
    pitch: Pitch
    midi: int
    chord: ChordSymbol | None
    above: int
    degree: str
    is_chord_tone: bool
    role: Role
    key: Key
    in_key: bool
    strength: int
    onset: Fraction
    length: Fraction
    joined: bool
    ahead: ChordSymbol | None
    until: Fraction
    under: ChordSymbol | None
    since: Fraction | None
    beat: int


class _Around(NamedTuple):
    """What a bar's tones depend on beyond the bar itself."""

    at: int
    key: Key
    held_in: frozenset[int]
    rest_before: Fraction | None
    held_out: Fraction
    next_chord: ChordSymbol | None


class _Made(NamedTuple):
    """following: the next bar and its analysis; held, rest: what the bar leaves to it (see _Around)."""

    bar: Bar
    analysis: BarAnalysis
    around: _Around
    following: tuple[Bar, BarAnalysis] | None
    held: frozenset[int]
    rest: Fraction | None
    tones: tuple[Tone, ...]


@dataclass(frozen=True)
class Tones:
    """The tones of each bar."""

    bars: tuple[tuple[Tone, ...], ...]
    _made: tuple[_Made, ...] = field(default=(), repr=False, compare=False)


def tones_of(study: Study, analysis: Analysis, before: Tones | None = None) -> Tones:
    """Every bar's tones. before: those of the study as it was before an edit, to build on."""
    known = {id(made.bar): made for made in before._made} if before else {}
    made: list[_Made] = []
    held, rest = _NO_PITCHES, None
    followings = [*zip(study.bars[1:], analysis.bars[1:], strict=True), None]
    for here, found, following in zip(study.in_force, analysis.bars, followings, strict=True):
        old = known.get(id(here.bar))
        if old is None or old.analysis is not found or not _is_as_it_was(old, here.index, following, held, rest):
            old = _make(here, found, _Around(here.index, here.key, held, rest, _held_out(study, here.index),
                                             _first_chord(analysis, here.index + 1)), following, old)
        made.append(old)
        held, rest = old.held, old.rest
    return Tones(tuple([one.tones for one in made]), tuple(made))


def _is_as_it_was(old: _Made, at: int, following: tuple[Bar, BarAnalysis] | None, held: frozenset[int],
                  rest: Fraction | None) -> bool:
    """Whether a bar of the same analysis stands where it stood, between the same neighbours."""
    around, then = old.around, old.following
    is_followed_alike = then is following if then is None or following is None else (
        then[0] is following[0] and then[1] is following[1])
    return around.at == at and is_followed_alike and around.held_in == held and around.rest_before == rest


def _make(here: InForce, found: BarAnalysis, around: _Around, following: tuple[Bar, BarAnalysis] | None,
          old: _Made | None) -> _Made:
    if old is not None and old.analysis is found and old.around[1:] == around[1:]:
        tones = old.tones if old.around.at == here.index else tuple(_moved(old.tones, here.index))
    else:
        tones = tuple(_tones(here, found, around))
    return _Made(here.bar, found, around, following, _held(here.bar, around.held_in),
                 _rest_after(here, around.rest_before), tones)


def _moved(tones: tuple[Tone, ...], bar: int) -> Iterator[Tone]:
    for tone in tones:
        yield tone._replace(place=tone.place._replace(bar=bar))


def _tones(here: InForce, found: BarAnalysis, around: _Around) -> Iterator[Tone]:
    events, key = here.bar.events, here.key
    held, rest = around.held_in, around.rest_before
    for index, event in enumerate(events):
        if event.grace:
            continue
        if not event.notes:
            rest = None if rest is None else rest + event.duration
            continue
        head = len(event.notes) - 1
        pitch = event.notes[head].pitch
        midi = pitch.midi
        if midi not in held:
            note = found.notes[index][head]
            chord = note.judged_by
            tied = event.notes[head].tie
            length = _length(events, index, midi, around.held_out) if tied else event.duration
            yield Tone(
                NotePlace(here.index, index, head), pitch, midi, chord,
                -1 if chord is None else (midi - chord.root.chroma) % 12,
                "" if note.chord is None else note.chord.name, note.is_chord_tone, note.role,
                key, key.alter_of(pitch.step) == pitch.alter, note.strength,
                event.onset, length, rest is not None and (not rest or rest <= _PARTS),
                *_ahead(found, event.onset, event.onset + length if tied else event.end, here.length,
                        around.next_chord),
                *_under(found, event.onset), note.beat)
        held = _tied(event.notes)
        rest = _NOTHING


def _length(events: tuple[Event, ...], index: int, midi: int, held_out: Fraction) -> Fraction:
    """How long a note sounds, the notes it is tied to counted, in the next bar too."""
    length = events[index].duration
    note = events[index].notes[-1]
    while note.tie:
        index += 1
        if index == len(events):
            return length + held_out
        same = [other for other in events[index].notes if other.pitch.midi == midi]
        if not same:
            break
        length += _NOTHING if events[index].grace else events[index].duration
        note = same[0]
    return length


def _tied(notes: tuple[Note, ...]) -> frozenset[int]:
    if len(notes) == 1 and not notes[0].tie:  # nearly always, once a note
        return _NO_PITCHES
    return frozenset(note.pitch.midi for note in notes if note.tie)


def _held(bar: Bar, held: frozenset[int]) -> frozenset[int]:
    """What a bar ties on into the next."""
    return _tied(bar.events[-1].notes) if bar.events else held


def _held_out(study: Study, index: int) -> Fraction:
    """How long the last note of a bar sounds on in the next, where it is tied there."""
    events = study.bars[index].events
    if not (events and any(note.tie for note in events[-1].notes)) or index + 1 == len(study.bars):
        return _NOTHING
    held, following = _tied(events[-1].notes), study.bars[index + 1].events
    if following and any(note.pitch.midi in held for note in following[0].notes):
        return following[0].duration
    return _NOTHING


def _rest_after(here: InForce, rest: Fraction | None) -> Fraction | None:
    """How long the line has been silent when the bar ends, None before its first note."""
    silent = _NOTHING
    for event in reversed(here.bar.events):
        if event.notes:
            return silent
        silent += event.duration
    return None if rest is None else rest + (silent or here.length)


def _first_chord(analysis: Analysis, index: int) -> ChordSymbol | None:
    """The chord a bar begins with, where it is written there."""
    if index < len(analysis.bars):
        for span in analysis.bars[index].chords:
            return None if span.carried or span.offset else span.chord
    return None


def _ahead(found: BarAnalysis, onset: Fraction, end: Fraction, bar: Fraction,
           following: ChordSymbol | None) -> tuple[ChordSymbol | None, Fraction]:
    """The chord that takes over from a tone, and when, in quarters from its onset."""
    for span in found.chords:
        if span.offset and onset < span.offset <= end:
            return span.chord, span.offset - onset
    return (following, bar - onset) if following is not None and end >= bar else (None, _NOTHING)


def _under(found: BarAnalysis, onset: Fraction) -> tuple[ChordSymbol | None, Fraction | None]:
    """The chord in force, and for how long if it began in this bar."""
    for span in reversed(found.chords):
        if not span.offset or span.offset <= onset:
            return span.chord, None if span.carried else onset - span.offset if span.offset else onset
    return None, None
