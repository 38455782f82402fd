"""The MIDI writer against the standard's own table and two readers, music21 and partitura."""

from __future__ import annotations

import warnings
from fractions import Fraction

import music21
import pytest
from hypothesis import HealthCheck, given, settings

from core.exchange.midi_out import TICKS, midi_bytes, variable_length
from core.sound.order import play_order
from core.sound.played import line_notes
from core.study import Bar, Change, Chorus, Event, Key, Meter, Note, Study, Tuplet, parse_pitch
from tests.strategies import studies

with warnings.catch_warnings():  # its parser imports a deprecated module
    warnings.simplefilter("ignore")
    import partitura


def event(onset, duration, *pitches, tie=False, **more) -> Event:
    heads = tuple(Note(parse_pitch(name), tie=tie) for name in pitches)
    return Event(Fraction(onset), Fraction(duration), heads, **more)


STUDY = Study(
    title="Small hours", tempo=88, key=Key(-3, "minor"), choruses=(Chorus("One", 1),), bars=(
        Bar((event(0, 1, "G3"),), length=Fraction(1)),
        Bar((event(0, 1, "C4"), event(1, "1/3", "Eb4", tuplets=(Tuplet(3, 2, True),)),
             event("4/3", "1/3", "D4", tuplets=(Tuplet(3, 2),)), event("5/3", "1/3", "F4", tuplets=(Tuplet(3, 2),)),
             event(2, 2, "G4", tie=True)), (Change(Fraction(0), "C-7"),)),
        Bar((event(0, 3, "G4"),), meter=Meter((3,)), key=Key(2)),
        Bar((event(0, 3, "F#4", "A4"),)),
    ))


@pytest.mark.parametrize(("value", "expected"), [
    (0x00, "00"), (0x40, "40"), (0x7F, "7F"), (0x80, "8100"), (0x2000, "C000"), (0x3FFF, "FF7F"), (0x4000, "818000"),
    (0x1FFFFF, "FFFF7F"), (0x200000, "81808000"), (0x0FFFFFFF, "FFFFFF7F")])
def test_variable_length_quantities(value, expected):
    """SMF 1.0, section 1, its own table (P3)."""
    assert variable_length(value).hex().upper() == expected


def test_the_header_says_format_1_three_tracks_480_ticks():
    """SMF 1.0, header chunk (P2)."""
    assert midi_bytes(STUDY)[:14] == b"MThd\0\0\0\x06\0\x01\0\x03\x01\xe0"


def read(study: Study) -> music21.midi.MidiFile:
    midi = music21.midi.MidiFile()
    midi.readstr(midi_bytes(study))
    return midi


def keys_of(track) -> list[tuple[int, int, int]]:
    """(tick, length, key) of each note of a track, read by music21's event parser."""
    at, sounding, found = 0, {}, []
    for each in track.events:
        if each.isDeltaTime():
            at += each.time
        elif each.isNoteOn() and each.velocity:
            sounding[each.pitch] = at
        elif each.isNoteOff():
            begun = sounding.pop(each.pitch)
            found.append((begun, at - begun, each.pitch))
    assert not sounding
    return sorted(found)


def test_notes_are_where_they_are_written_with_ties_merged():
    third = TICKS // 3
    assert keys_of(read(STUDY).tracks[1]) == [
        (0, 480, 55), (480, 480, 60), (960, third, 63), (960 + third, third, 62), (960 + 2 * third, third, 65),
        (1440, 5 * 480, 67), (3840, 3 * 480, 66), (3840, 3 * 480, 69)]


def test_the_changes_are_chords_on_a_track_of_their_own():
    """C minor seventh: C Eb G Bb, MusicXML `kind-value`; struck again at each barline."""
    chords = keys_of(read(STUDY).tracks[2])
    assert {key % 12 for _, _, key in chords} == {0, 3, 7, 10}
    assert {at for at, _, _ in chords} == {480, 480 * 5, 480 * 8}
    assert all(each.velocity < 64 for each in read(STUDY).tracks[2].events if each.isNoteOn())


@pytest.mark.parametrize(("tempo", "micros"), [(120, 500_000), (160, 375_000), (88, 681_818)])
def test_the_tempo_in_microseconds_a_quarter(tempo, micros):
    """SMF 1.0, Set Tempo; P4."""
    assert b"\xff\x51\x03" + micros.to_bytes(3) in midi_bytes(Study(tempo=tempo))


