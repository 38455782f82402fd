"""Small files for the readers to read, and the notes of a study in one row."""

from __future__ import annotations

import io
import struct
import zipfile
from fractions import Fraction
from typing import NamedTuple

from core.exchange.build import Brought, build
from core.exchange.limits import Kind, Source
from core.exchange.reader import read
from core.exchange.xml_limits import checked_score
from core.study import Study

CLEF = "<clef><sign>G</sign><line>2</line></clef>"


def score(body: str, attributes: str = CLEF, divisions: int = 2, fifths: int = 0) -> bytes:
    """A partwise score of one part; body is its first measure, and more measures after `NEXT`."""
    first, *rest = body.split("NEXT")
    head = (f"<attributes><divisions>{divisions}</divisions><key><fifths>{fifths}</fifths></key>"
            f"<time><beats>4</beats><beat-type>4</beat-type></time>{attributes}</attributes>")
    measures = "".join(f'<measure number="{number}">{content}</measure>'
                       for number, content in enumerate([head + first, *rest], 1))
    return parts(("P1", "Solo", measures))


def parts(*rows: tuple[str, str, str]) -> bytes:
    """A score of parts given as id, name and measures."""
    listed = "".join(f'<score-part id="{name_id}"><part-name>{name}</part-name></score-part>'
                     for name_id, name, _ in rows)
    music = "".join(f'<part id="{name_id}">{measures}</part>' for name_id, _, measures in rows)
    return (f'<?xml version="1.0"?><score-partwise version="4.0"><part-list>{listed}</part-list>{music}'
            "</score-partwise>").encode()


def note(name: str, duration: int, kind: str, more: str = "", chord: bool = False) -> str:
    """One note element; name as `Bb4`, `r` for a rest. more: whatever follows its type."""
    if name == "r":
        what = "<rest/>"
    else:
        alter = {"b": "<alter>-1</alter>", "#": "<alter>1</alter>"}.get(name[1], "")
        what = f"<pitch><step>{name[0]}</step>{alter}<octave>{name[-1]}</octave></pitch>"
    return (f"<note>{'<chord/>' if chord else ''}{what}<duration>{duration}</duration><type>{kind}</type>{more}</note>")


def packed(*entries: tuple[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries:
            archive.writestr(name, content)
    return out.getvalue()


CONTAINER = '<container><rootfiles><rootfile full-path="%s"/></rootfiles></container>'


def smf(*tracks: bytes, division: int = 480, kind: int | None = None) -> bytes:
    """A MIDI file of the tracks' bytes (SMF 1.0)."""
    kind = (0 if len(tracks) == 1 else 1) if kind is None else kind
    return struct.pack(">4sIHHH", b"MThd", 6, kind, len(tracks), division) + b"".join(
        struct.pack(">4sI", b"MTrk", len(track)) + track for track in tracks)


def vlq(value: int) -> bytes:
    """A variable-length quantity (SMF 1.0, section 1)."""
    out = [value & 0x7F]
    while value := value >> 7:
        out.append(value & 0x7F | 0x80)
    return bytes(reversed(out))


def track(*events: tuple[int, bytes]) -> bytes:
    """Events at absolute ticks, and the end of the track."""
    out, at = b"", 0
    for tick, message in events:
        out += vlq(tick - at) + message
        at = tick
    return out + b"\x00\xff\x2f\x00"


def brought(kind: Kind, raw: bytes, part: int | None = None) -> Brought:
    """Read here, without the guard."""
    return build(read(Source(kind, checked_score(raw) if kind == "musicxml" else raw), part), "name")


class Sounded(NamedTuple):
    """A note as it sounds, tied heads joined: from and to in quarters from the start, MIDI numbers low to high."""

    start: Fraction
    stop: Fraction
    keys: tuple[int, ...]


def sounded(study: Study) -> list[Sounded]:
    rows, at = [], Fraction(0)
    for here in study.in_force:
        rows += [(at + event.onset, at + event.end, tuple(note.pitch.midi for note in event.notes),
                  any(note.tie for note in event.notes))
                 for event in here.bar.events if event.notes and not event.grace]
        at += here.length
    return joined(rows)


def joined(rows: list[tuple[Fraction, Fraction, tuple[int, ...], bool]]) -> list[Sounded]:
    found: list[Sounded] = []
    is_held = False
    for start, stop, keys, tie in rows:
        if is_held and found[-1].stop == start and found[-1].keys == keys:
            found[-1] = found[-1]._replace(stop=stop)
        else:
            found.append(Sounded(start, stop, keys))
        is_held = tie
    return found
