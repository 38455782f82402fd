"""MIDI against the standard (SMF 1.0), and against what was written before it was played unevenly."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import pytest
from music21 import midi

from core.errors import BarglossError
from core.exchange.choice import ChoiceNeeded
from core.exchange.quantise import Played, quantise, skyline
from core.exchange.smf import read_smf, variable_length
from core.study import Key, Meter
from tests.exchange.sources import Sounded, brought, smf, sounded, track, vlq

F = Fraction
BEATS = ([F(1)], [F(1, 2)] * 2, [F(1, 3)] * 3, [F(1, 4)] * 4, [F(1, 2), F(1, 4), F(1, 4)],
         [F(1, 4), F(1, 4), F(1, 2)], [F(3, 4), F(1, 4)], [F(1, 6)] * 6)


def struck(*notes: tuple[int, int, int], channel: int = 0) -> list[tuple[int, bytes]]:
    """Note-on and note-off events, in order, of (start, stop, key) in ticks."""
    ends = [(stop, 0, bytes([0x80 | channel, key, 0])) for _, stop, key in notes]
    begins = [(start, 1, bytes([0x90 | channel, key, 80])) for start, _, key in notes]
    return [(tick, message) for tick, _, message in sorted(ends + begins)]


def meta(tick: int, kind: int, *data: int) -> tuple[int, bytes]:
    return tick, bytes([0xFF, kind, len(data), *data])


def name(text: str) -> tuple[int, bytes]:
    return meta(0, 3, *text.encode())


def read(raw: bytes, part: int | None = None):
    return brought("midi", raw, part)


QUARTERS = struck(*((480 * at, 480 * at + 470, key) for at, key in enumerate((60, 63, 67, 70))))


@pytest.mark.parametrize(("value", "written"), [  # references P3: SMF 1.0, section 1
    (0x40, "40"), (0x7F, "7F"), (0x80, "8100"), (0x2000, "C000"), (0x3FFF, "FF7F"), (0x4000, "818000"),
    (0x1FFFFF, "FFFF7F"), (0x200000, "81808000"), (0x0FFFFFFF, "FFFFFF7F")])
def test_variable_lengths(value, written):
    raw = bytes.fromhex(written)
    assert variable_length(raw, 0) == (value, len(raw))
    assert vlq(value) == raw


@pytest.mark.parametrize(("microseconds", "tempo"), [(500_000, 120), (375_000, 160), (681_818, 88)])  # P4
def test_tempo(microseconds, tempo):
    raw = smf(track(meta(0, 0x51, *microseconds.to_bytes(3, "big")), *QUARTERS))
    assert read(raw).study.tempo == tempo


def test_no_tempo_is_120():
    assert read(smf(track(*QUARTERS))).study.tempo == 120  # P4: the default


def test_running_status_is_read():
    raw = smf(b"\x00\x90\x3c\x50\x83\x60\x3c\x00\x00\x3e\x50\x83\x60\x3e\x00\x00\xff\x2f\x00")
    assert sounded(read(raw).study) == [(0, 1, (60,)), (1, 2, (62,))]


def test_notes_are_what_music21_reads():
    """A second reader of the same bytes."""
    rng = random.Random(11)
    starts = sorted(rng.sample(range(0, 9_000, 30), 60))
    notes = [(start, start + rng.randrange(20, 300), rng.randrange(40, 90)) for start in starts]
    notes = [note for at, note in enumerate(notes) if all(
        note[2] != other[2] or note[0] >= other[1] for other in notes[:at])]
    raw = smf(track(*struck(*notes)))
    theirs = midi.MidiFile()
    theirs.readstr(raw)
    on, found, at = {}, [], 0
    for event in theirs.tracks[0].events:
        if event.isDeltaTime():
            at += event.time
        elif event.isNoteOn():
            on[event.pitch] = at
        elif event.isNoteOff():
            found.append((on.pop(event.pitch), at, event.pitch))
    (ours,) = read_smf(raw).parts.values()
    assert [tuple(note) for note in ours.notes] == sorted(found)


@pytest.mark.parametrize("seed", range(4))
def test_uneven_playing_comes_back_as_written(seed):
    """Straight, triplet, sixteenth and sextuplet beats, each note up to 0.04 of a quarter early or late."""
    rng = random.Random(seed)
    written, at = [], F(0)
    for _ in range(24):
        for length in rng.choices(BEATS, [3, 8, 4, 3, 2, 2, 1, 1])[0]:
            written.append(Sounded(at, at + length, (rng.randrange(52, 80),)))
            at += length
    written = [note for place, note in enumerate(written)
               if place == 0 or note.keys != written[place - 1].keys]  # no pitch struck twice in a row
    written = [note._replace(stop=after.start) for note, after in pairwise(written)]
    played = []
    for note in written:
        start = max(0.0, float(note.start) + rng.uniform(-0.04, 0.04))
        played.append((round(480 * start), round(480 * (float(note.stop) - 0.06)), note.keys[0]))
    got = read(smf(track(*struck(*played))))
    assert sounded(got.study) == written
    moves = [abs(F(tick, 480) - note.start) for (tick, _, _), note in zip(played, written, strict=True)]
    assert (f"Notes were moved by up to {float(max(moves)):.3f}, on average "
            f"{float(sum(moves) / len(moves)):.3f} of a quarter.") in got.notices


def test_triplets_are_tuplets_and_a_long_note_is_cut_at_their_edge():
    raw = smf(track(*struck((0, 640, 60), (640, 800, 62), (800, 960, 64), (960, 1920, 65))))
    events = read(raw).study.bars[0].events
    assert [(event.onset, event.duration, len(event.tuplets)) for event in events] == [
        (0, 1, 0), (1, F(1, 3), 1), (F(4, 3), F(1, 3), 1), (F(5, 3), F(1, 3), 1), (2, 2, 0)]
    assert [event.notes[0].tie for event in events] == [True, False, False, False, False]
    assert [event.tuplets[0].starts for event in events[1:4]] == [True, False, False]


def test_swung_eighths_are_written_even():
    """Off-beats at 320 of 480 ticks: 2:1 (references P11)."""
    notes = [note for beat in range(8) for note in ((480 * beat, 480 * beat + 310, 60 + beat),
                                                    (480 * beat + 320, 480 * beat + 470, 72 - beat))]
    got = read(smf(track(*struck(*notes))))
    assert got.study.feel == "swing"
    assert {event.duration for bar in got.study.bars for event in bar.events} == {F(1, 2)}
    assert "Notes were moved by up to 0.000, on average 0.000 of a quarter." in got.notices
    assert any("swing" in notice for notice in got.notices)


def test_even_eighths_stay_straight():
    notes = [(240 * at, 240 * at + 230, 60 + at) for at in range(16)]
    assert read(smf(track(*struck(*notes)))).study.feel == "straight"


def test_bars_follow_the_meters_and_rests_fill_them():
    raw = smf(track(meta(0, 0x58, 3, 2, 24, 8), *struck((0, 480, 60)), meta(1440, 0x58, 6, 3, 36, 8),
                    *struck((1440, 1680, 62), (2640, 2880, 64))))
    study = read(raw).study
    assert (study.meter, study.bars[1].meter) == (Meter((3,)), Meter((6,), 8))
    assert sounded(study) == [(0, 1, (60,)), (3, F(7, 2), (62,)), (F(11, 2), 6, (64,))]


def test_key_and_spelling():
    """A flat key spells the black keys flat; without one, music21's Krumhansl finding is used and told."""
    raw = smf(track(meta(0, 0x59, 0xFD, 1), *QUARTERS))
    study = read(raw).study
    assert study.key == Key(-3, "minor")
    assert [event.notes[0].pitch.name for event in study.bars[0].events] == ["C4", "Eb4", "G4", "Bb4"]
    keys = (62, 66, 69, 74, 71, 67, 69, 66, 64, 69, 73, 69, 62, 66, 62)
    tune = struck(*((240 * at, 240 * at + 230, key) for at, key in enumerate(keys)))
    found = read(smf(track(*tune)))
    assert found.study.key == Key(2)
    assert "The file names no key; D major fits its notes best." in found.notices


