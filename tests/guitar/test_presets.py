"""Guitarists as TOML files, and what each setting does to a line."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.errors import BarglossError
from core.guitar import TUNINGS, finger, load_preset, parse_preset, preset_names
from core.study import Guitarist, Instrument
from tests.guitar.lines import events, frets, line, note, study, taken

FLAT_LINE = "Bb3 C4 D4 Eb4 F4 G4 Ab4 Bb4"


def test_the_guitarists_that_ship():
    assert "jazz" in preset_names()
    assert len({load_preset(name).guitarist for name in preset_names()}) == len(preset_names())
    assert all(load_preset(name).about for name in preset_names())
    assert load_preset("jazz").guitarist == Guitarist()


@pytest.mark.parametrize(("text", "words"), [
    ("picking = 'both'", "'both' is not a way of picking"), ("colour = 'red'", "has no 'colour'"),
    ("position = '3'", "wrong kind"), ("strings = [1, 'a']", "whole numbers"), ("strings = [2, 1]", "go in order"),
    ("position = ", "not a guitarist"), ("position = 40", "favourite position of 40"),
])
def test_a_file_at_fault_is_told(text, words):
    with pytest.raises(BarglossError, match=words) as error:
        parse_preset(text, "mine.toml")
    assert error.value.file == "mine.toml"


def test_there_is_no_such_guitarist():
    with pytest.raises(BarglossError, match="there is no guitarist"):
        load_preset("nobody")


def test_a_favourite_position_is_kept_to():
    for position in (3, 8, 12):
        result = finger(line(FLAT_LINE, tempo=160, guitarist=Guitarist(position=position)))
        assert all(abs(grip.position - position) <= 2 for grip in taken(result))


def test_open_strings_are_avoided_or_sought():
    scale = "E3 F#3 G3 A3 B3 C4 D4 E4"
    assert 0 not in frets(finger(line(scale, guitarist=Guitarist(open_strings="avoid"))))
    sought = frets(finger(line(scale, guitarist=Guitarist(open_strings="prefer", position=1))))
    assert sought.count(0) >= 3


def test_strings_are_kept_to_where_they_can_be():
    result = finger(line("C3 " + FLAT_LINE, guitarist=Guitarist(strings=(2, 3, 4))))
    assert taken(result)[0].string > 4
    assert {grip.string for grip in taken(result)[1:]} <= {2, 3, 4}


def test_a_small_hand_stretches_less():
    def stretches(span: str) -> int:
        result = finger(line("G2 A2 B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4", tempo=160, guitarist=Guitarist(span=span)))
        return sum(grip.finger > 0 and grip.fret != grip.position + grip.finger - 1 for grip in taken(result))

    assert stretches("small") <= stretches("normal") < stretches("wide")


def test_legato_strikes_less_than_strict():
    def struck(picking: str) -> int:
        result = finger(line("C4 D4 Eb4 F4 G4 F4 Eb4 D4", tempo=160, guitarist=Guitarist(picking=picking)))
        return sum(bool(event.stroke) for event in result.bars[0].events)

    assert struck("legato") <= 4
    assert struck("strict") == 8


def test_a_ghost_note_takes_no_stroke():
    whole = line("C4 D4 F4 G4")
    bar = whole.bars[0]
    quiet = replace(bar.events[1], notes=(replace(bar.events[1].notes[0], ghost=True),))
    whole = replace(whole, bars=(replace(bar, events=(bar.events[0], quiet, *bar.events[2:])),))
    played = finger(whole).bars[0].events
    assert played[1].stroke == played[1].technique == ""
    assert [played[place].stroke for place in (0, 2, 3)] == ["down", "down", "up"]


@pytest.mark.parametrize(("tuning", "low", "high"), [
    ("bass", 28, 65), ("seven-string", 35, 86), ("eight-string", 30, 86)])
def test_other_instruments_are_fingered_over_all_their_range(tuning, low, high):
    """Arithmetic: open lowest string to fret 22 of the highest."""
    row = events([(note(midi),) for midi in range(low, high + 1)])
    result = finger(study(row, instrument=Instrument(tuning=TUNINGS[tuning]), tempo=60))
    assert None not in taken(result)
    assert result.notices == ()
