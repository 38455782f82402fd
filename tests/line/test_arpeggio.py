"""Arpeggios. Sources: references.md 3.3 (identities over C7, by arithmetic); the issue's facts to hold and the rest are
common practice, no source. Names of chords are checked against music21 in test_naming."""

from __future__ import annotations

import pytest

from tests.line.lines import KEYS, found, score, told

# references.md 3.3, structures over C7: line, chord spelled out, degrees, chord both make
OVER_C7 = {
    "dim triad on b7": ("Bb4 Db5 E5", "B♭°", "b7 b9 3", "C7(b9)"),
    "dim triad on 3": ("E4 G4 Bb4", "E°", "3 5 b7", ""),
    "dim7 on 3": ("E4 G4 Bb4 Db5", "E°7", "3 5 b7 b9", "C7(b9)"),
    "dim7 on 5": ("G4 Bb4 Db5 E5", "G°7", "5 b7 b9 3", "C7(b9)"),
    "dim7 on b9": ("Db4 E4 G4 Bb4", "Db°7", "b9 3 5 b7", "C7(b9)"),
    "m7b5 on 3": ("E4 G4 Bb4 D5", "Eø7", "3 5 b7 9", "C9"),
    "m6 on 5": ("G4 Bb4 D5 E5", "Gm6", "5 b7 9 3", "C9"),
    "m7 on 5": ("G4 Bb4 D5 F5", "Gm7", "5 b7 9 11", "C9sus"),
    "maj7 on b7": ("Bb4 D5 F5 A5", "Bbmaj7", "b7 9 11 13", "C13sus"),
    "maj triad on 9": ("D4 F#4 A4", "D", "9 #11 13", "C13(#11)"),
    "maj triad on b13": ("Ab4 C5 Eb5", "Ab", "b13 1 #9", "C7(#9,b13)"),
    "maj triad on #11": ("Gb4 Bb4 Db5", "Gb", "#11 b7 b9", "C7(b9,#11)"),
    "maj triad on 13": ("A4 C#5 E5", "A", "13 b9 3", "C13(b9)"),
    "mMaj7 on b9": ("Db4 E4 Ab4 C5", "Dbm(maj7)", "b9 3 b13 1", "C7(b9,b13)"),
    "m7b5 on b7": ("Bb4 Db5 E5 Ab5", "Bbø7", "b7 b9 3 b13", "C7(b9,b13)"),
    "aug triad on 3": ("E4 G#4 C5", "E+", "3 b13 1", "C7(b13)"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("name", OVER_C7)
def test_structures_over_a_dominant(name, up):
    line, chord, degrees, heard = OVER_C7[name]
    [(span, facts)] = found("arpeggio", f"C7: {line}", key="F major", up=up)
    assert span == line
    assert (facts["degrees"], facts["relation"], facts["over"]) == (degrees, "upper structure", "C7")
    assert (facts["inversion"], facts["form"], facts["direction"]) == ("root position", "close", "up")
    if up in (0, 10):  # where the flats of the text are the names in the key too
        assert (facts["chord"], facts["heard"]) == (chord.replace("♭", "b"), heard)


@pytest.mark.parametrize("up", KEYS)
def test_the_dominant_a_tritone_away_is_a_substitution(up):
    """references.md 3.3: the 7th chord on #11 has the guide tones swapped; its notes still go with the chord."""
    [(_, facts)] = found("arpeggio", "C7: Gb4 Bb4 Db5 E5", key="F major", up=up)
    assert (facts["relation"], facts["degrees"]) == ("substitution", "#11 b7 b9 3")


INVERSIONS = {
    "C: C4 E4 G4": "root position", "C: E4 G4 C5": "first inversion", "C: G4 C5 E5": "second inversion",
    "C7: C4 E4 G4 Bb4": "root position", "C7: E4 G4 Bb4 C5": "first inversion", "C7: G4 Bb4 C5 E5": "second inversion",
    "Cm7: Bb3 C4 Eb4 G4": "third inversion", "Cm7: G4 Eb4 C4 Bb3": "third inversion",
    "Cmaj7: B4 G4 E4 C4": "root position", "Cmaj7: C5 B4 G4 E4": "first inversion",
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", INVERSIONS)
def test_inversions(text, up):
    """An arpeggio from the third is first inversion."""
    [(span, facts)] = found("arpeggio", text, up=up)
    assert span == text.partition(": ")[2]
    assert (facts["inversion"], facts["relation"], facts["heard"]) == (INVERSIONS[text], "same", "")


@pytest.mark.parametrize(("text", "span", "wanted"), [
    ("Cmaj7: E4 G4 B4 D5 G5", "E4 G4 B4 D5 G5", {"chord": "Em7", "relation": "upper structure", "heard": "Cmaj9"}),
    ("Cmaj7: C4 E4 G4 B4 D5", "C4 E4 G4 B4 D5", {"chord": "Cmaj9", "relation": "same", "form": "close"}),
    ("Dm7: F5 D5 A4 F4", "F5 D5 A4 F4", {"chord": "Dm", "direction": "down", "inversion": "first inversion"}),
    ("C: C4 E4 G4 C5 G4 E4", "C4 E4 G4 C5 G4 E4", {"chord": "C", "direction": "mixed"}),
    ("C: C4 G4 E5 D5", "C4 G4 E5", {"form": "spread", "direction": "up", "relation": "same"}),
    ("Fm7: B4 C5 Ab4 F4 Eb4 Db4", "C5 Ab4 F4", {"chord": "Fm", "inversion": "root position"}),
    ("F7: Db5 Bb4 G4 F4 Eb4", "Db5 Bb4 G4", {"chord": "G°"}),
    ("Cm6: C5 A4 Gb4 Eb4", "C5 A4 Gb4 Eb4", {"chord": "Eb°7", "relation": "substitution", "heard": ""}),
    ("Cm6: D4 F#4 A4 C5", "D4 F#4 A4 C5", {"chord": "D7", "relation": "substitution"}),
    ("E4 G#4 B4", "E4 G#4 B4", {"chord": "E", "over": "", "relation": "", "degrees": "", "heard": ""}),
])
def test_how_far_it_goes_and_what_it_is(text, span, wanted):
    """Common practice, no source."""
    [(notes, facts)] = found("arpeggio", text)
    assert notes == span
    assert {name: facts[name] for name in wanted} == wanted


def test_a_note_that_leads_in_from_the_chord_before():
    """A third below, on the way up, it belongs; a leading note and one that turns do not."""
    assert found("arpeggio", "A7: G4 E4 C#4 D4 | Dm7: F4 A4 C5 E5")[-1][0] == "D4 F4 A4 C5 E5"
    assert found("arpeggio", "C7: C4 D4 D4 E4 | F: F4 A4 C5 A4")[-1][0] == "F4 A4 C5 A4"
    assert found("arpeggio", "A7: B3 A3 B3 G4 | Em7: E4 G4 B4 D5")[-1][0] == "E4 G4 B4 D5"


def test_where_it_begins_in_one_chord():
    """Common practice, no source: after a leading note; on the beat where the note before it only comes again."""
    assert [span for span, _ in found("arpeggio", "Cmaj7: B3 C4 E4 G4")] == ["C4 E4 G4"]
    assert [span for span, _ in found("arpeggio", "Em7: A4 A4 A4 G4 E4 G4 B4 D5")] == ["E4 G4 B4 D5"]


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 D4 E4 F4 G4 A4 B4 C5", "a scale"), ("Cmaj7: C4 E4 D4 F4 E4 G4 F4 A4", "a scale in thirds"),
    ("Cmaj7: C4 E4 C4 E4 C4 E4", "two notes only"), ("C7: C4*3 E4*3 G4*2", "too slow"),
    ("Cmaj7: C4 E4 - - G4 A4", "a rest parts it"), ("C7: F4 B4 E5 Bb4", "no chord by thirds"),
    ("C: C4 G4 E4 C5 G4 E5", "it turns at every note"),
    ("C: E4 C4 G4 A4", "three notes that turn"),
    ("Cmaj7: C4 C#5 Gb4 Bb4 D4 Ab4", "leaps in no chord"),
    ("Cmaj7: D4 Ab4 F5 C5", "three wide leaps in a foreign triad"),
    ("Ebmaj7: C5 Db4 E4 G4", "a foreign triad off the beat"),
])
def test_what_is_none(text, why):
    assert found("arpeggio", text) == [], why


def test_a_sure_one_scores_higher_and_only_a_doubtful_one_hedges():
    assert score("arpeggio", "C7: E4 G4 Bb4 D5") > score("arpeggio", "C7: C4 E4 G4")
    assert score("arpeggio", "Cm7: E4 G#4 B4") < 0.5
    assert all("might" in words for words in told("arpeggio", "Cm7: E4 G#4 B4"))
    assert not any("might" in words for words in told("arpeggio", "C7: E4 G4 Bb4 D5"))
    assert len(set(told("arpeggio", "C7: E4 G4 Bb4 D5"))) == 3


def test_what_is_told():
    for words in told("arpeggio", "C7: Bb4 Db5 E5"):
        assert all(token in words for token in ("{Bb°}", "{C7}", "{b7} {b9} {3}", "{C7(b9)}"))
    assert all("first inversion" in words and "{3} {5} {1}" in words for words in told("arpeggio", "C: E4 G4 C5"))
