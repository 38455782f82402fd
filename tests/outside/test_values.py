"""Pitches, keys, meters and written values against music21, read as a second opinion."""

from __future__ import annotations

from fractions import Fraction

import pytest
from music21 import duration, key, meter, pitch

from core.study import MODES, Event, Key, Pitch, Tuplet, parse_meter, written

TYPES = {Fraction(8): "breve", Fraction(4): "whole", Fraction(2): "half", Fraction(1): "quarter",
         Fraction(1, 2): "eighth", Fraction(1, 4): "16th", Fraction(1, 8): "32nd", Fraction(1, 16): "64th",
         Fraction(1, 32): "128th", Fraction(1, 64): "256th"}


@pytest.mark.parametrize("dots", range(4))
@pytest.mark.parametrize("value", TYPES)
def test_written_values_last_as_long(value, dots):
    """music21.duration: type and dots to quarter length, and our way back."""
    theirs = duration.Duration(type=TYPES[value], dots=dots)
    assert written(Fraction(theirs.quarterLength)) == (value, dots)


@pytest.mark.parametrize("ratio", [(3, 2), (5, 4), (7, 4), (7, 8), (2, 3), (9, 8)])
def test_tuplets_last_as_long(ratio):
    theirs = duration.Duration(type="eighth")
    theirs.appendTuplet(duration.Tuplet(*ratio, "eighth"))
    length = Fraction(theirs.quarterLength)
    assert Event(Fraction(0), length, tuplets=(Tuplet(*ratio, True),)).written == (Fraction(1, 2), 0)


@pytest.mark.parametrize("octave", [0, 4, 8])
@pytest.mark.parametrize("alter", range(-2, 3))
@pytest.mark.parametrize("step", "CDEFGAB")
def test_pitches_have_the_same_key_number_and_place(step, alter, octave):
    ours = Pitch(step, alter, octave)
    theirs = pitch.Pitch(step=step, octave=octave, accidental=alter)
    assert ours.midi == theirs.ps  # .midi of music21 folds what lies outside 0 to 127
    assert ours.diatonic == theirs.diatonicNoteNum - 1  # they count C0 as 1
    assert ours.pitch_class.chroma == theirs.pitchClass


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("fifths", range(-7, 8))
def test_keys_have_the_same_tonic_and_signs(fifths, mode):
    signature = key.KeySignature(fifths)
    theirs = signature.asKey(mode).tonic
    ours = Key(fifths, mode)
    assert (ours.tonic.step, ours.tonic.alter) == (theirs.step, theirs.alter)
    for step in "CDEFGAB":
        sign = signature.accidentalByStep(step)
        assert ours.alter_of(step) == (0 if sign is None else sign.alter)


@pytest.mark.parametrize("text", ["4/4", "3/4", "2/2", "6/8", "9/8", "12/8", "5/4", "3+2/8", "2+2+3/8", "1/16"])
def test_meters_last_as_long(text):
    assert parse_meter(text).length == meter.TimeSignature(text).barDuration.quarterLength


@pytest.mark.parametrize("text", ["4/4", "3/4", "2/4", "2/2", "6/8", "9/8", "12/8", "3+2/8", "2+2+3/8"])
def test_felt_beats_are_the_same(text):
    """music21's beats, where it too takes compound meters in dotted beats."""
    theirs = meter.TimeSignature(text)
    count = theirs.beatCount
    starts = [Fraction(theirs.getOffsetFromBeat(beat + 1)) for beat in range(count)]
    assert list(parse_meter(text).beats) == starts
