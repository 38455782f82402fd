"""Scales. Reference library: music21.scale, for those it has. Sources: references.md 3.3 (arithmetic) and L8 (Baker,
"How to Play Bebop", second-hand); which scale is plainest is common practice, no source.
"""

from __future__ import annotations

import pytest
from music21 import scale as m21

from core.harmony import SCALES, chord_scales, parse_chord, passage, scale_bits, scale_of, scales_holding
from core.study import Key, PitchClass, parse_key, parse_pitch, parse_pitch_class

C, G = PitchClass("C"), PitchClass("G")
BY_NAME = {scale.name: scale for scale in SCALES}
# What music21 calls them. It has no bebop scales, no modes of harmonic minor and, of melodic minor's, none by name.
THEIRS = {
    "ionian": m21.MajorScale("C"), "dorian": m21.DorianScale("C"), "phrygian": m21.PhrygianScale("C"),
    "lydian": m21.LydianScale("C"), "mixolydian": m21.MixolydianScale("C"), "aeolian": m21.MinorScale("C"),
    "locrian": m21.LocrianScale("C"), "harmonic minor": m21.HarmonicMinorScale("C"),
    "whole tone": m21.WholeToneScale("C"),
    "half-whole diminished": m21.OctatonicScale("C", "m2"), "whole-half diminished": m21.OctatonicScale("C", "M2"),
}


@pytest.mark.parametrize("name", THEIRS)
def test_the_notes_music21_gives(name):
    theirs = {pitch.pitchClass for pitch in THEIRS[name].getPitches("C4", "C5")}
    assert set(BY_NAME[name].steps) == theirs


def test_the_melodic_minor_of_music21_up():
    theirs = m21.MelodicMinorScale("C").getPitches("C4", "C5", direction=m21.Direction.ASCENDING)
    assert set(BY_NAME["melodic minor"].steps) == {pitch.pitchClass for pitch in theirs}


@pytest.mark.parametrize(("name", "notes"), [
    ("bebop dominant", "C D E F G A Bb B"),  # L8
    ("bebop major", "C D E F G G# A B"),  # L8
    ("altered", "C Db Eb E F# Ab Bb"),  # 3.3: 1 b9 #9 3 #11 b13 b7
    ("lydian dominant", "C D E F# G A Bb"),  # 3.3: 1 9 3 #11 5 13 b7
    ("half-whole diminished", "C Db Eb E F# G A Bb"),  # 3.3: 0 1 3 4 6 7 9 10
    ("whole-half diminished", "C D Eb F Gb Ab A B"),  # 3.3: 0 2 3 5 6 8 9 11
    ("blues", "C Eb F Gb G Bb"),  # common practice, no source, and below
    ("major pentatonic", "C D E G A"), ("minor pentatonic", "C Eb F G Bb"),
    ("phrygian dominant", "C Db E F G Ab Bb"), ("bebop dorian", "C D Eb E F G A Bb"),
    ("bebop melodic minor", "C D Eb F G Ab A B"),
])
def test_published_notes(name, notes):
    assert [parse_pitch(note + "4").midi - 60 for note in notes.split()] == list(BY_NAME[name].steps)


@pytest.mark.parametrize(("name", "parent", "tonic"), [
    ("altered", "melodic minor", "Db"), ("lydian dominant", "melodic minor", "G"),
    ("phrygian dominant", "harmonic minor", "F"), ("locrian natural 2", "melodic minor", "Eb"),
])
def test_modes_of_the_minor_scales(name, parent, tonic):
    """3.3: altered = melodic minor a semitone above, lydian dominant = a fifth above; the others common practice."""
    assert scale_bits(BY_NAME[name], C) == scale_bits(BY_NAME[parent], parse_pitch_class(tonic))


def test_there_are_three_diminished_collections():
    """3.3: only 3 distinct collections exist."""
    roots = [parse_pitch_class(name) for name in ("C", "Db", "D", "Eb", "E", "F")]
    assert len({scale_bits(BY_NAME[name], root) for root in roots
                for name in ("half-whole diminished", "whole-half diminished")}) == 3


