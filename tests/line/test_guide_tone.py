"""Guide tones. Sources: references.md L7 (3 and 7; in ii-V-I 7 falls by step to 3 and 3 stays as 7: common practice);
b9 to 5 is the issue's fact to hold. Voice leading of the chords is checked against music21."""

from __future__ import annotations

import re

import pytest
from music21 import harmony

from tests.line.lines import KEYS, found, score, told

L7 = {  # references.md L7: Dm7 F C -> G7 F B -> Cmaj7 E B
    "Dm7: F4 A4 D5 C5 | G7: B4*4": ("C5 B4", "b7", "3", "half"),
    "Dm7: A4 D5 C5 F4~ | G7: F4 D4": ("F4~", "b3", "b7", "same"),
    "Dm7: A4 C5 A4 F4 | G7: F4 D4": ("F4 F4", "b3", "b7", "same"),
    "G7: B4 D5 G4 F4 | Cmaj7: E4*4": ("F4 E4", "b7", "3", "half"),
    "G7: D5 F5 D5 B4 | Cmaj7: B4*4": ("B4 B4", "3", "7", "same"),
    # the issue: the b9 of a dominant falls a half step to the 5 of the chord a fifth below
    "G7b9: B4 D5 F5 Ab4 | Cm7: G4*4": ("Ab4 G4", "b9", "5", "half"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", L7)
def test_over_a_ii_v_i(text, up):
    span, before, after, step = L7[text]
    [(notes, facts)] = found("guide-tone", text, up=up)
    assert notes == span
    assert (facts["from"], facts["to"], facts["step"]) == (before, after, step)


@pytest.mark.parametrize(("chord", "into"), [("Dm7", "G7"), ("G7", "Cmaj7"), ("E-7", "A-7"), ("B-7", "E-maj7")])
def test_music21_has_the_same_seventh_and_third(chord, into):
    """Source: music21.harmony: the seventh of the one lies a step above the third of the other."""
    seventh, third = harmony.ChordSymbol(chord).seventh, harmony.ChordSymbol(into).third
    down = (seventh.pitchClass - third.pitchClass) % 12
    low, high = (f"{pitch.name.replace('-', 'b')}4" for pitch in (third, seventh))
    if seventh.pitchClass < third.pitchClass:
        high = high.replace("4", "5")
    ours = (chord.replace("-", "b"), into.replace("-", "b"))
    [(_, facts)] = found("guide-tone", f"{ours[0]}: {high} | {ours[1]}: {low}*4")
    assert (facts["from"].strip("b"), facts["to"].strip("b")) == ("7", "3")
    assert facts["step"] == {1: "half", 2: "whole"}[down]
    assert (facts["chord"], facts["into"]) == ours


def test_one_note_between_on_its_way_to_a_beat():
    [(span, _)] = found("guide-tone", "G7: F4 D4 | Cm7: Eb4*4")
    assert span == "F4 D4 Eb4"
    assert score("guide-tone", "G7: F4 D4 | Cm7: Eb4*4") < score("guide-tone", "G7: D4 F4 | Cm7: Eb4*4")


@pytest.mark.parametrize(("text", "why"), [
    ("Dm7: F4 D4 F4 A4 | G7: B4*4", "5 to 3"), ("Dm7: C4 | G7: B4*4", "no step"), ("G7: F4 | G7: E4 F4", "no change"),
    ("Dm7: C5 - - | G7: B4*4", "a rest parts them"), ("Bm7: D#5 | E7: D5*4", "D# is not its third"),
    ("Cmaj7: Db5 | F: C5*4", "b9 of no dominant"), ("C#7b9: E#4~ | F#m7: E#4", "natural 7 over a minor seventh chord"),
    ("Cmaj7: C4 D4 E4 F4 G4 A4 B4 C5", "one chord"),
])
def test_what_is_none(text, why):
    assert found("guide-tone", text) == [], why


def test_what_is_told():
    for words in told("guide-tone", "Dm7: C5 | G7: B4*4"):
        assert {"{b7}", "{Dm7}", "{3}", "{G7}"} <= set(re.findall(r"{[^}]*}", words))
    assert all("half step" in words for words in told("guide-tone", "Dm7: C5 | G7: B4*4")[:1])
    assert not any("step" in words for words in told("guide-tone", "Dm7: F4~ | G7: F4"))
