"""Turns. Source: the common ornament rule (upper neighbour, main, lower neighbour, main; five notes with the main note
first: references.md L11); Open Music Theory, "Embellishing tones", for the double neighbour. Else common practice.
"""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, score, told

FORMS = {  # line: span, degree, first, notes
    "Cmaj7: G4 C4 A4 G4 F4 G4 C5*2": ("A4 G4 F4 G4", "5", "upper", 4),
    "Cmaj7: C5 C4 F4 G4 A4 G4 C5*2": ("F4 G4 A4 G4", "5", "lower", 4),
    "Cmaj7: C5 G4 A4 G4 F#4 G4 C5*2": ("G4 A4 G4 F#4 G4", "5", "upper", 5),
    "Cmaj7: C5 G4 F#4 G4 A4 G4 C5*2": ("G4 F#4 G4 A4 G4", "5", "lower", 5),
    # A turn around the b9 of the dominant, going on to the 5 of the next chord.
    "G7: B4 D4 Bb4 Ab4 G4 Ab4*3 | C: G4*2": ("Bb4 Ab4 G4 Ab4", "b9", "upper", 4),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", FORMS)
def test_a_turn_is_named(text, up):
    span, degree, first, notes = FORMS[text]
    assert found("turn", text, up=up) == [(span, {"degree": degree, "first": first, "notes": notes})]


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: B4 A4 G4 F4 G4 A4 B4*2", "a scale down and up again"),
    ("Cmaj7: C5 B4 G4 E4 G4 C5*3", "thirds"),
    ("Cmaj7: C4 A4 G4 F4 -*2 G4*2", "a rest parts it"),
    ("Cmaj7: E4 G4 D4 C#4 B3 C#4 E4*2", "the main note is foreign to the chord"),
    ("C7: C5 E4 G4 G#4 A4 G#4 C5*2", "an altered note between both its half steps only passes"),
    ("Cmaj7: G4 C4 A4*3 G4 F4 G4*2", "the first note is long"),
    ("Cmaj7: C5 A4 G4 A4 G4 C5*3", "a trill"),
    ("A4 G4 F4 G4 C5", "no chord"),
])
def test_what_is_none(text, why):
    assert found("turn", text) == [], why


def test_five_notes_swallow_the_four():
    assert [span for span, _ in found("turn", "Cmaj7: C4 C5 A4 G4 F#4 G4 A4 G4")] == ["G4 F#4 G4 A4 G4"]


def test_part_of_a_scale_is_doubtful():
    text = "Cmaj7: B4 A4 G4 F4 G4 C4 C5 C5"
    assert score("turn", text) < 0.5
    assert all("might" in words or "may" in words for words in told("turn", text))


def test_quick_and_whole_is_surer():
    quick, slow = "Cmaj7: C5 G4 A4 G4 F#4 G4 C5*2", "Cmaj7: C5*2 G4*2 A4*2 G4*2 | F#4*2 G4*2 C5*4"
    assert score("turn", quick) > score("turn", slow) >= 0.5
