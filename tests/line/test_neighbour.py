"""Neighbours. Source: Open Music Theory, "Embellishing tones" (chord tone, step away, the same chord tone:
references.md L2).
"""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found

FORMS = {  # line: span, degree, side, step
    "Cmaj7: C5 E4 F4 E4 C4 G4*3": ("E4 F4 E4", "3", "upper", "half"),
    "Cmaj7: C5 G4 A4 G4 C4 E4*3": ("G4 A4 G4", "5", "upper", "whole"),
    "Cmaj7: E4 C5 G4 F#4 G4 C4*3": ("G4 F#4 G4", "5", "lower", "half"),
    # Over the change: the 3 of one chord is the 7 of the next.
    "Dm7: C4 F4 E4 | G7: F4*4": ("F4 E4 F4", "b3", "lower", "half"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", FORMS)
def test_a_neighbour_is_named(text, up):
    span, degree, side, step = FORMS[text]
    assert found("neighbour", text, up=up) == [(span, {"degree": degree, "side": side, "step": step})]


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 E4 F4 G4 A4 C5*3", "it does not come back"),
    ("Dm7: A4 E4 F4 E4 A3 D4*3", "the note left is no chord tone"),
    ("C7: G4 C5 Bb4 C5 G4 E4*3", "the step is a chord tone itself"),
    ("Cmaj7: C5 E4 F4*3 E4 C4 G4", "the step is long"),
    ("Cmaj7: C5 C4 A4 G4 F4 G4 C4*2", "part of a turn of four notes"),
    ("Cmaj7: C5 G4 A4 G4 F4 G4 C4*2", "part of a turn of five notes"),
    ("Cmaj7: C4 D4 E4 F4 E4 D4 C4*2", "a scale that turns round"),
])
def test_what_is_none(text, why):
    assert found("neighbour", text) == [], why


def test_a_trill_is_told_once():
    assert [span for span, _ in found("neighbour", "Cmaj7: C4 F4 E4 F4 E4 F4 E4 C4")] == ["E4 F4 E4"]
    assert [span for span, _ in found("neighbour", "Cmaj7: C4 E4 F4 E4 F4 E4 F4 E4")] == ["E4 F4 E4"]
