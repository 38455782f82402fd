"""Stems, beams and rows of a page against the rules they follow, measured on the drawings alone.

Rules E8 to E10 and E14 of the references: Gould, *Behind Bars*, p. 14-15 (length), Harris, *How to
Write Music*, 1917, par. 26 (side). A drawing with notes has its origin on the staff's top line.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import inf
from statistics import mode
from typing import NamedTuple

from core.engraving.boxes import Box
from core.engraving.drawing import Glyph, Line, Polygon, Tag, Text
from core.engraving.faces import face
from core.engraving.measures import GRACE
from core.engraving.smufl import MusicFont
from core.handout.things import Thing

SHORTEST = 2.5
"""Of a stem, in staff spaces (Gould p. 14-15)."""
_NEAR = 0.1
"""Staff spaces by which things may miss each other and still stand in line."""
_MIDDLE = 2.0
_LEDGER = 1.5
"""A head this far from the staff's edge lies beyond the first ledger line."""
_STUB = 1.5
"""A beam shorter than this may hang on one stem."""
_OWN = 1.5
"""A second degree farther than this from its head is another thing of the same tag: a reading's name."""
_WORD_GAP = 0.4
_LEVEL = 0.25
"""Points between baselines that pass for one."""
_BESIDE = 1.0
"""A chord symbol nearer than this to a head is meant to stand over it."""


_Key = tuple[int | None, int | None]
"""Of an event: its bar, its place in it."""
_NAMES = {"tab": "fret number", "degree": "degree", "reading": "second degree"}


class Fault(NamedTuple):
    """bar: index, or None."""

    bar: int | None
    what: str


class _Note(NamedTuple):
    """One event's heads and stem; y and x in its drawing's own staff spaces."""

    bar: int | None
    heads: tuple[Glyph, ...]
    boxes: tuple[Box, ...]
    stem: Line | None
    is_small: bool
    things: tuple[Thing, ...]


def misaligned(found: Sequence[Thing], font: MusicFont) -> Iterator[Fault]:
    """All faults of one page's things."""
    notes = _notes(found)
    for note in notes.values():
        if note.stem is not None:
            yield from _stem(note, note.stem)
    yield from _beams(found)
    yield from _centred(found, notes)
    yield from _chords(found, notes, font.head)
    yield from _baselines(found)


def _notes(found: Sequence[Thing]) -> dict[_Key, _Note]:
    heads: dict[_Key, list[Thing]] = defaultdict(list)
    stems: dict[_Key, Line] = {}
    flags = {(one.bar, one.event): one.mark.y for one in found if one.kind == "flag" and isinstance(one.mark, Glyph)}
    for one in found:
        if one.kind == "head":
            heads[one.bar, one.event].append(one)
        elif one.kind == "stem" and isinstance(one.mark, Line):
            key = one.bar, one.event  # a stem ends where its flag does: some flags take its place at the tip
            stems[key] = one.mark._replace(y2=flags.get(key, one.mark.y2))
    notes = {}
    for key, mine in heads.items():
        marks = tuple([one.mark for one in mine if isinstance(one.mark, Glyph)])
        boxes, is_small = tuple(map(_local, mine)), marks[0].scale <= GRACE
        notes[key] = _Note(key[0], marks, boxes, stems.get(key), is_small, tuple(mine))
    return notes


def _local(one: Thing) -> Box:
    x, y, scale = one.placed.x, one.placed.y, one.scale
    return Box((one.box.left - x) / scale, (one.box.top - y) / scale,
               (one.box.right - x) / scale, (one.box.bottom - y) / scale)


def _stem(note: _Note, stem: Line) -> Iterator[Fault]:
    ys = [head.y for head in note.heads]
    tip, root = stem.y2, stem.y1
    up = tip < root
    edge, half = stem.x1, stem.width / 2 + _NEAR
    sides = [box for box, y in zip(note.boxes, ys, strict=True) if y == (max(ys) if up else min(ys))]
    if not any(box.left - half <= edge <= box.right + half and box.top - _NEAR <= root <= box.bottom + _NEAR
               for box in sides):
        yield Fault(note.bar, "a stem does not meet its head")
    elif not any(edge + half >= box.right if up else edge - half <= box.left for box in sides):
        yield Fault(note.bar, "a stem stands on the wrong side of its head")
    if note.is_small:
        return
    reach = min(ys) - tip if up else tip - max(ys)
    if reach < SHORTEST - 1e-6:
        yield Fault(note.bar, "a stem is too short")
    elif (up and min(ys) >= 4 + _LEDGER and tip > _MIDDLE + _NEAR) or (
            not up and max(ys) <= -_LEDGER and tip < _MIDDLE - _NEAR):
        yield Fault(note.bar, "a stem does not reach the middle line")


