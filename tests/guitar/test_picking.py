"""Strokes by the place in the meter; slurs into hammer-ons, pull-offs and slides."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from core.guitar import finger
from core.study import Bar, Event, Meter, Note, NotePlace, Study, Tuplet, edits
from tests.guitar.lines import events, line, note, study, with_note


def strokes(whole: Study) -> str:
    """D, U, . for none; h, p, s for techniques."""
    return "".join((event.technique or {"down": "D", "up": "U", "": "."}[event.stroke])[0]
                   for bar in finger(whole).bars for event in bar.events)


def measure(lengths: str, meter: Meter = Meter(), **own: object) -> Study:  # noqa: B008  (frozen)
    """One bar of D4s (r a rest) of these lengths in quarters."""
    row, at = [], Fraction(0)
    for word in lengths.split():
        length = Fraction(word.strip("r"))
        row.append(Event(at, length, () if "r" in word else (note("D4"),)))
        at += length
    return Study(bars=(Bar(tuple(row), **own),), meter=meter)


@pytest.mark.parametrize(("lengths", "meter", "expected"), [
    ("1/2 1/2 1/2 1/2 1/2 1/2 1/2 1/2", Meter(), "DUDUDUDU"),                 # G17, common practice
    ("1 1/2 1/2 1/2r 1/2 1/2r 1/2", Meter(), "DDU.U.U"),                        # G17, common practice
    ("1/4 1/4 1/4 1/4 1/2 1/4 1/4 3/4 1/4 1", Meter(), "DUDUDDUDUD"),           # sixteenths: common practice
    ("1/2 1/2 1/2 1/2 1/2 1/2", Meter((6,), 8), "DUDDUD"),                      # common practice
    ("1/2 3/2 1/2 3/2", Meter(), "DUDU"),                                       # common practice
], ids=["eighths", "off-beats", "sixteenths", "six-eight", "syncopation"])
def test_strokes_go_by_the_place_in_the_meter(lengths, meter, expected):
    assert strokes(measure(lengths, meter)) == expected


def test_triplets_alternate_from_the_beat():
    """Common practice, no source."""
    third = Fraction(1, 3)
    row = tuple(Event(place * third, third, (note("D4"),), (Tuplet(3, 2, place % 3 == 0),)) for place in range(6))
    assert strokes(study(row)) == "DUDDUD"


def test_a_pickup_is_counted_back_from_the_barline():
    """An eighth before the bar is off the beat."""
    pickup = Bar(events([(note("D4"),)]), length=Fraction(1, 2))
    assert strokes(replace(measure("1 1 1 1"), bars=(pickup, measure("1 1 1 1").bars[0]))) == "UDDDD"


def test_the_teachers_own_stroke_stays():
    whole = measure("1/2 1/2 1/2 1/2 2")
    bar = whole.bars[0]
    row = (bar.events[0], replace(bar.events[1], stroke="down"), *bar.events[2:])
    assert strokes(replace(whole, bars=(replace(bar, events=row),))) == "DDDUD"


def test_a_stroke_of_the_teachers_keeps_a_proposed_slur_away():
    whole = line("C4 D4 Eb4 D4 C4 Bb3 C4 D4", tempo=220)
    proposed = [place for place, event in enumerate(finger(whole).bars[0].events) if event.technique]
    assert proposed
    for place in proposed:
        for stroke in ("down", "up"):
            played = finger(edits.set_stroke(whole, NotePlace(0, place), stroke)).bars[0].events[place]
            assert (played.stroke, played.technique) == (stroke, "")


def test_a_slur_on_one_string_is_hammered_and_pulled():
    """G18, MusicXML `hammer-on` and `pull-off`: higher on the string, lower on the string."""
    whole = with_note(line("C4 D4 Eb4 D4", {0: "start", 3: "stop"}), 0, string=3)
    assert strokes(whole) == "Dhhp"


def test_a_slur_across_strings_is_struck():
    """G18: a slur across strings is not a left-hand legato."""
    whole = with_note(with_note(line("C4 F4", {0: "start", 1: "stop"}), 0, string=3), 1, string=1)
    assert strokes(whole) == "DU"


def test_one_finger_under_a_slur_slides():
    whole = line("C4 D4", {0: "start", 1: "stop"})
    for place, fret in ((0, 5), (1, 7)):
        whole = with_note(whole, place, string=3, fret=fret, finger=2)
    assert strokes(whole) == "Ds"


def test_a_slur_goes_on_over_the_barline_and_ends_where_it_says():
    first = events([(Note(note("C4").pitch, string=3),)], slurs={0: "start"})
    second = events([(note("D4", string=3),), (note("Eb4", string=3),)], slurs={0: "stop"})
    assert strokes(study(first, second)) == "UhU"  # the first bar, shorter than its meter, is a pickup
