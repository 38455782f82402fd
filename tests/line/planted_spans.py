"""Choruses in which an idea comes back, and bars that play another harmony than the chart's: what is where is known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import NamedTuple

from core.harmony import spell
from core.study import Bar, Change, Event, Key, Meter, Note, NotePlace, Study
from tests.line.planted import planted_line
from tests.line.planted_frame import keyed
from tests.line.trade import Harmony

_EIGHTH, _QUARTER, _BEAT_AND_A_HALF = Fraction(1, 2), Fraction(1), Fraction(3, 2)
_RHYTHMS = ((1, 1, 2, 1, 1, 1), (2, 1, 1, 1, 1, 1), (1, 2, 1, 1, 2), (3, 1, 1, 1, 1), (1, 1, 1, 3, 1))  # in eighths
_MOST_SEEDS = 400


class Return(NamedTuple):
    """An idea that comes back at first to last."""

    study: Study
    first: NotePlace
    last: NotePlace
    back: int
    form: str
    step: int
    notes: int


def returning(seed: int) -> Return:
    """Two choruses of devices; in each one bar of an idea with a rhythm of its own, the second time at another pitch
    or not. The chart has 4/4 bars; the idea turns, has three notes or more, and a rest on either side."""
    chance = Random(seed)
    first, second = _of_four(chance), _of_four(chance)
    rhythm = chance.choice(_RHYTHMS)
    while True:
        idea = [60 + chance.randint(-5, 9) for _ in rhythm]
        moves = [b - a for a, b in pairwise(idea)]
        if 0 not in moves and min(moves) < 0 < max(moves) and len(set(idea)) > 3:
            break
    step = chance.choice((0, 0, -5, -3, -2, 2, 3, 5, 7))
    model = _idea(idea, rhythm, first.key)
    again = _idea([midi + step for midi in idea], rhythm, first.key)
    at, later = chance.randrange(len(first.bars) + 1), chance.randrange(len(second.bars) + 1)
    silence = Bar()
    bars = (*first.bars[:at], silence, model, silence, *first.bars[at:],
            *_in_key(second, first.key)[:later], silence, again, silence, *_in_key(second, first.key)[later:])
    place = len(first.bars) + 3 + later + 1
    return Return(replace(first, bars=bars), NotePlace(place, 1), NotePlace(place, len(rhythm)), place - at - 1,
                  "transposed" if step else "same notes", step, len(rhythm))


def _of_four(chance: Random) -> Study:
    for _ in range(_MOST_SEEDS):
        study = planted_line(chance.randrange(100_000)).study
        if study.meter == Meter((4,)):
            return study
    raise AssertionError("no line in 4/4")


def _in_key(study: Study, key: Key) -> tuple[Bar, ...]:
    return (replace(study.bars[0], key=study.key if study.key != key else None), *study.bars[1:])


def _idea(idea: Sequence[int], rhythm: Sequence[int], key: Key) -> Bar:
    """An eighth's rest, the idea, and rest to the end of the bar."""
    events, at = [Event(Fraction(0), _EIGHTH)], _EIGHTH
    for midi, eighths in zip(idea, rhythm, strict=True):
        events.append(Event(at, eighths * _EIGHTH, (Note(spell(midi, key)),)))
        at += eighths * _EIGHTH
    while at < 4:
        events.append(Event(at, _EIGHTH))
        at += _EIGHTH
    return Bar(tuple(events))


class Reading(NamedTuple):
    """bar: where the notes are those of `harmony`."""

    study: Study
    bar: int
    harmony: Harmony


_CHANGES = (  # a chart of eight bars, semitones above the tonic
    ((2, "minor-seventh"), (7, "dominant"), (0, "major-seventh"), (9, "dominant")) * 2,
    ((0, "dominant"), (5, "dominant"), (0, "dominant"), (9, "dominant"),
     (2, "minor-seventh"), (7, "dominant"), (0, "dominant"), (7, "dominant")),
)


def read_otherwise(seed: int) -> Reading:
    """Eighths from chord to chord, each bar the tones of its chord, but for one bar that has those of another harmony:
    a dominant's tritone substitute, or the chord before or after, where it shares one tone at most with the chart."""
    chance = Random(seed)
    tonic = chance.choice([note for note in range(12) if note != 5])
    key = keyed(tonic)
    chart = [Harmony((tonic + above) % 12, kind, key.fifths > 0) for above, kind in chance.choice(_CHANGES)]
    bar, harmony = chance.choice(list(_others(chart)))
    rows = [_chord_tones(harmony if at == bar else chord, chord, chance) for at, chord in enumerate(chart)]
    bars = tuple(_filled(row, chord, key) for row, chord in zip(rows, chart, strict=True))
    return Reading(Study(bars=bars, key=key), bar, harmony)


def _others(chart: list[Harmony]) -> Iterator[tuple[int, Harmony]]:
    for bar in range(1, len(chart) - 1):
        chord = chart[bar]
        for harmony in (chart[bar - 1], chart[bar + 1]):
            if len(harmony.tones & chord.tones) <= 1:
                yield bar, harmony
        if chord.is_dominant:
            yield bar, Harmony((chord.root + 6) % 12, "dominant", chord.sharp)


def _chord_tones(chord: Harmony, chart: Harmony, chance: Random) -> list[int]:
    """Up and down the chord, its root or third on strong beats, and that one foreign to the chart if it is another."""
    tones = sorted(60 + (tone - 60) % 12 for tone in chord.tones)
    ladder = [*tones, *(tone + 12 for tone in tones)]
    strong = [tone for tone in (chord.root, chord.third) if chord == chart or not chart.has(tone)]
    start = next(place for place, tone in enumerate(ladder) if tone % 12 in strong)
    way = [0, 1, 2, 3, 4, 3, 2, 1] if chance.random() < 0.5 else [0, 2, 1, 2, 0, 1, 2, 3]
    return [ladder[(start + step) % len(ladder)] for step in way]


def _filled(row: list[int], chord: Harmony, key: Key) -> Bar:
    events = tuple(Event(place * _EIGHTH, _EIGHTH, (Note(spell(midi, key)),)) for place, midi in enumerate(row))
    return Bar(events, (Change(Fraction(0), chord.symbol),))
