"""Callouts: columns, rows, brackets, each choice against brute force."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.callouts import (
    _GAP,
    _PAD_X,
    _WIDTHS,
    Column,
    Note,
    bracket_levels,
    columns_of,
    merged,
    nearest_places,
    rows_of,
    set_words,
    share_row,
)
from core.engraving.drawing import Frame, Line, Tag, Text
from core.engraving.style import Style
from core.engraving.words import count_lines, words_of
from tests.strategies import CALM

STYLE = Style()
ROW = 102.9
"""A4 less 15 mm each side, in spaces of a 7 mm staff."""


def callout(left: float, right: float, words: int = 8, bar: int = 0, place: int = 0) -> Note:
    return Note(bar, Tag("callout", place), "Aim", " ".join(["resolve"] * words), left, right)


def comment(bar: int, left: float, right: float, words: int = 8) -> Note:
    return Note(bar, Tag("comment"), f"Bar {bar}", " ".join(["listen"] * words), left, right, is_comment=True)


@st.composite
def wishes(draw):
    """Wanted places, sizes that fit, and the width; all on the grid of the oracle."""
    size = draw(st.integers(1, 4))
    sizes = draw(st.lists(st.integers(2, 10), min_size=size, max_size=size))
    width = sum(sizes) + _GAP * (size - 1) + draw(st.integers(0, 12))
    return draw(st.lists(st.integers(-6, 40), min_size=size, max_size=size)), sizes, width


def least_squares(wanted, sizes, width, step=0.25) -> float:
    """The least sum of squared moves over all places on a grid, by dynamic programming."""
    grid = np.arange(0.0, width + step / 2, step)
    best = np.where(grid + sizes[0] <= width, (grid - wanted[0]) ** 2, np.inf)
    for index in range(1, len(sizes)):
        reach = sizes[index - 1] + _GAP
        lowest = np.minimum.accumulate(best)
        before = np.searchsorted(grid, grid - reach, side="right") - 1
        carried = np.where(before >= 0, lowest[np.maximum(before, 0)], np.inf)
        best = np.where(grid + sizes[index] <= width, carried + (grid - wanted[index]) ** 2, np.inf)
    return float(best.min())


@settings(CALM, max_examples=150)
@given(case=wishes())
def test_no_places_on_a_fine_grid_move_less(case):
    wanted, sizes, width = case
    places = nearest_places(wanted, sizes, width)
    assert places[0] >= -1e-9
    assert places[-1] + sizes[-1] <= width + 1e-9
    for (left, size), (after, _) in pairwise(zip(places, sizes, strict=True)):
        assert left + size + _GAP <= after + 1e-9
    moved = sum((place - want) ** 2 for place, want in zip(places, wanted, strict=True))
    assert moved <= least_squares(*case) + 1e-6


def test_places_by_hand():
    assert nearest_places([0, 30], [10, 10], 60) == [0, 30]
    assert nearest_places([10, 10], [10, 10], 60) == [10 - 5.75, 10 + 5.75]
    assert nearest_places([55, -9], [10, 10], 60) == pytest.approx([17.25, 28.75])


def lines_at(column: Column, width: float) -> int:
    (note,) = column.notes
    return count_lines(words_of(note.heading, note.text, STYLE), width - 2 * _PAD_X, STYLE)


@settings(CALM, max_examples=40)
@given(words=st.lists(st.integers(0, 60), min_size=2, max_size=3), width=st.sampled_from((40.0, 60.0, 75.0, ROW)))
def test_no_widths_make_the_tallest_lower(words, width):
    columns = [Column((callout(20.0 * place, 20.0 * place + 5, count),)) for place, count in enumerate(words)]
    room = width - _GAP * (len(columns) - 1)
    widths = [ems * STYLE.word_size for ems in _WIDTHS]
    heights = [[lines_at(column, size) for size in widths] for column in columns]
    lowest = min((max(row[i] for row, i in zip(heights, choice, strict=True))
                  for choice in product(range(len(widths)), repeat=len(columns))
                  if sum(widths[i] for i in choice) <= room), default=None)
    row = share_row(columns, width, STYLE)
    if lowest is None:
        assert row is None
    else:
        assert max(lines_at(placed.column, placed.width) for placed in row) == lowest


@settings(CALM, max_examples=40)
@given(words=st.lists(st.integers(0, 40), min_size=1, max_size=9),
       lefts=st.lists(st.integers(0, 90), min_size=9, max_size=9))
def test_rows_hold_each_column_once_in_order_without_overlap(words, lefts):
    columns = [Column((callout(left, left + 4, count),)) for left, count in zip(sorted(lefts), words, strict=False)]
    rows = rows_of(columns, ROW, STYLE)
    assert [placed.column for row in rows for placed in row] == columns
    for row in rows:
        assert row[0].left >= -1e-9
        assert row[-1].left + row[-1].width <= ROW + 1e-9
        assert all(one.left + one.width + _GAP <= other.left + 1e-9 for one, other in pairwise(row))


@settings(CALM, max_examples=100)
@given(spans=st.lists(st.tuples(st.integers(0, 60), st.integers(0, 30)), min_size=1, max_size=10))
def test_brackets_take_as_few_levels_as_the_deepest_overlap(spans):
    notes = [callout(left, left + length) for left, length in spans]
    levels = bracket_levels(notes)
    for one, other in product(range(len(notes)), repeat=2):
        if one < other and levels[one] == levels[other]:
            assert notes[one].right + 0.4 <= notes[other].left or notes[other].right + 0.4 <= notes[one].left
    depth = max(sum(other.left <= note.left < other.right + 0.4 for other in notes) for note in notes)
    assert max(levels) + 1 == depth


def test_a_comment_stands_under_its_bars_callout_or_alone():
    first, second = callout(0, 5, bar=0), callout(30, 35, bar=1)
    columns = columns_of([first, second, comment(1, 25, 50), comment(2, 50, 75)])
    assert [[note.is_comment for note in column.notes] for column in columns] == [[False], [False, True], [True]]


def test_comments_move_under_a_neighbour_where_the_row_is_full():
    notes = [callout(place * 20.0, place * 20.0 + 4, bar=place) for place in range(5)] + [comment(5, 90, 100)]
    columns = columns_of(notes)
    assert share_row(columns, ROW, STYLE) is None
    after = merged(columns, ROW, STYLE)
    assert share_row(after, ROW, STYLE) is not None
    assert sorted(note.bar for column in after for note in column.notes) == list(range(6))


def drawn(notes, carried=()):
    words = set_words(notes, carried, 10.0, ROW, STYLE)
    return words, [mark for _, drawing in words.drawings for mark in drawing.marks]


def test_a_bracket_runs_under_its_notes_and_drops_into_its_box():
    words, marks = drawn([callout(20, 40)])
    (frame,) = [mark for mark in marks if isinstance(mark, Frame)]
    level = [mark for mark in marks if isinstance(mark, Line) and mark.y1 == mark.y2]
    assert [(mark.x1, mark.x2) for mark in level] == [(20, 40)]
    (drop,) = [mark for mark in marks if isinstance(mark, Line) and mark.y2 == frame.top]
    assert (drop.x1, drop.y1) == (drop.x2, level[0].y1)
    assert max(20, frame.left) <= drop.x1 <= min(40, frame.right)
    assert words.bottom == frame.bottom
    assert level[0].y1 > 10


def test_words_lie_inside_their_box():
    _, marks = drawn([callout(20, 40, words=30)])
    (frame,) = [mark for mark in marks if isinstance(mark, Frame)]
    for mark in marks:
        if isinstance(mark, Text):
            assert frame.left < mark.x
            assert frame.top < mark.y < frame.bottom


def test_a_box_that_could_not_stand_under_its_notes_is_led_to():
    _, marks = drawn([callout(1, 2, 40), callout(3, 4, 40, place=1), callout(5, 6, 40, place=2)])
    frames = [mark for mark in marks if isinstance(mark, Frame)]
    for frame in frames:
        ends = [mark for mark in marks if isinstance(mark, Line) and mark.tag == frame.tag and mark.y2 == frame.top]
        assert len(ends) == 1
        assert frame.left <= ends[0].x1 <= frame.right


def test_numbers_take_the_place_of_lines_in_several_rows():
    _, marks = drawn([callout(place * 12.0, place * 12.0 + 4, 30, place=place) for place in range(8)])
    assert len({mark.top for mark in marks if isinstance(mark, Frame)}) > 1
    for name in ("sans-semibold", "serif-semibold"):  # at the bracket, and before the heading
        figures = [mark.text for mark in marks if isinstance(mark, Text) and mark.face == name and mark.text.isdigit()]
        assert figures == [str(number) for number in range(1, 9)]


def test_a_callout_that_runs_on_has_an_open_bracket():
    open_end, closed = (drawn([replace(callout(20, 40), runs_on=runs_on)])[1] for runs_on in (True, False))
    upright = [sum(isinstance(mark, Line) and mark.x1 == mark.x2 == 40 for mark in marks)
               for marks in (open_end, closed)]
    assert upright == [0, 1]


def test_a_bracket_from_the_system_before_is_closed_here():
    words, marks = drawn([], [(5.0, 30.0)])
    assert [(mark.x1, mark.x2) for mark in marks] == [(5.0, 30.0), (30.0, 30.0)]
    assert words.bottom > 10
