"""Systems and pages: no other way of breaking costs less, by trying them all."""

from __future__ import annotations

from itertools import combinations, pairwise, product
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import BarHeight, system_height
from core.handout.breaking import (
    _COUNT,
    _PLACE,
    _STEPS,
    BarWidth,
    PageRoom,
    Range,
    SystemHeight,
    break_pages,
    break_systems,
)
from tests.strategies import CALM

WIDTH = 100.0


@st.composite
def measured(draw) -> BarWidth:
    least = draw(st.integers(5, 60))
    return BarWidth(least + draw(st.integers(0, 30)), least, 7.0,
                    draw(st.sampled_from((0, 0, 3))), draw(st.sampled_from((0, 0, 2))),
                    draw(st.integers(0, 7)), draw(st.sampled_from((0, 0, 20, 70))),
                    draw(st.sampled_from((True, True, False))), draw(st.sampled_from((False,) * 4 + (True,))))


def partitions(count: int):
    """Every way of cutting 0..count into ranges."""
    for size in range(count):
        for cuts in combinations(range(1, count), size):
            edges = (0, *cuts, count)
            yield tuple(map(Range, edges, edges[1:]))


def cost_of(bars, first: int, end: int) -> float:
    """Of one system, read off the module's description; infinite where it may not be."""
    inside = bars[first:end]
    last = end == len(bars)
    room = WIDTH - bars[first].head - (0 if last else bars[end].ahead)
    prefixes = sum(bar.prefix for bar in inside[1:])
    natural, least = sum(bar.natural for bar in inside) + prefixes, sum(bar.least for bar in inside) + prefixes
    if any(bar.wish for bar in inside[1:]) or len(inside) > 12 or (least > 1.02 * room and len(inside) > 1):
        return float("inf")
    count = sum(bar.counts for bar in inside)
    if least > 1.02 * room:
        cost = 1e9
    elif last and natural <= room:
        cost = 120 * max(0.0, 0.45 - natural / room) ** 2
    else:
        loose = log(room / natural)
        cost = 45 * loose ** 2 + 2000 * max(0.0, loose - log(1.4), log(0.8) - loose) ** 2
        cost += 60 * max(0.0, (natural - room) / max(natural - least, 1e-6)) ** 2 + 150 * (least > room)
    if not last or count == 1 or count > 4:
        cost += _COUNT.get(count, 30.0)
    if last and count == 1 and first > 0:
        cost += 200
    cost += 40 * sum(bar.phrase == 0 and before.counts for before, bar in pairwise(inside))
    cost += 30 * max(0.0, sum(bar.words for bar in inside) - WIDTH) / WIDTH
    if not last and not bars[end].wish:
        cost += _PLACE[bars[end].phrase % 4]
    return cost


def test_bars_are_pressed_by_a_fiftieth_before_one_stands_alone():
    """Common practice, no source: an engraver presses a little rather than tear a bar out over the whole column."""
    wide = [BarWidth(55.0, 51.0, 0.0, 0.0, 0.0, at, 0.0, True, False) for at in range(4)]
    heights = [BarHeight(30, 30, 0, 0, 0)] * 4
    page = PageRoom(2000.0, 0.0, 10.0)
    assert [one.end - one.first for one in break_systems(tuple(wide), tuple(heights), 100.5, page).ranges] == [2, 2]
    assert max(one.end - one.first for one in break_systems(tuple(wide), tuple(heights), 99.0, page).ranges) == 1


high = st.builds(BarHeight, st.integers(20, 90), st.integers(20, 120), st.booleans(), st.sampled_from((0, 0, 4000)),
                 st.integers(0, 40))
PAGE = PageRoom(620.0, 100.0, 12.0)
SHALLOW = PageRoom(1e5, 0.0, 0.0)  # so high that pages weigh nothing


def last_page_cost(white: float) -> float:
    under = min(max((white - 2 / 3) / (3 / 4 - 2 / 3), 0), 1)
    return 15 * white ** 2 + 40 * under ** 2 + 60 * max(0, white - 3 / 4)


