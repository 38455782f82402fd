"""How long a fingering takes: from nothing, again, and with one note locked. No time is asserted.

Run with `pytest tests/bench/test_fingering_speed.py --benchmark-enable -q`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from core.guitar import Fingering, finger, places
from core.study import Bar, Event, Guitarist, Note, NotePlace, Study, edits
from tests.bench.big_study import big_study
from tests.bench.test_speed import forget
from tests.guitar.lines import pitch

BARS = 72  # of eight notes: 576


def chromatic(bars: int, seed: int = 5) -> Study:
    """Eighths all over the neck, no two bars alike; slurs and double stops here and there."""
    random = Random(seed)
    row = []
    for _ in range(bars):
        heights = [random.randint(40, 86) for _ in range(8)]
        events = [Event(Fraction(at, 2), Fraction(1, 2), (Note(pitch(midi)),), slur="start" if at == 2 else
                        "stop" if at == 4 else "") for at, midi in enumerate(heights)]
        if random.random() < 0.2:
            double = tuple(Note(pitch(midi)) for midi in sorted((heights[0], heights[0] + random.choice((3, 4, 5)))))
            events[0] = replace(events[0], notes=double)
        row.append(Bar(tuple(events)))
    return Study(tempo=200, bars=tuple(row), guitarist=Guitarist(picking="economy"))


@pytest.mark.benchmark(group="576 notes fingered")
@pytest.mark.parametrize("make", [lambda: big_study(6), lambda: chromatic(BARS)], ids=["a solo", "all over the neck"])
def test_from_nothing(benchmark, make):
    study = make()
    result = benchmark.pedantic(finger, setup=lambda: (forget(), ((study,), {}))[1], rounds=10)
    assert len(result.bars) == len(study.bars)


@pytest.mark.benchmark(group="576 notes fingered")
@pytest.mark.parametrize("make", [lambda: big_study(6), lambda: chromatic(BARS)], ids=["a solo", "all over the neck"])
def test_with_tables_known(benchmark, make):
    study = make()
    finger(study)
    result = benchmark.pedantic(finger, args=(study,), rounds=10)
    assert len(result.bars) == len(study.bars)


@pytest.mark.benchmark(group="many notes fingered, from nothing")
@pytest.mark.parametrize("notes", [5_000, 50_000])
def test_many_notes(benchmark, notes):
    study = chromatic(notes // 8)
    result = benchmark.pedantic(finger, setup=lambda: (forget(), ((study,), {}))[1], rounds=1)
    assert len(result.bars) == notes // 8


def locked_notes(study: Study) -> Iterator[tuple[Study, Fingering]]:
    """Studies with one more note each on another string than it was, and the fingering before."""
    known = finger(study)
    for bar, event in ((bar, event) for bar in range(0, len(study.bars), 7) for event in (1, 3)):
        place = NotePlace(bar, event)
        if study.event_at(place).notes:
            taken = known.bars[bar].events[event].notes[0]
            options = places(study.note_at(place).pitch.midi, study.instrument)
            other = next((one for one in options if taken is None or one.string != taken.string), options[0])
            study = edits.set_string(study, place, *other)
            yield study, known
            known = finger(study, known)


@pytest.mark.benchmark(group="one note locked")
@pytest.mark.parametrize("make", [lambda: big_study(6), lambda: chromatic(BARS), lambda: big_study(60)],
                         ids=["a solo", "all over the neck", "720 bars"])
def test_one_note_locked(benchmark, make):
    rows = locked_notes(make())
    result = benchmark.pedantic(finger, setup=lambda: (next(rows), {}), rounds=20)
    assert result.bars
