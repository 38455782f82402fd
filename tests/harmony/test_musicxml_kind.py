"""MusicXML kinds, both ways. Degree rules: W3C MusicXML 4.0, `degree-type` and `degree-alter`."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.harmony import ChordSymbolError, KindDegree, NoChord, kind_of, parse_chord, symbol_from_kind
from core.harmony.chord import ALTERED
from core.harmony.musicxml_kind import KINDS, apply_degrees
from core.study import PitchClass
from tests.harmony.made import CHORDS

C = PitchClass("C")


@given(CHORDS)
def test_kind_and_degrees_say_the_same_tones(chord):
    kind, given_degrees = kind_of(chord)
    tones = {*chord.tones, *(ALTERED if chord.altered else ())}
    assert set(apply_degrees(KINDS[kind], given_degrees)) == tones


@given(CHORDS)
def test_a_chord_comes_back_from_its_kind_with_the_same_tones(chord):
    kind, given_degrees = kind_of(chord)
    back = parse_chord(symbol_from_kind(chord.root, kind, "", given_degrees, chord.bass))
    assert (back.root, back.bass, back.tones, back.altered) == (chord.root, chord.bass, chord.tones, chord.altered)


@pytest.mark.parametrize(("kind", "changes", "tones"), [
    ("dominant", [(5, -1, "alter"), (3, 0, "subtract")], "1 b5 b7"),
    ("minor-seventh", [(13, -1, "add")], "1 b3 5 b7 b13"),
    ("major", [(9, 0, "add")], "1 3 5 9"), ("major", [(7, 0, "add")], "1 3 5 b7"),
    ("dominant", [(9, -1, "alter")], "1 3 5 b7 b9"),
    ("other", [(3, 0, "add"), (5, 1, "add")], "1 3 #5"),
])
def test_degree_rules_of_the_standard(kind, changes, tones):
    """The first three are the worked examples of the `degree` element's page; the rest follow its rules."""
    chord = parse_chord(symbol_from_kind(C, kind, "", [KindDegree(*change) for change in changes]))
    assert " ".join(tone.name for tone in chord.tones) == tones


@pytest.mark.parametrize(("kind", "text", "changes", "symbol"), [
    ("dominant", "7", [(9, -1, "add")], "C7(b9)"), ("dominant", "7alt", [], "C7alt"), ("none", "N.C.", [], "N.C."),
    ("other", "7sus4", [], "C7sus"),
    ("suspended-fourth", "", [(7, 0, "add")], "C7sus"), ("major", "", [(6, 0, "add")], "C6"),
    ("minor", "", [(7, 1, "add")], "C-△7"), ("Neapolitan", "", [], "Db/F"), ("German", "", [], "Ab7"),
    ("pedal", "", [], "C5(no5)"), ("minor-seventh", "", [(5, -1, "alter")], "Cø7"),
    ("dominant", "", [(3, 0, "subtract")], "C7(no3)"),
])
def test_symbols_of_kinds(kind, text, changes, symbol):
    assert symbol_from_kind(C, kind, text, [KindDegree(*change) for change in changes]) == symbol


def test_export_takes_the_plainest_kind():
    found = {text: kind_of(parse_chord(text)) for text in ("C-7", "C6/9", "C7(b9)", "C/E", "N.C.")}
    assert found == {
        "C-7": ("minor-seventh", ()), "C6/9": ("major-sixth", (KindDegree(9, 0, "add"),)),
        "C7(b9)": ("dominant", (KindDegree(9, -1, "add"),)), "C/E": ("major", ()), "N.C.": ("none", ()),
    }
    assert kind_of(NoChord()) == ("none", ())


@given(st.sampled_from([*KINDS, "other", "none", "German", "strange", ""]), st.text(max_size=8),
       st.lists(st.builds(KindDegree, st.integers(0, 14), st.integers(-3, 3),
                          st.sampled_from(("add", "alter", "subtract"))), max_size=4))
def test_any_harmony_element_is_a_symbol_or_the_one_error(kind, text, changes):
    try:
        symbol = symbol_from_kind(C, kind, text, changes)
    except ChordSymbolError:
        return
    parse_chord(symbol)
