"""Runs. Sources: Baker, "How to Play Bebop", and "Bebop scale" (references.md L8), both second-hand; altered, lydian
dominant and diminished by arithmetic (references.md 3.3); common practice, no source, for which scale is the plainest.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.line.lines import KEYS, found, score
from tests.line.trade import FLATS
from tests.strategies import CALM

NAMED = {  # line, key: scale, tonic, from, to, direction, notes
    ("Dm7: D4 E4 F4 G4 A4*4", "C major"): ("dorian", "D", "1", "5", "up", 5),
    ("G7: F5 E5 D5 C5 B4*4", "C major"): ("mixolydian", "G", "b7", "3", "down", 5),
    ("Em7: B4 A4 G4 F4 E4*4", "C major"): ("phrygian", "E", "5", "1", "down", 5),
    ("Cmaj7: C4 D4 E4 F4 G4*4", "C major"): ("ionian", "C", "1", "5", "up", 5),
    ("Fmaj7: F4 G4 A4 B4 C5*4", "C major"): ("lydian", "F", "1", "5", "up", 5),
    # L8: bebop dominant = mixolydian + 7; bebop major = major + b6.
    ("C7: C5 B4 Bb4 A4 G4 F4 E4 D4", "F major"): ("bebop dominant", "C", "1", "9", "down", 8),
    ("Cmaj7: C4 D4 E4 F4 G4 G#4 A4 B4 | C5*4", "C major"): ("bebop major", "C", "1", "1", "up", 9),
    # 3.3: the altered scale is melodic minor a half step above, lydian dominant a fifth above.
    ("G7alt: F5 Eb5 Db5 B4 Bb4 Ab4 G4*2", "C minor"): ("altered", "G", "b7", "1", "down", 7),
    ("F7: F4 G4 A4 B4 C5 D5 Eb5*2", "Bb major"): ("lydian dominant", "F", "1", "b7", "up", 7),
    # 3.3: half-whole on C is the one for 13b9, whole-half fits Cdim7.
    ("C13b9: C5 Bb4 A4 G4 F#4 E4 D#4 Db4", "F major"): ("half-whole diminished", "C", "1", "b9", "down", 8),
    ("Cdim7: C4 D4 Eb4 F4 Gb4 Ab4 A4 B4", "Db major"): ("whole-half diminished", "C", "1", "7", "up", 8),
    ("G7: G4 A4 B4 C#5 D#5 F5 G5*2", "C major"): ("whole tone", "G", "1", "1", "up", 7),
    ("G7b9: B4 Ab4 G4 F4 Eb4*4", "C minor"): ("phrygian dominant", "G", "3", "b13", "down", 5),
    ("Cm(maj7): C4 D4 Eb4 F4 G4 A4 B4*2", "C minor"): ("melodic minor", "C", "1", "7", "up", 7),
    ("Cm(maj7): C5 B4 Ab4 G4 F4*4", "C minor"): ("harmonic minor", "C", "1", "11", "down", 5),
    ("C7: C5 Bb4 G4 Gb4 F4 Eb4 C4*2", "C major"): ("blues", "C", "1", "1", "down", 7),
    ("Cmaj7: C4 D4 E4 G4 A4 C5*3", "C major"): ("major pentatonic", "C", "1", "1", "up", 6),
    ("Fmaj7: F4 G4 A4 C5 D5*4", "C major"): ("major pentatonic", "F", "1", "13", "up", 5),
    ("Am7: A4 C5 D5 E5 G5*4", "C major"): ("minor pentatonic", "A", "1", "b7", "up", 5),
    ("C7: G4 Gb4 F4 E4*4", "F major"): ("chromatic", "", "5", "3", "down", 4),
    # No scale of the chord that a player names holds it: the key's does, or its parallel minor.
    ("Dm7b5: C5 B4 Ab4 G4 F4 Eb4*3", "C major"): ("harmonic minor", "C", "b7", "b9", "down", 6),
    ("G7: F5 Eb5 D5 C5 Bb4*4", "C minor"): ("aeolian", "C", "b7", "#9", "down", 5),
    # Nor the signs of a rarer scale: nothing altered but what the key has.
    ("G7: F5 Eb5 D5 C5*4", "C minor"): ("aeolian", "C", "b7", "11", "down", 4),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("case", NAMED)
def test_a_run_is_named(case, up):
    scale, tonic, first, last, direction, notes = NAMED[case]
    [(_, facts)] = found("run", *case, up=up)
    assert facts == {"scale": scale, "tonic": tonic, "from": first, "to": last, "direction": direction,
                     "notes": notes, "into": ""}


@pytest.mark.parametrize(("text", "why"), [
    ("Cmaj7: C4 D4 E4 G4*4", "1 2 3 5 is a digital pattern"),
    ("Gm6: E5 Eb5 D5 C5*4", "four notes make no bebop scale"),
    ("Cdim7: C4 Eb4 Gb4 A4 C5*4", "an arpeggio"),
    ("Cmaj7: C4 D4 E4 C4 D4*4", "three notes"),
    ("Cmaj7: C4 D4 E4 - - F4 G4 A4", "a rest parts it"),
    ("Cmaj7: C4 D4*3 E4*2 F4*2", "a long note ends it"),
    ("Cmaj7: C4 E4 D4 F4 E4 G4 F4 A4", "a scale in thirds"),
    ("Cmaj7: C4 Db4 Eb4 F#4 G4*4", "no scale has a name for it"),
    ("C7: B4 Bb4 A4 G4*4", "four notes that begin on the added note of a bebop scale may be of many scales"),
])
def test_what_is_none(text, why):
    assert found("run", text) == [], why


def test_a_run_goes_on_over_the_barline_and_says_where_it_ends():
    [(span, facts)] = found("run", "Cm7: Eb4 G4 Bb4 D5 C5 Bb4 A4 G4 | F7: F4*4", "Bb major")
    assert span == "D5 C5 Bb4 A4 G4 F4"
    assert (facts["scale"], facts["tonic"], facts["to"], facts["into"]) == ("dorian", "C", "1", "F7")


def test_up_and_down_share_the_peak():
    assert [span for span, _ in found("run", "Cmaj7: C4 D4 E4 F4 G4 F4 E4 D4 | C4*4")] == [
        "C4 D4 E4 F4 G4", "G4 F4 E4 D4 C4"]


def test_half_steps_on_the_way_do_not_end_it():
    """A passing half step that no bebop scale adds: dorian, but not so sure."""
    text = "Dm7: D5 C5 B4 Bb4 A4 G4 F4*2"
    [(span, facts)] = found("run", text)
    assert (span, facts["scale"], facts["tonic"]) == ("D5 C5 B4 Bb4 A4 G4 F4", "dorian", "D")
    assert score("run", text) < 0.5


def test_the_added_note_of_a_bebop_scale_passes_or_is_no_part_of_it():
    [(span, facts)] = found("run", "C7: B4 Bb4 A4 G4 F4*4", "F major")
    assert (span, facts["scale"]) == ("Bb4 A4 G4 F4", "mixolydian")


def test_one_way_may_hold_two_scales():
    line = "Cmaj7: G4 A4 B4 C5 | Dbmaj7: Db5 Eb5 F5 Gb5"
    assert [(span, facts["scale"], facts["tonic"]) for span, facts in found("run", line)] == [
        ("G4 A4 B4 C5", "ionian", "C"), ("C5 Db5 Eb5 F5 Gb5", "ionian", "Db")]


def test_where_no_one_scale_holds_it_the_longest_stretch_is_told():
    [(span, facts)] = found("run", "Cmaj7: C4 Db4 Eb4 E4 F4 G4 A4 B4")
    assert (span, facts["scale"]) == ("E4 F4 G4 A4 B4", "ionian")


@settings(CALM, max_examples=60)
@given(st.lists(st.sampled_from([f"{name}4" for name in FLATS]), min_size=8, max_size=16),
       st.sampled_from(("C7", "Dm7", "G7", "Cmaj7", "Am7b5", "D7alt")), st.integers(1, 11))
def test_every_device_hears_the_same_in_another_key(notes, chord, up):
    text = f"{chord}: " + " ".join(notes[:8]) + " | " + " ".join(notes[8:] or ["-"])
    for kind in ("run", "passing-half-step", "enclosure", "turn", "neighbour"):
        here, there = found(kind, text), found(kind, text, up=up)
        assert [(span, facts | {"tonic": "", "chord": ""}) for span, facts in here] == [
            (span, facts | {"tonic": "", "chord": ""}) for span, facts in there]
