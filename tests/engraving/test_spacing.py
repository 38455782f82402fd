"""Springs and rods: the stretch that fills a width, against its own definition and a bisection."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.engraving.spacing import Gap, spread, spring_of, stretch_for, width_at

lengths = st.floats(0, 20).map(lambda value: round(value, 3))
springs = st.one_of(st.just(0.0), st.floats(0.1, 6).map(lambda value: round(value, 3)))
runs = st.lists(st.builds(Gap, lengths, springs), min_size=1, max_size=12)


@given(gaps=runs, width=st.floats(0, 400))
def test_the_stretch_gives_exactly_the_width(gaps, width):
    assume(any(gap.spring for gap in gaps))
    stretch = stretch_for(gaps, width)
    if width > width_at(gaps, 0):
        assert width_at(gaps, stretch) == pytest.approx(width, abs=1e-6)
    else:
        assert stretch == 0


@given(gaps=runs, width=st.floats(1, 200))
def test_the_stretch_is_the_one_a_bisection_finds(gaps, width):
    assume(any(gap.spring for gap in gaps) and width > width_at(gaps, 0) + 0.01)
    low, high = 0.0, 1e5
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if width_at(gaps, middle) < width else (low, middle)
    assert stretch_for(gaps, width) == pytest.approx(low, rel=1e-6, abs=1e-6)


def test_rods_without_springs_do_not_stretch():
    assert stretch_for([Gap(2, 0), Gap(3, 0)], 100) == 0


def test_a_width_by_hand():
    gaps = [Gap(4, 1), Gap(1, 1), Gap(1, 2)]
    assert width_at(gaps, 2) == 4 + 2 + 4
    assert stretch_for(gaps, 10) == 2
    assert stretch_for(gaps, 24) == 6


def test_a_doubling_grows_by_one_factor_between_the_published_bounds():
    """Gourlay, "Spacing a Line of Music", 1987 (from memory): a constant between 1.414 and 1.6; an eighth is 1."""
    assert spring_of(Fraction(1, 2)) == 1
    factors = [spring_of(2 * length) / spring_of(length)
               for length in (Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1, 3), Fraction(3, 2))]
    assert factors == pytest.approx([factors[0]] * 5)
    assert 2 ** 0.5 <= factors[0] <= 1.6


@given(gaps=runs, data=st.data(), width=st.floats(0, 80))
def test_spreading_makes_room_and_takes_none(gaps, data, width):
    first = data.draw(st.integers(0, len(gaps) - 1))
    last = data.draw(st.integers(first, len(gaps) - 1))
    after = list(gaps)
    spread(after, first, last, width)
    assert sum(gap.rod for gap in after[first:last + 1]) >= width - 1e-6
    for place, (old, new) in enumerate(zip(gaps, after, strict=True)):
        assert new.spring == old.spring
        assert new.rod >= old.rod
        assert new == old or first <= place <= last
