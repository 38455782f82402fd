"""The rhythm of a tab that stands alone: stems, beams, flags and dots under its staff, rests in it.

Beams follow the rules of the notation row. A stem stands apart from its number, under the lowest
string, so that it crosses nothing; a whole note has none, a half note a short double one, and a
grace note's small number says enough (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from core.engraving.beaming import beam_groups
from core.engraving.boxes import mark_box
from core.engraving.drawing import Glyph, Line, Mark, Tag
from core.engraving.faces import face
from core.engraving.heads import EventShape, bar_rest, flags_of, rest_glyph
from core.engraving.measures import BEAM
from core.engraving.stems import Beam, Stem, beam_marks, flag_mark, stem_growth
from core.engraving.tuplets import label_of, tuplet_groups, tuplet_marks
from core.engraving.view import NOTHING, BarView, Column, Reach
from core.study import Event, Written

SCALE = 0.8
"""Of flags, beams and dots against those of notation: they go with fret numbers, not with heads."""
_START, _LENGTH = 0.3, 2.9
"""White between a number on the lowest string and a stem, and how long that is."""
_HALF_LENGTH, _HALF_APART = 1.5, 0.36
_DOT_STEP = 0.5
_LEAST_BRACKET = 1.5
"""Length of a tuplet's bracket beside its number."""


def rhythm_reach(column: Column, view: BarView) -> Reach:
    """Room for a rest, or beside a stem for its flag and dots."""
    font = view.style.music
    if column.rest is not None and not view.is_rest:
        value, dots = column.rest
        return Reach(0.0, font.box(rest_glyph(value)).right + (0.75 + _DOT_STEP * (dots - 1) if dots else 0.0))
    if column.event is None or not view.bar.events[column.event].notes or view.bar.events[column.event].grace:
        return NOTHING
    value, dots = view.bar.events[column.event].written
    more = _DOT_STEP * max(dots - 1, 0)
    flag = 1.0 * SCALE if value < 1 else 0.0
    return Reach(0.0, font.head / 2 + flag + (0.95 + more if dots else 0.0))


def rhythm_marks(
    view: BarView, columns: Sequence[Column], places: Sequence[float], width: float
) -> tuple[list[Mark], float]:
    """Marks of a bar, and how far down they reach. places: of the columns; width: of the bar."""
    lowest = view.style.tab_step * (len(view.instrument.tuning) - 1)
    root = lowest + face(f"{view.style.signs}-semibold").cap_height / 2 * view.style.fret_size + _START
    marks: list[Mark] = []
    events = view.bar.events
    font = view.style.music
    if view.is_rest:
        name = bar_rest(view.length)
        rest = Glyph(width / 2 - font.box(name).right / 2, _rest_y(name, view), name, 1.0, "ink",
                     Tag("rest") if events else Tag("bar"))
        return [rest], lowest
    xs: list[float] = []  # of the events
    for column, x in zip(columns, places, strict=True):
        if column.event is not None:
            xs.append(x)
        if column.rest is not None:
            marks += _rest(column.rest, len(xs) - 1, x, view)
    stems, beams = _stems(view, xs, root)
    shapes = [_shape(event) for event in events]
    beamed = {index for beam in beams for index in beam.group}
    for index, stem in stems.items():
        marks += _stem_marks(shapes[index], stem, index, index in beamed, view)
    for beam in beams:
        marks += beam_marks(beam, shapes, stems, view)
    ends = [root + _LENGTH + BEAM * SCALE / 2] * len(events)
    for mark in marks:
        if isinstance(mark, Glyph) and mark.tag:
            ends[mark.tag.event] = max(ends[mark.tag.event], mark_box(mark, font).bottom)
    marks += _tuplets(view, xs, beams, ends)
    bottoms = [mark_box(mark, font).bottom for mark in marks]
    return marks, max([lowest, *bottoms])


def _shape(event: Event) -> EventShape:
    """What beams and flags want to know of a number."""
    value, dots = event.written
    flags = 0 if event.is_rest else flags_of(value)
    return EventShape(event, "noteheadBlack", (), 0.0, False, flags, dots, 0.0, 0.0, 0.0, SCALE)


