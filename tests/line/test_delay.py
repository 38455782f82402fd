"""Delays. Source: Open Music Theory, "Embellishing tones" (references.md L4): a suspension is held, then falls by step.
Late chord tones: common practice, no source."""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, told

KINDS = {
    "Dm7: D4 F4 A4 C5~ | G7: C5 B4*3": ("C5~ C5 B4", "3", "1/2", "suspension"),
    "Dm7: D4 F4 A4 C5 | G7: C5*2 B4*2": ("C5 C5 B4", "3", "1", "suspension"),
    "G7: D4 F4 G4 F4~ | Cmaj7: F4*2 E4*2": ("F4~ F4 E4", "3", "1", "suspension"),
    "G7: D5 F5 D5 B4~ | C: B4 C5*3": ("B4~ B4 C5", "1", "1/2", "late chord tone"),
    "G7: D5 B4 G4 B4 | C: F4 E4*3": ("F4 E4", "3", "1/2", "late chord tone"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", KINDS)
def test_the_chord_tone_comes_late(text, up):
    span, degree, late, by = KINDS[text]
    [(notes, facts)] = found("delay", text, up=up)
    assert notes == span
    assert (facts["degree"], facts["late"], facts["by"]) == (degree, late, by)


@pytest.mark.parametrize(("text", "why"), [
    ("Dm7: D4 E4 F4 G4 A4 B4 C5 D5 | G7: C5 B4 A4 G4", "a scale runs on through the change"),
    ("Dm7: D4 F4 A4 C5~ | G7: C5 E5 D5", "it leaps away"), ("Dm7: A4 F4~ | G7: F4 E4", "a tone of both chords"),
    ("G7: E5 C5~ | Am7: C5 B4", "the new chord has it"), ("Dm7: C5~ | G7: C5*6 B4", "far too late"),
    ("Dm7: C5~ | Dm7: C5 B4", "no change"), ("Dm7: A4 F4 D4 | G7: A4 G4", "the ninth is a tension, struck fresh"),
])
def test_what_is_none(text, why):
    assert found("delay", text) == [], why


def test_what_is_told():
    for words in told("delay", "Dm7: A4 C5~ | G7: C5 B4*3"):
        assert "{3} of {G7}" in words
        assert "half a beat" in words
    assert all("{3} of {C}" in words for words in told("delay", "G7: G4 B4 | C: F4 E4*3"))
