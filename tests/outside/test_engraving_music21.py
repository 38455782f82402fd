"""Beams, signatures, stems and staff positions against music21, where its conventions are ours too.

Numbers are those of the project's reference list, section 1.
"""

from __future__ import annotations

import warnings
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21 import beam, clef, key, meter, note, pitch, stream

from core.engraving.beaming import beam_groups
from core.engraving.beams import beam_runs
from core.engraving.heads import flags_of, stem_goes_up, y_of
from core.engraving.signatures import key_marks
from core.engraving.smufl import music_font
from core.study import Key, Pitch, parse_meter, parse_pitch
from tests.engraving.scenes import events
from tests.strategies import CALM

BRAVURA = music_font("Bravura")


def made_beams(lengths: list[Fraction], metre: str) -> list[list[beam.Beam]]:
    """music21's beams, a list for each note."""
    measure = stream.Measure()
    measure.append(meter.TimeSignature(metre))
    for length in lengths:
        measure.append(note.Note("B4", quarterLength=length))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        measure.makeBeams(inPlace=True)
    return [list(one.beams) for one in measure.notes]


def groups_of(lists: list[list[beam.Beam]]) -> list[tuple[int, ...]]:
    """First-level beams as the notes they join."""
    groups: list[list[int]] = []
    for index, beams in enumerate(lists):
        kind = next((one.type for one in beams if one.number == 1), None)
        if kind == "start":
            groups.append([index])
        elif kind in ("continue", "stop"):
            groups[-1].append(index)
    return [tuple(group) for group in groups]


def line_of(lengths: list[Fraction]):
    """One pitch in these lengths."""
    values = {Fraction(1, 4): "16", Fraction(1, 2): "8", Fraction(3, 4): "8.", Fraction(1): "4", Fraction(3, 2): "4."}
    return events(" ".join(f"B3:{values[length]}" for length in lengths))


def beats_of(*texts: str):
    """A strategy for a beat, each text its notes in sixteenths."""
    return st.sampled_from([[Fraction(int(figure), 4) for figure in text] for text in texts])


@settings(CALM, max_examples=40)
@given(beats=st.lists(beats_of("222", "42", "24", "6", "1122", "2112", "2211", "321", "111111"),
                      min_size=2, max_size=4))
def test_e21_compound_beats_are_beamed_as_music21_beams_them(beats):
    """E20, E21 against music21 10's makeBeams: 6/8, 9/8, 12/8, whatever is in the beats."""
    lengths = [length for one in beats for length in one]
    metre = f"{3 * len(beats)}/8"
    assert list(beam_groups(line_of(lengths), parse_meter(metre))) == groups_of(made_beams(lengths, metre))


@settings(CALM, max_examples=40)
@given(beats=st.lists(beats_of("4", "31", "121", "211", "112", "1111", "13"), min_size=2, max_size=4))
def test_e21_simple_beats_with_sixteenths_are_beamed_as_music21_beams_them(beats):
    """2/4, 3/4 and 4/4 where no beat is two plain eighths. There the conventions part: music21 beams eighths 2+2,
    ours 4 in a half bar and 6 in 3/4 (E20, both forms are published)."""
    lengths = [length for one in beats for length in one]
    metre = f"{len(beats)}/4"
    assert list(beam_groups(line_of(lengths), parse_meter(metre))) == groups_of(made_beams(lengths, metre))


def test_e21_eighths_in_two_two():
    """Both: the four of each half note."""
    lengths = [Fraction(1, 2)] * 8
    assert list(beam_groups(line_of(lengths), parse_meter("2/2"))) == groups_of(made_beams(lengths, "2/2"))


@pytest.mark.parametrize("beat", ["31", "121", "112", "211", "13"])
def test_e21_lesser_beams_and_hooks_are_music21s(beat):
    """E21: MusicXML 4.0 `beam`: level 2 and the side a lone one points to. Four plain sixteenths are left out:
    music21 parts their second beam in two pairs, ours goes through (common practice, no source)."""
    lengths = [Fraction(int(figure), 4) for figure in beat]
    theirs = made_beams(lengths * 4, "4/4")[:len(lengths)]
    counts = [flags_of(event.written.value) for event in line_of(lengths)]
    onsets = [sum(lengths[:place], Fraction(0)) for place in range(len(lengths))]
    runs = beam_runs(counts, [False] * len(counts), [(onset * 2).denominator != 1 for onset in onsets])
    ours = []
    for stem in range(len(counts)):
        mine = [run for run in runs if run.level == 2 and run.first <= stem <= run.last]
        ours.append([("partial", "right" if run.stub > 0 else "left") if run.stub else
                     ("start" if stem == run.first else "stop" if stem == run.last else "continue", None)
                     for run in mine])
    assert ours == [[(one.type, one.direction) for one in beams if one.number == 2] for beams in theirs]


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_signatures_name_the_letters_music21_names_in_the_same_order(fifths):
    """Order of sharps and flats; none stands outside the staff by more than a space (common practice)."""
    marks, _ = key_marks(Key(fifths), None, 0.0, BRAVURA)
    steps = ["CDEFGAB"[(34 - round(2 * (mark.y - 2))) % 7] for mark in sorted(marks, key=lambda mark: mark.x)]
    assert steps == [one.step for one in key.KeySignature(fifths).alteredPitches]
    assert all(-1 <= mark.y <= 4 for mark in marks)


@given(steps=st.lists(st.integers(14, 40), min_size=1, max_size=4, unique=True))
def test_e13_stems_go_where_music21_sends_them(steps):
    """E13, E15 against music21's Clef.getStemDirectionForPitches, on the printed pitch in a treble clef."""
    ours = [Pitch("CDEFGAB"[step % 7], 0, step // 7) for step in steps]
    theirs = [pitch.Pitch(f"{one.step}{one.octave + 1}") for one in ours]
    expected = clef.TrebleClef().getStemDirectionForPitches(theirs, extremePitchOnly=True)
    assert stem_goes_up([y_of(one) for one in ours]) is (expected == "up")


@given(name=st.sampled_from([f"{step}{octave}" for octave in (2, 3, 4, 5) for step in "CDEFGAB"]))
def test_heads_stand_where_music21_counts_them(name):
    """Staff positions by music21's diatonic note number under a treble clef an octave down."""
    lowest = clef.Treble8vbClef().lowestLine
    assert y_of(parse_pitch(name)) == 4 - (pitch.Pitch(name).diatonicNoteNum - lowest) / 2
