"""A study as a Standard MIDI File: tempo, meters and keys, the line, and the changes as soft chords.

Written values, straight: a swing feel is played in core.sound, not written here. Bars stand in the order they
are heard, repeats and jumps written out: a MIDI file has no sign for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from core.sound.order import play_order
from core.sound.played import Played, comp_notes, line_notes, placed_bars
from core.study import InForce, Key, Study

TICKS = 480
"""To the quarter note."""
_GUITAR, _PIANO = 26, 0  # General MIDI programs, from 0: jazz guitar, acoustic piano (from memory)
_RIGHTS, _TRACK, _MARKER, _END, _TEMPO, _METER, _KEY = 0x02, 0x03, 0x06, 0x2F, 0x51, 0x58, 0x59

_Message = tuple[int, int, bytes]
"""Tick, rank among what falls on one tick, bytes."""


def midi_bytes(study: Study) -> bytes:
    """A file of format 1 at 480 ticks a quarter: the conductor's track, the line, the chords.

    Times no tick meets are rounded, each from the start, so nothing drifts.
    """
    order = play_order(study).bars
    tracks = (_conductor(study, order),
              _part(study.instrument.name, 0, _GUITAR, line_notes(study, order)),
              _part("changes", 1, _PIANO, comp_notes(study, order)))
    end = _tick(sum((here.length for _, here in placed_bars(study, order)), Fraction(0)))
    header = b"MThd" + (6).to_bytes(4) + (1).to_bytes(2) + len(tracks).to_bytes(2) + TICKS.to_bytes(2)
    return header + b"".join(_chunk(track, end) for track in tracks)


def variable_length(value: int) -> bytes:
    """Seven bits a byte, high first, the top bit set on all but the last (SMF 1.0, section 1)."""
    found = [value & 0x7F]
    while value := value >> 7:
        found.append(value & 0x7F | 0x80)
    return bytes(reversed(found))


def _chunk(messages: list[_Message], end: int) -> bytes:
    """A track as long as the study, so that rests at its end are not lost."""
    body, now = b"", 0
    for tick, _, message in sorted(messages):
        body += variable_length(tick - now) + message
        now = tick
    body += variable_length(max(end - now, 0)) + _meta(_END, b"")
    return b"MTrk" + len(body).to_bytes(4) + body


def _meta(kind: int, data: bytes) -> bytes:
    return bytes([0xFF, kind]) + variable_length(len(data)) + data


def _tick(quarters: Fraction) -> int:
    return round(quarters * TICKS)


def _conductor(study: Study, order: Sequence[int]) -> list[_Message]:
    micros = round(Fraction(60_000_000, study.tempo))  # P4
    found = [(0, 0, _meta(_TRACK, study.title.encode())), (0, 1, _meta(_TEMPO, micros.to_bytes(3)))]
    if study.rights:
        found.append((0, 0, _meta(_RIGHTS, study.rights.encode())))
    labels = {chorus.bar: chorus.label for chorus in study.choruses}
    meter = key = None
    for begin, here in placed_bars(study, order):
        tick = _tick(begin)
        if (now := _bar_meter(here)) != meter:
            meter = now
            found.append((tick, 1, _meter(*now)))
        if here.key != key:
            key = here.key
            found.append((tick, 1, _key(key)))
        if label := labels.get(here.index) or here.bar.rehearsal:
            found.append((tick, 2, _meta(_MARKER, label.encode())))
    return found


def _bar_meter(here: InForce) -> tuple[int, int]:
    """Beats and unit; a bar of a length of its own gets a meter of its own, so that barlines keep their places."""
    beats, unit = here.length * here.meter.unit / 4, here.meter.unit
    while beats.denominator > 1 and unit < 64:
        beats, unit = beats * 2, unit * 2
    if beats.denominator > 1 or beats > 255:  # a byte holds the beats
        return sum(here.meter.groups), here.meter.unit
    return beats.numerator, unit


def _meter(beats: int, unit: int) -> bytes:
    compound = unit >= 8 and beats % 3 == 0
    clocks = 96 // unit * (3 if compound else 1)  # MIDI clocks, 24 to the quarter, to a beat of the click
    return _meta(_METER, bytes([beats, unit.bit_length() - 1, max(clocks, 1), 8]))


def _key(key: Key) -> bytes:
    return _meta(_KEY, key.fifths.to_bytes(1, signed=True) + bytes([key.mode in ("minor", "aeolian")]))


def _part(name: str, channel: int, program: int, notes: Iterable[Played]) -> list[_Message]:
    """A track of notes; where one ends as the next begins, the end comes first."""
    found = [(0, 0, _meta(_TRACK, name.encode())), (0, 1, bytes([0xC0 | channel, program]))]
    for note in notes:
        first = _tick(note.start)
        last = max(_tick(note.end), first + 1)
        found.append((first, 4, bytes([0x90 | channel, note.midi, note.velocity])))
        found.append((last, 3, bytes([0x80 | channel, note.midi, 0])))
    return found
