"""Bars typed in ABC. Lengths, accidentals, ties and tuplets mean what ABC 2.1, section 4, says of them.

Lines that are legal are read as music21 reads them, told that they are ABC 2.1.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21.abcFormat import ABCBar, ABCFile, ABCNote
from music21.pitch import Pitch

from core.errors import BarglossError
from core.exchange.abc_line import typed_abc
from core.study import Key, Meter, parse_key
from tests.strategies import CALM

FOUR = Meter((4,))


def told(text: str, key: Key | None = None) -> list[str]:
    return [" ".join(f"{'+'.join(note.pitch.name + '~' * note.tie for note in event.notes) or '-'}:{event.duration}"
                     for event in events) for events in typed_abc(text, key or Key(), FOUR)]


@pytest.mark.parametrize(("text", "expected"), [
    ("C D E/2 F2", ["C4:1/2 D4:1/2 E4:1/4 F4:1"]),  # 4.3 note lengths
    ("C, c c'", ["C3:1/2 C5:1/2 C6:1/2"]),  # 4.1 pitch
    ("^F _B =f", ["F#4:1/2 Bb4:1/2 F5:1/2"]),  # 4.2 accidentals
    ("A>B", ["A4:3/4 B4:1/4"]),  # 4.4 broken rhythm
    ("z2 c2", ["-:1 C5:1"]),  # 4.5 rests
    ("(3cde", ["C5:1/3 D5:1/3 E5:1/3"]),  # 4.13 tuplets
    ("[CE]2", ["C4+E4:1"]),  # 4.17 chords
    ("c2-c2 | d4", ["C5~:1 C5:1", "D5:2"]),  # 4.11 ties
    ("[C-E]C", ["C4~+E4:1/2 C4:1/2"]),
    ("^c-|cc", ["C#5~:1/2", "C#5:1/2 C5:1/2"]),
    ("c>>d e<f", ["C5:7/8 D5:1/8 E5:1/4 F5:3/4"]),  # 4.4
    ("(3:2:2cd e (5cdefg", ["C5:1/3 D5:1/3 E5:1/2 C5:1/5 D5:1/5 E5:1/5 F5:1/5 G5:1/5"]),  # 4.13
    ("^F F f | F", ["F#4:1/2 F#4:1/2 F#5:1/2", "F4:1/2"]),  # 11.3, the default of propagate-accidentals
    ("[C2E2]/", ["C4+E4:1/2"]),  # 4.17
    ("{g}c {/ga}d", ["G5:1/2 C5:1/2 G5:1/2 A5:1/2 D5:1/2"]),  # 4.12
    ('"Cm7"c !trill!d Te x', ["C5:1/2 D5:1/2 E5:1/2 -:1/2"]),  # 4.14, 4.18, 4.5
    ("|: c | d :|", ["C5:1/2", "D5:1/2"]),  # 4.8
])
def test_what_the_standard_says(text, expected):
    assert told(text) == expected


def test_the_key_holds():
    assert told("F B e", parse_key("Eb major")) == ["F4:1/2 Bb4:1/2 Eb5:1/2"]
    assert told("F B c", parse_key("D dorian")) == ["F4:1/2 B4:1/2 C5:1/2"]
    assert told("F c", parse_key("E minor")) == ["F#4:1/2 C5:1/2"]


def test_signs_that_a_study_has_are_kept():
    """ABC 2.1, sections 4.11 and 4.14."""
    events = typed_abc("(.c Ld) uc vd !tenuto!e {f}g", Key(), FOUR)[0]
    assert [(event.articulations, event.stroke, event.slur, event.grace) for event in events] == [
        (("staccato",), "", "start", False), (("accent",), "", "stop", False), ((), "up", "", False),
        ((), "down", "", False), (("tenuto",), "", "", False), ((), "", "", True), ((), "", "", False)]


@pytest.mark.parametrize(("text", "told_"), [
    ("C2 q7 H D", "bar 1: 'q7' (character 4) is no note"), ("c2 | d | xyz", "bar 3: 'yz' (character 11) is no note"),
    ("c | Z2", "bar 2: 'Z2' (character 5) is no note"), ("c H d", "bar 1: 'H' (character 3) is no note"),
    ("c & d", "bar 1: '&' (character 3) is no note"), ("!foo!c", "bar 1: '!foo!c' (character 1) is no note"),
    ("c2 {d", "bar 1: '{d' (character 4) is no note"), ("[ce", "bar 1: '[ce' (character 1) is no note"),
    ("C,,,,", "bar 1: ',' (character 5) is no note"), ("c/3", "bar 1: 'c/3' (character 1) has a length"),
    ("c0", "bar 1: 'c0' (character 1) has a length"), ("| c2 |(3cd | e", "bar 2: '(3cd' (character 7) is a group"),
    ("(3(3ccc", "bar 1: '(3ccc' (character 3) stands inside"), ("c > | d", "bar 1: '>' (character 3) stands between"),
    ("> c", "bar 1: '>' (character 1) stands between"), ("c | (d e", "bar 2: '(d' (character 5) opens a slur"),
    ("c d)", "bar 1: ')' (character 4) closes a slur"), ("{d} | c", "bar 1: '{d}' (character 1) leads to no note"),
    ("c | d2-e2", "bar 2: 'd2-e2' (character 5) is tied to another"), ("z- c", "bar 1: 'z-' (character 1) is a rest"),
    ("c K:D d", "bar 1: 'K:D' (character 3) begins a field"), ("z | z", "no note in 'z | z'"),
])
def test_what_is_no_abc_is_named_with_its_place(text, told_):
    with pytest.raises(BarglossError) as fault:
        typed_abc(text, Key(), FOUR)
    assert str(fault.value).startswith(told_)


# Without double signs, of which music21 carries on the half; signs on F and B alone, for it carries none into chords.
LENGTHS = st.sampled_from(["", "", "2", "3", "3/2", "/", "/2", "//", "/4"])
SIGNED = st.builds("{}{}".format, st.sampled_from("^_="), st.sampled_from(["F,", *"FBfb", "b'"]))
NOTES = st.builds("{}{}".format, st.one_of(SIGNED, st.sampled_from(["C,,", "D,", *"ABCDEFGabcdefg", "c'", "d''"])),
                  LENGTHS)
PIECES = st.one_of(
    NOTES, NOTES, NOTES, st.builds("z{}".format, LENGTHS),
    st.builds("[{}]{}".format, st.sampled_from(["CE", "EGc", "DA", "ce"]), LENGTHS),
    st.builds("{}{}{}".format, st.sampled_from("ABcd"), st.sampled_from([">", "<", ">>", "<<"]),
              st.sampled_from("efG")),
    st.builds("({}{}".format, st.just("3"), st.sampled_from(["cde", "CEG", "zab"])),
    st.builds("({}".format, st.sampled_from(["2cd", "4cdef", "6cdefga", "5cdefg", "3:2:2cd", "3:2:4cdef"])),
    st.sampled_from(["c-c", "C2-C2", "(cd)", ".c", "uc", "{g}c"]))
LINES = st.lists(st.lists(PIECES, min_size=1, max_size=5).map(" ".join), min_size=1, max_size=4).map(" | ".join)


def by_music21(text: str, key: str) -> list[list[tuple[list[int], Fraction]]]:
    """Key numbers and length of every event of each bar; grace notes have none."""
    tokens = ABCFile().readstr(f"%abc-2.1\nX:1\nM:4/4\nL:1/8\nK:{key}\n{text}\n").tokens
    bars: list[list[tuple[list[int], Fraction]]] = [[]]
    for token in tokens:
        if isinstance(token, ABCBar):
            bars.append([])
        elif isinstance(token, ABCNote):
            heads = [Pitch(one.pitchName).midi for one in getattr(token, "subTokens", [token]) if one.pitchName]
            ratio = token.activeTuplet.tupletMultiplier() if token.activeTuplet else 1
            bars[-1].append((sorted(heads), Fraction(0) if token.inGrace else Fraction(token.quarterLength * ratio)
                             .limit_denominator(1000)))
    return [row for row in bars if row]


@settings(CALM, max_examples=80)
@given(LINES, st.sampled_from([("C", "C major"), ("Eb", "Eb major"), ("Em", "E minor")]))
def test_legal_lines_are_read_as_music21_reads_them(text, key):
    expected = by_music21(text, key[0])
    if not any(heads for row in expected for heads, _ in row):
        return
    found = [[([note.pitch.midi for note in event.notes], Fraction(0) if event.grace else event.duration)
              for event in events] for events in typed_abc(text, parse_key(key[1]), FOUR)]
    assert found == expected


@pytest.mark.parametrize("text", ["", "|", "hello:", "K:D c", "1234", "c" * 3000, "%", '"C"'])
def test_what_is_no_music_is_told_in_one_line(text):
    with pytest.raises(BarglossError) as told_:
        typed_abc(text, Key(), FOUR)
    assert "\n" not in str(told_.value)


@settings(CALM, max_examples=60)
@given(st.text(alphabet="abcdefgABCDEFG^_=,'/0123456789()[]|<>-z \"{}!.~%:", max_size=24))
def test_any_typing_is_read_or_refused(text):
    try:
        bars = typed_abc(text, Key(), FOUR)
    except BarglossError:
        return
    assert any(event.notes for events in bars for event in events)
