"""A hairpin over a passage; how one prints is tested in tests/engraving/test_hairpins.py."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.study import Bar, NotePlace, Study, edits, hairpin_over, hairpins_in
from tests.engraving.scenes import events
from tests.strategies import CALM, studies


def study(*lines):
    return Study(bars=tuple(Bar(events(line)) for line in lines))


def marks(of):
    return [[event.hairpin for event in bar.events] for bar in of.bars]


TWO_BARS = study("C4:4 D4:4 E4:4 F4:4", "G4:4 A4:4 B4:4 C5:4")


def test_from_the_first_note_to_the_note_after_the_last():
    assert marks(hairpin_over(TWO_BARS, NotePlace(0, 1), NotePlace(0, 2), "cresc")) == [
        ["", "cresc", "", "stop"], [""] * 4]


def test_over_the_barline():
    one = hairpin_over(TWO_BARS, NotePlace(0, 3), NotePlace(0, 3), "dim")
    assert marks(one) == [["", "", "", "dim"], ["stop", "", "", ""]]
    assert hairpins_in(hairpin_over(TWO_BARS, NotePlace(0, 2), NotePlace(1, 1), "dim").bars) == ("", "dim")


def test_at_the_end_of_the_study_nothing_need_end_it():
    assert marks(hairpin_over(TWO_BARS, NotePlace(1, 2), NotePlace(1, 3), "dim"))[1] == ["", "", "dim", ""]


@pytest.mark.parametrize("after", [{"dynamic": "f"}, {"hairpin": "dim"}])
def test_what_ends_it_already_is_left_alone(after):
    row = TWO_BARS.bars[0].events
    loud = edits.set_events(TWO_BARS, 0, (*row[:2], replace(row[2], **after), row[3]))
    new = hairpin_over(loud, NotePlace(0, 0), NotePlace(0, 1), "cresc")
    assert new.bars[0].events[2] == loud.bars[0].events[2]
    assert new.bars[0].events[0].hairpin == "cresc"


def test_those_inside_give_way():
    busy = hairpin_over(TWO_BARS, NotePlace(0, 1), NotePlace(0, 1), "dim")
    busy = hairpin_over(busy, NotePlace(0, 2), NotePlace(0, 2), "cresc")
    assert marks(hairpin_over(busy, NotePlace(0, 0), NotePlace(1, 0), "cresc")) == [
        ["cresc", "", "", ""], ["", "stop", "", ""]]


@settings(CALM)
@given(studies(), st.data())
def test_taken_away_it_leaves_nothing_inside(one, data):
    places = [NotePlace(bar, at) for bar, what in enumerate(one.bars) for at in range(len(what.events))]
    if not places:
        return
    first, last = sorted((data.draw(st.sampled_from(places)), data.draw(st.sampled_from(places))))
    put = hairpin_over(one, first, last, "cresc")
    inside = [put.event_at(place).hairpin for place in places if first <= place <= last]
    assert inside == ["cresc"] + [""] * (len(inside) - 1)
    gone = hairpin_over(put, first, last, "")
    assert not any(gone.event_at(place).hairpin for place in places if first <= place <= last)
    assert not any(gone.event_at(place).hairpin == "stop" and not one.event_at(place).hairpin for place in places)