def page_total(bars, heights, ranges, new_page) -> float:
    """Of the pages of these systems, in the module's steps; new_page[i]: system i begins a page."""
    step = PAGE.height / _STEPS
    used, cost, is_first = round(PAGE.title / step), 0.0, True
    for index, (first, end) in enumerate(ranges):
        tall = system_height(heights[first:end], WIDTH)
        if index and new_page[index]:
            cost += 100 * (1 - used / _STEPS) ** 2 + 5
            used, is_first = min(max(1, round(tall / step)), _STEPS), False
            continue
        if index and bars[first].page:
            return float("inf")
        used += max(1, round((tall + (PAGE.gap if index else 0)) / step))
        if used > _STEPS:
            return float("inf")
    white = 1 - used / _STEPS
    return cost if is_first else cost + last_page_cost(white)


@settings(CALM, max_examples=60)
@given(rows=st.lists(st.tuples(measured(), high), min_size=1, max_size=7))
def test_no_other_systems_and_pages_cost_less(rows):
    bars, heights = map(tuple, zip(*rows, strict=True))

    def total(ranges) -> float:
        systems = sum(cost_of(bars, *one) for one in ranges)
        return systems + min(page_total(bars, heights, ranges, (False, *news))
                             for news in product((False, True), repeat=len(ranges) - 1))

    found = break_systems(bars, heights, WIDTH, PAGE).ranges
    assert total(found) == pytest.approx(min(map(total, partitions(len(bars)))))


@settings(CALM, max_examples=200)
@given(data=st.data(), size=st.integers(1, 60))
def test_after_edits_systems_are_what_they_are_from_nothing(data, size):
    """Some bars are others than before, three times over: the same states in every row, at the same costs."""
    kinds = data.draw(st.lists(st.tuples(measured(), high), min_size=2, max_size=5))
    rows = [kinds[0] if at % 7 else kinds[1] for at in range(size)]
    before = None
    for _ in range(4):
        bars, heights = map(tuple, zip(*rows, strict=True))
        found, fresh = break_systems(bars, heights, WIDTH, PAGE, before), break_systems(bars, heights, WIDTH, PAGE)
        assert found == fresh
        before = found
        for at in data.draw(st.lists(st.integers(0, size - 1), min_size=1, max_size=3)):
            rows[at] = data.draw(st.sampled_from(kinds))


def test_an_edit_leaves_the_rows_far_behind_it_as_they_are():
    """Else the test above would show nothing but that everything is done anew."""
    bars = tuple(plain(20.0 + at % 3, at % 8) for at in range(200))
    heights = (BarHeight(30, 30, 0, 0, 0),) * 200
    before = break_systems(bars, heights, WIDTH, PAGE)
    after = break_systems((*bars[:50], plain(26.0, 50 % 8), *bars[51:]), heights, WIDTH, PAGE, before)
    kept = [one is other for one, other in zip(before.rows, after.rows, strict=True)]
    assert all(kept[:50])
    assert not all(kept)
    assert all(kept[120:])


def plain(natural: float = 23.0, phrase: int = 0, **facts: object) -> BarWidth:
    return BarWidth(natural, 15.0, 7.0, 0.0, 0.0, phrase, 0.0, facts.pop("counts", True), facts.pop("wish", False))


def sizes(bars, width: float = WIDTH) -> list[int]:
    found = break_systems(tuple(bars), (BarHeight(1, 1, 0, 0, 0),) * len(bars), width, SHALLOW).ranges
    return [end - first for first, end in found]


def test_four_bars_a_system_and_a_pickup_beside_them():
    assert sizes([plain(phrase=place) for place in range(12)]) == [4, 4, 4]
    assert sizes([plain(8.0, counts=False), *(plain(phrase=place) for place in range(8))]) == [5, 4]


