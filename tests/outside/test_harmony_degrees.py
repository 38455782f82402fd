"""Degrees against music21's intervals, over 35 spelled names by 35."""

from __future__ import annotations

from itertools import product

import pytest
from music21 import interval as m21_interval
from music21 import pitch as m21_pitch

from core.harmony import degree_between, degree_in_chord, note_above, parse_chord
from core.study import Pitch, PitchClass

NAMES = [PitchClass(step, alter) for step, alter in product("CDEFGAB", range(-2, 3))]
MAJOR = (0, 2, 4, 5, 7, 9, 11)


NO_INTERVAL = {("Fbb", "B##")}  # music21 has no name for a fourth five semitones too wide


def _interval(root: PitchClass, note: PitchClass) -> m21_interval.Interval:
    low = m21_pitch.Pitch(root.name.replace("b", "-"), octave=2)
    high = m21_pitch.Pitch(note.name.replace("b", "-"), octave=4)
    return m21_interval.Interval(low, high)


def _partners(root: PitchClass) -> list[PitchClass]:
    return [note for note in NAMES if (root.name, note.name) not in NO_INTERVAL]


@pytest.mark.parametrize("root", NAMES, ids=lambda name: name.name)
def test_spelled_degrees_are_music21s_intervals(root):
    assert len(NAMES) == 35
    for note in _partners(root):
        theirs = _interval(root, note)
        octaves, step = divmod(theirs.generic.undirected - 1, 7)
        alter = theirs.chromatic.semitones - 12 * octaves - MAJOR[step]
        assert degree_between(root, note) == (step + 1, alter), note


@pytest.mark.parametrize("root", NAMES, ids=lambda name: name.name)
def test_degrees_over_chords_sound_music21s_intervals(root):
    """The name follows the kind of chord; its size, and its note where the two agree on the letter, do not."""
    for suffix in ("7", "-7", "△7", "°7", "7alt", "13sus"):
        chord = parse_chord(root.name + suffix)
        for note in _partners(root):
            theirs = _interval(root, note)
            degree = degree_in_chord(Pitch(note.step, note.alter, 4), chord)
            assert (degree.semitones - theirs.chromatic.semitones) % 12 == 0
            if (degree.number - 1) % 7 + 1 == theirs.generic.mod7:
                assert degree.alter == degree_between(root, note).alter


@pytest.mark.parametrize("name", ["M3", "m3", "P5", "d5", "A5", "m7", "d7", "m9", "A9", "A11", "m13", "M13"])
def test_the_note_at_a_degree_is_music21s_transposition(name):
    number = int(name[1:])
    for root in NAMES:
        if abs(root.alter) > 1:
            continue
        theirs = m21_pitch.Pitch(root.name.replace("b", "-"), octave=2).transpose(name)
        degree = degree_between(root, PitchClass(theirs.step, int(theirs.alter)))
        expected = PitchClass(theirs.step, int(theirs.alter))
        if abs(expected.alter) <= 2:
            assert note_above(root, degree._replace(number=number)) == expected
