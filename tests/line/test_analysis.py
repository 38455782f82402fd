"""Degrees, readings and roles of a study's notes. Roles are common practice, no source, but for the
neighbour (Open Music Theory, "Embellishing tones")."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.harmony import parse_chord
from core.line import analyse, shown_degree
from core.study import Bar, Change, Event, Key, Meter, Note, Reading, Study, parse_pitch
from tests.strategies import CALM, studies

EIGHTH = Fraction(1, 2)
C_MAJOR = Key()


def bar(notes: str, *changes: tuple[int, str], length: Fraction = EIGHTH, **more: object) -> Bar:
    """Notes of one length; `-` a rest, a trailing `~` a tie."""
    events = []
    for place, name in enumerate(notes.split()):
        heads = () if name == "-" else (Note(parse_pitch(name.rstrip("~")), tie=name.endswith("~")),)
        events.append(Event(place * length, length, heads))
    return Bar(tuple(events), tuple(Change(Fraction(offset), symbol) for offset, symbol in changes),
               length=len(events) * length, **more)


def study(*bars: Bar, key: Key = C_MAJOR) -> Study:
    return Study(bars=bars, key=key, meter=Meter((4,)))


def roles(*bars: Bar, key: Key = C_MAJOR) -> list[str]:
    return [note.role for one in analyse(study(*bars, key=key)).bars for event in one.notes for note in event]


def degrees(*bars: Bar, key: Key = C_MAJOR) -> str:
    return " ".join(note.chord.name if note.chord else "." for one in analyse(study(*bars, key=key)).bars
                    for event in one.notes for note in event)


def test_degrees_follow_the_chord_in_force_over_the_barline():
    assert degrees(bar("Eb4 Eb4 Eb4 Eb4", (1, "C-7")), bar("Eb4 Eb4", (0, "C7")), bar("Eb4 Eb4 Eb4", (1, "%"))) == (
        ". . b3 b3 #9 #9 #9 #9 #9")


@pytest.mark.parametrize("symbol", ["N.C.", "C7z"])
def test_no_chord_and_a_symbol_that_cannot_be_read_give_no_degree(symbol):
    found = analyse(study(bar("E4", (0, "C7")), bar("E4 E4", (0, symbol)))).bars[1]
    assert [(note.chord, note.role, note.key.name) for event in found.notes for note in event] == [
        (None, "no chord", "3")] * 2
    assert found.chords[0].chord is None


def test_a_reading_ends_at_a_blank_one_or_with_the_bar():
    readings = (Reading(Fraction(1), "Db7"), Reading(Fraction(2), ""), Reading(Fraction(3), "key of Eb major"))
    found = analyse(study(bar("F4 F4 F4 F4", (0, "G7"), length=Fraction(1), readings=readings), bar("F4"))).bars
    assert [note.reading.name if note.reading else "" for one in found for event in one.notes for note in event] == [
        "", "3", "", "2", ""]
    assert [(span.offset, span.stop, span.harmony) for span in found[0].readings] == [
        (1, 2, "Db7"), (3, 4, "key of Eb major")]


def test_the_teachers_own_degree_is_shown():
    found = analyse(study(bar("Eb4", (0, "C7")))).bars[0].notes[0][0]
    note = Note(parse_pitch("Eb4"))
    assert shown_degree(note, found) == "#9"
    assert shown_degree(replace(note, degree="b3"), found) == "b3"
    assert shown_degree(note, replace(found, chord=None)) == ""


def test_chord_spans_say_what_was_carried_in():
    found = analyse(study(bar("E4", (0, "C7")), bar("E4 E4 E4 E4", (1, "F7")))).bars[1].chords
    assert [(span.offset, span.symbol, span.carried) for span in found] == [(0, "C7", True), (1, "F7", False)]
    assert found[1].chord == parse_chord("F7")


CASES = {
    "chord tones": ("C4 E4 G4 Bb4", "C7", "chord tone|chord tone|chord tone|chord tone"),
    "tensions of a major seventh": ("D4 F#4 A4 B4", "C△7", "tension|tension|tension|chord tone"),
    "altered tones left by leap": ("Db4 G4 Ab4 E5 Eb5 G4 F#4 C5", "C7",
                                   "altered tone|chord tone|altered tone|chord tone|altered tone|chord tone|"
                                   "altered tone|chord tone"),
    "flat nine falls to the root": ("E4 Db4 C4 -", "C7", "chord tone|altered tone|chord tone"),
    "chromatic line through a dominant": ("E4 F4 F#4 G4", "C7", "chord tone|tension|passing half step|chord tone"),
    "chromatic line over alt stays altered": ("D4 Eb4 E4 -", "C7alt", "tension|altered tone|chord tone"),
    "major seventh between flat seven and root": ("Bb4 B4 C5 -", "C7", "chord tone|passing half step|chord tone"),
    "half step by leap": ("G4 B3 C4 -", "C7", "chord tone|approach note|chord tone"),
    "step then half step": ("Bb4 Ab4 G4 -", "C△7", "altered tone|passing half step|chord tone"),
    "neighbour": ("E4 D#4 E4 -", "C△7", "chord tone|neighbour|chord tone"),
    "upper neighbour": ("E4 F4 E4 -", "C△7", "chord tone|neighbour|chord tone"),
    "eleven under a thirteen": ("C4 F4 A4 D5", "C13", "chord tone|tension|chord tone|chord tone"),
    "eleven of an eleventh chord": ("C4 F4", "C11", "chord tone|chord tone"),
    "whole step to a chord tone": ("C5 E4 Gb4 -", "Cø7", "chord tone|approach note|chord tone"),
}


@pytest.mark.parametrize(("notes", "symbol", "expected"), CASES.values(), ids=CASES)
def test_roles(notes, symbol, expected):
    assert "|".join(roles(bar(notes, (0, symbol)))) == expected


def test_a_resolution_counts_by_the_chord_it_falls_on():
    """B over C- leads by half step to C, which is a tone of F7 but none of G7."""
    assert roles(bar("G4 B4", (0, "C-7")), bar("C5", (0, "F7")))[1] == "approach note"
    assert roles(bar("G4 B4", (0, "C-7")), bar("C5", (0, "G7")))[1] == "tension"


def test_a_long_or_tied_note_does_not_pass():
    assert roles(bar("G4 B3 C4", (0, "C7"), length=Fraction(1)))[1] == "approach note"
    assert roles(bar("G4 B3 C4", (0, "C7"), length=Fraction(2)))[1] == "tension"


def test_a_note_held_under_a_second_does_not_pass_into_it():
    first = bar("G4 B3~", (0, "C7"))
    both = Event(Fraction(0), EIGHTH, (Note(parse_pitch("B3")), Note(parse_pitch("C4"))))
    assert roles(first, Bar((both,), length=EIGHTH))[1:] == ["tension", "tension", "chord tone"]


def test_a_note_held_into_a_new_chord_is_judged_by_it():
    into = bar("A4 B4", (0, "Bb△7"))
    assert roles(bar("G4 A4~", (0, "C7")), into) == ["chord tone", "tension", "chord tone", "tension"]
    assert roles(bar("G4 A4", (0, "C7")), bar("A4 B4", (0, "Bb△7")))[2] == "chord tone"


def test_a_rest_of_more_than_a_quarter_parts_the_notes():
    assert roles(bar("G4 B3 - - C4", (0, "C7")))[1] == "approach note"
    assert roles(bar("G4 B3 - - - C4", (0, "C7")))[1] == "tension"
    assert roles(bar("G4 B3 - -", (0, "C7")), bar("C4"))[1] == "approach note"
    assert roles(bar("G4 B3 - -", (0, "C7")), bar("- C4"))[1] == "tension"


@settings(CALM, max_examples=60)
@given(studies())
def test_every_head_has_its_analysis(one):
    found = analyse(one)
    assert len(found.bars) == len(one.bars)
    for done, here in zip(found.bars, one.bars, strict=True):
        assert [len(notes) for notes in done.notes] == [len(event.notes) for event in here.events]
    assert analyse(one, found).bars == found.bars


def _six_bars() -> Study:
    return study(*(bar(f"C4 {third} G4 B4", (0, "C△7"), comment=str(place))
                   for place, third in enumerate(["E4", "Eb4", "E4", "F4", "E4", "D4"])))


def _kept(old: Study, new: Study) -> list[bool]:
    before = analyse(old)
    after = analyse(new, before)
    assert after == analyse(new)
    return [a is b for a, b in zip(before.bars, after.bars, strict=True)]


def _with_bar(one: Study, index: int, changed: Bar) -> Study:
    return replace(one, bars=(*one.bars[:index], changed, *one.bars[index + 1:]))


def test_an_edit_inside_a_bar_keeps_every_other_bar():
    one = _six_bars()
    edited = _with_bar(one, 2, bar("C4 F#4 G4 B4", (0, "C△7")))
    assert _kept(one, edited) == [True, True, False, True, True, True]


def test_an_edit_at_the_edge_of_a_bar_renews_its_neighbour_too():
    one = _six_bars()
    assert _kept(one, _with_bar(one, 2, bar("A4 E4 G4 B4", (0, "C△7")))) == [True, False, False, True, True, True]
    assert _kept(one, _with_bar(one, 2, bar("C4 E4 G4 A4", (0, "C△7")))) == [True, True, False, False, True, True]


def test_a_chord_renews_the_bars_it_is_carried_into():
    one = study(bar("C4 E4", (0, "C7")), bar("C4 E4"), bar("C4 E4"), bar("C4 E4", (0, "C7")), bar("C4 E4"))
    assert _kept(one, _with_bar(one, 0, bar("C4 E4", (0, "C9")))) == [False, False, False, True, True]


def test_a_key_renews_every_bar_under_it():
    one = _six_bars()
    assert _kept(one, replace(one, key=Key(1))) == [False] * 6


def test_a_bar_put_in_keeps_the_bars_that_move():
    one = _six_bars()
    before = analyse(one)
    after = analyse(replace(one, bars=(one.bars[0], bar("C4 A4 G4 B4", (0, "C△7")), *one.bars[1:])), before)
    assert [after.bars[0], *after.bars[2:]] == list(before.bars)
    assert all(a is b for a, b in zip(after.bars[2:], before.bars[1:], strict=True))
