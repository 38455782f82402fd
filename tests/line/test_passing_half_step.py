"""Passing half steps. Sources, second-hand: "Bebop scale" and Baker, "How to Play Bebop" (references.md L8); a study
text on bop scales (L9): eight eighths from a chord tone on the beat keep chord tones on the beats.
"""

from __future__ import annotations

import pytest

from core.harmony import SCALES, parse_chord
from core.line import analyse
from core.line.findings import find
from tests.line.lines import KEYS, found, study_of, told
from tests.line.trade import FLATS

FORMS = {  # line, key: span, from, note, to, lands, beat, scale
    # L9: C7 down from C; on the beats C Bb G E.
    ("C7: C5 B4 Bb4 A4 G4 F4 E4 D4", "F major"): ("C5 B4 Bb4", "1", "7", "b7", "b7", 2, "bebop dominant"),
    # Up, the same note lands the root.
    ("C7: G4 A4 Bb4 B4 C5*4", "F major"): ("Bb4 B4 C5", "b7", "7", "1", "1", 3, "bebop dominant"),
    # L8: bebop major, between 5 and 6; the root lands two notes on.
    ("C6: E4 F4 G4 G#4 A4 B4 C5*2", "C major"): ("G4 G#4 A4", "5", "#5", "6", "6", 3, "bebop major"),
    ("Dm7: D4 E4 F4 F#4 G4 A4*3", "C major"): ("F4 F#4 G4", "b3", "3", "11", "", 0, "bebop dorian"),
    # On the beat itself, and the third lands because of it.
    ("G7: G4 D5 C#5 C5 B4*4", "C major"): ("D5 C#5 C5", "5", "#11", "11", "3", 3, ""),
    # In minor, b6 between 6 and 5 over the tonic with its major seventh.
    ("Cm(maj7): B4 A4 Ab4 G4 C4*4", "C minor"): ("A4 Ab4 G4", "13", "b13", "5", "", 0, "bebop melodic minor"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("case", FORMS)
def test_a_passing_half_step_is_named(case, up):
    span, *facts = FORMS[case]
    names = ("from", "note", "to", "lands", "beat", "scale")
    assert found("passing-half-step", *case, up=up) == [(span, dict(zip(names, facts, strict=True)))]


@pytest.mark.parametrize(("text", "why"), [
    ("G7: G4 F4 E4 D4 C4*4", "a plain scale"),
    ("Cmaj7: B4 C5 D5 E5 F5*4", "a half step of the scale"),
    ("C7: A4 Bb4 B4 G4 E4*4", "the note between is a chord tone"),
    ("C7: C5 B4 - - Bb4*4", "a rest parts it"),
    ("C7: C5 B4 Bb4 A4 Ab4 G4 Gb4 F4", "the chromatic scale"),
    ("C5 B4 Bb4 A4 G4 F4 E4 D4", "no chord"),
])
def test_what_is_none(text, why):
    assert found("passing-half-step", text, "F major") == [], why


def test_a_chord_tone_does_not_pass():
    """C is foreign to D major and stands between two notes of it, but it is the root."""
    assert found("passing-half-step", "Cmaj7: B4 C5 C#5 E5 G4*4", "D major") == []


@pytest.mark.parametrize("start", ["C5", "E5", "G5", "Bb5"])
def test_the_bebop_line_keeps_chord_tones_on_the_beats(start):
    """L9, by our own analysis: down the bebop dominant from any chord tone on the beat."""
    steps = next(scale.steps for scale in SCALES if scale.name == "bebop dominant")
    row = [midi for midi in range(90, 40, -1) if midi % 12 in steps]
    top = [f"{FLATS[midi % 12]}{midi // 12 - 1}" for midi in row]
    line = top[top.index(start):][:8]
    study = study_of("C7: " + " ".join(line), "F major")
    [tones] = find(study, analyse(study)).tones.bars
    assert all(tone.is_chord_tone for tone in tones if tone.beat)
    assert {tone.midi % 12 for tone in tones if tone.beat} == set(parse_chord("C7").pitch_classes)


def test_what_it_lands_is_told():
    for words in told("passing-half-step", "C7: C5 B4 Bb4 A4 G4 F4 E4 D4", "F major"):
        assert "{7}" in words
        assert "{b7}" in words
        assert "beat" in words
