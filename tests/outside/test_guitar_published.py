"""The neck and its fingering against published values (numbers as in the project's reference list)."""

from __future__ import annotations

import os
from dataclasses import replace
from itertools import product

import pytest

from core.guitar import TUNINGS, finger, fret_distance_mm, load_preset, out_of_range, places
from core.guitar.hands import layer_of
from core.guitar.neck import neck_of
from core.study import GUITAR, Guitarist, Instrument, NotePlace
from tests.guitar import brute
from tests.guitar.lines import frets, line, taken, with_note
from tests.guitar.test_fingering import assert_playable
from tests.outside.test_pages_of_tunes import on_the_neck, sample, tune

COUNT = 1000 if os.environ.get("BARGLOSS_ALL_TUNES") else 40


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


def test_the_frame_of_the_diagrams_tutorial():
    """T2, MusicXML Tutorial: Chord Symbols and Diagrams: frame x-5-5-4-3-0, strings 6 to 1, sounds D3 G3 B3 D4 E4."""
    whole = with_note(line("D3+G3+B3+D4+E4"), 0, string=5)
    assert [grip[:2] for grip in taken(finger(whole))] == [(5, 5), (4, 5), (3, 4), (2, 3), (1, 0)]


def test_the_vertices_of_a_three_note_fragment():
    """Radicioni & Lombardo 2005, Fig. 2: F2 D4 E3 to fret 12, places times four fingers: 4, 12, 12. Fingers that would
    put the hand behind the nut close up."""
    neck = Instrument(frets=12)
    hands = [layer_of((midi,), (), neck_of(neck), Guitarist()).hands for midi in (41, 62, 52)]
    vertices = [{hand[0][:3] for hand in options} for options in hands]
    assert [len(options) for options in vertices] == [4, 12, 12]
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


@pytest.mark.parametrize(("scale", "position"), [
    ("A2 B2 C#3 D3 E3 F#3 G#3 A3 B3 C#4 D4 E4 F#4 G#4 A4", 4), ("C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5", 7)])
def test_two_octaves_of_a_major_scale_in_one_position(scale, position):
    """G13, common practice: from finger 2 on string 6, up and back, the hand at rest."""
    names = scale.split()
    result = finger(line(" ".join(names + names[-2::-1]), tempo=160))
    assert {grip.position for grip in taken(result)} == {position}
    assert [grip.finger for grip in taken(result)][:15] == [2, 4, 1, 2, 4, 1, 3, 4, 1, 3, 4, 2, 4, 1, 2]
    assert [event.stroke for event in result.bars[0].events] == ["down", "up"] * 14 + ["down"]


@pytest.mark.parametrize(("notes", "strings", "strokes"), [
    ("F2 G2 A2 B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4", (6, 5, 4, 3, 2, 1), "down up down"),
    ("G2 A2 B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5", (6, 5, 4, 3, 2, 1), "down up down"),
    ("A2 B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5", (6, 5, 4, 3, 2, 1), "down up down"),
    ("B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5", (6, 5, 4, 3, 2, 1), "down up down"),
    ("E5 D5 C5 B4 A4 G4 F4 E4 D4 C4 B3 A3 G3 F3 E3 D3 C3 B2", (1, 2, 3, 4, 5, 6), "up down up"),
    ("C5 B4 A4 G4 F4 E4 D4 C4 B3 A3 G3 F3 E3 D3 C3 B2 A2 G2", (1, 2, 3, 4, 5, 6), "up down up")])
def test_three_notes_a_string_under_economy_picking(notes, strings, strokes):
    """G15, G16: ascending down up down on each string, descending up down up; a wide hand and this way of picking ask
    for three notes a string (G13: four of the seven patterns, the ones below the eighth fret)."""
    result = finger(line(notes, tempo=160, guitarist=load_preset("economy").guitarist))
    assert [grip.string for grip in taken(result)] == [string for string in strings for _ in range(3)]
    assert [event.stroke for event in result.bars[0].events] == strokes.split() * 6


