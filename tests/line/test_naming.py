"""What chord notes spell out. Sources: music21 (its own chord analysis), W3C MusicXML 4.0 `kind-value`; references.md
3.3 for what two chords make together, written with the house's own symbols."""

from __future__ import annotations

import pytest
from music21 import chord as m21chord

from core.harmony import degree_between, parse_chord
from core.harmony.chord import degrees
from core.line.finding import symbol
from core.line.naming import chord_on, mask_of, names_of, plainest, together
from core.study import parse_pitch_class

M21_NAMES = {
    "": "major triad", "m": "minor triad", "dim": "diminished triad", "7": "dominant seventh chord",
    "maj7": "major seventh chord", "m7": "minor seventh chord", "m7b5": "half-diminished seventh chord",
}
ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("kind", M21_NAMES)
def test_music21_gives_the_same_name_root_and_inversion(kind, root):
    """Source: music21.chord, `commonName`, `root` and `inversion`."""
    spelled = parse_chord(root + kind).spelled
    for turned in range(len(spelled)):
        names = [name.name.replace("b", "-") for name in (*spelled[turned:], *spelled[:turned])]
        theirs = m21chord.Chord([f"{name}{octave}" for name, octave in zip(names, (3, 4, 5, 6), strict=False)])
        found, name = plainest(mask_of(pitch.pitchClass for pitch in theirs.pitches), theirs.bass().pitchClass, None)
        if kind in ("m7", "m7b5") and turned == 1:
            assert name in ("6", "m6")  # a sixth chord in root position: the two names are one chord
            continue
        assert (found, M21_NAMES[name]) == (theirs.root().pitchClass, theirs.commonName)
        assert [tone.chroma for tone in parse_chord(root + kind).spelled].index(
            theirs.bass().pitchClass) == theirs.inversion()


def test_every_kind_is_named_by_its_tones():
    """Source: W3C MusicXML 4.0 `kind-value`, semitones above the root (references.md 3.1)."""
    kinds = {"": "0 4 7", "m": "0 3 7", "dim": "0 3 6", "+": "0 4 8", "7": "0 4 7 10", "maj7": "0 4 7 11",
             "m7": "0 3 7 10", "m7b5": "0 3 6 10", "dim7": "0 3 6 9", "m(maj7)": "0 3 7 11", "7#5": "0 4 8 10",
             "m6": "0 3 7 9", "6": "0 4 7 9"}
    for kind, tones in kinds.items():
        assert (0, kind) in names_of(mask_of(map(int, tones.split())))


@pytest.mark.parametrize(("mask", "lowest", "over", "name"), [
    ("0 4 7 9", 0, "C6", (0, "6")), ("0 4 7 9", 9, "C6", (0, "6")), ("0 4 7 9", 9, "Cmaj7", (9, "m7")),
    ("0 4 7 9", 9, None, (9, "m7")), ("0 4 7 9", 4, None, (9, "m7")), ("0 3 7 9", 3, "F7", (9, "m7b5")),
    ("0 3 7 9", 0, "F7", (0, "m6")), ("0 3 6 9", 3, None, (3, "dim7")), ("0 4 8", 4, "C7", (4, "+")),
])
def test_of_several_names_the_plainest_is_meant(mask, lowest, over, name):
    """Common practice, no source: the written chord first, then root position, then the commoner chord."""
    assert plainest(mask_of(map(int, mask.split())), lowest, over and parse_chord(over)) == name


@pytest.mark.parametrize(("chord", "row", "heard"), [
    # references.md 3.3: what structures over a dominant add to it
    ("C7", "b7 b9 3", "C7(b9)"), ("C7", "3 5 b7 b9", "C7(b9)"), ("C7", "3 5 b7 9", "C9"), ("C7", "5 b7 9 11", "C9sus"),
    ("C7", "b7 9 11 13", "C13sus"), ("C7", "9 #11 13", "C13(#11)"), ("C7", "b13 1 #9", "C7(#9,b13)"),
    ("C7", "#11 b7 b9", "C7(b9,#11)"), ("C7", "13 b9 3", "C13(b9)"), ("C7", "b9 3 b13 1", "C7(b9,b13)"),
    # common practice, no source
    ("Cmaj7", "3 5 7 9", "Cmaj9"),
    ("Cmaj7", "9 #11 13", "Cmaj13(#11)"),
    ("Cm7", "b7 9 11", "Cm11"),
    ("C", "3 5 7", "Cmaj7"),
    ("C", "b7 9 5", "C9"), ("C6", "9", "C6/9"), ("C9", "13", "C13"), ("C", "13 1 3", "C6"), ("Cm7b5", "11", "Cø7(11)"),
    ("C7alt", "b9 #9", ""), ("C7", "3 5 b7", ""), ("C7(b9)", "3 5 b9", ""),
])
def test_what_two_chords_make_together(chord, row, heard):
    found = together(parse_chord(chord), degrees(row))
    assert ((found and symbol(found)) or "") == heard
    if found:
        assert {tone.chroma for tone in found.tones} >= {degree.chroma for degree in degrees(row)}


def test_a_root_is_spelled_as_it_was_played():
    def played(text: str) -> list:
        return [parse_pitch_class(name) for name in text.split()]

    assert chord_on(3, "dim7", played("C A F# D#")).root.name == "D#"
    assert chord_on(3, "dim7", played("C A Gb Eb")).root.name == "Eb"
    assert chord_on(8, "", played("C Eb")).root.name == "Ab"  # not played: Ab C Eb, not G# B# D#
    assert degree_between(chord_on(8, "", played("C Eb")).spelled[0], parse_pitch_class("Eb")).name == "5"
