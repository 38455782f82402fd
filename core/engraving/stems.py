"""Stems, flags and beams of one bar: which way, how long, and as marks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from core.engraving.accidentals import sign_box
from core.engraving.beaming import beam_groups, beat_windows
from core.engraving.beams import Sign, beam_line, beam_runs
from core.engraving.drawing import Glyph, Line, Mark, Polygon, Tag
from core.engraving.heads import EventShape, stem_goes_up, y_of
from core.engraving.measures import BEAM, BEAM_STEP, STEM_LENGTH
from core.engraving.smufl import MusicFont
from core.engraving.view import BarView
from core.study import Event

_STUB = 1.1
"""Length of a lone lesser beam: about a head (common practice, no source)."""
_GRACE_STEM = 2.5
_OFF_HEAD = 0.5
"""How much longer a stem is whose flag would hang into a head on its side."""


def groups_of(view: BarView) -> tuple[tuple[int, ...], ...]:
    """Indices of the events under each beam of the bar, runs of grace notes included."""
    events = view.bar.events
    groups = list(beam_groups(events, view.meter, view.shift))
    run: list[int] = []
    for index, event in enumerate(events):
        if event.grace and event.notes and event.written.value < 1:
            run.append(index)
            continue
        if len(run) > 1:
            groups.append(tuple(run))
        run = []
    return tuple(groups)


def directions(events: Sequence[Event], groups: Sequence[tuple[int, ...]]) -> tuple[bool, ...]:
    """Per event, whether its stem goes up. A lone note on the middle line follows the note before it."""
    ups = [False] * len(events)
    in_group: dict[int, tuple[int, ...]] = {index: group for group in groups for index in group}
    before = False
    for index, event in enumerate(events):
        if not event.notes:
            continue
        if event.grace:
            ups[index] = True
            continue
        members = in_group.get(index, (index,))
        ys = [y_of(note.pitch) for member in members for note in events[member].notes]
        balanced = max(ys) - 2 == 2 - min(ys)
        ups[index] = before if balanced and len(members) == 1 else stem_goes_up(ys)
        before = ups[index]
    return tuple(ups)


class Stem(NamedTuple):
    """x of its centre; y of the head it grows from and of its tip."""

    x: float
    root: float
    tip: float


class Beam(NamedTuple):
    """A group's outermost beam: its events, and its line from stem to stem."""

    group: tuple[int, ...]
    up: bool
    x1: float
    y1: float
    x2: float
    y2: float


def stem_x(shape: EventShape, x: float, font: MusicFont) -> float:
    """Of the centre of the stem of an event whose column stands at x."""
    box = font.box(shape.glyph)
    if shape.up:
        return x + box.anchors.get("stemUpSE", (box.right, 0.0))[0] * shape.scale - font.pen.stem / 2
    return x + box.anchors.get("stemDownNW", (0.0, 0.0))[0] * shape.scale + font.pen.stem / 2


def free_stem(shape: EventShape, x: float, font: MusicFont) -> Stem:
    """An octave long, or to the middle line from beyond one ledger line (Gould p. 14), and as far as its flag wants."""
    growth = stem_growth(shape, font)
    if shape.event.grace:
        return Stem(stem_x(shape, x, font), shape.bottom, shape.top - _GRACE_STEM + growth)
    if shape.up:
        beside = _OFF_HEAD if shape.flags and shape.heads[-1].x > 0 else 0.0
        return Stem(stem_x(shape, x, font), shape.bottom, min(shape.top - STEM_LENGTH - beside, 2.0) + growth)
    pen = font.pen
    length = STEM_LENGTH + (0.0, pen.flag_down, pen.two_flags_down, pen.more_flags_down)[min(shape.flags, 3)]
    return Stem(stem_x(shape, x, font), shape.top, max(shape.bottom + length, 2.0) + growth)


def stem_growth(shape: EventShape, font: MusicFont) -> float:
    """How far down a flag moves its stem's end: three tails and more grow outward (SMuFL stemUpNW, stemDownSW)."""
    if not shape.flags:
        return 0.0
    anchors = font.box(_flag_name(shape)).anchors
    return anchors.get("stemUpNW" if shape.up else "stemDownSW", (0.0, 0.0))[1] * shape.scale


def flag_width(shape: EventShape, font: MusicFont) -> float:
    """How far a free stem's flag reaches to the right; its lowest point is its widest, so a little less."""
    return 0.85 * font.box(_flag_name(shape)).right * shape.scale