def test_the_part_that_is_a_line_is_taken():
    chords = struck(*((960 * at, 960 * at + 900, key) for at in range(2) for key in (48, 52, 55)), channel=1)
    drums = struck((0, 100, 36), (480, 580, 38), channel=9)
    raw = smf(track(name("Song")), track(name("Comp"), *chords), track(name("Solo"), *QUARTERS),
              track(name("Kit"), *drums))
    got = read(raw)
    assert got.study.title == "Song"
    assert len(sounded(got.study)) == 4
    assert "Other parts left out: 1 Comp." in got.notices
    assert "Drums left out." in got.notices


def test_two_lines_ask_which():
    raw = smf(track(name("Solo"), *QUARTERS), track(name("Bass"), *struck((0, 1900, 36), channel=2)))
    with pytest.raises(ChoiceNeeded, match="2 parts: 1 Solo, 2 Bass; say which with --part N"):
        read(raw)
    assert sounded(read(raw, 2).study) == [(0, 4, (36,))]


def test_the_skyline_keeps_the_top_and_the_line():
    notes = [Played(F(0), F(2), 72), Played(F(1), F(2), 60), Played(F(2), F(3), 70), Played(F(2), F(3), 74),
             Played(F(29, 10), F(4), 65)]
    line, under = skyline(notes)
    assert [note.key for note in line] == [72, 74, 65]  # 65 begins as 74 ends: it goes on with the line
    assert sorted(note.key for note in under) == [60, 70]


def test_short_gaps_close_and_long_ones_are_rests():
    """A gap shorter than an off-beat sixteenth is articulation (common practice, no source)."""
    beats = [F(beat) for beat in range(8)]
    got = quantise([Played(F(0), F(4, 5), 60), Played(F(1), F(3, 2), 62), Played(F(3), F(4), 64)], beats)
    assert [(note.start, note.stop) for note in got.notes] == [(0, 1), (1, F(3, 2)), (3, 4)]


@pytest.mark.parametrize(("raw", "what"), [
    (smf(track(*QUARTERS), division=0xE728), "film frames"), (smf(track(*QUARTERS), kind=2), "format 2"),
    (smf(track(*QUARTERS))[:-5], "middle of a track"), (smf(b"\xff\xff\xff\xff\xff"), "breaks off"),
    (smf(b"\x00\x3c\x40"), "no event"), (b"RIFF", "no MThd"), (smf(track()), "no notes"),
    (smf(track(meta(0, 0x58, 4, 9, 24, 8), *QUARTERS)), "a meter of 4 over")],
    ids=["smpte", "format2", "cut", "vlq", "status", "header", "empty", "meter"])
def test_what_is_no_midi_is_told(raw, what):
    with pytest.raises(BarglossError, match=what):
        read(raw)
