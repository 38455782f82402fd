"""Cells. Sources: Coker et al., "Patterns for Jazz", 1970, from memory, for 1 2 3 5 and its kin (references.md L10,
steps by arithmetic); the issue's facts to hold and the rest are common practice, no source."""

from __future__ import annotations

from itertools import pairwise

import pytest

from core.study import parse_pitch
from tests.line.lines import KEYS, found, score, told

L10 = {  # references.md L10: pattern, its steps
    "C: C4 D4 E4 G4": ("1 2 3 5", [2, 2, 3]), "Cm: C4 D4 Eb4 G4": ("1 2 b3 5", [2, 1, 4]),
    "C: C4 E4 F4 G4": ("1 3 4 5", [4, 1, 2]),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", L10)
def test_the_patterns_of_l10(text, up):
    pattern, steps = L10[text]
    heights = [parse_pitch(name).midi for name in text.split()[1:]]
    assert [b - a for a, b in pairwise(heights)] == steps
    [(span, facts)] = found("cell", text, up=up)
    assert span == text.partition(": ")[2]
    chord = text.partition(":")[0]
    assert facts == {"pattern": pattern, "chord": chord, "heard": chord, "plain": pattern,
                     "name": pattern.replace("b", "")}


@pytest.mark.parametrize("up", KEYS)
def test_the_minor_chord_a_third_above_a_major_root(up):
    """Issue: 5-3-4-5 there is 7-5-6-7 of that root: report both."""
    [(_, facts)] = found("cell", "Cmaj7: B4 G4 A4 B4", up=up)
    assert (facts["pattern"], facts["plain"], facts["name"]) == ("7 5 6 7", "5 b3 4 5", "5 3 4 5")
    assert (facts["chord"], facts["heard"]) == ("Cmaj7", "Em")


@pytest.mark.parametrize(("text", "pattern", "heard", "plain"), [
    ("Cm7: Eb4 F4 G4 Bb4", "b3 4 5 b7", "Eb", "1 2 3 5"),  # the triad of its own chord tones
    ("G7: B4 G4 A4 B4", "3 1 2 3", "G7", "3 1 2 3"),  # on its own root: not 5 3 4 5 of B minor
    ("C7: Gb4 Ab4 Bb4 Db5", "#4 b6 b7 b2", "Gb", "1 2 3 5"),  # tensions
    ("Cmaj7: Db4 Eb4 F4 Ab4", "b2 #2 4 #5", "Db", "1 2 3 5"),  # outside, from beat 1
    ("Dm7: A4 F4 G4 A4", "5 b3 4 5", "Dm7", "5 b3 4 5"), ("C: G3 C4 D4 E4", "5 1 2 3", "C", "5 1 2 3"),
])
def test_the_plainest_reading(text, pattern, heard, plain):
    """Common practice, no source."""
    [(_, facts)] = found("cell", text)
    assert (facts["pattern"], facts["heard"], facts["plain"]) == (pattern, heard, plain)


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 D4 E4 F4 G4 A4 B4 C5", "a scale"), ("Cmaj7: C4 E4 G4 B4 C5 G4 E4 C4", "an arpeggio"),
    ("Cmaj7: B3 C4 D4 E4 G4", "it begins off the beat"), ("Cmaj7: C4 D4*2 E4 G4", "uneven"),
    ("C4 D4 E4 G4", "no chord"),
    ("Dm7: D4 E4 | G7: F4 A4", "two chords"),
    ("Cmaj7: C4 D4 - - E4 G4", "a rest parts it"),
    ("Cmaj7: G4 A4 Db4 Eb4 F4 Ab4", "outside the chord in a weaker place"),
    ("Cmaj7: C4 F#4 G#4 D4 A4 Eb4 C5 F#4", "leaps"),
])
def test_what_is_none(text, why):
    assert found("cell", text) == [], why


def test_what_is_told():
    for words in told("cell", "Cmaj7: B4 G4 A4 B4"):
        assert all(token in words for token in ("{7} {5} {6} {7}", "{Cmaj7}", "{5} {b3} {4} {5}", "{Em}"))
    assert len(set(told("cell", "C: C4 D4 E4 G4"))) == 3
    assert score("cell", "C: C4 D4 E4 G4") > score("cell", "Cmaj7: Db4 Eb4 F4 Ab4")
