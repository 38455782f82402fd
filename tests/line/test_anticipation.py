"""Anticipations. Source: Open Music Theory, "Embellishing tones" (references.md L4): a tone of the next chord struck
just before the change and struck again on it; tied over it is a syncopation. Let go: common practice, no source."""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, told

KINDS = {
    "G7: D4 F4 B4 E4 | Cmaj7: E4*4": ("E4 E4", "3", "struck again"),
    "G7: D4 F4 B4 E4~ | Cmaj7: E4*4": ("E4~", "3", "tied"),
    "G7: D4 F4 B4 E4 | Cmaj7: - - D4": ("E4", "3", "let go"),
    "Dm7: D4 F4 A4 B4~ | G7: B4 D5": ("B4~", "3", "tied"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", KINDS)
def test_a_note_of_the_coming_chord(text, up):
    span, degree, held = KINDS[text]
    [(notes, facts)] = found("anticipation", text, up=up)
    assert notes == span
    assert (facts["degree"], facts["held"]) == (degree, held)


def test_it_may_be_the_first_note_of_all_and_come_in_the_middle_of_a_bar():
    [(_, facts)] = found("anticipation", "Dm7: - - - G4 G7: G4 B4")
    assert facts == {"degree": "1", "chord": "G7", "held": "struck again"}


@pytest.mark.parametrize(("text", "why"), [
    ("G7: D4 F4 A4 B4~ | Cmaj7: B4 E4", "a tone of both chords"),
    ("G7: D4 F4 B4 A4~ | Cmaj7: A4 G4", "a tone of neither"),
    ("G7: D4 E4 | Cmaj7: C4*4", "another note comes on the change"), ("G7: F4 E4*2 | Cmaj7: E4", "on the beat"),
    ("G7: G4 E4*4 | Cmaj7: E4*4", "long before the change"), ("Cmaj7: B3 E4~ | Cmaj7: E4*4", "no change"),
    ("G7: E4 D4 C4 B3 A3 G3 F3 E3", "a scale over one chord"), ("B3 E4~ | Cmaj7: E4*4", "no chord before"),
])
def test_what_is_none(text, why):
    assert found("anticipation", text) == [], why


def test_what_is_told():
    wordings = told("anticipation", "G7: D4 F4 B4 E4~ | Cmaj7: E4*4")
    assert all("{3} of {Cmaj7}" in words for words in wordings)
    assert len(set(wordings)) == 3
