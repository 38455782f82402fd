"""Degrees over chords and in keys. Names on a dominant, dim7 and sixth chords: Nettles & Graf 1997,
Levine 1995, from memory (references H1); the rows of other chords are common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.harmony import Degree, degree_in_chord, degree_in_key, parse_chord
from core.study import Key, Pitch
from tests.harmony.made import CHORDS

PITCHES = st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-2, 2), st.integers(1, 6))
ROWS = [
    ("C7", "1 b9 9 #9 3 11 #11 5 b13 13 b7 7"), ("C7b5", "1 b9 9 #9 3 11 b5 5 b13 13 b7 7"),
    ("C7#5", "1 b9 9 #9 3 11 #11 5 #5 13 b7 7"), ("C-7", "1 b9 9 b3 3 11 b5 5 b13 13 b7 7"),
    ("C°7", "1 b9 9 b3 3 11 b5 5 b13 bb7 b7 7"), ("C6", "1 b9 9 #9 3 11 #11 5 #5 6 b7 7"),
    ("C-6", "1 b9 9 b3 3 11 b5 5 b13 6 b7 7"), ("C7sus", "1 b9 9 #9 3 4 #11 5 b13 13 b7 7"),
    ("C7alt", "1 b9 9 #9 3 11 #11 5 b13 13 b7 7"), ("C△7", "1 b9 9 #9 3 11 #11 5 #5 13 b7 7"),
    ("Csus2", "1 b9 2 #9 3 11 #11 5 b13 13 b7 7"), ("Cø7", "1 b9 9 b3 3 11 b5 5 b13 13 b7 7"),
]
NAMED = [Pitch("C", 0, 4), Pitch("D", -1, 4), Pitch("D", 0, 4), Pitch("E", -1, 4), Pitch("E", 0, 4), Pitch("F", 0, 4),
         Pitch("F", 1, 4), Pitch("G", 0, 4), Pitch("A", -1, 4), Pitch("A", 0, 4), Pitch("B", -1, 4), Pitch("B", 0, 4)]


@pytest.mark.parametrize(("symbol", "names"), ROWS, ids=[symbol for symbol, _ in ROWS])
def test_the_twelve_notes_over_a_chord(symbol, names):
    assert " ".join(degree_in_chord(pitch, parse_chord(symbol)).name for pitch in NAMED) == names


def test_two_four_six_names_leave_chord_tones_their_own():
    lower = [degree_in_chord(pitch, parse_chord("C9"), "lower").name for pitch in NAMED]
    assert " ".join(lower) == "1 b2 9 #2 3 4 #4 5 b6 6 b7 7"


@given(PITCHES, CHORDS, st.sampled_from(("upper", "lower")))
def test_a_degree_sounds_the_note_it_names(pitch, chord, tensions):
    degree = degree_in_chord(pitch, chord, tensions)
    assert degree.semitones % 12 == (pitch.midi - chord.root.chroma) % 12
    assert 1 <= degree.number <= 13


@given(PITCHES, CHORDS)
def test_a_chord_tone_has_the_name_the_symbol_gives_it(pitch, chord):
    by_sound = {tone.chroma: tone for tone in chord.tones}
    chroma = (pitch.midi - chord.root.chroma) % 12
    if chroma in by_sound:
        assert degree_in_chord(pitch, chord) == by_sound[chroma]


@pytest.mark.parametrize(("pitch", "key", "name"), [
    (Pitch("E", -1, 4), Key(-3, "minor"), "b3"), (Pitch("D", 1, 4), Key(0), "#2"),
    (Pitch("E", 0, 4), Key(0, "dorian"), "2"),
    (Pitch("B", 0, 4), Key(-3, "minor"), "7"), (Pitch("F", 1, 4), Key(0), "#4"), (Pitch("G", -1, 4), Key(0), "b5"),
    (Pitch("C", 0, 3), Key(-2, "dorian"), "1"), (Pitch("B", -2, 4), Key(0), "bb7"), (Pitch("E", 1, 4), Key(6), "7"),
])
def test_degrees_in_a_key_follow_the_spelling(pitch, key, name):
    assert degree_in_key(pitch, key).name == name


def test_degree_names_and_sizes():
    assert [Degree(9, -1).name, Degree(7, -2).name, Degree(11, 1).name] == ["b9", "bb7", "#11"]
    assert [Degree(9, -1).semitones, Degree(7, -2).semitones, Degree(11, 1).semitones] == [13, 9, 18]
