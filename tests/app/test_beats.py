"""Beats as counted, against offsets in quarters; the meters are the trade's own counting."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.beats import beat_text, read_beat
from core.errors import BarglossError
from core.study import Bar, InForce, Key, Meter


def here(meter: Meter, length: Fraction | None = None, index: int = 1) -> InForce:
    return InForce(index, index, Bar(length=length), Key(), meter, "", (), False, False)


@pytest.mark.parametrize(("meter", "offset", "text"), [
    (Meter((4,), 4), Fraction(0), "1"), (Meter((4,), 4), Fraction(2), "3"), (Meter((4,), 4), Fraction(3, 2), "2 1/2"),
    (Meter((4,), 4), Fraction(4, 3), "2 1/3"), (Meter((6,), 8), Fraction(3, 2), "4"),
    (Meter((3,), 2), Fraction(2), "2"),
])
def test_counting(meter, offset, text):
    assert beat_text(offset, here(meter)) == text
    assert read_beat(text, here(meter)) == offset


def test_a_pickup_counts_as_the_end_of_a_bar():
    """Three eighths before the first full bar of 4/4: 3 1/2, 4, 4 1/2."""
    pickup = here(Meter((4,), 4), Fraction(3, 2), index=0)
    assert [beat_text(Fraction(n, 2), pickup) for n in range(3)] == ["3 1/2", "4", "4 1/2"]


@given(st.fractions(0, Fraction(287, 48), max_denominator=48),
       st.sampled_from([Meter((7,), 4), Meter((12,), 8), Meter((7,), 2)]))
def test_there_and_back(offset, meter):
    assert read_beat(beat_text(offset, here(meter)), here(meter)) == offset


@given(st.text(max_size=12))
def test_anything_typed_is_read_or_refused_in_plain_words(text):
    with suppress(BarglossError):
        assert 0 <= read_beat(text, here(Meter((4,), 4))) < 4


def test_decimals_are_exact():
    assert read_beat("2.5", here(Meter((4,), 4))) == Fraction(3, 2)
    assert read_beat("2,25", here(Meter((4,), 4))) == Fraction(5, 4)
