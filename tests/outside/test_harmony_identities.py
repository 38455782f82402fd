"""Structures over a dominant seventh and what they sound like there: references 3.3, by arithmetic."""

from __future__ import annotations

import pytest

from core.harmony import Degree, degree_in_chord, note_above, parse_chord
from core.study import Pitch, PitchClass

STRUCTURES = [
    ("b7", "dim", "b7 b9 3"), ("3", "dim", "3 5 b7"), ("3", "°7", "3 5 b7 b9"), ("5", "°7", "5 b7 b9 3"),
    ("b7", "°7", "b7 b9 3 5"), ("b9", "°7", "b9 3 5 b7"), ("3", "m7b5", "3 5 b7 9"), ("5", "m6", "5 b7 9 3"),
    ("5", "m7", "5 b7 9 11"), ("b7", "maj7", "b7 9 11 13"), ("9", "", "9 #11 13"), ("b13", "", "b13 1 #9"),
    ("#11", "", "#11 b7 b9"), ("13", "", "13 b9 3"), ("#11", "7", "#11 b7 b9 3"), ("b9", "m(maj7)", "b9 3 b13 1"),
    ("b7", "m7b5", "b7 b9 3 b13"), ("3", "+", "3 b13 1"),
]


def _degree(name: str) -> Degree:
    return Degree(int(name.lstrip("b#")), name.count("#") - name.count("b"))


ROOTS = [PitchClass("C"), PitchClass("F"), PitchClass("B", -1), PitchClass("F", 1), PitchClass("A", -1)]


@pytest.mark.parametrize("root", ROOTS, ids=lambda name: name.name)
@pytest.mark.parametrize(("on", "suffix", "names"), STRUCTURES, ids=[f"{on}{suffix}" for on, suffix, _ in STRUCTURES])
def test_structures_over_a_dominant(root, on, suffix, names):
    seventh = parse_chord(root.name + "7")
    upper = parse_chord(note_above(root, _degree(on)).name + suffix)
    heard = [degree_in_chord(Pitch(note.step, note.alter, 4), seventh).name for note in upper.spelled]
    assert " ".join(heard) == names


def test_the_altered_chord_and_melodic_minor_a_half_step_above():
    """Altered = melodic minor a semitone above (references 3.3)."""
    chord = parse_chord("G7alt")
    sounding = {*chord.pitch_classes, *((7 + tension.semitones) % 12 for tension in chord.tensions)}
    assert sounding == {(8 + step) % 12 for step in (0, 2, 3, 5, 7, 9, 11)}
