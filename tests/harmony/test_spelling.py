"""Spelling of key numbers (common practice, no source)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.harmony import parse_chord, spell
from core.study import MODES, Key
from tests.harmony.made import CHORDS

KEYS = st.builds(Key, st.integers(-7, 7), st.sampled_from(MODES))


@given(st.integers(0, 127), KEYS, st.one_of(st.none(), CHORDS), st.one_of(st.none(), st.integers(0, 127)))
def test_a_spelled_note_sounds_its_key_number(midi, key, chord, following):
    pitch = spell(midi, key, chord, following)
    assert pitch.midi == midi
    assert abs(pitch.alter) <= 2


@given(st.integers(24, 96), CHORDS, KEYS)
def test_a_chord_tone_is_spelled_as_the_chord_has_it(midi, chord, key):
    if midi % 12 in chord.pitch_classes:
        assert spell(midi, key, chord).pitch_class in chord.spelled


@given(st.integers(24, 96), KEYS)
def test_a_note_of_the_key_is_spelled_by_the_signature(midi, key):
    by_sound = {(pitch.midi) % 12: pitch for pitch in (spell(note, key) for note in range(60, 72))
                if pitch.alter == key.alter_of(pitch.step)}
    assert len(by_sound) == 7


@pytest.mark.parametrize(("midi", "key", "symbol", "following", "name"), [
    (61, Key(0), "A7", None, "C#4"), (61, Key(0), "Bb-7", None, "Db4"), (61, Key(0), None, 62, "C#4"),
    (61, Key(0), None, 60, "Db4"), (66, Key(0), None, 67, "F#4"), (66, Key(0), None, 65, "Gb4"),
    (70, Key(0), None, None, "Bb4"), (66, Key(0), None, None, "F#4"), (68, Key(0, "minor"), None, None, "G#4"),
    (68, Key(0, "minor"), None, 67, "Ab4"), (58, Key(4), None, 59, "A#3"), (71, Key(-3), None, None, "B4"),
    (64, Key(-3), None, 63, "E4"), (60, Key(7), None, None, "B#3"), (59, Key(-7), None, None, "Cb4"),
    (70, Key(3), "G7", None, "A#4"),
])
def test_named_cases(midi, key, symbol, following, name):
    chord = parse_chord(symbol) if symbol else None
    assert spell(midi, key, chord, following).name == name
