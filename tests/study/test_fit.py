"""Durations made writable, tuplet groups, ties and slurs, as plain functions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.exchange.build import bar_list
from core.exchange.quantise import Played, quantise, skyline
from core.exchange.slurs import with_slurs
from core.study import Event, Meter, Note, Tuplet, parse_pitch
from core.study.fit import PlainEvent, filled, with_groups, with_ties, writable
from tests.exchange.sources import joined

F = Fraction
C4, D4, DB4, CS4 = (Note(parse_pitch(name)) for name in ("C4", "D4", "Db4", "C#4"))


def lengths(events: list[Event]) -> list[Fraction]:
    return [event.duration for event in events]


@pytest.mark.parametrize(("onset", "duration", "expected"), [
    ("0", "5/4", ["1", "1/4"]), ("1/2", "5/4", ["1/2", "3/4"]), ("3/2", "5/2", ["1/2", "2"]),
    ("0", "3", ["3"]), ("0", "9/4", ["2", "1/4"])])
def test_a_note_is_cut_at_the_strongest_place_that_serves(onset, duration, expected):
    """Common practice, no source."""
    found = writable(PlainEvent(F(onset), F(duration), (C4,)), Meter())
    assert lengths(found) == [F(each) for each in expected]


@settings(max_examples=200, deadline=None)
@given(st.integers(0, 60), st.integers(1, 64), st.sampled_from([(), (Tuplet(3, 2),), (Tuplet(5, 4), Tuplet(3, 2))]))
def test_the_parts_of_a_note_fill_it_and_are_tied(onset, sixteenths, tuplets):
    ratio = F(1)
    for tuplet in tuplets:
        ratio *= F(tuplet.normal, tuplet.actual)
    event = PlainEvent(F(onset, 16), F(sixteenths, 16) * ratio, (C4,), tuplets, slur="both", articulations=("accent",))
    found = writable(event, Meter())
    assert sum(lengths(found)) == event.duration
    assert found[0].onset == event.onset
    assert all(after.onset == before.end for before, after in pairwise(found))
    assert [each.notes[0].tie for each in found] == [True] * (len(found) - 1) + [False]
    assert [each.articulations for each in found] == [("accent",)] + [()] * (len(found) - 1)
    assert len(found) <= 7


def test_a_third_without_a_tuplet_becomes_one():
    (found,) = writable(PlainEvent(F(0), F(1, 3), (C4,)), Meter())
    assert found.tuplets[0][:2] == (3, 2)
    with pytest.raises(BarglossError, match="no note values write 1/4099"):
        writable(PlainEvent(F(0), F(1, 4099), (C4,)), Meter())


def test_gaps_are_rests_and_overlaps_go():
    line, dropped = filled([PlainEvent(F(1), F(2), (C4,)), PlainEvent(F(2), F(1), (D4,))], F(4))
    assert [(event.onset, event.duration, bool(event.notes)) for event in line] == [
        (0, 1, False), (1, 2, True), (3, 1, False)]
    assert dropped


def triplet(at: int, starts: bool = False, written: str = "1/2") -> Event:
    return Event(F(at, 3), F(written) * 2 / 3, (C4,), (Tuplet(3, 2, starts),))


def test_undeclared_groups_begin_where_one_is_full():
    events = [triplet(0), triplet(1, written="1"), triplet(3), triplet(4), triplet(5)]
    assert [event.tuplets[0].starts for event in with_groups(events)] == [True, False, True, False, False]


def test_declared_groups_are_kept():
    events = [triplet(0, True), *(triplet(at) for at in range(1, 6)), triplet(6, True), triplet(7), triplet(8)]
    assert [event.tuplets[0].starts for event in with_groups(events)] == [True] + [False] * 5 + [True, False, False]


def test_ties_join_the_same_key_in_the_next_event_only():
    held = Event(F(0), F(2), (replace(CS4, tie=True),))
    rows, dropped = with_ties([[held, Event(F(2), F(2), (DB4,))], [replace(held, notes=(replace(C4, tie=True),))]])
    assert rows[0][1].notes[0].pitch == CS4.pitch  # one spelling under a tie
    assert rows[0][0].notes[0].tie
    assert not rows[1][0].notes[0].tie
    assert dropped == [1]


def test_of_overlapping_slurs_the_shorter_stays():
    events = [PlainEvent(F(at), F(1), (C4,)) for at in range(4)]
    marked, dropped = with_slurs(events, [(0, 3), (0, 1), (1, 2), (2, 2)])
    assert [event.slur for event in marked] == ["start", "both", "stop", ""]
    assert sorted(dropped) == [0, 2]


@pytest.mark.parametrize(("numbers", "text"), [
    ([3], "bar 3"), ([1, 2, 3, 7], "bars 1-3, 7"), ([4, 0], "bars 0, 4"), ([2, 1], "bars 1-2")])
def test_bars_are_told_in_runs(numbers, text):
    assert bar_list(numbers) == text


played = st.lists(st.tuples(st.integers(0, 3_000), st.integers(1, 900), st.integers(30, 90)), min_size=1, max_size=40)


@settings(max_examples=150, deadline=None)
@given(played)
def test_any_playing_is_written_as_one_line(rows):
    """Notes come in order, none is lost untold, and none moves further than half a coarsest grid step and a swing."""
    notes = [Played(F(start, 100), F(start + length, 100), key) for start, length, key in rows]
    line, under = skyline(notes)
    assert len(line) + len(under) == len(notes)
    assert all(before.stop <= after.start for before, after in pairwise(line))
    got = quantise(notes, [F(beat) for beat in range(45)])
    assert all(note.start < note.stop for note in got.notes)
    assert all(before.stop <= after.start for before, after in pairwise(got.notes))
    assert len(got.notes) + len(got.left_out) == len(notes)
    assert max(got.moved) <= F(1, 4)


def test_joined_heads():
    """The tests' own helper: a tie joins, a new stroke does not."""
    assert joined([(F(0), F(1), (60,), True), (F(1), F(2), (60,), False), (F(2), F(3), (60,), False)]) == [
        (0, 2, (60,)), (2, 3, (60,))]