def test_two_bars_a_system_where_the_line_is_dense():
    dense = [BarWidth(46.0, 40.0, 7.0, 0.0, 0.0, place, 0.0, True, False) for place in range(8)]
    assert sizes(dense) == [2, 2, 2, 2]


def test_a_phrase_begins_a_system_where_it_costs_little():
    begins_late, begins = ([plain(27.0, start + place) for place in range(11)] for start in (1, 0))
    assert sizes(begins_late) == [3, 4, 4]
    assert sizes(begins)[0] == 4


def test_choruses_line_up():
    """Two choruses of six bars: the second begins a system, rather than four, four and four. Two bars in the middle
    of the page would stand twice as loose as four; the last system ends short."""
    assert sizes([plain(phrase=place % 6) for place in range(12)]) == [3, 3, 4, 2]


def test_systems_are_about_as_loose_as_each_other():
    """Eight bars in a line, four times: not four, eight, eight, eight and four, though four bars are liked better."""
    bars = [BarWidth(11.5, 8.0, 7.0, 0.0, 0.0, place, 0.0, True, False) for place in range(32)]
    assert sizes(bars) == [8, 8, 8, 8]


def test_a_wish_is_granted():
    assert sizes([plain(wish=place == 3) for place in range(8)])[0] == 3


def test_a_bar_wider_than_the_column_stands_alone():
    wide = BarWidth(150.0, 140.0, 7.0, 0.0, 0.0, 1, 0.0, True, False)
    assert sizes([plain(), wide, plain()]) == [1, 1, 1]


def page_cost(systems, first: int, end: int, rooms: tuple[float, float], gap: float) -> float:
    """Of one page, read off the module's description."""
    inside = systems[first:end]
    room = rooms[0] if first == 0 else rooms[1]
    used = sum(one.height for one in inside) + gap * (len(inside) - 1)
    if len(inside) > 1 and (used > room or any(one.wish for one in inside[1:])):
        return float("inf")
    white = max(0.0, 1 - used / room)
    if end < len(systems):
        return 100 * white ** 2 + 5
    if first == 0:
        return 5
    return last_page_cost(white) + 5


heights = st.builds(SystemHeight, st.integers(40, 260).map(float), st.sampled_from((False,) * 6 + (True,)))


@settings(CALM, max_examples=60)
@given(systems=st.lists(heights, min_size=1, max_size=9))
def test_no_other_pages_cost_less(systems):
    rooms, gap = (500.0, 620.0), 12.0

    def total(ranges) -> float:
        return sum(page_cost(systems, *one, rooms, gap) for one in ranges)

    found = break_pages(systems, *rooms, gap)
    assert total(found) == pytest.approx(min(map(total, partitions(len(systems)))))


@given(systems=st.lists(heights, min_size=1, max_size=30))
def test_pages_hold_every_system_once_and_no_more_than_they_can(systems):
    found = break_pages(systems, 500.0, 620.0, 12.0)
    assert [index for first, end in found for index in range(first, end)] == list(range(len(systems)))
    for number, (first, end) in enumerate(found):
        used = sum(one.height for one in systems[first:end]) + 12.0 * (end - first - 1)
        assert used <= (620.0 if number else 500.0) or end == first + 1
        assert not any(one.wish for one in systems[first + 1:end])


def test_a_last_page_under_a_third_full_is_pulled_back():
    """Lesson page: five on one page and one alone would be cheapest by white alone."""
    systems = [SystemHeight(110.0, False)] * 6
    assert [end - first for first, end in break_pages(systems, 600.0, 600.0, 10.0)] == [4, 2]


def test_a_first_page_is_not_left_half_empty_for_a_last_one_nearly_a_third_full():
    """By eye: of three systems that need a page and a little, two stand on the first."""
    systems = [SystemHeight(height, False) for height in (210.0, 190.0, 180.0)]
    assert [end - first for first, end in break_pages(systems, 540.0, 600.0, 10.0)] == [2, 1]
