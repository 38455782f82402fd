"""What is found of what is planted, how little where nothing is meant, and how much of real tunes is explained.

Run with `pytest tests/bench/test_findings_table.py --benchmark-enable -q`: 2,000 planted lines, and the tables are
printed. Without it a few lines only, as a plain test.
"""

from __future__ import annotations

import pytest

from tests.line.idle import atonal, rates, scales
from tests.line.planted import planted_line
from tests.line.planted_spans import read_otherwise, returning
from tests.line.scoring import score, table
from tests.line.scoring_spans import score_readings, score_returns
from tests.outside.test_findings_of_tunes import OF_THE_CORPUS, folk, total, with_chords

LINES, CHORUSES = 2000, 400
FEW = 20


@pytest.fixture
def shown(benchmark, capsys):
    """Prints what is measured, where the benchmarks run."""
    def show(text: str) -> None:
        if not benchmark.disabled:
            with capsys.disabled():
                print(f"\n{text}")

    return show


@pytest.mark.benchmark(group="planted lines")
def test_recall_and_precision(benchmark, shown):
    lines, choruses = (LINES, CHORUSES) if not benchmark.disabled else (FEW, FEW)
    scores = benchmark.pedantic(score, args=(list(map(planted_line, range(lines))),), rounds=1)
    scores["reading"] = score_readings(map(read_otherwise, range(choruses)))
    scores["return"] = score_returns(map(returning, range(choruses)))
    shown(f"{lines} planted lines, {choruses} choruses of readings and of returns\n{table(scores)}")
    assert all(one.planted for one in scores.values())


@pytest.mark.benchmark(group="idle lines")
def test_rates_where_nothing_is_meant(benchmark, shown):
    studies = {"random notes": [atonal(seed) for seed in range(4)], "scales up and down": scales()}
    found = benchmark.pedantic(lambda: {name: rates(own) for name, own in studies.items()}, rounds=1)
    for name, row in found.items():
        shown(f"findings in 100 notes, {name}: " + ", ".join(f"{kind} {rate:.2f}" for kind, rate in row.items()))
    assert found["scales up and down"]["run"] > 0


@pytest.mark.benchmark(group="tunes")
def test_notes_explained(benchmark, shown):
    groups = {"tunes with chords of their own": {name: with_chords()[name] for name in OF_THE_CORPUS},
              "files of the suite with chords": {name: study for name, study in with_chords().items()
                                                 if name not in OF_THE_CORPUS},
              "folk tunes with chords of ours": folk()}
    found = benchmark.pedantic(lambda: {name: total(own) for name, own in groups.items()}, rounds=1)
    rows = [f"{name:34}{one.notes:6}{one.rate:11.1%}{one.chord_tones / one.notes:14.1%}{one.told / one.notes:14.1%}"
            for name, one in found.items()]
    head = f"{'':34}{'notes':>6}{'explained':>11}{'chord tones':>14}{'in a finding':>14}"
    shown("\n".join((head, *rows)))
    assert all(one.notes for one in found.values())
