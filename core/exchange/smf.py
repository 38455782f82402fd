"""A Standard MIDI File as notes and marks in ticks (SMF 1.0), within bounds.

Ours rather than music21's: a scan that bounds tracks, ticks, tempi and notes before anything is built is already
most of a reader. The tests hold it against music21's reading of the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from core.errors import BarglossError

MOST_TRACKS = 128
MOST_NOTES = 30_000
MOST_TEMPI = 2_000
MOST_QUARTERS = 12_000
_DATA_BYTES = {0x8: 2, 0x9: 2, 0xA: 2, 0xB: 2, 0xC: 1, 0xD: 1, 0xE: 2}
PERCUSSION = 9  # channel 10 counted from 1 (General MIDI)


class Struck(NamedTuple):
    """A key held from one tick to another."""

    start: int
    stop: int
    key: int


@dataclass
class MidiPart:
    """The notes of one channel on one track, by onset."""

    name: str
    notes: list[Struck] = field(default_factory=list)


@dataclass
class MidiFile:
    """division: ticks a quarter. tempi: (tick, microseconds a quarter); meters: (tick, top, bottom);
    keys: (tick, fifths, is minor).
    """

    division: int
    title: str = ""
    parts: dict[tuple[int, int], MidiPart] = field(default_factory=dict)
    tempi: list[tuple[int, int]] = field(default_factory=list)
    meters: list[tuple[int, int, int]] = field(default_factory=list)
    keys: list[tuple[int, int, bool]] = field(default_factory=list)
    left_out: set[str] = field(default_factory=set)


class _Event(NamedTuple):
    tick: int
    status: int
    data: bytes


def read_smf(raw: bytes) -> MidiFile:
    """The file's notes, tempi, meters and keys. Raises BarglossError."""
    if raw[:4] != b"MThd" or len(raw) < 14:
        raise BarglossError("this is not a MIDI file: it has no MThd header; export it again")
    length, kind = int.from_bytes(raw[4:8], "big"), int.from_bytes(raw[8:10], "big")
    division = int.from_bytes(raw[12:14], "big")
    if kind not in (0, 1):
        raise BarglossError(f"a MIDI file of format {kind}; export format 0 or 1")
    if division & 0x8000 or division == 0:
        raise BarglossError("the MIDI file counts film frames, not beats; export it with ticks a quarter note")
    file = MidiFile(division)
    for track, data in enumerate(_tracks(raw, 8 + length)):
        if track >= MOST_TRACKS:
            raise BarglossError(f"the MIDI file has more than {MOST_TRACKS} tracks; export one solo alone")
        _read_track(file, track, data)
    file.parts = {place: part for place, part in sorted(file.parts.items()) if part.notes}
    return file


def _tracks(raw: bytes, at: int) -> Iterator[bytes]:
    while at + 8 <= len(raw):
        length = int.from_bytes(raw[at + 4:at + 8], "big")
        if at + 8 + length > len(raw):
            raise BarglossError("the MIDI file ends in the middle of a track; export it again")
        if raw[at:at + 4] == b"MTrk":
            yield raw[at + 8:at + 8 + length]
        at += 8 + length


def variable_length(data: bytes, at: int) -> tuple[int, int]:
    """The number written at `at` in one to four bytes, and the place after it. Raises BarglossError."""
    value = 0
    for place in range(at, at + 4):
        if place >= len(data):
            break
        value = value << 7 | data[place] & 0x7F
        if not data[place] & 0x80:
            return value, place + 1
    raise BarglossError("the MIDI file breaks off inside an event; export it again")


def _events(data: bytes) -> Iterator[_Event]:
    """Channel events and meta events; of a meta event, status is 256 + its type."""
    at, tick, running = 0, 0, 0
    while at < len(data):
        delta, at = variable_length(data, at)
        tick += delta
        status = data[at] if at < len(data) else 0
        if status in (0xF0, 0xF7):
            length, at = variable_length(data, at + 1)
            at, running = at + length, 0
            continue
        if status == 0xFF:
            kind = data[at + 1] if at + 1 < len(data) else 0
            length, at = variable_length(data, at + 2)
            yield _Event(tick, 256 + kind, data[at:at + length])
            at, running = at + length, 0
            if kind == 0x2F:
                return
            continue
        if status & 0x80:
            running, at = status, at + 1
        size = _DATA_BYTES.get(running >> 4, 0)
        if not size or at + size > len(data):
            raise BarglossError("the MIDI file has bytes that are no event; export it again")
        yield _Event(tick, running, data[at:at + size])
        at += size


def _read_track(file: MidiFile, track: int, data: bytes) -> None:
    name, held = "", dict[tuple[int, int], list[int]]()
    for tick, status, body in _events(data):
        if tick > MOST_QUARTERS * file.division:
            raise BarglossError(f"the MIDI file is longer than {MOST_QUARTERS} quarters; cut it down to the solo")
        if status == 256 + 3:
            name = _words(body)
            if track == 0:
                file.title = name
        elif status >= 256:
            _read_meta(file, tick, status - 256, body)
        else:
            _read_channel(file, track, held, _Event(tick, status, body))
    for (track_of, channel), part in file.parts.items():
        if track_of == track:
            part.name = name
            part.notes.sort()
            if any(row for (on, _), row in held.items() if on == channel):
                file.left_out.add("Notes without an end left out")


def _read_channel(file: MidiFile, track: int, held: dict[tuple[int, int], list[int]], event: _Event) -> None:
    kind, channel, key = event.status >> 4, event.status & 0xF, event.data[0]
    if kind not in (0x8, 0x9):
        if kind == 0xE:
            file.left_out.add("Pitch bends left out")
        return
    if channel == PERCUSSION:
        file.left_out.add("Drums left out")
        return
    part = file.parts.setdefault((track, channel), MidiPart(""))
    sounding = held.setdefault((channel, key), [])
    if kind == 0x9 and event.data[1] > 0:
        sounding.append(event.tick)
    elif sounding:
        start = sounding.pop(0)
        if event.tick > start:
            part.notes.append(Struck(start, event.tick, key))
            if len(part.notes) > MOST_NOTES:
                raise BarglossError(f"the MIDI file has more than {MOST_NOTES} notes; export one solo alone")


def _read_meta(file: MidiFile, tick: int, kind: int, body: bytes) -> None:
    if kind == 0x51 and len(body) == 3:
        file.tempi.append((tick, int.from_bytes(body, "big")))
        if len(file.tempi) > MOST_TEMPI:
            raise BarglossError(f"the MIDI file changes tempo more than {MOST_TEMPI} times; export it at one tempo")
    elif kind == 0x58 and len(body) >= 2:
        if not 1 <= body[0] <= 64 or body[1] > 6:
            raise BarglossError(f"a meter of {body[0]} over 2 to the {body[1]}; correct it")
        file.meters.append((tick, body[0], 2 ** body[1]))
    elif kind == 0x59 and len(body) >= 2:
        fifths = int.from_bytes(body[:1], "big", signed=True)
        if -7 <= fifths <= 7:
            file.keys.append((tick, fifths, body[1] == 1))
    elif kind == 0x05:
        file.left_out.add("Lyrics left out")


def _words(body: bytes) -> str:
    text = body[:400].decode("utf-8", "replace")
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())[:60]