def test_an_arpeggio_is_swept():
    """G15: one stroke across adjacent strings, one note each, down towards the higher strings and up towards the
    lower; alternate picking strikes the same notes by turns."""
    notes = "C4 E4 G4 C5 E5 C5 G4 E4 C4"
    swept = finger(line(notes, tempo=200, guitarist=load_preset("sweep").guitarist))
    assert [grip.string for grip in taken(swept)] == [4, 3, 2, 1, 1, 1, 2, 3, 4]
    assert [event.stroke for event in swept.bars[0].events] == ["down"] * 4 + ["up"] * 5
    assert [event.stroke for event in finger(line(notes, tempo=120)).bars[0].events] == ["down", "up"] * 4 + ["down"]


def test_a_mixture_sweeps_an_arpeggio_and_alternates_a_scale():
    """Common practice, no source: by the beat, but one stroke across neighbouring strings of one note each."""
    who = load_preset("alternate-sweep").guitarist
    swept = finger(line("C4 E4 G4 C5 G4 E4 C4", tempo=120, guitarist=who))
    assert [event.stroke for event in swept.bars[0].events][:4] == ["down"] * 4
    scale = finger(line("C4 D4 Eb4 F4 G4 F4 Eb4 D4 C4", tempo=120, guitarist=who))
    assert [event.stroke for event in scale.bars[0].events] == ["down", "up"] * 4 + ["down"]


def test_a_mixture_of_economy_and_legato():
    """Common practice, no source: it slurs more than economy alone, and less than legato."""
    notes = "C4 D4 Eb4 F4 G4 F4 Eb4 D4 C4 Bb3 A3 G3 F3 G3 A3 C4"
    slurred = [sum(bool(event.technique) for event in finger(line(
        notes, tempo=200, guitarist=load_preset(name).guitarist)).bars[0].events)
        for name in ("economy", "economy-legato", "legato")]
    assert slurred[0] < slurred[1] < slurred[2]


def test_the_smallest_hardest_move_is_a_bound_for_ours():
    """Hori & Sagayama, ISMIR 2016: of two paths the one that is cheapest in sum costs no more in sum than any other,
    here than the one of the smallest largest step, found by walking every path of a short line."""
    whole = line("D4 F4 A4", instrument=Instrument(frets=12), tempo=160)
    steps = brute.steps(whole)
    paths = product(*(brute.hands(step.event, whole.instrument) for step in steps))
    ways = ("down", "up", "down")
    hardest = min(paths, key=lambda path: max(brute.move_cost(a, b, step.time, step.begins, whole.instrument)
                                              + brute.hand_cost(b, 0, Guitarist())
                                              for a, b, step in zip(path, path[1:], steps[1:], strict=False)))
    assert finger(whole).cost <= brute.total_cost(whole, list(hardest), list(ways))


def test_slurs_are_proposed_off_the_beat_into_the_beat_where_it_is_fast():
    """Common practice, no source: at 200 the eighths of a line are struck on the off-beat and slurred into the beat;
    at 100 every one is struck, and so is every one of who always strikes."""
    notes = "C4 D4 Eb4 D4 C4 Bb3 C4 D4"
    slurred = [place for place, event in enumerate(finger(line(notes, tempo=220)).bars[0].events) if event.technique]
    assert slurred
    assert all(place % 2 == 0 for place in slurred)
    for tempo, who in ((100, Guitarist()), (220, Guitarist(picking="strict"))):
        events = finger(line(notes, tempo=tempo, guitarist=who)).bars[0].events
        assert [event.technique for event in events] == [""] * 8


@pytest.mark.parametrize("name", sample(COUNT))
def test_folk_tunes_are_playable(name):
    """music21's corpus, open half: moved as proposed, every note on the neck has a place a hand can take in time, but
    for the lowest of a cluster no hand can hold, which is told."""
    whole = on_the_neck(tune(name))
    for who in (Guitarist(), load_preset("economy").guitarist):
        result = finger(replace(whole, guitarist=who))
        missing = {NotePlace(bar, place, head) for bar, row in enumerate(result.bars)
                   for place, event in enumerate(row.events) for head, grip in enumerate(event.notes) if grip is None}
        assert missing == {*out_of_range(whole), *(place for place, _ in result.notices)}
        assert all(sentence.endswith("it is left out of the tab") for _, sentence in result.notices)
        assert_playable(whole, result)
