"""Laws of the edits: bars not spoken of stay the same objects, an edit undone is the study before, faults are told."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.study import (
    Bar,
    Callout,
    Change,
    Event,
    Instrument,
    Key,
    Meter,
    Note,
    NotePlace,
    Reading,
    Study,
    edits,
    parse_pitch,
    tie_chain,
)
from tests.strategies import CALM, DEGREES, FINGERS, LOUDNESS, STROKES, SYMBOLS, bars, pitches, studies, texts

F = Fraction


def note_places(study: Study) -> list[NotePlace]:
    return [NotePlace(b, e, n) for b, bar in enumerate(study.bars) for e, event in enumerate(bar.events)
            for n in range(len(event.notes))]


with_notes = studies(max_bars=4).filter(note_places)


def only_these_bars(old: Study, new: Study, allowed: set[int]) -> None:
    """All other bars are the very same objects, and nothing but bars has changed."""
    assert replace(new, bars=old.bars) == old
    for index, (before, after) in enumerate(zip(old.bars, new.bars, strict=True)):
        assert index in allowed or before is after


@settings(CALM, max_examples=30)
@given(with_notes, st.data())
def test_what_is_set_at_a_note_is_there_and_goes_again(study, data):
    place = data.draw(st.sampled_from(note_places(study)))
    note, event = study.note_at(place), study.event_at(place)
    degree, finger, stroke, text, dynamic = (data.draw(one) for one in (DEGREES, FINGERS, STROKES, texts, LOUDNESS))
    string = data.draw(st.sampled_from([None, *({*range(1, 7)} - {other.string for other in event.notes})]))
    fret = None if string is None else 3
    for new, back, there in (
        (edits.set_degree(study, place, degree), lambda new: edits.set_degree(new, place, note.degree),
         lambda new: new.note_at(place).degree == degree),
        (edits.set_finger(study, place, finger), lambda new: edits.set_finger(new, place, note.finger),
         lambda new: new.note_at(place).finger == finger),
        (edits.set_string(study, place, string, fret), lambda new: edits.set_string(new, place, note.string, note.fret),
         lambda new: (new.note_at(place).string, new.note_at(place).fret) == (string, fret)),
        (edits.set_stroke(study, place, stroke), lambda new: edits.set_stroke(new, place, event.stroke),
         lambda new: new.event_at(place).stroke == stroke),
        (edits.set_dynamic(study, place, dynamic), lambda new: edits.set_dynamic(new, place, event.dynamic),
         lambda new: new.event_at(place).dynamic == dynamic),
        (edits.set_remark(study, place, text), lambda new: edits.set_remark(new, place, event.remark),
         lambda new: new.event_at(place).remark == text),
    ):
        assert there(new)
        only_these_bars(study, new, {place.bar})
        assert back(new) == study


@settings(CALM, max_examples=40)
@given(studies(max_bars=4), st.data())
def test_what_is_set_at_a_bar_is_there_and_goes_again(study, data):
    index = data.draw(st.integers(0, len(study.bars) - 1))
    bar, here = study.bars[index], study.in_force[index]
    text, symbol = data.draw(texts), data.draw(st.sampled_from(SYMBOLS))
    offset = here.length * data.draw(st.integers(0, 11)) / 12
    harmony = data.draw(st.sampled_from(["", "Db7", "key of Eb major"]))
    was_change = next((one.symbol for one in bar.changes if one.offset == offset), "")
    was_reading = next((one.harmony for one in bar.readings if one.offset == offset), None)

    new = edits.set_comment(study, index, text)
    assert new.bars[index].comment == text
    only_these_bars(study, new, {index})
    assert edits.set_comment(new, index, bar.comment) == study

    for sign, jump in (("segno", ""), ("", "D.C. al Fine"), ("coda", "To Coda")):
        new = edits.set_jump(edits.set_sign(study, index, sign), index, jump)
        assert (new.bars[index].sign, new.bars[index].jump) == (sign, jump)
        only_these_bars(study, new, {index})
        assert edits.set_jump(edits.set_sign(new, index, bar.sign), index, bar.jump) == study

    new = edits.set_change(study, index, offset, symbol)
    assert Change(offset, symbol) in new.bars[index].changes
    only_these_bars(study, new, {index})
    assert edits.set_change(new, index, offset, was_change) == study

    new = edits.set_reading(study, index, offset, harmony)
    assert Reading(offset, harmony) in new.bars[index].readings
    only_these_bars(study, new, {index})
    assert edits.set_reading(new, index, offset, was_reading) == study


@settings(CALM, max_examples=40)
@given(studies(max_bars=4), st.data())
def test_callouts_come_and_go(study, data):
    index = data.draw(st.integers(0, len(study.bars) - 1))
    last = data.draw(st.integers(index, len(study.bars) - 1))
    start, stop = (data.draw(st.sampled_from(sorted(study.bars[one].onsets))) for one in (index, last))
    callout = Callout(start if last > index else min(start, stop), stop if last > index else max(start, stop),
                      last - index, "never drawn", data.draw(texts))
    count = len(study.bars[index].callouts)
    new = edits.add_callout(study, index, callout)
    assert new.bars[index].callouts[-1] == callout
    only_these_bars(study, new, {index})
    again = edits.replace_callout(new, index, count, replace(callout, text="other"))
    assert again.bars[index].callouts[count].text == "other"
    only_these_bars(new, again, {index})
    assert edits.remove_callout(again, index, count) == study


@settings(CALM, max_examples=40)
@given(with_notes, st.data())
def test_a_new_pitch_takes_its_tied_notes_along(study, data):
    place, pitch = data.draw(st.sampled_from(note_places(study))), data.draw(pitches)
    chain = tie_chain(study, place)
    new = edits.set_note_pitch(study, place, pitch)
    only_these_bars(study, new, {link.bar for link in chain})
    before = [note.pitch for bar in study.bars for event in bar.events for note in event.notes]
    after = [note.pitch for bar in new.bars for event in bar.events for note in event.notes]
    changed = sorted([study.note_at(link).pitch for link in chain])
    assert sorted(after) == sorted([*_without(before, changed), *[pitch] * len(chain)])
    for link in chain:
        heads = new.event_at(link).notes
        assert pitch in [note.pitch for note in heads]


def _without(row: list, taken: list) -> list:
    left = [*row]
    for one in taken:
        left.remove(one)
    return left


def test_a_new_pitch_over_the_barline():
    """From any head of the chain; the double stop it lands in is sorted anew."""
    def chain(name: str) -> Study:
        held = Note(parse_pitch(name), tie=True)
        low, end = Note(parse_pitch("E4")), Note(parse_pitch(name))
        return Study(bars=(Bar((Event(F(0), F(4), (held,)),)), Bar((Event(F(0), F(4), (held,)),)),
                           Bar((Event(F(0), F(4), tuple(sorted((low, end), key=lambda note: note.pitch.midi))),))))

    for place in (NotePlace(0, 0), NotePlace(1, 0), NotePlace(2, 0, 1)):
        assert edits.set_note_pitch(chain("G4"), place, parse_pitch("C4")) == chain("C4")


def test_a_new_pitch_drops_what_was_set_for_the_old_one():
    def with_note(note: Note) -> Study:
        return Study(bars=(Bar((Event(F(0), F(4), (note,)),)),))

    old = Note(parse_pitch("Bb4"), string=2, fret=11, finger=4, degree="b3", ghost=True)
    place = NotePlace(0, 0, 0)
    respelled = edits.set_note_pitch(with_note(old), place, parse_pitch("A#4"))
    assert respelled == with_note(Note(parse_pitch("A#4"), string=2, fret=11, finger=4, ghost=True))
    moved = edits.set_note_pitch(with_note(old), place, parse_pitch("C5"))
    assert moved == with_note(Note(parse_pitch("C5"), ghost=True))
    assert edits.set_note_pitch(with_note(old), place, parse_pitch("Bb4")).note_at(place) == old


@settings(CALM, max_examples=30)
@given(studies(max_bars=4), st.data())
def test_new_notes_in_a_bar_leave_every_callout_on_a_note(study, data):
    """Study and Bar themselves refuse a callout in the air, so that building one is the check."""
    index = data.draw(st.integers(0, len(study.bars) - 1))
    length = study.in_force[index].length
    new = edits.set_events(study, index, ())
    assert new.bars[index].events == ()
    reaching = {at for at, bar in enumerate(study.bars) if any(at + one.bars_on == index for one in bar.reaching)}
    only_these_bars(study, new, {index, *reaching})
    for at in range(len(study.bars)):
        words = [(one.heading, one.text) for one in study.bars[at].callouts]
        assert set(words) == {(one.heading, one.text) for one in new.bars[at].callouts}
    other = data.draw(bars(study.in_force[index].meter, len(study.instrument.tuning), may_change=False))
    if (other.length or study.in_force[index].meter.length) == length and other.events:
        assert edits.set_events(study, index, other.events).bars[index].events == other.events


def test_a_callout_moves_to_the_nearest_note_before():
    quarters = tuple(Event(F(n), F(1)) for n in range(4))
    halves = tuple(Event(F(2 * n), F(2)) for n in range(2))
    study = Study(bars=(Bar(quarters, callouts=(Callout(F(0), F(3), 1, "over"),)),
                        Bar(quarters, callouts=(Callout(F(1), F(3), 0, "in"),))))
    new = edits.set_events(study, 1, halves)
    assert new.bars[0].callouts == (Callout(F(0), F(2), 1, "over"),)
    assert new.bars[1].callouts == (Callout(F(0), F(2), 0, "in"),)
    assert edits.replace_bar(study, 1, Bar()).bars[0].callouts == (Callout(F(0), F(0), 1, "over"),)


@settings(CALM, max_examples=20)
@given(studies(max_bars=3))
def test_an_edit_that_changes_nothing_gives_the_study_itself(study):
    bar = study.bars[0]
    assert edits.set_comment(study, 0, bar.comment) is study
    assert edits.set_change(study, 0, F(1, 7), "") is study
    assert edits.set_reading(study, 0, F(1, 7), None) is study
    assert edits.replace_bar(study, 0, bar) is study
    assert edits.set_events(study, 0, bar.events) is study
    assert edits.set_details(study, title=study.title, tempo=study.tempo) is study


def test_details_are_set_and_checked():
    study = Study(title="a", bars=(Bar(tuple(Event(F(n), F(1)) for n in range(4))),))
    assert edits.set_details(study, title="b", key=Key(2)) == replace(study, title="b", key=Key(2))
    with pytest.raises(BarglossError, match="bar 1: more music than fits"):
        edits.set_details(study, meter=Meter((3,)))
    with pytest.raises(BarglossError, match="tempo of 5"):
        edits.set_details(study, tempo=5)


NOTED = Study(bars=(Bar(length=F(1)), Bar((
    Event(F(0), F(2), (Note(parse_pitch("E4"), string=2), Note(parse_pitch("B4"), string=1))), Event(F(2), F(2))),
    callouts=(Callout(F(0), F(2)),))))
PLACE = NotePlace(1, 0, 0)
FAULTS = {
    "no such bar": (lambda: edits.set_comment(NOTED, 2, "x"), "the study has 2 bars and none at place 3; choose"),
    "bar before the first": (lambda: edits.set_comment(NOTED, -1, "x"), "none at place 0; choose"),
    "no such event": (lambda: edits.set_remark(NOTED, NotePlace(1, 2), "x"), "bar 1: that note is no longer there"),
    "a rest": (lambda: edits.set_degree(NOTED, NotePlace(1, 1), "9"), "bar 1: there is no note to change in"),
    "a rest's pitch": (lambda: edits.set_note_pitch(NOTED, NotePlace(1, 1), parse_pitch("C4")), "bar 1: there is no"),
    "a finger": (lambda: edits.set_finger(NOTED, PLACE, 5), "bar 1: finger 5: fingers count from 1"),
    "a string": (lambda: edits.set_string(NOTED, PLACE, 7), "bar 1: E4 is set on string 7 of 6; choose another string"),
    "a taken string": (lambda: edits.set_string(NOTED, PLACE, 1), "bar 1: two notes of a double stop are set on one"),
    "a fret": (lambda: edits.set_string(NOTED, PLACE, None, 3), "bar 1: fret 3 of no string; name the string as well"),
    "a stroke": (lambda: edits.set_stroke(NOTED, PLACE, "sideways"), "bar 1: 'sideways' is not a stroke; use one of"),
    "a late chord": (lambda: edits.set_change(NOTED, 1, F(4), "C7"), "bar 1: the chord symbol 'C7' stands past"),
    "an early chord": (lambda: edits.set_change(NOTED, 1, F(-1), "C7"), "bar 1: two chord symbols share a place or"),
    "a late reading": (lambda: edits.set_reading(NOTED, 0, F(1), "C7"), "pickup: the reading 'C7' stands past"),
    "a callout in the air": (lambda: edits.add_callout(NOTED, 1, Callout(F(1), F(2), text="x")), "the callout 'x'"),
    "a callout past the end": (lambda: edits.add_callout(NOTED, 1, Callout(F(0), F(0), 1)), "bar 1: the callout ''"),
    "the same callout": (lambda: edits.add_callout(NOTED, 1, Callout(F(0), F(2))), "bar 1: the callout '' stands"),
    "no such callout": (lambda: edits.remove_callout(NOTED, 1, 1), "bar 1: that callout is no longer there; choose"),
    "an underfull bar": (lambda: edits.set_events(NOTED, 1, (Event(F(0), F(2)),)), "bar 1: less music than fits: 2"),
    "a gap": (lambda: edits.set_events(NOTED, 1, (Event(F(1), F(2)),)), "bar 1: a gap at 0 quarters"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_bad_edit_is_told_with_its_bar(fault):
    edit, sentence = FAULTS[fault]
    with pytest.raises(BarglossError) as caught:
        edit()
    assert sentence in str(caught.value)
    assert len(caught.value.lines()) == 1


def test_a_neck_too_small_for_a_set_string_is_told():
    with pytest.raises(BarglossError, match="string 6 of 4"):
        edits.set_details(replace(NOTED, bars=(Bar((Event(F(0), F(4), (Note(parse_pitch("E4"), string=6),)),)),)),
                          instrument=Instrument("small", Instrument().tuning[:4]))


@given(studies(max_bars=4), st.data())
@settings(CALM, max_examples=40)
def test_changes_over_bars_are_those_and_leave_the_rest(study, data):
    first = data.draw(st.integers(0, len(study.bars) - 1))
    rows = data.draw(st.lists(st.sampled_from(((), (Change(F(0), "C7"),), (Change(F(0), "G-7"),))),
                              max_size=len(study.bars) - first))
    changed = edits.set_changes(study, first, rows)
    assert [bar.changes for bar in changed.bars[first:first + len(rows)]] == rows
    assert all(one is other for at, (one, other) in enumerate(zip(study.bars, changed.bars, strict=True))
               if not first <= at < first + len(rows))


@given(studies(max_bars=4), st.data())
@settings(CALM, max_examples=40)
def test_labels_come_and_go_and_leave_the_rest(study, data):
    bar = data.draw(st.integers(0, len(study.bars) - 1))
    label = data.draw(texts.filter(bool))
    new = edits.set_chorus(study, bar, label)
    assert {one.bar: one.label for one in new.choruses} == {one.bar: one.label for one in study.choruses} | {bar: label}
    assert new.bars is study.bars
    gone = edits.set_chorus(new, bar, "")
    assert gone.choruses == tuple(one for one in study.choruses if one.bar != bar)
    assert edits.set_chorus(gone, bar, "") is gone
    new = edits.set_rehearsal(study, bar, label)
    assert new.bars[bar].rehearsal == label
    only_these_bars(study, new, {bar})
    assert edits.set_rehearsal(new, bar, study.bars[bar].rehearsal) == study
    for where in (-1, len(study.bars)):
        with pytest.raises(BarglossError, match="choose another bar"):
            edits.set_chorus(study, where, label)


@given(studies(max_bars=3), st.integers(-7, 7))
@settings(CALM, max_examples=30)
def test_a_key_is_another_signature_and_no_other_note(study, fifths):
    key = Key(fifths)
    new = edits.set_key(study, key)
    assert (new.in_force[0].key, new.bars[0].key) == (key, None)
    assert [bar.events for bar in new.bars] == [bar.events for bar in study.bars]
    assert new.bars[1:] == study.bars[1:]
    assert edits.set_key(new, key) is new
