"""Changes typed as a line, and symbols moved to other keys (transposition checked against music21)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import interval, pitch

from core.errors import BarglossError, Faults
from core.harmony import house, parse_chord
from core.harmony.changes import read_changes, transposed_symbol
from core.study import Meter, PitchClass, parse_meter
from tests.harmony.made import CHORDS

FOUR, THREE = Meter((4,)), Meter((3,))


def places(text: str, meter: Meter) -> list[list[tuple[str, str]]]:
    return [[(str(offset), symbol) for offset, symbol in row] for row in read_changes(text, [meter] * 9)]


def test_symbols_share_the_beats_of_their_bar():
    assert places("Cm7 F7 | Bbmaj7 |", FOUR) == [[("0", "Cm7"), ("2", "F7")], [("0", "Bbmaj7")]]
    assert places("| C D E | C D E F", FOUR) == [[("0", "C"), ("2", "D"), ("3", "E")],
                                                [("0", "C"), ("1", "D"), ("2", "E"), ("3", "F")]]
    assert places("C D | C", THREE) == [[("0", "C"), ("2", "D")], [("0", "C")]]
    assert places("C D", parse_meter("6/8")) == [[("0", "C"), ("3/2", "D")]]
    assert places("C D", parse_meter("5/4")) == [[("0", "C"), ("3", "D")]]


def test_an_empty_bar_has_no_change_and_a_repeat_sign_stays():
    assert places("C | | %", FOUR) == [[("0", "C")], [], [("0", "%")]]


def test_every_fault_is_told_with_its_bar():
    with pytest.raises(Faults) as told:
        read_changes("C7 | Qm7 | C D E F G", [FOUR] * 3)
    assert [fault.bar for fault in told.value.faults] == [2, 3]
    with pytest.raises(BarglossError, match="2 bars of changes for 1 bars of music"):
        read_changes("C | D", [FOUR])


def test_places_are_beats_in_order():
    for beats in range(1, 13):
        for count in range(1, beats + 1):
            row = read_changes(" ".join(["C"] * count), [Meter((beats,))])[0]
            offsets = [change.offset for change in row]
            steps = [b - a for a, b in zip(offsets, [*offsets[1:], Fraction(beats)], strict=True)]
            assert offsets[0] == 0
            assert steps == sorted(steps, reverse=True) or max(steps) - min(steps) <= 1
            assert min(steps) >= 1


@given(CHORDS, st.integers(-6, 6))
def test_a_moved_symbol_is_the_same_chord_elsewhere(chord, fifths):
    moved = parse_chord(transposed_symbol(house(chord).text, fifths))
    assert moved.tones == chord.tones
    assert (moved.root.chroma - chord.root.chroma) % 12 == 7 * fifths % 12
    assert fifths == 0 or abs(moved.root.alter) <= 1


@pytest.mark.parametrize(("fifths", "name"), [(2, "M2"), (-3, "m3"), (-1, "P4"), (4, "M3"), (-2, "-M2")])
@pytest.mark.parametrize("root", ["C", "F", "Bb", "G", "D", "Eb", "A"])
def test_roots_move_as_music21_moves_them(root, fifths, name):
    there = interval.Interval(name).transposePitch(pitch.Pitch(root.replace("b", "-")))
    expected = PitchClass(there.step, int(there.alter))
    if abs(expected.alter) <= 1 and -7 <= expected.fifths <= 8:
        assert transposed_symbol(f"{root}7", fifths) == f"{expected.name}7"


def test_no_chord_and_the_same_key_leave_a_symbol_as_typed():
    assert transposed_symbol("N.C.", 3) == "N.C."
    assert transposed_symbol("C-7", 0) == "C-7"
    assert transposed_symbol("Am7/G", -2) == "Gm7/F"
