"""Callouts: columns, rows, brackets, each choice against brute force."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.brackets import bracket_levels, free_of
from core.engraving.callouts import (
    Column,
    columns_of,
    merged,
    nearest_places,
    rows_of,
    set_words,
    share_row,
)
from core.engraving.drawing import Drawing, Frame, Line, NeckDiagram, Tag, Text
from core.engraving.faces import face
from core.engraving.style import Style
from core.engraving.word_boxes import GAP, PAD_X, WIDTHS, Note
from core.engraving.words import count_lines, words_of
from tests.engraving.scenes import stood
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
    width = sum(sizes) + GAP * (size - 1) + draw(st.integers(0, 12))
    return draw(st.lists(st.integers(-6, 40), min_size=size, max_size=size)), sizes, width


def least_squares(wanted, sizes, width, step=0.25) -> float:
    """The least sum of squared moves over all places on a grid, by dynamic programming."""
    grid = np.arange(0.0, width + step / 2, step)
    best = np.where(grid + sizes[0] <= width, (grid - wanted[0]) ** 2, np.inf)
    for index in range(1, len(sizes)):
        reach = sizes[index - 1] + GAP
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
        assert left + size + GAP <= after + 1e-9
    moved = sum((place - want) ** 2 for place, want in zip(places, wanted, strict=True))
    assert moved <= least_squares(*case) + 1e-6


def test_places_by_hand():
    assert nearest_places([0, 30], [10, 10], 60) == [0, 30]
    assert nearest_places([10, 10], [10, 10], 60) == [10 - 5.75, 10 + 5.75]
    assert nearest_places([55, -9], [10, 10], 60) == pytest.approx([17.25, 28.75])


def lines_at(column: Column, width: float) -> int:
    (note,) = column.notes
    return count_lines(words_of(note.heading, note.text, STYLE), width - 2 * PAD_X, STYLE)


@settings(CALM, max_examples=40)
@given(words=st.lists(st.integers(0, 60), min_size=2, max_size=3), width=st.sampled_from((40.0, 60.0, 75.0, ROW)))
def test_no_widths_make_the_tallest_lower(words, width):
    columns = [Column((callout(20.0 * place, 20.0 * place + 5, count),)) for place, count in enumerate(words)]
    room = width - GAP * (len(columns) - 1)
    widths = [ems * STYLE.word_size for ems in WIDTHS]
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
        assert all(one.left + one.width + GAP <= other.left + 1e-9 for one, other in pairwise(row))


@settings(CALM, max_examples=100)
@given(spans=st.lists(st.tuples(st.integers(0, 60), st.integers(0, 30)), min_size=1, max_size=10))
def test_brackets_on_a_level_are_apart_and_none_is_under_one_it_holds(spans):
    """Those of the same notes are one; a level is taken only where those above it are."""
    notes = [callout(left, left + length) for left, length in spans]
    levels = bracket_levels(notes)
    for one, other in product(range(len(notes)), repeat=2):
        first, second = notes[one], notes[other]
        if (first.left, first.right) == (second.left, second.right):
            assert levels[one] == levels[other]
        elif levels[one] == levels[other]:
            assert first.right + 0.4 <= second.left or second.right + 0.4 <= first.left
        elif first.left <= second.left and second.right <= first.right:
            assert levels[one] < levels[other]
    assert set(levels) == set(range(max(levels) + 1))


@settings(CALM, max_examples=100)
@given(spans=st.lists(st.tuples(st.integers(0, 60), st.integers(0, 30)), min_size=1, max_size=6))
def test_a_line_can_drop_from_a_bracket_where_no_lower_one_is(spans):
    """Where two brackets meet, the upper one has such a place; each found is one."""
    notes = [callout(left, left + length) for left, length in spans]
    found = list(zip(notes, bracket_levels(notes), strict=True))
    for note, level in found:
        lower = [other for other, deeper in found if deeper > level]
        places = free_of(note, level, found)
        for left, right in places:
            assert note.left <= left <= right <= note.right
            assert all(right <= other.left or left >= other.right for other in lower)
        met = {(other.left, other.right) for other in lower if other.left <= note.right and note.left <= other.right}
        if len(met) <= 1:
            assert places


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
    return words, marks_of(words)


def marks_of(words):
    return [stood(mark, ink.x, ink.y) for ink in words.ink for mark in ink.drawing.marks]


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


# -- boxes with a picture of the neck

BIG, SMALL = 30.0, 12.0
UNDER, BESIDE = 1.2, 1.4
"""White between words and a picture: ours, by eye."""
_SIZES = st.sampled_from(((SMALL, 12.0), (14.0, 14.5), (21.0, 14.5), (BIG, 17.0)))


def picture(width: float, height: float) -> NeckDiagram:
    return NeckDiagram(Drawing((Line(0.0, 0.0, width, height, 0.1),)), width, height)


def pictured(left: float, words: int, size: tuple[float, float] | None, place: int = 0) -> Note:
    return replace(callout(left, left + 5, words, place=place), neck=picture(*size) if size else None)


def ways(note: Note, room: float) -> list[float]:
    """Heights of words and picture in that room, by each way to set them."""
    words = words_of(note.heading, note.text, STYLE)
    if note.neck is None:
        return [count_lines(words, room, STYLE) * STYLE.word_leading]
    found = []
    if note.neck.width <= room:
        found.append(count_lines(words, room, STYLE) * STYLE.word_leading + UNDER + note.neck.height)
    left = room - note.neck.width - BESIDE
    if left >= WIDTHS[0] * STYLE.word_size - 2 * PAD_X:
        found.append(max(count_lines(words, left, STYLE) * STYLE.word_leading, note.neck.height))
    return found


def boxed(notes: list[Note], width: float = ROW) -> list[tuple[Note, Frame, list[Text], tuple[float, float] | None]]:
    """Each with its frame, its words, and where its picture stands."""
    words, found = set_words(notes, (), 10.0, width, STYLE), []
    for note in notes:
        (frame,) = [mark for mark in marks_of(words) if isinstance(mark, Frame) and mark.tag == note.tag]
        texts = [mark for mark in marks_of(words)
                 if isinstance(mark, Text) and mark.tag == note.tag and mark.y > frame.top]  # not the bracket's number
        at = [(ink.x, ink.y) for ink in words.ink if note.neck and ink.drawing is note.neck.drawing]
        found.append((note, frame, texts, at[0] if at else None))
    return found


@settings(CALM, max_examples=60)
@given(rows=st.lists(st.tuples(st.integers(1, 60), st.one_of(st.none(), _SIZES)), min_size=1, max_size=4))
def test_a_picture_lies_in_its_box_clear_of_the_words(rows):
    notes = [pictured(24.0 * place, words, size, place) for place, (words, size) in enumerate(rows)]
    for note, frame, texts, at in boxed(notes):
        assert (at is None) is (note.neck is None)
        if at is None:
            continue
        x, y = at
        assert frame.left + 0.4 <= x <= x + note.neck.width <= frame.right - 0.4
        assert frame.top + 0.4 <= y <= y + note.neck.height <= frame.bottom - 0.4
        lowest = max(mark.y for mark in texts)
        rightmost = max(mark.x + face(mark.face).width(mark.text, mark.size) for mark in texts)
        assert lowest + 0.3 * STYLE.word_size <= y or rightmost + 1.0 <= x


@settings(CALM, max_examples=40)
@given(rows=st.lists(st.tuples(st.integers(0, 50), st.one_of(st.none(), _SIZES)), min_size=1, max_size=3),
       width=st.sampled_from((60.0, 80.0, ROW)))
def test_no_widths_and_no_way_to_set_pictures_make_the_tallest_lower(rows, width):
    columns = [Column((pictured(20.0 * place, words, size, place),)) for place, (words, size) in enumerate(rows)]
    room = width - GAP * (len(columns) - 1)
    widths = [ems * STYLE.word_size for ems in WIDTHS]
    heights = [[min(ways(column.notes[0], size - 2 * PAD_X), default=inf) for size in widths] for column in columns]
    lowest = min((max(row[i] for row, i in zip(heights, choice, strict=True))
                  for choice in product(range(len(widths)), repeat=len(columns))
                  if sum(widths[i] for i in choice) <= room), default=inf)
    row = share_row(columns, width, STYLE)
    if lowest == inf:
        assert row is None
    else:
        assert max(min(ways(placed.column.notes[0], placed.width - 2 * PAD_X)) for placed in row) == lowest


def test_a_picture_stands_beside_the_words_where_there_is_room_else_in_the_middle_under_them():
    ((_, frame, texts, (x, y)),) = boxed([pictured(20, 20, (14.0, 14.5))], 30.0)
    assert x + 7.0 == pytest.approx((frame.left + frame.right) / 2)
    assert y > max(mark.y for mark in texts)
    ((note, frame, texts, (x, y)),) = boxed([pictured(20, 20, (14.0, 14.5))])
    assert x + note.neck.width == pytest.approx(frame.right - PAD_X)
    assert y < min(mark.y for mark in texts)


def test_a_box_is_as_wide_as_its_picture_at_least():
    ((note, frame, _, _),) = boxed([pictured(5, 1, (BIG, 17.0))], 36.0)
    assert frame.right - frame.left >= note.neck.width + 2 * PAD_X


def test_a_comment_stands_under_a_box_and_its_picture():
    words = set_words([pictured(5, 8, (14.0, 14.5)), comment(0, 0, 20)], (), 10.0, ROW, STYLE)
    marks = marks_of(words)
    (frame,) = [mark for mark in marks if isinstance(mark, Frame)]
    assert min(mark.y for mark in marks if isinstance(mark, Text) and mark.tag == Tag("comment")) > frame.bottom
