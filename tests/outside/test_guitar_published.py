"""The neck and its fingering against published values (numbers as in the project's reference list)."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from fractions import Fraction

import pytest
from music21 import corpus

from core.guitar import TUNINGS, finger, fret_distance_mm, octave_proposal, out_of_range, places
from core.study import GUITAR, Bar, Event, Instrument, Study
from tests.guitar import brute
from tests.guitar.lines import frets, line, note, taken, with_note
from tests.guitar.test_fingering import assert_playable


def test_standard_tuning():
    """G1: MusicXML 4.0 Tutorial: Tablature; Radicioni & Lombardo, ICMC 2005, Fig. 1."""
    assert [pitch.midi for pitch in TUNINGS["standard"]] == [40, 45, 50, 55, 59, 64]
    assert TUNINGS["standard"] == GUITAR


def test_open_strings_in_hertz():
    """G2: f = 440 x 2^((m-69)/12)."""
    hertz = [round(440 * 2 ** ((pitch.midi - 69) / 12), 3) for pitch in TUNINGS["standard"]]
    assert hertz == [82.407, 110.000, 146.832, 195.998, 246.942, 329.628]


def test_every_tuning_rises_and_fits_an_instrument():
    """Common practice, no source: low to high, at least four strings."""
    for name, tuning in TUNINGS.items():
        assert [p.midi for p in tuning] == sorted(p.midi for p in tuning), name
        assert Instrument(tuning=tuning)


def test_frets_halve_the_string():
    """G6: nut to fret n = L (1 - 2^(-n/12)), L = 648 mm."""
    table = {1: 36.37, 3: 103.10, 5: 162.55, 7: 215.51, 12: 324.00, 19: 431.76, 24: 486.00}
    assert {fret: round(fret_distance_mm(fret), 2) for fret in table} == table


def test_the_places_of_one_pitch():
    """G8: E4 in Radicioni & Lombardo 2005, Fig. 1, and by arithmetic to fret 24."""
    assert places(64, Instrument(frets=14)) == ((1, 0), (2, 5), (3, 9), (4, 14))
    assert places(64, Instrument(frets=24)) == ((1, 0), (2, 5), (3, 9), (4, 14), (5, 19), (6, 24))


@pytest.mark.parametrize(("frets", "cells", "pitches", "most"), [(12, 78, 37, 3), (22, 138, 47, 5), (24, 150, 49, 6)])
def test_how_many_places_a_neck_has(frets, cells, pitches, most):
    """G8, arithmetic (150 = 6 x 25)."""
    counts = [len(places(midi, Instrument(frets=frets))) for midi in range(128)]
    assert (sum(counts), sum(count > 0 for count in counts), max(counts)) == (cells, pitches, most)


@pytest.mark.parametrize(("frets", "highest"), [(22, 86), (24, 88)])
def test_the_sounding_range(frets, highest):
    """G9."""
    reach = [midi for midi in range(128) if places(midi, Instrument(frets=frets))]
    assert (reach[0], reach[-1], len(reach)) == (40, highest, highest - 39)


def test_a_capo_moves_every_string_and_tab_counts_from_it():
    """Common practice, no source."""
    neck = Instrument(frets=22, capo=3)
    assert places(43, neck) == ((6, 0),)
    assert places(40, neck) == ()
    assert max(place.fret for place in places(86, neck)) == 19


def test_the_tablature_tutorial():
    """T1, MusicXML Tutorial: Tablature. String 3, frets 5 7 8 7 5; one slur over the first two notes, one over
    the last three; hammer-on 5-7, pull-offs 8-7 and 7-5."""
    whole = line("C4 D4 Eb4 D4 C4", {0: "start", 1: "stop", 2: "start", 4: "stop"})
    for study in (whole, with_note(whole, 0, string=3)):
        result = finger(study)
        assert [grip[:2] for grip in taken(result)] == [(3, 5), (3, 7), (3, 8), (3, 7), (3, 5)]
        assert [event.technique for event in result.bars[0].events] == ["", "hammer-on", "", "pull-off", "pull-off"]


def test_the_vertices_of_a_three_note_fragment():
    """Radicioni & Lombardo 2005, Fig. 2: F2 D4 E3 to fret 12, places times four fingers: 4, 12, 12.

    Of these we leave out fingers that would put the hand behind the nut: at fret 1 all but the index, at fret 2
    the ring and little finger, at fret 3 the little finger."""
    neck = Instrument(frets=12)
    counts = [4 * len([place for place in places(midi, neck) if place.fret]) for midi in (41, 62, 52)]
    assert counts == [4, 12, 12]
    vertices = [{(hand[0].string, hand[0].fret, hand[0].finger) for hand in brute.hands(event, neck)}
                for event in line("F2 D4 E3").bars[0].events]
    assert [len(options) for options in vertices] == [4 - 3, 12 - 1, 12 - 2]
    result = taken(finger(line("F2 D4 E3", instrument=neck)))
    assert all(grip[:3] in options for grip, options in zip(result, vertices, strict=True))


def test_a_major_scale_in_second_position():
    """G13, common practice: one octave of G and back, from finger 2 on string 6, no stretch."""
    scale = line("G2 A2 B2 C3 D3 E3 F#3 G3 F#3 E3 D3 C3 B2 A2 G2", tempo=160)
    result = finger(with_note(scale, 0, finger=2))
    assert [grip.finger for grip in taken(result)][:8] == [2, 4, 1, 2, 4, 1, 3, 4]
    assert {grip.position for grip in taken(result)} == {2}
    assert frets(result)[:8] == [3, 5, 2, 3, 5, 2, 4, 5]


def test_a_chromatic_run_goes_finger_by_finger():
    """Common practice, no source: each finger in turn, four frets a string, then the next string."""
    result = finger(line("F3 F#3 G3 G#3 A3 Bb3 B3 C4 C#4 D4 Eb4 E4", tempo=160))
    fingers = [grip.finger for grip in taken(result)]
    assert fingers == [1, 2, 3, 4] * 3


def test_a_phrase_costs_the_same_to_play_up_a_fret_where_nothing_is_open():
    """Moved a semitone within the home positions, the same shape of hand is found (arithmetic)."""
    low = finger(line("C4 Eb4 G4 Bb4 Ab4 G4 F4 Eb4", tempo=160))
    high = finger(line("C#4 E4 G#4 B4 A4 G#4 F#4 E4", tempo=160))
    assert [(g.string, g.finger, g.fret + 1) for g in taken(low)] == [(g.string, g.finger, g.fret) for g in taken(high)]


def open_tunes(count: int) -> list[str]:
    """The first open items of the corpus's fiddle tunes: the first byte of sha256(id) is even."""
    names = sorted(f"ryansMammoth/{path.name}" for path in corpus.getComposer("ryansMammoth"))
    chosen = [name for name in names if hashlib.sha256(name.encode()).digest()[0] % 2 == 0]
    return chosen[:: len(chosen) // count][:count]


def as_study(name: str) -> Study:
    """Pitches and rests of a tune, an event each, whatever its bars (the importer has tests of its own)."""
    row, at = [], Fraction(0)
    for element in corpus.parse(name).parts[0].flatten().notesAndRests:
        length = Fraction(element.quarterLength).limit_denominator(64)
        if length > 0:
            pitches = sorted({pitch.midi for pitch in element.pitches})
            row.append((tuple(note(midi) for midi in pitches), length))
    bars = []
    for start in range(0, len(row), 8):
        events, at = [], Fraction(0)
        for notes, length in row[start:start + 8]:
            simple = length if length.denominator in (1, 2, 4) and length.numerator in (1, 2, 3, 4) else Fraction(1, 2)
            events.append(Event(at, simple, notes))
            at += simple
        bars.append(Bar(tuple(events), length=at))
    return Study(bars=tuple(bars), tempo=180)


@pytest.mark.parametrize("name", open_tunes(50))
def test_fiddle_tunes_are_playable(name):
    """music21's corpus, open half: moved as proposed, every note has a place a hand can take."""
    whole = as_study(name)
    octaves = octave_proposal(whole).octaves
    moved = replace(whole, bars=tuple(
        replace(bar, events=tuple(replace(event, notes=tuple(note(head.pitch.midi + 12 * octaves)
                                                             for head in event.notes)) for event in bar.events))
        for bar in whole.bars))
    assert out_of_range(moved) == ()
    result = finger(moved)
    assert None not in taken(result)
    assert result.notices == ()
    assert_playable(moved, result)
