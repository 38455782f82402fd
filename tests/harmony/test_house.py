"""The house spelling, and that it reads back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.harmony import ChordStyle, HouseChord, NoChord, Raised, house, parse_chord
from tests.harmony.made import CHORDS

STYLES = st.builds(ChordStyle, st.sampled_from(("-", "mi", "m")), st.sampled_from(("△", "maj")))


@given(CHORDS, STYLES)
def test_what_the_house_writes_reads_back_as_the_same_chord(chord, style):
    assert parse_chord(house(chord, style).text) == chord


@pytest.mark.parametrize("again", [False, True])
def test_no_chord_reads_back(again):
    assert parse_chord(house(NoChord(again)).text) == NoChord(again)


@pytest.mark.parametrize(("text", "plain", "words"), [
    ("Cmi7", "C-7", "Cmi7"), ("CM7", "C△7", "Cmaj7"), ("Cm(maj7)", "C-△7", "Cmi(maj7)"), ("Cm7b5", "Cø7", "Cø7"),
    ("C7#11b9", "C7(b9,#11)", "C7(b9,#11)"), ("Caug7", "C7(#5)", "C7(#5)"), ("Cadd9", "C(add9)", "C(add9)"),
    ("C7sus4b9", "C7sus(b9)", "C7sus(b9)"), ("C69/E", "C6/9/E", "C6/9/E"), ("Calt", "C7alt", "C7alt"),
    ("C7add13", "C7(13)", "C7(13)"), ("Cdim", "C°", "C°"), ("B♭sus2", "Bbsus2", "Bbsus2"), ("F#5", "F#5", "F#5"),
])
def test_house_text(text, plain, words):
    assert house(parse_chord(text)).text == plain
    assert house(parse_chord(text), ChordStyle("mi", "maj")).text == words


def test_the_parts_an_engraver_sets():
    assert house(parse_chord("Bbm7(add4)/Eb")) == HouseChord(
        "B", -1, "-", "7", "", (Raised("add", 0, "4"),), "E", -1)
    assert house(parse_chord("F#13sus(b9)")) == HouseChord("F", 1, "", "13", "sus", (Raised("", -1, "9"),))
    assert house(parse_chord("G7alt")).raised == (Raised("alt", 0, ""),)
    assert not house(parse_chord("G7alt")).in_brackets
