"""A study moved to another key: spelled pitches against music21's intervals, the rest by going there and back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21 import interval
from music21 import pitch as m21_pitch

from core.errors import BarglossError
from core.harmony import parse_chord
from core.harmony.moving import moved_to
from core.study import Bar, Change, Event, Key, Note, Pitch, Reading, Study, edits, parse_key, parse_pitch
from tests.strategies import CALM, studies

F = Fraction
TONICS = [Key(fifths) for fifths in range(-7, 8)]


def one_note(key: Key, note: Note) -> Study:
    return Study(key=key, bars=(Bar((Event(F(0), F(4), (note,)),), changes=(Change(F(0), "C-7/G"),)),))


def named(pitch: Pitch) -> m21_pitch.Pitch:
    return m21_pitch.Pitch(f"{pitch.step}{'#' * pitch.alter}{'-' * -pitch.alter}{pitch.octave}")


@settings(CALM, max_examples=150)
@given(st.sampled_from(TONICS), st.sampled_from(TONICS), st.sampled_from("CDEFGAB"), st.integers(-1, 1),
       st.sampled_from((-1, 0, 1)))
def test_a_note_is_spelled_as_music21_transposes_it(old, new, step, alter, octaves):
    """music21, Interval from the old tonic to the new, Pitch.transpose."""
    pitch = Pitch(step, alter, 4)
    half_steps = (new.tonic.chroma - old.tonic.chroma) % 12 + 12 * octaves
    got = moved_to(one_note(old, Note(pitch)), new, half_steps).bars[0].events[0].notes[0].pitch
    assert got.midi == pitch.midi + half_steps
    ends = [named(Pitch(one.tonic.step, one.tonic.alter, 4)) for one in (old, new)]
    expected = interval.Interval(*ends).transposePitch(named(pitch))
    if abs(expected.alter) <= 2:
        assert (got.step, got.alter) == (expected.step, expected.alter)


@settings(CALM, max_examples=40)
@given(studies(max_bars=3), st.integers(-7, 7), st.booleans())
def test_all_goes_by_the_same_step(study, fifths, up):
    """Nothing but pitches, harmony and keys is another; the sound is as far away everywhere; chords keep their kind."""
    old = study.in_force[0].key
    key = Key(fifths, old.mode)
    half_steps = (key.tonic.chroma - old.tonic.chroma) % 12 - (0 if up else 12)
    sounding = [note.pitch.midi for bar in study.bars for event in bar.events for note in event.notes]
    if not all(0 <= midi + half_steps <= 127 for midi in sounding):
        with pytest.raises(BarglossError, match="is no pitch"):
            moved_to(study, key, half_steps)
        return
    moved = moved_to(study, key, half_steps)
    assert moved.in_force[0].key == key
    for before, after in zip(study.in_force, moved.in_force, strict=True):
        assert after.key.mode == before.key.mode
        assert (after.key.tonic.chroma - before.key.tonic.chroma - half_steps) % 12 == 0
        assert [sorted(note.pitch.midi + half_steps for note in event.notes) for event in before.bar.events] == [
            [note.pitch.midi for note in event.notes] for event in after.bar.events]
        for one, other in zip(before.bar.changes, after.bar.changes, strict=True):
            assert one.offset == other.offset
            here, there = parse_chord(one.symbol), parse_chord(other.symbol)
            if one.symbol in ("N.C.", "%"):
                assert other == one
            else:
                assert (there.root.chroma - here.root.chroma - half_steps) % 12 == 0
                assert replace(there, root=here.root, bass=here.bass) == here
        assert (after.bar.callouts, after.bar.comment) == (before.bar.callouts, before.bar.comment)


def test_degrees_stay_and_a_neck_place_goes_with_the_sound():
    note = Note(parse_pitch("E4"), string=1, fret=0, finger=0, degree="3")
    there = moved_to(one_note(Key(), note), parse_key("D major"), 2).bars[0].events[0].notes[0]
    assert there == Note(parse_pitch("F#4"), degree="3")
    respelled = moved_to(one_note(Key(6), replace(note, pitch=parse_pitch("F#4"))), Key(-6), 0).bars[0].events[0].notes
    assert respelled == (replace(note, pitch=parse_pitch("Gb4")),)


def test_keys_within_and_readings_move_and_odd_words_stay():
    study = Study(key=Key(0), bars=(
        Bar(changes=(Change(F(0), "C7"), Change(F(2), "whatever")), readings=(Reading(F(0), "key of Eb major"),)),
        Bar((Event(F(0), F(4), (Note(parse_pitch("D#4")),)),), key=Key(4), readings=(Reading(F(0), "Db7"),)),
        Bar(key=Key(0))))
    moved = moved_to(study, Key(4), 4)
    assert [one.symbol for one in moved.bars[0].changes] == ["E7", "whatever"]
    assert moved.bars[0].readings[0].harmony == "key of G major"
    assert moved.bars[1].key == Key(-4)  # eight sharps are written as four flats
    assert moved.bars[1].events[0].notes[0].pitch.name == "G4"
    assert moved.bars[1].readings[0].harmony == "F7"
    assert moved.bars[2].key == Key(4)


def test_a_key_written_in_the_first_bar_is_the_one_moved():
    study = edits.replace_bar(one_note(Key(0), Note(parse_pitch("F4"))), 0, Bar(key=Key(-1)))
    moved = moved_to(study, Key(0), 7)
    assert (moved.key, moved.bars[0].key) == (Key(0), None)


def test_what_does_not_lead_there_or_leaves_the_range_is_told():
    with pytest.raises(BarglossError, match="3 half steps do not lead from C major to D major"):
        moved_to(one_note(Key(), Note(parse_pitch("C4"))), Key(2), 3)
    with pytest.raises(BarglossError, match=r"bar 1: .* is no pitch"):
        moved_to(one_note(Key(), Note(parse_pitch("G9"))), Key(2), 2)