@pytest.mark.parametrize(("symbol", "names"), [
    ("C△7", "ionian, lydian"), ("C-7", "dorian, aeolian, phrygian"), ("C7", "mixolydian, bebop dominant"),
    ("Cø7", "locrian, locrian natural 2"), ("C-(maj7)", "melodic minor, harmonic minor"), ("C7alt", "altered"),
    ("C7#5", "whole tone, altered"), ("C°7", "whole-half diminished"), ("C13b9", "half-whole diminished"),
    ("C7b9", "phrygian dominant, half-whole diminished"), ("C7#11", "lydian dominant"), ("C7sus4", "mixolydian"),
    ("C△7#11", "lydian"), ("C-6", "dorian, melodic minor"), ("C13", "mixolydian"),
])
def test_the_plainest_that_hold_a_chord(symbol, names):
    found = [scale.name for scale in chord_scales(parse_chord(symbol))]
    assert ", ".join(found[:len(names.split(", "))]) == names


def test_the_half_whole_scale_is_not_for_the_diminished_chord_nor_the_whole_half_for_the_dominant():
    """3.3: whole-half fits Cdim7, not C7b9."""
    assert "half-whole diminished" not in {scale.name for scale in chord_scales(parse_chord("C°7"))}
    assert "whole-half diminished" not in {scale.name for scale in chord_scales(parse_chord("C7b9"))}


@pytest.mark.parametrize("symbol", ["C△7", "C-7", "C7", "Cø7", "C°7", "C6/9", "C7#5", "C-(maj7)", "C7sus4", "C13"])
def test_every_one_holds_the_chord(symbol):
    """The plain fifth of a dominant apart, and the eleventh of a thirteenth chord."""
    chord = parse_chord(symbol)
    free = {7, 5} if symbol == "C13" else {7} if chord.is_dominant else set()
    for scale in chord_scales(chord):
        assert set(chord.pitch_classes) - free <= set(scale.steps), scale.name


@pytest.mark.parametrize(("symbol", "key", "name"), [
    ("E-7", "C major", "phrygian"), ("D-7", "C major", "dorian"), ("A-7", "C major", "aeolian"),
    ("F△7", "C major", "lydian"), ("G7", "C major", "mixolydian"), ("Bø7", "C major", "locrian"),
    ("F-7", "C minor", "dorian"), ("Ab△7", "C minor", "lydian"),
])
def test_the_mode_of_the_key_comes_first(symbol, key, name):
    """music21 agrees on which mode it is: the key's notes from the chord's root."""
    first = chord_scales(parse_chord(symbol), parse_key(key))[0]
    assert first.name == name
    tonic = parse_key(key)
    theirs = (m21.MajorScale if tonic.mode == "major" else m21.MinorScale)(tonic.tonic.name.replace("b", "-"))
    ours = {(parse_chord(symbol).root.chroma + step) % 12 for step in first.steps}
    assert ours == {pitch.pitchClass for pitch in theirs.getPitches("C4", "C6")}


def test_which_of_them_a_passage_uses():
    scales = chord_scales(parse_chord("C7"))
    names = [scale.name for scale in scales_holding(scales, C, [0, 1, 4, 5])]
    assert names == ["phrygian dominant"]
    assert scales_holding(scales, C, []) == scales


def test_a_passage_needs_the_signs_of_a_rarer_scale():
    """F Eb D C over G7 in C minor is C minor; with the b9 and the third it is phrygian dominant."""
    dominant, key = (parse_chord("G7"),), Key(-3, "minor")
    plain = scale_of(passage([77, 75, 74, 72]), dominant, key)
    assert (plain.scale.name, plain.tonic.name, plain.is_sure) == ("aeolian", "C", True)
    rare = scale_of(passage([71, 68, 67, 65]), dominant, key)
    assert (rare.scale.name, rare.tonic) == ("phrygian dominant", G)


def test_no_chord_leaves_the_key():
    found = scale_of(passage([60, 62, 64, 65]), (), Key())
    assert (found.scale.name, found.tonic) == ("ionian", C)
