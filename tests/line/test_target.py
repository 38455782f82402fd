"""Targets, common practice, no source: an approach note leads by nearness to a chord tone on the beat
(references.md L5, L6)."""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, told

KINDS = {
    # L6: F D# E over C: upper scale step, lower semitone, target 3
    "C: G4 C5 F4 D#4 E4*4": ("F4 D#4 E4", "3", 3, "half", "enclosure"),
    "Dm7: D4 F4 A4 C5 | G7: B4*4": ("C5 B4", "3", 1, "half", "approach from above"),
    "G7: D4 G4 B4 D4 | Cm7: Eb4*4": ("D4 Eb4", "b3", 1, "half", "approach from below"),
    "C: C5 E5 C5 F#4 G4*4": ("F#4 G4", "5", 3, "half", "approach from below"),
    "Cmaj7: G4 E4 | F7: Eb4*4": ("E4 Eb4", "b7", 1, "half", "approach from above"),
    "C: G4*3 A4 G7: B4 D5 G5 D5": ("A4 B4", "3", 3, "whole", "approach from below"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", KINDS)
def test_where_the_line_lands(text, up):
    span, degree, beat, step, how = KINDS[text]
    [(notes, facts)] = found("target", text, up=up)
    assert notes == span
    assert (facts["degree"], facts["beat"], facts["step"], facts["how"]) == (degree, beat, step, how)


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 D4 E4 F4 G4 A4 B4 C5 | B4 A4 G4 F4 E4 D4 C4*2", "a scale over one chord"),
    ("Cmaj7: C4 E4 G4 B4 C5 G4 E4 C4", "an arpeggio"),
    ("Dm7: A4 | Dm7: G4 F4", "no new chord, off the strong beat"),
    ("C: C5 D4 | C/G: E4*4", "the same chord over another bass"),
    ("C: C4 B3 A3 | G7: A4 D5*4", "a leap"), ("C: F#4 - - | G7: G4*4", "a rest parts them"),
    ("C: C5 E5 F#4 G4 E4*4", "off the beat"), ("F#4 G4 F#4 G4 F#4 G4", "no chord"),
])
def test_what_is_none(text, why):
    assert found("target", text) == [], why


def test_the_run_that_goes_on_has_no_target_but_at_a_change():
    assert found("target", "Cmaj7: C5 A4 G4 F4 E4 D4 C4*2") == []
    assert [span for span, _ in found("target", "Dm7: F5 E5 D5 C5 G7: B4 A4 G4*2")] == ["C5 B4"]


def test_what_is_told():
    assert all("{3} of {G7}" in words and "beat 1" in words for words in told("target", "Dm7: A4 C5 | G7: B4*4"))
    assert len(set(told("target", "C: G4 C5 F4 D#4 E4*4"))) == 3
