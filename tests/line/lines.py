"""Lines written as text, in any key: `C7: C5 B4 Bb4*2 - | F7: A4`.

A chord stands before the note it comes with, ended by a colon; `|` is a barline, `-` a rest; a note lasts an eighth,
or as many as stand behind its star; `C5~` is tied on into the next.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from core.line import analyse
from core.line.devices import DEVICES
from core.line.finding import Finding
from core.line.findings import find
from core.study import Bar, Change, Event, Key, Meter, Note, NotePlace, Study, parse_key, parse_pitch, parse_pitch_class
from tests.line.trade import FLATS, SHARPS

KEYS = (0, 3, 7, 10)  # half steps up from what is written
EIGHTH = Fraction(1, 2)
_SPELLED = ("chord", "into", "over", "heard", "tonic", "harmony")


def study_of(text: str, key: str = "C major", up: int = 0, meter: Meter | None = None) -> Study:
    """The line `up` half steps higher, chords and key with it."""
    moved = _moved_key(parse_key(key), up)
    names = SHARPS if moved.fifths > 0 else FLATS
    bars = []
    for written in text.split("|"):
        events: list[Event] = []
        changes = []
        at = Fraction(0)
        for token in written.split():
            if token.endswith(":"):
                changes.append(Change(at, _moved_chord(token[:-1], up, names)))
                continue
            name, _, eighths = token.partition("*")
            length = EIGHTH * Fraction(eighths or 1)
            events.append(Event(at, length, () if name == "-" else (_note(name, up, names),)))
            at += length
        bars.append(Bar(tuple(events), tuple(changes), length=at))
    return Study(bars=tuple(bars), key=moved, meter=meter or Meter((4,)))


def found(kind: str, text: str, key: str = "C major", up: int = 0) -> list[tuple[str, dict[str, Any]]]:
    """The findings of one kind: the notes of each as written in the text, and its facts, those it is named by in the
    key of the text.
    """
    study = study_of(text, key, up)
    notes = list(_notes(text))
    return [(_span(notes, finding), {name: _back(name, value, up) for name, value in finding.facts})
            for bar in find(study, analyse(study)).bars for finding in bar if finding.kind == kind]


def told(kind: str, text: str, key: str = "C major") -> list[str]:
    """All wordings of what is told of them."""
    study = study_of(text, key)
    tell = {device.KIND: device.tell for device in DEVICES}[kind]
    return [tell(finding, shape) for bar in find(study, analyse(study)).bars for finding in bar
            if finding.kind == kind for shape in range(6)]


def score(kind: str, text: str, key: str = "C major") -> float:
    """Of the only one of its kind."""
    study = study_of(text, key)
    [only] = [finding for bar in find(study, analyse(study)).bars for finding in bar if finding.kind == kind]
    return only.score


def _notes(text: str) -> Iterator[tuple[NotePlace, str]]:
    for bar, written in enumerate(text.split("|")):
        tokens = [token for token in written.split() if not token.endswith(":")]
        for event, token in enumerate(tokens):
            if token[0] != "-":
                yield NotePlace(bar, event), token.partition("*")[0]


def _span(notes: list[tuple[NotePlace, str]], finding: Finding) -> str:
    return " ".join(name for place, name in notes if place >= finding.first and place <= finding.last)


def _note(name: str, up: int, names: list[str]) -> Note:
    return Note(_moved_pitch(name.rstrip("~"), up, names), tie=name.endswith("~"))


def _moved_pitch(name: str, up: int, names: list[str]) -> Any:
    if not up:
        return parse_pitch(name)
    midi = parse_pitch(name).midi + up
    return parse_pitch(f"{names[midi % 12]}{midi // 12 - 1}")


def _moved_chord(symbol: str, up: int, names: list[str]) -> str:
    root = symbol[:2] if symbol[1:2] in ("b", "#") else symbol[:1]
    return symbol if not up else names[(parse_pitch_class(root).chroma + up) % 12] + symbol[len(root):]


def _moved_key(key: Key, up: int) -> Key:
    fifths = (key.fifths + 7 * up + 5) % 12 - 5
    return key if not up else Key(fifths, key.mode)


def _back(name: str, value: Any, up: int) -> Any:
    return value if name not in _SPELLED or not value or not up else _moved_chord(value, -up, FLATS)
