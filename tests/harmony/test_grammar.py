"""Chord symbols from text. Tones: chords by thirds (W3C MusicXML 4.0 kinds); which spellings mean the
same chord is common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.harmony import ChordSymbolError, NoChord, parse_chord
from core.study import PitchClass

SPELLINGS = {
    "1 3 5": "C CM Cmaj Cma C△(no7)",
    "1 b3 5": "Cm C- Cmi Cmin CMI Cminor",
    "1 3 #5": "C+ Caug C(#5) C+5",
    "1 b3 b5": "C° Cdim Co Cº Cm(b5)",
    "1 3 5 b7": "C7 Cdom7",
    "1 3 5 7": "C△7 CΔ7 C∆ C△ Cmaj7 Cma7 CM7 CMaj7 CMA7 C(maj7)",
    "1 b3 5 b7": "C-7 Cmi7 Cmin7 Cm7 CMI7 C−7",
    "1 b3 5 7": "Cm(maj7) C-△7 C-△ Cmi(ma7) CmM7 Cminmaj7 Cm#7 Cm△",
    "1 b3 b5 b7": "Cø7 Cø Cm7b5 C-7(b5) Cmi7♭5 C-7-5 CØ",
    "1 b3 b5 bb7": "C°7 Co7 Cdim7",
    "1 3 #5 b7": "C+7 C7#5 Caug7 C7+ C7(♯5) C7+5",
    "1 3 #5 7": "C+△7 C△7#5 Cmaj7(#5)",
    "1 3 b5 b7": "C7b5 C7(b5) C7-5",
    "1 3 5 6": "C6 CM6 Cmaj6", "1 b3 5 6": "Cm6 C-6 Cmi6",
    "1 3 5 6 9": "C6/9 C69 C6(9)",
    "1 3 5 b7 9": "C9 C7(9) C7add9", "1 3 5 7 9": "Cmaj9 C△9 CM9", "1 b3 5 b7 9": "C-9 Cm9",
    "1 3 5 b7 9 11": "C11", "1 b3 5 b7 9 11": "Cm11 C-11",
    "1 3 5 b7 9 11 13": "C13", "1 3 5 7 9 #11 13": "C△13#11",
    "1 3 5 b7 13": "C7(13) C7add13",
    "1 3 b7": "C7alt Calt C7(alt) C7no5 C7omit5 C7(no5)",
    "1 3 5 b7 b9 #11": "C7(b9,#11) C7b9#11 C7#11b9 C7(b9)(#11) C7(b9/#11) C7 b9 #11 C7[b9,#11]",
    "1 3 #5 b7 b9": "C7b9#5 C7#5b9 C+7b9 C7(b9 , #5)",
    "1 3 5 b7 #9": "C7#9 C7(#9) C7+9 C7♯9",
    "1 4 5": "Csus Csus4 C4 Cmsus", "1 2 5": "Csus2", "1 2 4 5": "Csus24 Csus42",
    "1 4 5 b7": "C7sus4 C7sus Csus7 C7(sus4) C-7sus", "1 4 5 b7 9": "C9sus Csus9 C9sus4",
    "1 4 5 b7 b9": "C7sus4(b9) C7susb9 C7sus4b9 C7b9sus4",
    "1 3 5 9": "Cadd9 C(add9) C add 9 C(9)", "1 b3 5 9": "Cm(add9) Cmadd9 C-add9 Cminadd9", "1 2 3 5": "C2 Cadd2",
    "1 5": "C5 Cno3 C(omit3) Comit3", "1 3": "C(no5) Comit5",
    "1 3 b5": "C(b5) C b5 C-5",
}
CASES = [(text, tones) for tones, texts in SPELLINGS.items() for text in texts.replace(" b", "~b").replace(" #", "~#")
         .replace(" ,", "~,").replace(", ", ",~").replace(" add 9", "~add~9").split()]


@pytest.mark.parametrize(("text", "tones"), CASES, ids=[text for text, _ in CASES])
def test_spellings_of_the_trade_give_the_tones_they_stand_for(text, tones):
    chord = parse_chord(text.replace("~", " "))
    assert " ".join(tone.name for tone in chord.tones) == tones


@pytest.mark.parametrize("texts", [
    "C-7 Cmi7 Cmin7 Cm7", "C△7 CΔ7 Cmaj7 Cma7 CM7", "Cø7 Cm7b5 C-7(b5)", "C7#5 C+7 Caug7",
    "C7(b9,#11) C7#11b9", "Cm(maj7) C-△7 CmM7", "Cadd9 C(add9)", "C6/9 C69 C6(9)", "C+ Caug C(#5)",
])
def test_all_spellings_of_a_chord_are_one_value(texts):
    assert len({parse_chord(text) for text in texts.split()}) == 1


def test_roots_and_basses_are_spelled():
    chord = parse_chord("G♭△7/B♭")
    assert (chord.root, chord.bass) == (PitchClass("G", -1), PitchClass("B", -1))
    assert [name.name for name in parse_chord("F#7").spelled] == ["F#", "A#", "C#", "E"]
    assert [name.name for name in parse_chord("Bb°7").spelled] == ["Bb", "Db", "Fb", "Abb"]
    assert parse_chord("Ab7").pitch_classes == (8, 0, 3, 6)
    assert parse_chord("C6/9/E").bass == PitchClass("E")


def test_a_tone_that_would_need_three_flats_is_respelled():
    assert [name.name for name in parse_chord("Fbb°7").spelled] == ["Fbb", "Gb", "Bbb", "Dbb"]


def test_a_space_parts_a_root_from_an_altered_fifth():
    assert parse_chord("Bb b5") == parse_chord("Bb(b5)")
    assert parse_chord("Bbb5").root == PitchClass("B", -2)
    assert parse_chord("Bb#11").root == PitchClass("B", -1)


@pytest.mark.parametrize(("text", "chord"), [("N.C.", NoChord()), ("NC", NoChord()), ("n.c.", NoChord()),
                                             (" % ", NoChord(again=True))])
def test_no_chord_and_same_again(text, chord):
    assert parse_chord(text) == chord


@pytest.mark.parametrize(("text", "named"), [
    ("C7z", "'z' (character 3)"), ("c7", "'c' (character 1)"), ("H7", "'H' (character 1)"),
    ("C7(b9", "'(' (character 3)"),
    ("C7)", "')' (character 3)"), ("C7()", "')' (character 4)"), ("C7(b9,)", "')' (character 7)"),
    ("C7,", "',' (character 3)"),
    ("C/", "'/' (character 2)"), ("C/x", "'/' (character 2)"), ("C/E7", "'7' (character 4)"),
    ("C  7 q", "'q' (character 6)"),
    ("C7b8", "'b' (character 3)"), ("Cm7(maj7)", "'m' (character 5)"), ("C7alt(b9)", "'b' (character 7)"),
    ("Csussus2", "'s' (character 5)"), ("C°7sus", "'s' (character 4)"), ("C79", "'9' (character 3)"),
    ("C(no1,no3,no5)", "'n' (character 11)"), ("C7\n\x00", "'\\x00' (character 4)"), ("C" * 70, "'C' (character 61)"),
    ("♭C", "'♭' (character 1)"),
])
def test_an_error_names_the_character_and_its_place(text, named):
    with pytest.raises(ChordSymbolError) as error:
        parse_chord(text)
    assert named in str(error.value)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize("text", ["", "   "])
def test_an_empty_symbol_is_told_as_such(text):
    with pytest.raises(ChordSymbolError, match="no characters"):
        parse_chord(text)


ALPHABET = st.text(st.sampled_from("CDEFGABb#♭♯mMaijndugsoltøΔ△°+-/()[],0123456789 N.%z"), max_size=14)


@given(st.one_of(st.text(max_size=80), ALPHABET, ALPHABET.map("C7".__add__)))
@example("C7(b9/")
@example("𝄫")
def test_any_text_is_a_chord_or_raises_the_one_error(text):
    try:
        chord = parse_chord(text)
    except ChordSymbolError as error:
        told = str(error)
    else:
        told = "(character "
        assert isinstance(chord, NoChord) or len(set(chord.pitch_classes)) == len(chord.spelled) > 0
    assert text.strip() == "" or "(character " in told


def test_families_and_tensions():
    """Available tensions: Nettles & Graf 1997, Levine 1995, from memory (references H2)."""
    expected = {
        "C△7": ("major", "9 #11 13"), "C7": ("dominant", "b9 9 #9 #11 b13 13"), "C-7": ("minor", "9 11 13"),
        "C-△7": ("minor", "9 11 13"), "Cø7": ("half-diminished", "9 11 b13"), "C°7": ("diminished", "9 11 b13 7"),
        "C7alt": ("dominant", "b9 #9 #11 b13"), "C+": ("augmented", "9 #11"), "C7sus": ("suspended", "9 13"),
        "C5": ("power", ""), "C7b9": ("dominant", "#9 #11 b13 13"), "C13": ("dominant", "#11"),
        "C7#5": ("dominant", "b9 9 #9 #11"), "C6": ("major", "9 #11"), "C9": ("dominant", "#11 b13 13"),
    }
    chords = {text: parse_chord(text) for text in expected}
    found = {text: (chord.family, " ".join(t.name for t in chord.tensions)) for text, chord in chords.items()}
    assert found == expected
