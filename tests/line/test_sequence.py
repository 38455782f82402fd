"""Sequences: common practice, no source; transposition is checked against music21's intervals."""

from __future__ import annotations

import pytest
from music21 import interval, note
from music21 import key as m21key

from tests.line.lines import KEYS, found, score, told


def shifted(names: str, by: str) -> str:
    """Source: music21.interval."""
    moved = (note.Note(name.replace("b", "-")).transpose(interval.Interval(by)) for name in names.split())
    return " ".join(each.nameWithOctave.replace("-", "b") for each in moved)


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize(("by", "step"), [("M2", 2), ("m3", 3), ("-m2", -1), ("-M2", -2), ("P4", 5)])
def test_an_exact_sequence(by, step, up):
    shape = "C4 E4 D4 G4"
    text = f"{shape} {shifted(shape, by)}"
    [(span, facts)] = found("sequence", text, up=up)
    assert span == text
    assert facts == {"step": step, "unit": "half steps", "count": 2, "notes": 4, "form": "exact"}


@pytest.mark.parametrize(("shape", "step", "count"), [
    ((0, 2), 1, 4), ((0, 1, 2), 1, 3), ((0, 2, 1, 0), -1, 2), ((2, 0), -1, 3), ((0, 2, 4, 2), 1, 2),
])
@pytest.mark.parametrize("up", KEYS)
def test_a_diatonic_sequence(shape, step, count, up):
    """The scale: music21.key."""
    scale = [pitch.nameWithOctave for pitch in m21key.Key("C").getPitches("C4", "B5")]
    names = " ".join(scale[7 + tone + step * time] for time in range(count) for tone in shape)
    [(span, facts)] = found("sequence", f"Cmaj7: {names}", up=up)
    assert span == names
    assert facts == {"step": step, "unit": "scale steps", "count": count, "notes": len(shape), "form": "diatonic"}


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 D4 E4 F4 G4 A4 B4 C5", "a scale"), ("C4 Db4 D4 Eb4 E4 F4 Gb4 G4", "a chromatic scale"),
    ("C4 E4 G4 C5 E5 G5 C6 E6", "an arpeggio goes on through the octaves"),
    ("C4 D4 C4 D4 C4 D4 C4 D4", "it stays where it is"),
    ("C4 E4 D4 F4 E4 C4 G4 A4", "two notes, and only once again"), ("C4 D4 B3 C4 A3 B3", "its shape is a single step"),
    ("C4 E4 D4 G4 D4*2 F#4 E4 A4", "another rhythm"), ("C4 E4 D4 G4 - - D4 F#4 E4 A4", "a rest parts it"),
    ("C4 - E4 D4 G4 D4 F#4 - E4 A4", "a rest in another place"),
    ("C4 E4 D4 G4 B3 E4 C4 A4", "another shape"),
    ("C4 F4 Db4 Bb3 D4 G#4 E4 C4", "letters alone, outside the key"),
])
def test_what_is_none(text, why):
    assert found("sequence", text) == [], why


def test_the_last_note_may_be_long_and_the_strongest_place_is_the_first():
    [(span, facts)] = found("sequence", "A4 | C4 E4 D4 F4 E4 G4 F4 A4 | E4*4")
    assert (span, facts["count"]) == ("C4 E4 D4 F4 E4 G4 F4 A4", 4)
    [(_, facts)] = found("sequence", "C4 E4 D4 G4 D4 F#4 E4 A4*4")
    assert facts["count"] == 2


@pytest.mark.parametrize("before", ["", "A3", "A3 G4", "A3 G4 B3", "A3 G4 B3 F4", "A3 G4 B3 F4 C5"])
def test_it_is_found_wherever_it_begins(before):
    [(span, _)] = found("sequence", f"{before} C4 E4 D4 G4 D4 F#4 E4 A4")
    assert span == "C4 E4 D4 G4 D4 F#4 E4 A4"


def test_across_the_barline_the_rhythm_is_still_compared():
    assert len(found("sequence", "G4 G4 G4 G4 C4 E4 | D4 G4 D4 F#4 E4 A4")) == 1
    assert found("sequence", "G4 G4 C4 E4 D4*2 | G4 D4 F#4 E4 A4") == []


def test_what_is_told():
    assert "a whole step higher" in told("sequence", "C4 E4 D4 G4 D4 F#4 E4 A4")[0]
    assert all("a step lower" in words for words in told("sequence", "G4 E4 F4 D4 E4 C4"))
    assert score("sequence", "C4 E4 D4 F4 E4 G4") < score("sequence", "C4 D4 E4 D4 E4 F4 E4 F4 G4")