def _flag_name(shape: EventShape) -> str:
    value = {1: "8th", 2: "16th", 3: "32nd"}.get(shape.flags, "64th")
    return f"flag{value}{'Up' if shape.up else 'Down'}"


def beamed_stems(
    group: tuple[int, ...], shapes: Sequence[EventShape], xs: Sequence[float], font: MusicFont
) -> tuple[Beam, dict[int, Stem]]:
    """The outermost beam of a group and the stems that reach it. xs: per event."""
    first = shapes[group[0]]
    up = first.up
    places = [stem_x(shapes[index], xs[index], font) for index in group]
    near = tuple(shapes[index].top if up else shapes[index].bottom for index in group)
    if first.event.grace:
        level = min(near) - _GRACE_STEM
        line: tuple[float, float] = (level, level)
    else:
        at = tuple(_half(x - places[0]) for x in places)
        line = beam_line(near, at, tuple(shapes[index].flags for index in group), up,
                         _signs(group, shapes, xs, places[0], font))
    rise = (line[1] - line[0]) / (places[-1] - places[0])
    stems = {}
    for index, x in zip(group, places, strict=True):
        shape = shapes[index]
        stems[index] = Stem(x, shape.bottom if up else shape.top, line[0] + rise * (x - places[0]))
    return Beam(group, up, places[0], line[0], places[-1], line[1]), stems


def _signs(
    group: tuple[int, ...], shapes: Sequence[EventShape], xs: Sequence[float], left: float, font: MusicFont
) -> tuple[Sign, ...]:
    """The accidentals that a group's beams pass. left: x of the first stem."""
    found = []
    for before, index in pairwise(group):
        shape = shapes[index]
        for head in shape.heads:
            if head.sign is None:
                continue
            box, x = sign_box(head.sign, font), xs[index] + head.sign_x - left
            edge = head.y + (box.top if shape.up else box.bottom) * shape.scale
            found.append(Sign(_half(x + box.left * shape.scale), _half(x + box.right * shape.scale), edge,
                              max(shapes[before].flags, shape.flags)))
    return tuple(found)


def _half(value: float) -> float:
    """To half a staff space, so that lines are found again."""
    return round(2 * value) / 2


def stem_mark(shape: EventShape, stem: Stem, index: int, font: MusicFont) -> Line:
    """The stem, from where the head's anchor says to its tip."""
    anchors = font.box(shape.glyph).anchors
    attach = anchors.get("stemUpSE" if shape.up else "stemDownNW", (0.0, 0.0))[1] * shape.scale
    return Line(stem.x, stem.root + attach, stem.x, stem.tip, font.pen.stem, "ink", Tag("note", index))


def flag_mark(shape: EventShape, stem: Stem, index: int, font: MusicFont) -> Glyph:
    """SMuFL 3.3: a flag's origin is the end of the stem before it grew, at the stem's left edge."""
    end = stem.tip - stem_growth(shape, font)
    return Glyph(stem.x - font.pen.stem / 2, end, _flag_name(shape), shape.scale, "ink", Tag("note", index))


def beam_marks(beam: Beam, shapes: Sequence[EventShape], stems: dict[int, Stem], view: BarView) -> list[Mark]:
    """All strokes of a beamed group, lesser beams toward the heads."""
    group = beam.group
    scale = shapes[group[0]].scale
    starts = {start for start, _ in beat_windows(view.meter)}
    onsets = [(shapes[index].event.onset + view.shift) % view.meter.length for index in group]
    grace = shapes[group[0]].event.grace
    runs = beam_runs(
        [shapes[index].flags for index in group],
        [not grace and place > 0 and onset in starts for place, onset in enumerate(onsets)],
        [(onset * 2).denominator != 1 for onset in onsets],
    )
    rise = (beam.y2 - beam.y1) / (beam.x2 - beam.x1)
    half, half_stem = BEAM * scale / 2, view.style.music.pen.stem / 2
    toward = 1 if beam.up else -1
    marks: list[Mark] = []
    for run in runs:
        x1, x2 = stems[group[run.first]].x - half_stem, stems[group[run.last]].x + half_stem
        if run.stub:
            x1, x2 = (x1, x1 + _STUB * scale) if run.stub > 0 else (x2 - _STUB * scale, x2)
        drop = toward * BEAM_STEP * scale * (run.level - 1)
        y1 = beam.y1 + rise * (x1 - beam.x1) + drop
        y2 = beam.y1 + rise * (x2 - beam.x1) + drop
        marks.append(Polygon(((x1, y1 - half), (x2, y2 - half), (x2, y2 + half), (x1, y1 + half))))
    return marks
