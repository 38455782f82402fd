"""Chord kinds of W3C MusicXML 4.0 and the chord symbols of a file, against music21.

Where we differ, `REASONS` says why ours is right.
"""

from __future__ import annotations

import pytest
from music21 import chord as m21_chord
from music21 import corpus
from music21 import harmony as m21
from music21 import pitch as m21_pitch

from core.harmony import KindDegree, NoChord, parse_chord, symbol_from_kind
from core.study import PitchClass

# W3C MusicXML 4.0, `kind-value`: all 33.
KINDS = (
    "major", "minor", "augmented", "diminished", "dominant", "major-seventh", "minor-seventh", "diminished-seventh",
    "augmented-seventh", "half-diminished", "major-minor", "major-sixth", "minor-sixth", "dominant-ninth",
    "major-ninth", "minor-ninth", "dominant-11th", "major-11th", "minor-11th", "dominant-13th", "major-13th",
    "minor-13th", "suspended-second", "suspended-fourth", "Neapolitan", "Italian", "French", "German", "pedal",
    "power", "Tristan", "other", "none",
)

# How the other library calls the kinds it names otherwise.
THEIR_NAMES = {"dominant": "dominant-seventh", "half-diminished": "half-diminished-seventh",
               "major-minor": "minor-major-seventh"}

REASONS = {
    "Neapolitan": "the sixth chord of the lowered second is a major triad (in C: Db F Ab, F lowest); "
                  "music21 has C Db E Gb, which no key's lowered second holds",
    "other": "the standard leaves the tones of `other` to its degrees; music21 refuses the kind",
    "none": "no chord has no tones; music21 keeps it as a chord of its own",
    "minor-major": "the file's own name for major-minor (C Eb G B); music21 does not know it and plays the root alone",
    "tristan": "the file's lower-case spelling of Tristan; music21 does not know it and plays the root alone",
}
# C6 has the tones of A-7 and C-6 those of Aø7, and music21 names the seventh chord; so too the functional ones.
NO_NAME_OF_THEIR_OWN = {"major-sixth", "minor-sixth", "pedal", "Italian", "French", "German", "Tristan"}
ROOTS = ("C", "F#", "Bb", "Ab", "E", "Db", "B")


def test_there_are_33_kinds():
    assert len(set(KINDS)) == 33


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in REASONS])
@pytest.mark.parametrize("root", ROOTS)
def test_every_kind_has_the_pitch_classes_music21_gives_it(kind, root):
    theirs = m21.ChordSymbol(root=root.replace("b", "-"), kind=THEIR_NAMES.get(kind, kind))
    text = symbol_from_kind(_pitch_class(root), kind, "", ())
    assert set(parse_chord(text).pitch_classes) == {pitch.pitchClass for pitch in theirs.pitches}


def test_the_kinds_that_differ():
    c = PitchClass("C")
    neapolitan = parse_chord(symbol_from_kind(c, "Neapolitan", "", ()))
    assert (set(neapolitan.pitch_classes), neapolitan.bass) == ({1, 5, 8}, PitchClass("F")), REASONS["Neapolitan"]
    assert {p.pitchClass for p in m21.ChordSymbol(root="C", kind="Neapolitan").pitches} == {0, 1, 4, 6}
    assert parse_chord(symbol_from_kind(c, "none", "", ())) == NoChord(), REASONS["none"]
    other = symbol_from_kind(c, "other", "", [KindDegree(3, -1, "add"), KindDegree(5, -1, "add")])
    assert set(parse_chord(other).pitch_classes) == {0, 3, 6}, REASONS["other"]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if "11th" not in kind and "13th" not in kind
                                  and kind not in {*REASONS, *NO_NAME_OF_THEIR_OWN}])
def test_music21_finds_the_kind_in_the_tones_we_give_it(kind):
    """`chordSymbolFigureFromChord` names our tones; eleventh and thirteenth chords have no single name there."""
    ours = parse_chord(symbol_from_kind(PitchClass("C"), kind, "", ()))
    pitches = [m21_pitch.Pitch(name.name.replace("b", "-"), octave=3 + tone.semitones // 12)
               for name, tone in zip(ours.spelled, ours.tones, strict=True)]
    named = m21.chordSymbolFigureFromChord(m21_chord.Chord(pitches), includeChordType=True)
    assert named[1] == THEIR_NAMES.get(kind, kind)


def _pitch_class(name: str) -> PitchClass:
    return PitchClass(name[0], name.count("#") - name[1:].count("b") - name.count("-"))


def _symbols_of_the_demo() -> list[m21.ChordSymbol]:
    score = corpus.parse("demos/ComprehensiveChordSymbolsTestFile.mxl")
    return list(score.recurse().getElementsByClass(m21.ChordSymbol))


@pytest.fixture(scope="module")
def demo():
    return _symbols_of_the_demo()


def _ours(theirs: m21.ChordSymbol) -> str:
    changes = [KindDegree(change.degree, change.interval.semitones if change.interval else 0, change.modType)
               for change in theirs.chordStepModifications]
    bass = theirs.bass()
    return symbol_from_kind(_pitch_class(theirs.root().name), theirs.chordKind, theirs.chordKindStr, changes,
                            None if bass.name == theirs.root().name else _pitch_class(bass.name))


def test_the_demo_file_is_whole(demo):
    assert len(demo) == 57  # `grep -c "<harmony"`


@pytest.mark.parametrize("index", range(57))
def test_every_symbol_of_the_demo_has_the_pitch_classes_music21_gives_it(demo, index):
    theirs = demo[index]
    chord = parse_chord(_ours(theirs))
    sounding = set(chord.pitch_classes) | ({chord.bass.chroma} if chord.bass else set())
    expected = {pitch.pitchClass for pitch in theirs.pitches}
    if theirs.chordKind == "minor-major":
        assert (sounding, expected) == ({2, 5, 9, 1}, {2}), REASONS["minor-major"]
    elif theirs.chordKind == "tristan":
        assert (sounding, expected) == ({5, 8, 11, 3}, {5}), REASONS["tristan"]
    elif theirs.chordKind == "Neapolitan":
        assert (sounding, expected) == ({1, 5, 8}, {0, 1, 4, 6}), REASONS["Neapolitan"]
    else:
        assert sounding == expected


@pytest.mark.parametrize("name", ["fosterBrownHair", "berlinAlexandersRagtime"])
def test_every_symbol_of_the_lead_sheets_has_the_pitch_classes_music21_gives_it(name):
    symbols = list(corpus.parse(f"leadSheet/{name}.mxl").recurse().getElementsByClass(m21.ChordSymbol))
    assert symbols
    for theirs in symbols:
        chord = parse_chord(_ours(theirs))
        sounding = set(chord.pitch_classes) | ({chord.bass.chroma} if chord.bass else set())
        assert sounding == {pitch.pitchClass for pitch in theirs.pitches}, theirs.figure
