"""Where beams lie: properties of every beam, values by hand, and the strokes of lesser beams."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.engraving.beams import BeamLine, BeamRun, Sign, beam_line, beam_runs
from core.engraving.measures import BEAM, BEAM_STEP

STEEPEST = 0.22  # stated in beams.py; our own figure
halves = st.integers(-12, 20).map(lambda half: half / 2)


@st.composite
def groups(draw):
    """Heads (y), stems (x) and beams of a group; x in half spaces, at least two apart."""
    size = draw(st.integers(2, 7))
    near = tuple(draw(st.lists(halves, min_size=size, max_size=size)))
    at = [0.0]
    for _ in range(size - 1):
        at.append(at[-1] + draw(st.integers(4, 16)) / 2)
    return near, tuple(at), tuple(draw(st.lists(st.integers(1, 4), min_size=size, max_size=size)))


def lengths(near, at, line: BeamLine, up: bool) -> list[float]:
    """Of each stem, from its nearest head to the outermost beam's centre."""
    rise = (line.last - line.first) / at[-1]
    return [(1 if up else -1) * (y - line.first - rise * x) for y, x in zip(near, at, strict=True)]


@given(group=groups(), up=st.booleans())
def test_every_stem_is_long_enough(group, up):
    """Gould p. 14-15: never under 2.5; beyond two beams each further one adds its own step."""
    near, at, beams = group
    for length, count in zip(lengths(near, at, beam_line(*group, up), up), beams, strict=True):
        assert length >= 2.5 + BEAM_STEP * max(0, count - 2) - 1e-9


@given(group=groups(), up=st.booleans())
def test_no_beam_is_steeper_than_stated_nor_against_its_notes(group, up):
    near, at, _ = group
    line = beam_line(*group, up)
    rise = line.last - line.first
    assert abs(rise) <= min(1.75, STEEPEST * at[-1]) + 1e-9
    assert rise * (near[-1] - near[0]) >= 0


@given(group=groups())
def test_beams_below_are_beams_above_in_the_mirror(group):
    near, at, beams = group
    above = beam_line(near, at, beams, True)
    below = beam_line(tuple(4 - y for y in near), at, beams, False)
    assert below == (4 - above.first, 4 - above.last)


@given(group=groups(), up=st.booleans())
def test_beams_sit_on_quarter_spaces_and_reach_the_middle_line(group, up):
    line = beam_line(*group, up)
    assert all((y * 4) % 1 == 0 for y in line)
    assert max(line) <= 2 if up else min(line) >= 2
    assert all(y % 1 != 0.5 for y in line if 0 <= y <= 4)  # no end floats in a space (Ross, Gould; from memory)


@given(group=groups(), up=st.booleans())
def test_a_group_read_backward_has_its_beam_turned_round(group, up):
    near, at, beams = group
    there = beam_line(near, at, beams, up)
    back = beam_line(near[::-1], tuple(at[-1] - x for x in reversed(at)), beams[::-1], up)
    assert back == (there.last, there.first)


@given(group=groups(), up=st.booleans())
def test_a_beam_is_flat_where_an_inner_note_is_nearest(group, up):
    """Ross 1970, ch. 3 (from memory)."""
    near, _, _ = group
    towards = near if up else tuple(-y for y in near)
    line = beam_line(*group, up)
    if len(near) > 2 and min(towards[1:-1]) <= min(towards[0], towards[-1]):
        assert line.first == line.last


@given(group=groups(), data=st.data(), up=st.booleans())
def test_beams_are_clear_of_accidentals_between_their_stems(group, data, up):
    """Common practice, no source."""
    near, at, beams = group
    places = st.integers(0, int(2 * at[-1])).map(lambda half: half / 2)
    signs = tuple([Sign(left, left + 3.0, data.draw(halves), data.draw(st.integers(1, 3)))
                   for left in data.draw(st.lists(places, max_size=3))])
    line = beam_line(near, at, beams, up, signs)
    rise = (line.last - line.first) / at[-1]
    for sign in signs:
        for x in (sign.left, sign.right):
            edge = BEAM / 2 + BEAM_STEP * (sign.beams - 1)
            outer = line.first + rise * x
            assert outer + edge < sign.y if up else outer - edge > sign.y
    assert beam_line(near, at, beams, up) == line or signs


@pytest.mark.parametrize(("near", "expected"), [
    ((4.0, 4.0), (0.25, 0.25)),      # A4 A4: flat, 3.5 long, and one quarter more, off the middle of a space
    ((4.5, 3.5), (1.0, 0.25)),       # a third rises 0.75; a quarter higher, for 0.5 floats
    ((3.5, 4.5), (0.25, 1.0)),       # and falls as much
    ((3.5, 3.0, 3.5), (-0.5, -0.5)), # an inner note nearest: flat
    ((8.0, 7.0), (2.0, 1.25)),       # far below: up to the middle line
])
def test_lines_by_hand(near, expected):
    at = tuple(4.0 * place for place in range(len(near)))
    assert beam_line(near, at, (1,) * len(near), True) == expected


def test_close_notes_slant_less():
    lines = [beam_line((4.5, 1.5), (0.0, x), (1, 1), True) for x in (2.0, 4.0, 8.0)]
    assert [line.first - line.last for line in lines] == [0.25, 0.75, 1.75]


def test_a_repeated_figure_is_flat():
    line = beam_line((4.0, 3.0, 4.0, 3.0), (0.0, 3.0, 6.0, 9.0), (1, 1, 1, 1), True)
    assert line.first == line.last


@pytest.mark.parametrize(("counts", "expected"), [
    ((1, 1), [(1, 0, 1, 0)]),
    ((2, 2, 2, 2), [(1, 0, 3, 0), (2, 0, 3, 0)]),
    ((1, 2, 2), [(1, 0, 2, 0), (2, 1, 2, 0)]),
    ((2, 1, 2), [(1, 0, 2, 0), (2, 0, 0, 1), (2, 2, 2, -1)]),
    ((1, 2), [(1, 0, 1, 0), (2, 1, 1, -1)]),
    ((1, 2, 1), [(1, 0, 2, 0), (2, 1, 1, 1)]),
    ((3, 3, 1), [(1, 0, 2, 0), (2, 0, 1, 0), (3, 0, 1, 0)]),
])
def test_strokes_by_hand(counts, expected):
    none = [False] * len(counts)
    assert beam_runs(counts, none, none) == tuple(BeamRun(*run) for run in expected)


def test_lesser_beams_part_at_a_beat_and_a_lone_one_points_into_its_own():
    parted = beam_runs((2, 2, 2, 2), (False, False, True, False), (False,) * 4)
    assert parted == (BeamRun(1, 0, 3, 0), BeamRun(2, 0, 1, 0), BeamRun(2, 2, 3, 0))
    assert beam_runs((1, 2, 1), (False,) * 3, (False, True, False))[1] == BeamRun(2, 1, 1, -1)


@given(data=st.data())
def test_every_stem_carries_its_count_of_beams(data):
    counts = data.draw(st.lists(st.integers(1, 4), min_size=2, max_size=8))
    flags = st.lists(st.booleans(), min_size=len(counts), max_size=len(counts))
    runs = beam_runs(counts, data.draw(flags), data.draw(flags))
    for stem, count in enumerate(counts):
        assert sorted(run.level for run in runs if run.first <= stem <= run.last) == list(range(1, count + 1))
    for run in runs:
        assert bool(run.stub) == (run.first == run.last)
        assert not (run.first == 0 and run.stub < 0)
        assert not (run.first == len(counts) - 1 and run.stub > 0)