def _beams(found: Sequence[Thing]) -> Iterator[Fault]:
    """Both ends of a beam lie at stems, one end of a stub does; a stem that meets a beam ends in one."""
    stems: dict[int, list[Line]] = defaultdict(list)
    for one in found:
        if one.kind == "stem" and isinstance(one.mark, Line):
            stems[id(one.placed)].append(one.mark)
    for one in found:
        if one.kind != "beam" or not isinstance(one.mark, Polygon):
            continue
        (left, y1), (right, y2) = one.mark.points[0], one.mark.points[1]
        thick = one.mark.points[-1][1] - y1
        ends = [any(_carries(stem, x, y, y + thick) for stem in stems[id(one.placed)])
                for x, y in ((left, y1), (right, y2))]
        if not (all(ends) or (any(ends) and right - left < _STUB)):
            yield Fault(one.bar, "a beam ends off its stem")


def _carries(stem: Line, x: float, top: float, bottom: float) -> bool:
    """Whether a beam's end at x, top to bottom, lies on the stem."""
    return (abs(stem.x1 - x) <= stem.width / 2 + _NEAR
            and min(stem.y1, stem.y2) <= bottom and max(stem.y1, stem.y2) >= top)


def _centred(found: Sequence[Thing], notes: dict[_Key, _Note]) -> Iterator[Fault]:
    """Fret numbers and degrees stand centred under their heads."""
    labels: dict[tuple[str, int | None, int, int], list[tuple[float, float]]] = defaultdict(list)
    for one in found:
        if one.kind in _NAMES and one.mark.tag is not None and isinstance(one.mark, Text | Glyph):
            labels[one.kind, one.bar, one.mark.tag.event, one.mark.tag.note].append(_across(one))
    for (kind, bar, event, _), pieces in labels.items():
        note = notes.get((bar, event))
        if note is None:
            continue
        scale = note.things[0].scale
        heads = [(head.box.left + head.box.right) / 2 for head in note.things]
        away = min(abs((left + right) / 2 - head) / scale for left, right in _runs(pieces, scale) for head in heads)
        if away > _NEAR and not (kind == "reading" and away > _OWN):
            yield Fault(bar, f"a {_NAMES[kind]} stands beside its note")


def _across(one: Thing) -> tuple[float, float]:
    """Where a piece begins and ends, the white beside its figures included, in points."""
    if not isinstance(one.mark, Text):
        return one.box.left, one.box.right
    left = one.placed.x + one.mark.x * one.scale
    return left, left + face(one.mark.face).width(one.mark.text, one.mark.size) * one.scale


def _runs(pieces: Sequence[tuple[float, float]], scale: float) -> list[tuple[float, float]]:
    """Pieces that stand close, as one: a reading's name and its degrees may carry the same tag."""
    runs: list[tuple[float, float]] = []
    for left, right in sorted(pieces):
        if runs and left - runs[-1][1] < _WORD_GAP * scale:
            runs[-1] = (runs[-1][0], max(right, runs[-1][1]))
        else:
            runs.append((left, right))
    return runs


def _chords(found: Sequence[Thing], notes: dict[_Key, _Note], black: float) -> Iterator[Fault]:
    """A symbol near a head (or rest) stands with its left edge over the head's. black: width of a black head."""
    columns: dict[int | None, list[float]] = defaultdict(list)
    for note in notes.values():
        if not note.is_small:
            for one, head in zip(note.things, note.heads, strict=True):
                at = one.placed.x + head.x * one.scale
                # A whole note is wider than a black one and stands about the same middle.
                columns[note.bar] += [at, (one.box.left + one.box.right) / 2 - black * one.scale / 2]
    symbols: dict[tuple[int | None, Tag], tuple[float, float]] = {}
    for one in found:
        if one.kind == "rest" and isinstance(one.mark, Glyph):
            columns[one.bar].append(one.placed.x + one.mark.x * one.scale)
        elif one.kind == "chord" and one.mark.tag is not None:
            key = (one.bar, one.mark.tag)
            symbols[key] = min(symbols.get(key, (inf, one.scale)), (_across(one)[0], one.scale))
    for (bar, _), (left, scale) in symbols.items():
        away = min((abs(x - left) / scale for x in columns[bar]), default=0.0)
        if _NEAR < away < _BESIDE:
            yield Fault(bar, "a chord symbol stands beside its note")


def _baselines(found: Sequence[Thing]) -> Iterator[Fault]:
    """Degrees of one system stand on one line; of a double stop, the lower one's does."""
    tops = sorted({one.placed.y for one in found if one.kind == "staff line" and one.bar is None})
    rows: dict[tuple[str, int], dict[tuple[int | None, int], float]] = defaultdict(dict)
    for one in found:
        if one.kind in ("degree", "reading") and isinstance(one.mark, Text) and one.mark.tag is not None:
            y = one.placed.y + one.mark.y * one.scale
            row, key = rows[one.kind, bisect_right(tops, y)], (one.bar, one.mark.tag.event)
            row[key] = max(row.get(key, y), y)
    for (kind, _), row in rows.items():
        usual = mode(round(y, 1) for y in row.values())
        for (bar, _), y in row.items():
            if abs(y - usual) > _LEVEL:
                yield Fault(bar, f"a {_NAMES[kind]} stands off its row's line")