def test_meters_and_keys_stand_at_their_bars():
    """SMF 1.0: FF 58 04 nn dd cc bb, FF 59 02 sf mi. The pickup of a quarter is a bar of 1/4."""
    score = music21.converter.parseData(midi_bytes(STUDY), format="midi")
    found = [(float(each.getOffsetInHierarchy(score.parts[0])), each.ratioString)
             for each in score.parts[0].recurse().getElementsByClass(music21.meter.TimeSignature)]
    assert found == [(0.0, "1/4"), (1.0, "4/4"), (5.0, "3/4")]
    assert b"\xff\x59\x02\xfd\x01" in midi_bytes(STUDY)
    assert b"\xff\x59\x02\x02\x00" in midi_bytes(STUDY)
    assert b"\xff\x03\x0bSmall hours" in midi_bytes(STUDY)
    assert b"\xff\x06\x03One" in midi_bytes(STUDY)


def test_every_track_is_as_long_as_the_study():
    """SMF 1.0, End of Track: it gives the track its exact ending; here a bar of rest comes last."""
    rests = Study(bars=(Bar((event(0, 4, "C4"),)), Bar()))
    lengths = [sum(each.time for each in track.events if each.isDeltaTime()) for track in read(rests).tracks]
    assert lengths == [8 * 480] * 3


def test_repeats_and_jumps_are_written_out_with_meter_key_and_chorus_each_time():
    form = Study(choruses=(Chorus("A", 0),), bars=(
        Bar((event(0, 4, "C4"),), jump="Fine"),
        Bar((event(0, 3, "D4"),), meter=Meter((3,)), key=Key(2), repeat_start=True, repeat_end=2),
        Bar((event(0, 3, "E4"),), jump="D.C. al Fine")))
    track = read(form).tracks[1]
    assert [(start // 480, key) for start, _, key in keys_of(track)] == [(0, 60), (4, 62), (7, 62), (10, 64), (13, 60)]
    score = music21.converter.parseData(midi_bytes(form), format="midi")
    meters = [(float(each.getOffsetInHierarchy(score.parts[0])), each.ratioString)
              for each in score.parts[0].recurse().getElementsByClass(music21.meter.TimeSignature)]
    assert meters == [(0.0, "4/4"), (4.0, "3/4"), (13.0, "4/4")]
    keys = [(float(each.getOffsetInHierarchy(score.parts[0])), each.sharps)
            for each in score.parts[0].recurse().getElementsByClass(music21.key.KeySignature)]
    assert keys == [(0.0, 0), (4.0, 2), (13.0, 0)]
    assert midi_bytes(form).count(b"\xff\x06\x01A") == 2


def test_six_eight_clicks_in_dotted_quarters():
    """SMF 1.0, time signature: its example for 6/8 is FF 58 04 06 03 24 08 (36 clocks, hexadecimal 24)."""
    assert bytes.fromhex("ff580406032408") in midi_bytes(Study(meter=Meter((6,), 8)))


def test_partitura_hears_the_same_line(tmp_path):
    path = tmp_path / "study.mid"
    path.write_bytes(midi_bytes(STUDY))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = partitura.load_performance_midi(path).note_array()
    line = notes[notes["channel"] == 0]
    second = Fraction(60, 88)
    assert sorted((int(note["pitch"]), round(float(note["onset_sec"]), 3), round(float(note["duration_sec"]), 3))
                  for note in line) == \
        sorted((note.midi, round(float(note.start * second), 3), round(float(note.length * second), 3))
               for note in line_notes(STUDY, range(4)))


def test_a_grace_note_comes_before_the_beat_in_the_time_of_the_note_before():
    """An eighth of a quarter at most: common practice, no source."""
    bar = Bar((event(0, 1, "C4"), event(1, "1/2", "D#4", grace=True), event(1, 3, "E4")))
    assert keys_of(read(Study(bars=(bar,))).tracks[1]) == [(0, 420, 60), (420, 60, 63), (480, 1440, 64)]


def test_a_grace_note_with_nothing_before_it_takes_from_its_own_note():
    bar = Bar((event(0, "1/2", "D#4", grace=True), event(0, 4, "E4")))
    assert keys_of(read(Study(bars=(bar,))).tracks[1]) == [(0, 60, 63), (60, 1860, 64)]


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(studies(max_bars=3))
def test_every_generated_study_is_read_back_by_music21(study):
    """music21's own MIDI event parser: as many notes begin as the line has, and every one of them ends."""
    track = read(study).tracks[1]
    begun = [each for each in track.events if each.isNoteOn() and each.velocity]
    ended = [each for each in track.events if each.isNoteOff()]
    assert len(begun) == len(ended) == len(line_notes(study, play_order(study).bars))