def _stems(view: BarView, xs: Sequence[float], root: float) -> tuple[dict[int, Stem], list[Beam]]:
    """By event; all end at one height, so beams lie level."""
    tip = root + _LENGTH
    half = view.style.music.head / 2
    groups = beam_groups(view.bar.events, view.meter, view.shift)
    beamed = {index for group in groups for index in group}
    stems = {}
    for index, event in enumerate(view.bar.events):
        value = event.written.value
        if event.is_rest or event.grace or value >= 4:
            continue
        length = _HALF_LENGTH if value == 2 else _LENGTH
        growth = 0.0 if index in beamed else stem_growth(_shape(event), view.style.music)
        stems[index] = Stem(xs[index] + half, root, root + length + growth)
    beams = [Beam(group, False, stems[group[0]].x, tip, stems[group[-1]].x, tip) for group in groups]
    return stems, beams


def _stem_marks(shape: EventShape, stem: Stem, index: int, beamed: bool, view: BarView) -> list[Mark]:
    tag = Tag("note", index)
    half = _HALF_APART / 2 if shape.event.written.value == 2 else 0.0
    marks: list[Mark] = [
        Line(stem.x + side, stem.root, stem.x + side, stem.tip, view.style.music.pen.stem, "ink", tag)
        for side in ((-half, half) if half else (0.0,))
    ]
    right = stem.x + half + 0.35
    if shape.flags and not beamed:
        flag = flag_mark(shape, stem, index, view.style.music)
        marks.append(flag)
        right = mark_box(flag, view.style.music).right + 0.15
    for dot in range(shape.dots):
        marks.append(Glyph(right + _DOT_STEP * dot, stem.root + 0.4, "augmentationDot", 1.0, "ink", tag))
    return marks


def _rest_y(name: str, view: BarView) -> float:
    """A whole rest hangs from the line above the staff's middle, a half rest sits on the one below."""
    strings = len(view.instrument.tuning)
    if name in ("restWhole", "restDoubleWhole"):
        return view.style.tab_step * ((strings - 1) // 2)
    return view.style.tab_step * (strings // 2) if name == "restHalf" else view.style.tab_step * (strings - 1) / 2


def _rest(rest: Written, index: int, x: float, view: BarView) -> list[Mark]:
    font, tag = view.style.music, Tag("rest", index)
    name = rest_glyph(rest.value)
    y = _rest_y(name, view)
    marks: list[Mark] = [Glyph(x, y, name, 1.0, "ink", tag)]
    strings = len(view.instrument.tuning)
    space = view.style.tab_step * (strings - 1 - strings % 2) / 2  # the middle one, or the one over a middle string
    for dot in range(rest.dots):
        right = x + font.box(name).right + 0.35 + _DOT_STEP * dot
        marks.append(Glyph(right, space, "augmentationDot", 1.0, "ink", tag))
    return marks


def _tuplets(view: BarView, xs: Sequence[float], beams: Sequence[Beam], edge: list[float]) -> list[Mark]:
    """Numbers under the beams, outer ones under inner ones; no bracket where one beam is the group, or where the
    group is too narrow for one. edge: y of each event's lowest ink.
    """
    events, half = view.bar.events, view.style.music.head / 2
    exact = {(beam.group[0], beam.group[-1]) for beam in beams}
    marks: list[Mark] = []
    for group in sorted(tuplet_groups(events), key=lambda one: -one.level):
        members = [index for index in range(group.first, group.last + 1) if not events[index].grace]
        first, last = members[0], members[-1]
        label, left, right = label_of(group.tuplet), xs[first] + half - 0.2, xs[last] + half + 0.2
        bracket = (first, last) not in exact and right - left > _LEAST_BRACKET + len(label)
        more, far = tuplet_marks(label, left, right, max(edge[first : last + 1]) - 0.25, False, view.style.music,
                                 bracket=bracket)
        marks += more
        edge[first : last + 1] = [far + 0.1] * (last + 1 - first)
    return marks
