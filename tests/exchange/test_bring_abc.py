"""Hand-made ABC against what the standard (ABC 2.1) says it means."""

from __future__ import annotations

from fractions import Fraction

import pytest

from core.errors import BarglossError
from core.exchange.choice import ChoiceNeeded
from core.exchange.tunes import tunes_of
from core.line import analyse
from core.study import Change, Key, Meter, Tuplet
from tests.exchange.sources import brought, sounded

HEAD = "X:1\nT:Rowan Gate\nC:A. Nobody\nM:4/4\nL:1/4\nQ:1/4=96\nK:Dm\n"


def read(body: str, head: str = HEAD, part: int | None = None):
    return brought("abc", (head + body).encode(), part)


def test_the_header_names_the_study():
    study = read("DEFG|").study
    assert (study.title, study.tune, study.tempo) == ("Rowan Gate", "Rowan Gate (A. Nobody)", 96)
    assert (study.key, study.meter) == (Key(-1, "minor"), Meter())


def test_bars_keep_their_own_length_and_no_meter_is_made_up():
    """ABC 2.1, section 4: bars are where the barlines are. music21's score would split and re-meter these."""
    got = read("A|DEFG|DEFGA|DE|DEFG|")
    assert [bar.length for bar in got.study.bars] == [1, None, 5, 2, None]
    assert [bar.meter for bar in got.study.bars] == [None] * 5
    assert got.study.in_force[0].number == 0
    assert "Bars not as long as their meter, kept so: bars 2-3." in got.notices


def test_quoted_words_that_are_no_chord_symbols_stand_as_they_are():
    """And take their notes' degrees away: they are not read against the chord before."""
    got = read('"Dm7"D"2"E "Am/c"FG|"Fine"D "^soft"E "D/f+"F ">"G|')
    assert got.study.bars[0].changes == (Change(Fraction(0), "Dm7"), Change(Fraction(2), "Am/C"))
    assert got.study.bars[1].changes == (Change(Fraction(0), "Fine"), Change(Fraction(2), "D/F#"))
    assert 'Not read as chord symbols, so they stand as they are and give no degrees: "Fine" (bar 2).' in got.notices
    assert 'Not read as chord symbols and left out: "2" (bar 1).' in got.notices
    heads = [note.chord for event in analyse(got.study).bars[1].notes for note in event]
    assert [chord is None for chord in heads] == [True, True, False, False]
    assert "Words in the music left out: bar 2." in got.notices
    assert len(sounded(got.study)) == 8  # none lost under a quoted text


def test_ties_slurs_triplets_graces_and_accidentals():
    got = read("(DE) (3:2:3F/2G/2^A/2 B-|{c}B2 [DA]2|")
    first, second = got.study.bars
    assert [event.slur for event in first.events] == ["start", "stop", "", "", "", ""]
    assert [event.tuplets for event in first.events[2:5]] == [
        (Tuplet(3, 2, starts),) for starts in (True, False, False)]
    assert first.events[4].notes[0].pitch.name == "A#4"
    assert first.events[5].notes[0].pitch.name == "Bb4"  # the key's flat
    # The tie reaches its note only past a grace note, so it is told, not kept.
    assert second.events[0].grace
    assert [note.pitch.name for note in second.events[2].notes] == ["D4", "A4"]


def test_a_tie_over_the_barline():
    got = read("D2 E2-|E2 F2|")
    assert sounded(got.study)[1] == (2, 6, (64,))


def test_repeats_endings_and_parts():
    got = read("P:A\n|:DEFG|1 DEFG:|2 GFED||", HEAD)
    bars = got.study.bars
    assert [(bar.repeat_start, bar.repeat_end, bar.ending) for bar in bars] == [
        (True, 0, ""), (False, 2, "1"), (False, 0, "2")]
    assert (bars[0].rehearsal, bars[2].barline) == ("A", "double")


def test_meter_and_key_change_where_the_file_says():
    got = read("DEFG|\nM:C|\nK:A\nA2c2|\nM:none\nABc|")
    assert got.study.bars[1].meter == Meter((2,), 2, "cut")
    assert got.study.bars[1].key == Key(3)
    assert "A passage without a meter keeps the meter before it: bar 3." in got.notices


def test_several_tunes_ask_which():
    two = HEAD + "DEFG|\n\nX:7\nT:Slow Fold\nM:3/4\nL:1/4\nK:G\nGAB|\n"
    with pytest.raises(ChoiceNeeded) as asked:
        read("", two)
    assert str(asked.value) == "2 tunes: 1 Rowan Gate, 7 Slow Fold; say which with --part N"
    assert read("", two, 7).study.title == "Slow Fold"
    with pytest.raises(BarglossError, match="there is no tune 2"):
        read("", two, 2)


def test_the_first_voice_is_taken():
    got = read("V:1\nDEFG|\nV:2\nD,4|\nV:1\nGFED|\n")
    assert [keys for _, _, keys in sounded(got.study)] == [(62,), (64,), (65,), (67,), (67,), (65,), (64,), (62,)]
    assert "Other voices left out: 2." in got.notices


def test_lengths_default_to_eighths():
    """ABC 2.1, section 3.1.7, for a tune of neither meter nor unit length."""
    got = read("D2|", "X:1\nK:C\n")
    assert got.study.bars[0].events[0].duration == 1


@pytest.mark.parametrize(("text", "numbers"), [
    ("X:3\nK:C\nC|\nX: 5\nT:x\nK:C\nC|\n", [3, 5]), ("X:3\nT:no key\nX:4\nK:C\nC|", [4]), ("K:C\nC|", [1]),
    ("words", [])])
def test_tunes_are_found_by_their_numbers(text, numbers):
    assert list(tunes_of(text)) == numbers


@pytest.mark.parametrize(("body", "what"), [
    ("C99999|", "a length of 99999"), ("[M:999/4]C|", "1 to 64 beats"), ("|", "no notes"), ("(0CC|", "not whole ABC"),
    ("C" + "," * 50 + "|", "no pitch that can be written")])
def test_what_is_no_music_is_told(body, what):
    with pytest.raises(BarglossError, match=what):
        read(body)


def test_a_slur_whose_end_is_missed_is_left_out():
    """ABC 2.1 lets a slur and a triplet open together, `((3`; music21 reads two slurs there and closes one."""
    got = read("(DE)FG|((3DEF) GAB|" + "DEFG|" * 6)
    marks = [[event.slur for event in bar.events] for bar in got.study.bars]
    assert marks[0][:2] == ["start", "stop"]
    assert not any(any(bar) for bar in marks[1:])
    assert any(notice.startswith("Slurs that never seem to end left out: bar") for notice in got.notices)
