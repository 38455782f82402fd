"""Other ways to play a passage: playable, really different, and each what it says."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from core.guitar import finger, taken, ways
from core.study import NotePlace, Study
from tests.guitar.lines import line, rows, study, with_note
from tests.guitar.test_fingering import SLOW, assert_playable


def strings(whole: Study, way, first: NotePlace, last: NotePlace) -> list[set[int]]:
    return [{grip.string for grip in event.notes if grip} for bar, row in enumerate(way.fingering.bars)
            for place, event in enumerate(row.events)
            if first <= NotePlace(bar, place) <= last and any(event.notes)]


@given(st.lists(rows(double=False), min_size=1, max_size=3), st.integers(0, 5))
@SLOW
def test_ways_are_playable_and_lie_on_other_strings(made, start):
    whole = study(*made, tempo=120)
    best = finger(whole)
    first, last = NotePlace(0, min(start, len(made[0]) - 1)), NotePlace(len(made) - 1, len(made[-1]) - 1)
    found = ways(whole, best, first, last)
    assert len(found) <= 5
    assert [way.cost for way in found] == sorted(way.cost for way in found)
    for way in found:
        assert_playable(whole, way.fingering)
        assert way.cost == way.fingering.cost - best.cost >= 0
    for one, other in combinations(found, 2):
        pairs = list(zip(strings(whole, one, first, last), strings(whole, other, first, last), strict=True))
        held = sum(any(note.tie for note in event.notes) for row in made for event in row)
        assert sum(a != b for a, b in pairs) * 3 >= len(pairs) - 3 * held


def test_the_first_way_is_the_cheapest_and_a_way_can_be_taken():
    whole = line("C4 Eb4 G4 Bb4 Ab4 G4 F4 Eb4 D4 F4 Ab4 C5 Bb4 Ab4 G4 F4", tempo=160)
    best = finger(whole)
    first, last = NotePlace(0, 2), NotePlace(0, 9)
    found = ways(whole, best, first, last)
    assert found[0].fingering == best
    assert found[0].cost == 0
    assert len(found) >= 3
    for way in found:
        set_so = taken(whole, way)
        played = finger(set_so)
        assert [e.notes[0][:2] for e in played.bars[0].events[2:10]] == [
            e.notes[0][:2] for e in way.fingering.bars[0].events[2:10]]
        assert best.cost <= played.cost <= way.fingering.cost
        positions = [e.notes[0].position for e in way.fingering.bars[0].events[2:10]]
        assert way.positions == (min(positions), max(positions))


def test_what_the_teacher_set_holds_in_every_way():
    whole = with_note(line("C4 Eb4 G4 Bb4 Ab4 G4 F4 Eb4", tempo=160), 2, string=4)
    for way in ways(whole, finger(whole), NotePlace(0, 0), NotePlace(0, 7)):
        assert way.fingering.bars[0].events[2].notes[0].string == 4


def test_where_a_way_is_hard():
    whole = line("C4 D4 C5 Bb4", tempo=200)
    best = finger(with_note(with_note(whole, 1, string=3), 2, string=3))
    way = ways(whole, best, NotePlace(0, 0), NotePlace(0, 3), most=1)[0]
    assert way.hard == "hardest at bar 1, note 3: the hand shifts 6 frets"
