"""Enclosures, common practice, no source: a target approached from both sides (references.md L5, L6: a chord tone on
the beat, scale step above and half step below or the reverse).
"""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, score, told

FORMS = {  # line: span, type, first, notes, beat
    # L6: F D# E over C: upper scale step, lower semitone, target 3.
    "C: G4 C5 F4 D#4 E4*4": ("F4 D#4 E4", "mixed", "above", 2, 3),
    "C: G4 C5 D#4 F4 E4*4": ("D#4 F4 E4", "mixed", "below", 2, 3),
    # L5: the scale step above, the half step below.
    "Cmaj7: C4 E4 A4 F#4 G4*4": ("A4 F#4 G4", "mixed", "above", 2, 3),
    "Cmaj7: E4 C5 F4 D4 E4*4": ("F4 D4 E4", "diatonic", "above", 2, 3),
    "Cmaj7: E4 C5 Ab4 F#4 G4*4": ("Ab4 F#4 G4", "chromatic", "above", 2, 3),
    # Two from one side by half steps, one from the other; double chromatic from both.
    "Cmaj7: C5 D4 D#4 F4 E4*4": ("D4 D#4 F4 E4", "mixed", "below", 3, 3),
    "Cmaj7: C5 F4 D4 D#4 E4*4": ("F4 D4 D#4 E4", "mixed", "above", 3, 3),
    "Cmaj7: F#4 F4 D4 D#4 E4*4": ("F#4 F4 D4 D#4 E4", "mixed", "above", 4, 3),
    # Over the bar, of the coming chord: b9 and leading note round the fifth.
    "G7: B4 D5 Ab4 F#4 | Cmaj7: G4*4": ("Ab4 F#4 G4", "chromatic", "above", 2, 1),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", FORMS)
def test_an_enclosure_is_named(text, up):
    span, kind, first, notes, beat = FORMS[text]
    [(notes_found, facts)] = found("enclosure", text, up=up)
    assert notes_found == span
    assert (facts["type"], facts["first"], facts["notes"], facts["beat"]) == (kind, first, notes, beat)


def test_its_target_is_named_over_its_chord():
    [(_, facts)] = found("enclosure", "Dm7: D4 F4 A4 C5 | G7: C5 A#4 B4*4")
    assert (facts["target"], facts["chord"], facts["type"]) == ("3", "G7", "mixed")


@pytest.mark.parametrize(("text", "why"), [
    ("C: G4 F4 Eb4 C4*4", "F Eb passes by the third (references.md L6)"),
    ("C: C4 F4 F#4 G4*4", "both on one side"),
    ("Cmaj7: B4 A4 G4 F4 E4 D4 C4 B3", "a scale"),
    ("Cmaj7: C4 E4 D4 F4 E4 G4 F4 A4", "a scale in thirds"),
    ("Cmaj7: A4 F4 G4 E4 F4 D4 E4 C4", "a scale in thirds, down"),
    ("Cmaj7: C4 D4 E4 C4 D4 E4 F4 D4 | E4", "a scale begun again"),
    ("C7: C4 E4 G4 Bb4 | F: A4*4", "the arpeggio of the chord before, resolving: both notes are chord tones of it"),
    ("C7: E4 C5 G4 Bb4 | F: A4*4", "the same without its run-up"),
    ("Fm7: C5 F4 Ab4 G4 | Bb7: Bb4 A4 Ab4*2", "a passing half step between chord tones"),
    ("C7b9: E4 G4 Bb4 Db5 | F: C5*4", "an arpeggio that goes on past the target"),
    ("Cmaj7: C5 F4 D4 E4 G4 A4 B4 C5", "the target is off the beat, the note before it on it"),
    ("Cmaj7: C5 F4 - - D4 - E4*2", "a rest parts them"),
    ("Cmaj7: C5 G4 E4 C4 F4*4 | D4*4 | E4*4", "too slow to be heard as one figure"),
    ("Dm7: A4 D5 F4 D#4 E4*4", "the target is no chord tone"),
    ("A4 C5 F4 D#4 E4*4", "no chord"),
])
def test_what_is_none(text, why):
    assert found("enclosure", text) == [], why


def test_what_was_played_before_a_rest_does_not_matter():
    assert [span for span, _ in found("enclosure", "Gmaj7: C4 B3*3 -*2 Bb3 C4 | B3*4", "G major")] == ["Bb3 C4 B3"]


def test_a_foreign_one_in_a_weak_place_is_doubtful():
    assert score("enclosure", "Cmaj7: C5 F4 D#4 E4 G4 A4 B4 C5") < 0.5
    assert all("might" in words or "may" in words for words in told("enclosure", "Cmaj7: C5 F4 D#4 E4 G4 A4 B4 C5"))


def test_scale_notes_of_a_chord_outside_the_key_are_diatonic():
    """Over the fourth-degree seventh chord of a blues in C: Bb and G round the third."""
    [(_, facts)] = found("enclosure", "F7: C4 F4 Bb4 G4 A4*4")
    assert facts["type"] == "diatonic"


def test_both_half_steps_round_a_note_foreign_to_the_key_are_not_diatonic():
    """G and F are in G minor, but F# is not."""
    [(_, facts)] = found("enclosure", "D7alt: C4 Eb4 G4 F4 F#4*4", "G minor")
    assert facts["type"] == "mixed"
