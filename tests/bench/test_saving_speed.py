"""What an edit costs to set aside and to save, on 72 and 720 bars: in the processor's time, whatever the disk does.

Run with `pytest tests/bench/test_saving_speed.py --benchmark-enable -q`. No time is asserted.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

import pytest

from core.files import Journal, parse_study, read_journal, save_study, study_xml, write_journal
from core.study import Study, edits
from tests.bench.big_study import big_study

LENGTHS = pytest.mark.parametrize("choruses", [6, 60], ids=["72 bars", "720 bars"])


def edited(study: Study) -> Iterator[Study]:
    """The study with one bar changed, and another, and another; each made of the one before."""
    for number in count():
        study = edits.set_comment(study, number * 7 % len(study.bars), f"Edit {number}")
        yield study


@pytest.mark.benchmark(group="an edit set aside")
@LENGTHS
def test_a_step_of_the_journal(benchmark, tmp_path, choruses):
    file, steps = tmp_path / "a.journal", edited(big_study(choruses))
    last = []

    def step() -> tuple[tuple[Study], dict[str, object]]:
        last[:] = [next(steps)]
        return (last[0],), {}

    benchmark.pedantic(lambda study: write_journal(file, Journal(study)), setup=step, rounds=40, warmup_rounds=2)
    assert read_journal(file).study == last[0]


@pytest.mark.benchmark(group="a study put into words from nothing")
@LENGTHS
def test_the_first_step_of_all(benchmark, choruses):
    text = study_xml(big_study(choruses))
    data = benchmark.pedantic(study_xml, setup=lambda: ((parse_study(text, "bench"),), {}), rounds=5)
    assert data == text


@pytest.mark.benchmark(group="an edited study saved")
@LENGTHS
def test_save(benchmark, tmp_path, choruses):
    file, steps = tmp_path / "a.study", edited(big_study(choruses))
    saved = [next(steps)]
    save_study(saved[0], file)

    def save() -> None:
        study = next(steps)
        save_study(study, file, saved[0])
        saved[0] = study

    benchmark.pedantic(save, rounds=20, warmup_rounds=1)
    assert file.read_bytes() == study_xml(saved[0])
