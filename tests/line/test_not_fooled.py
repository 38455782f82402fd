"""Lines in which nothing is meant give almost nothing: notes drawn at random, and scales up and down.

Rates are findings in 100 notes; `tests/bench/test_findings_table.py` prints them.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.line.idle import ATONAL_BARS, atonal, rates, scales

# Two notes within a whole step on either side of a chord tone come once in some 200 notes of a random line over two
# octaves, by arithmetic; the bounds are of that order.
AT_MOST_OF_ATONAL = {"enclosure": 0.6, "cell": 0.2, "substitution": 0.8, "reading": 1.0, "sequence": 0.2, "turn": 0.1,
                     "run": 0.6, "arpeggio": 2.5, "passing-half-step": 0.3}
AT_MOST_OF_SCALES = {"enclosure": 0.1, "cell": 0.1, "substitution": 0.1, "reading": 0.1, "sequence": 0.1, "turn": 0.1,
                     "arpeggio": 0.1}


@cache
def atonal_rates() -> dict[str, float]:
    return rates([atonal(seed) for seed in range(4)])


@cache
def scale_rates() -> dict[str, float]:
    return rates(scales())


@pytest.mark.parametrize("kind", AT_MOST_OF_ATONAL)
def test_random_notes_give_almost_no(kind):
    assert atonal_rates().get(kind, 0) <= AT_MOST_OF_ATONAL[kind]


@pytest.mark.parametrize("kind", AT_MOST_OF_SCALES)
def test_plain_scales_give_almost_no(kind):
    assert scale_rates().get(kind, 0) <= AT_MOST_OF_SCALES[kind]


def test_plain_scales_are_runs():
    assert scale_rates()["run"] >= 100 / 15 - 1  # up an octave and down again, 14 notes and a rest, is two runs


def test_the_random_lines_are_long_enough_to_tell():
    assert ATONAL_BARS * 8 * 4 >= 3000
