"""The choice among overlapping findings: against brute force, and by what a choice may and may not be."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.line.choice import MOST, choose, weight
from core.line.finding import Finding
from core.study import NotePlace
from tests.strategies import CALM

KINDS = ("run", "enclosure", "neighbour", "altered", "target", "return", "reading")


def finding(kind: str, first: tuple[int, int], last: tuple[int, int], score: float = 0.5) -> Finding:
    return Finding(kind, NotePlace(*first), NotePlace(*last), (), score)


@st.composite
def bars(draw, events: int = 5, most: int = 9) -> list[tuple[Finding, ...]]:
    """Findings over three bars of few notes, so that they get in each other's way; readings one after the other."""
    count = draw(st.integers(0, most))
    places = st.tuples(st.integers(0, 2), st.integers(0, events - 1))
    found = []
    for _ in range(count):
        first, last = sorted((draw(places), draw(places)))
        found.append(finding(draw(st.sampled_from(KINDS[:-1])), first, last, draw(st.integers(1, 9)) / 10))
    for bar in draw(st.sets(st.integers(0, 2), max_size=3)):
        found.append(finding("reading", (bar, 0), (bar, 3), draw(st.sampled_from((0.2, 0.7)))))
    found.sort(key=lambda one: (one.first, one.last, one.kind))
    return [tuple(one for one in found if one.first.bar == bar) for bar in range(3)]


def notes(one: Finding) -> set[tuple[int, int]]:
    return {(bar, event) for bar in range(3) for event in range(9)
            if one.first[:2] <= (bar, event) <= one.last[:2]}


def may_stand_together(one: Finding, other: Finding) -> bool:
    shared = notes(one) & notes(other)
    if not shared:
        return True
    if len(notes(one)) == len(notes(other)) == 1:
        return False
    return len(shared) == 1 and (one.last[:2] == other.first[:2] or other.last[:2] == one.first[:2])


def fits(chosen: tuple[Finding, ...], readings: list[Finding]) -> bool:
    began = [one.first.bar for one in (*chosen, *readings)]
    return (all(began.count(bar) <= MOST for bar in began)
            and all(may_stand_together(one, other) for one, other in combinations(chosen, 2)))


@settings(CALM, max_examples=300)
@given(bars())
def test_the_choice_equals_brute_force(found):
    rivals = [one for row in found for one in row if one.kind != "reading" and weight(one)]
    readings = [one for row in found for one in row if one.kind == "reading" and weight(one)]
    best = max(sum(map(weight, chosen)) for size in range(len(rivals) + 1)
               for chosen in combinations(rivals, size) if fits(chosen, readings))
    chosen = tuple(one for row in choose(found).bars for one in row if one.kind != "reading")
    assert fits(chosen, readings)
    assert sum(map(weight, chosen)) == best
    assert [one for row in choose(found).bars for one in row if one.kind == "reading"] == readings


@settings(CALM, max_examples=100)
@given(bars(events=9, most=20), bars(events=9, most=20), st.integers(0, 2))
def test_an_edit_builds_on_the_choice_before(found, other, at):
    before = choose(found)
    edited = [*found[:at], other[at], *found[at + 1:]]
    assert choose(edited, before) == choose(edited)


def test_what_is_chosen_is_told_where_it_begins_and_in_playing_order():
    found = [(finding("run", (0, 0), (0, 4)), finding("enclosure", (0, 4), (0, 7))), (),
             (finding("cell", (2, 0), (2, 3)),)]
    assert choose(found).bars == tuple(found)


def test_two_may_meet_on_one_note_but_no_note_is_told_twice():
    run, cell = finding("run", (0, 0), (0, 4)), finding("cell", (0, 3), (0, 7), 0.9)
    assert choose([(run, cell)]).bars == ((cell,),)
    one, other = finding("altered", (0, 2), (0, 2)), finding("target", (0, 2), (0, 2))
    assert choose([(one, other)]).bars == ((one,),)


def test_a_bar_begins_three_and_a_weak_one_is_not_told():
    short = [finding("turn", (0, 2 * at), (0, 2 * at + 1)) for at in range(4)]
    assert len(choose([tuple(short)]).bars[0]) == MOST
    assert choose([(short[0]._replace(score=0.3),)]).bars == ((),)


def test_a_reading_lies_over_the_others_and_takes_a_place():
    reading = finding("reading", (0, 0), (0, 7))
    short = [finding("turn", (0, 2 * at), (0, 2 * at + 1)) for at in range(4)]
    chosen = choose([(reading, *short)]).bars[0]
    assert reading in chosen
    assert len(chosen) == MOST


def test_of_equal_lengths_the_more_telling_kind_of_equal_kinds_the_longer():
    run, neighbour = finding("run", (0, 0), (0, 3)), finding("neighbour", (0, 1), (0, 3), 0.6)
    assert choose([(run, neighbour)]).bars == ((run,),)
    assert weight(finding("run", (0, 0), (0, 6))) > weight(run)
