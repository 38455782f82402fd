"""How long it takes to analyse a study and to tell what its line does; and music21 for the degrees alone.

Run with `pytest tests/bench/test_findings_speed.py --benchmark-enable -q`; without it each body runs once, as a plain
test. No time is asserted. The ratio to music21, a note, is printed.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain, cycle
from time import perf_counter

import pytest
from music21 import harmony as m21_harmony
from music21 import interval as m21_interval
from music21 import pitch as m21_pitch

from core.line import analyse
from core.line.telling import Told, told
from core.study import NotePlace, Study, edits, parse_pitch
from tests.bench.big_study import big_study
from tests.bench.test_speed import forget, fresh, garbage_aside  # noqa: F401  (a fixture for every body)

ROUNDS = {6: 10, 60: 3, 600: 1}


def all_told(study: Study) -> Told:
    return told(study, analyse(study))


@pytest.mark.benchmark(group="a line analysed and told")
@pytest.mark.parametrize("choruses", ROUNDS, ids=["72 bars", "720 bars", "7200 bars"])
def test_from_nothing(benchmark, choruses):
    study = big_study(choruses if not benchmark.disabled else 6)
    found = benchmark.pedantic(all_told, setup=lambda: (forget(), ((fresh(study),), {}))[1], rounds=ROUNDS[choruses])
    assert len(found.bars) == len(study.bars)
    assert sum(map(len, found.chosen)) > len(study.bars) / 2


@pytest.mark.benchmark(group="a line analysed and told")
def test_with_tables_known(benchmark):
    """As when a second study is opened: what is known of chords and scales is kept."""
    study = big_study()
    all_told(study)
    found = benchmark.pedantic(all_told, setup=lambda: ((fresh(study),), {}), rounds=10)
    assert len(found.bars) == len(study.bars)


def one_note_edits(study: Study) -> Callable[[], Told]:
    """A function that changes one note of the study, another each time, and tells anew what has changed."""
    state = [study, analyse(study)]
    found = [told(*state)]
    spots = cycle([(NotePlace(bar, event), name) for name in ("Eb4", "D4") for bar in range(1, len(study.bars), 7)
                   for event in (1, 2)])

    def edit() -> Told:
        place, name = next(spots)
        study = edits.set_note_pitch(state[0], place, parse_pitch(name))
        analysis = analyse(study, state[1])
        found[0] = told(study, analysis, found[0])
        state[:] = study, analysis
        return found[0]

    return edit


@pytest.mark.benchmark(group="one bar edited, the line told anew")
@pytest.mark.parametrize("choruses", [6, 60], ids=["72 bars", "720 bars"])
def test_one_edited_bar(benchmark, choruses):
    study = big_study(choruses if not benchmark.disabled else 6)
    edit = one_note_edits(study)
    found = benchmark.pedantic(edit, rounds=30 if not benchmark.disabled else 1)
    assert len(found.bars) == len(study.bars)


def rows_of(study: Study) -> list[tuple[str, list[str]]]:
    """By chord symbol, as music21 writes names: `B-7`, `E-4`."""
    rows: list[tuple[str, list[str]]] = []
    for here in study.in_force:
        symbols = {change.offset: change.symbol for change in here.bar.changes}
        for event in here.bar.events:
            if event.onset in symbols:
                symbol = symbols[event.onset]
                rows.append((symbol[0] + symbol[1:2].replace("b", "-") + symbol[2:], []))
            rows[-1][1].extend(note.pitch.name.replace("b", "-") for note in event.notes)
    return rows


def degrees_by_music21(rows: list[tuple[str, list[str]]]) -> list[str]:
    """The degree of every note over the root of its chord, by ChordSymbol and Interval: nothing else."""
    found = []
    for symbol, names in rows:
        root = m21_pitch.Pitch(m21_harmony.ChordSymbol(symbol).root().name, octave=0)
        found += [m21_interval.Interval(root, m21_pitch.Pitch(name)).semiSimpleName for name in names]
    return found


@pytest.mark.benchmark(group="72 bars: degrees alone")
def test_music21_for_the_degrees_alone(benchmark):
    rows = rows_of(big_study())
    found = benchmark.pedantic(degrees_by_music21, args=(rows,), rounds=3)
    assert len(found) == sum(len(names) for _, names in rows)


@pytest.mark.benchmark(group="72 bars: degrees alone")
def test_ours_with_roles(benchmark):
    study = big_study()
    found = benchmark.pedantic(analyse, setup=lambda: (forget(), ((fresh(study),), {}))[1], rounds=10)
    assert len(found.bars) == len(study.bars)


@pytest.mark.benchmark(group="72 bars: ratio")
def test_how_many_times_faster_a_note(benchmark, capsys):
    """Best of three each, in one run: our roles and degrees, then all that is told, against their degrees."""
    study = big_study()
    rows = rows_of(study)
    notes = sum(len(names) for _, names in rows)

    def best(work: Callable[[Study], object]) -> float:
        took = []
        for _ in range(3):
            forget()
            anew = fresh(study)
            start = perf_counter()
            work(anew)
            took.append(perf_counter() - start)
        return min(took)

    theirs = best(lambda _: degrees_by_music21(rows))
    ours, everything = best(analyse), best(all_told)
    benchmark.pedantic(lambda: None, rounds=1)
    if not benchmark.disabled:
        with capsys.disabled():
            print(f"\n{notes} notes. music21, degrees alone: {theirs / notes * 1e6:.0f} µs a note; ours with roles: "
                  f"{ours / notes * 1e6:.1f} µs, {theirs / ours:.0f} times faster; with all findings, readings and the "
                  f"choice: {everything / notes * 1e6:.1f} µs, {theirs / everything:.1f} times faster")
    assert len(list(chain.from_iterable(names for _, names in rows))) == notes
