"""The notation row of one bar: heads, stems, beams, rests, dots, accidentals, tuplets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.engraving.accidentals import altered, shown_accidentals, sign_box, sign_marks
from core.engraving.articulations import articulation_marks
from core.engraving.boxes import mark_box
from core.engraving.drawing import Drawing, Glyph, Line, Mark, Tag
from core.engraving.heads import EventShape, bar_rest, rest_glyph, rest_marks, rest_right, shape_event
from core.engraving.inflections import Sides, inflection_marks, inflection_reach, is_slid_down, turn_mark
from core.engraving.measures import BEAM, LEDGER_OVERHANG
from core.engraving.multirest import run_marks
from core.engraving.smufl import MusicFont
from core.engraving.stems import (
    Beam,
    Stem,
    beam_marks,
    beamed_stems,
    directions,
    flag_mark,
    flag_width,
    free_stem,
    groups_of,
    stem_mark,
)
from core.engraving.tuplets import label_of, tuplet_groups, tuplet_marks
from core.engraving.view import NOTHING, Anchor, BarView, Column, Reach, RowInk, Span

_GHOST_GAP = 0.12
_GHOST_ROOM, _TALLEST_GHOST = 1.6, 1.25
_DOT_CLEAR = 0.12
_SIGN_CLEAR = 0.1
"""White between an accidental and the ledger line of its note."""


@dataclass(frozen=True, eq=False)
class NotationShape:
    """The row before it is stretched."""

    view: BarView
    columns: tuple[Column, ...]
    shapes: tuple[EventShape, ...]
    groups: tuple[tuple[int, ...], ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.3

    @property
    def beamed(self) -> frozenset[int]:
        """The events under a beam."""
        return frozenset(index for group in self.groups for index in group)

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Everything the bar has on the staff, the staff's own lines and barlines apart."""
        if not self.view.rests:
            return RowInk(Drawing(()), 0.0, 4.0)
        if self.view.rests > 1:
            return RowInk(Drawing(tuple(run_marks(self.view.rests, width, self.view.style.music))), -2.8, 4.0)
        if self.view.is_rest:
            name = bar_rest(self.view.length)
            rest = Glyph(width / 2 - self.view.style.music.box(name).right / 2, _rest_y(name), name, 1.0, "ink",
                         Tag("rest") if self.shapes else Tag("bar"))
            return RowInk(Drawing((rest,)), 0.0, 4.0, (None,) * len(self.shapes))
        return _Inker(self, xs).run()


def notation_shape(view: BarView, columns: tuple[Column, ...]) -> NotationShape:
    """Heads and accidentals of every event, and the room they need."""
    font = view.style.music
    events = view.bar.events
    groups = groups_of(view)
    ups = directions(events, groups)
    courtesy = view.style.courtesy
    before = altered(view.heard, view.key_before) if courtesy != "none" else None
    signs = shown_accidentals(events, view.key, view.tied_in, before, brackets=courtesy == "brackets")
    shapes = tuple(shape_event(event, sign, up, font) for event, sign, up in zip(events, signs, ups, strict=True))
    beamed = {index for group in groups for index in group}
    reaches = tuple(
        _rest_reach(column, view) if column.rest is not None or column.event is None
        else _reach(shapes[column.event], column.event in beamed, font)
        for column in columns
    )  # fmt: skip
    return NotationShape(view, columns, shapes, groups, reaches)


def _sides(shape: EventShape, beamed: bool, font: MusicFont) -> Sides:
    """How far its heads and what hangs on them reach, a free flag included."""
    right = shape.right
    if shape.flags and shape.up and not beamed:
        right = max(right, shape.head_width + flag_width(shape, font))
    if shape.dots and not shape.is_rest:
        right = max(right, _dot_x(shape, beamed, font) + 0.4 + 0.55 * (shape.dots - 1))
    return Sides(shape.left, right)


def _rest_reach(column: Column, view: BarView) -> Reach:
    """Of a column without notes; a rest of a whole bar stands in its middle."""
    if column.rest is None or view.is_rest:
        return NOTHING
    return Reach(0.0, rest_right(column.rest, view.style.music))


def _rest_y(name: str) -> float:
    """A whole rest hangs from the fourth line, the others stand on the middle one (SMuFL 4.41)."""
    return 1.0 if name == "restWhole" else 2.0


def _reach(shape: EventShape, beamed: bool, font: MusicFont) -> Reach:
    inset = _inset(shape, font)
    left, right = inflection_reach(shape, _sides(shape, beamed, font), font)
    return Reach(left + inset, right - inset)


def _dot_x(shape: EventShape, beamed: bool, font: MusicFont) -> float:
    """Of an event's first dot: beyond the flag where it would hang into it."""
    if not (shape.dots and shape.flags and shape.up and not beamed):
        return shape.dot_x
    flag = flag_mark(shape, free_stem(shape, 0.0, font), 0, font)
    hangs = flag.y + font.box(flag.name).bottom * shape.scale
    if hangs < shape.top - 0.7:
        return shape.dot_x
    return max(shape.dot_x, flag.x + font.box(flag.name).right * shape.scale + _DOT_CLEAR)


def _inset(shape: EventShape, font: MusicFont) -> float:
    """How far left of its column an event begins: heads wider than a black one stand about its middle."""
    return 0.0 if shape.is_rest else max(0.0, (shape.head_width - font.head * shape.scale) / 2)


class _Inker:
    """Collects the marks of one bar at given places; lives as long as one call of `ink`."""

    def __init__(self, row: NotationShape, xs: Sequence[float]) -> None:
        self.source = row
        self.font: MusicFont = row.view.style.music
        self.xs = [0.0] * len(row.shapes)
        self.marks: list[Mark] = []
        event = 0
        for column, x in zip(row.columns, xs, strict=True):
            if column.event is not None:
                event = column.event
                self.xs[event] = x - _inset(row.shapes[event], self.font)
            if column.rest is not None:
                y = _rest_y(rest_glyph(column.rest.value))
                self.marks += rest_marks(column.rest, x, y, self.font, Tag("rest", event))
        self.top, self.bottom = 0.0, 4.0
        self.stems: dict[int, Stem] = {}
        self.beams: list[Beam] = []
        self.signs: dict[int, tuple[float, float]] = {}  # of each event with articulations, the reach of its ink

    def run(self) -> RowInk:
        """All marks, in the order they lie over each other."""
        shapes = self.source.shapes
        for group in self.source.groups:
            beam, stems = beamed_stems(group, shapes, self.xs, self.font)
            self.beams.append(beam)
            self.stems.update(stems)
        for index, shape in enumerate(shapes):
            if not shape.is_rest:
                self._note(index, shape)
        for beam in self.beams:
            self.marks += beam_marks(beam, shapes, self.stems, self.source.view)
            self._reach(min(beam.y1, beam.y2) - 0.25, max(beam.y1, beam.y2) + 0.25)
        self._tuplets()
        return RowInk(Drawing(tuple(self.marks)), self.top, self.bottom, self._anchors())

    def _reach(self, top: float, bottom: float) -> None:
        self.top = min(self.top, top)
        self.bottom = max(self.bottom, bottom)

    def _note(self, index: int, shape: EventShape) -> None:
        x, beamed = self.xs[index], index in self.stems
        self._ledgers(index, shape, x)
        spaces: set[float] = set()
        dot_x = x + _dot_x(shape, beamed, self.font)
        for place, head in enumerate(shape.heads):
            tag = Tag("note", index, place)
            self.marks.append(Glyph(x + head.x, head.y, shape.glyph, shape.scale, "ink", tag))
            if head.sign is not None:
                signed = sign_box(head.sign, self.font)
                self.marks += sign_marks(head.sign, (x + head.sign_x, head.y), shape.scale, self.font, tag)
                self._reach(head.y + signed.top * shape.scale, head.y + signed.bottom * shape.scale)
            space = head.y if (head.y * 2) % 2 else head.y - 0.5  # a dot on a line moves to the space above
            if shape.dots and space not in spaces:
                spaces.add(space)
                for dot in range(shape.dots):
                    self.marks.append(Glyph(dot_x + 0.55 * dot, space, "augmentationDot", shape.scale, "ink", tag))
        self._ghosts(index, shape, x)
        self._reach(shape.top - self.font.half_head, shape.bottom + self.font.half_head)
        tip = shape.top if shape.up else shape.bottom
        if shape.has_stem:
            stem = self.stems.setdefault(index, free_stem(shape, x, self.font))
            tip = stem.tip
            self.marks.append(stem_mark(shape, stem, index, self.font))
            if shape.flags and not beamed:
                flag = flag_mark(shape, stem, index, self.font)
                box = self.font.box(flag.name)
                self.marks.append(flag)
                self._reach(flag.y + box.top * shape.scale, flag.y + box.bottom * shape.scale)
                if shape.event.grace:
                    self.marks.append(Line(stem.x - 0.75, stem.tip + 1.75, stem.x + 0.85, stem.tip + 0.55, STEM_SLASH,
                                       "ink", Tag("note", index)))
            self._reach(min(tip, shape.top), max(tip, shape.bottom))
        if shape.event.articulations:
            self._articulate(index, tip)

    def _articulate(self, index: int, tip: float) -> None:
        shape, x = self.source.shapes[index], self.xs[index]
        beamed = index in self.source.beamed
        if beamed:
            tip += BEAM / 2 * (-1 if shape.up else 1)
        marks, top, bottom = articulation_marks(shape, x, tip, index, self.font)
        if "turn" in shape.event.articulations:
            marks.append(turn_mark(shape, x, top, index, self.font))
        from_above = is_slid_down(self.source.view, index)
        marks += inflection_marks(shape, x, index, _sides(shape, beamed, self.font), from_above=from_above)
        boxes = [mark_box(mark, self.font) for mark in marks]
        self.marks += marks
        self.signs[index] = min([top, *(box.top for box in boxes)]), max([bottom, *(box.bottom for box in boxes)])
        self._reach(*self.signs[index])

    def _ghosts(self, index: int, shape: EventShape, x: float) -> None:
        """Brackets outside all heads, one pair for ghost notes that lie too close for two."""
        runs: list[list[float]] = []
        for head in shape.heads:
            if head.ghost and runs and runs[-1][-1] - head.y < _GHOST_ROOM:
                runs[-1].append(head.y)
            elif head.ghost:
                runs.append([head.y])
        tag = Tag("note", index)
        left = self.font.box("noteheadParenthesisLeft")
        for run in runs:
            scale = shape.scale * min(_TALLEST_GHOST, 1 + (run[0] - run[-1]) / 2)
            y = (run[0] + run[-1]) / 2
            self._reach(y + left.top * scale, y + left.bottom * scale)
            first, last = min(head.x for head in shape.heads), max(head.x for head in shape.heads) + shape.head_width
            self.marks.append(Glyph(x + first - _GHOST_GAP - left.right * shape.scale, y,
                                    "noteheadParenthesisLeft", scale, "ink", tag))
            self.marks.append(Glyph(x + last + _GHOST_GAP, y, "noteheadParenthesisRight", scale, "ink", tag))

    def _ledgers(self, index: int, shape: EventShape, x: float) -> None:
        lines: set[int] = set()
        for head in shape.heads:
            lines.update(range(-1, int(-(-head.y // 1)) - 1, -1))  # above: -1 … down to the head
            lines.update(range(5, int(head.y // 1) + 1))
        if not lines:
            return
        over, tag = LEDGER_OVERHANG * shape.scale, Tag("note", index)
        left = min(head.x for head in shape.heads) - over
        right = max(head.x for head in shape.heads) + shape.head_width + over
        signs = [head.sign_x + sign_box(head.sign, self.font).right * shape.scale
                 for head in shape.heads if head.sign is not None]
        left = max([left, *(edge + _SIGN_CLEAR for edge in signs)])  # shorter beside an accidental
        for line in sorted(lines):
            self.marks.append(Line(x + left, line, x + right, line, self.font.pen.ledger, "staff", tag))

    def _tuplets(self) -> None:
        shapes = self.source.shapes
        beams = {(beam.group[0], beam.group[-1]): beam for beam in self.beams}
        for group in sorted(tuplet_groups(self.source.view.bar.events), key=lambda g: -g.level):
            members = [i for i in range(group.first, group.last + 1) if not shapes[i].event.grace]
            notes = [i for i in members if shapes[i].heads]
            above = 2 * sum(shapes[i].up for i in notes) >= len(notes)
            beam = beams.get((members[0], members[-1]))
            bracket = beam is None
            if beam is not None:
                above = beam.up
                left, right = beam.x1, beam.x2
                edge = min(beam.y1, beam.y2) if above else max(beam.y1, beam.y2)
                y = (beam.y1 + beam.y2) / 2 if abs(beam.y1 - beam.y2) < 1 else edge
                y += -0.25 if above else 0.25
            else:
                left = self.xs[members[0]]
                right = self.xs[members[-1]] + shapes[members[-1]].head_width
                ys = [self._edge(i, above) for i in notes] or [0.0 if above else 4.0]
                y = min(*ys, -0.1) if above else max(*ys, 4.1)
            signs = [self.signs[i] for i in members if i in self.signs]
            y = min([y, *(top for top, _ in signs)]) if above else max([y, *(bottom for _, bottom in signs)])
            if group.level == 0 and max(len(shapes[i].event.tuplets) for i in members) > 1:
                y = min(y, self.top) if above else max(y, self.bottom)
            marks, far = tuplet_marks(label_of(group.tuplet), left, right, y, above, self.font, bracket=bracket)
            self.marks += marks
            self._reach(far, far)

    def _edge(self, index: int, above: bool) -> float:
        shape = self.source.shapes[index]
        stem = self.stems.get(index)
        if above:
            return min(shape.top - 0.5, stem.tip - 0.2 if stem else 9.0)
        return max(shape.bottom + 0.5, stem.tip + 0.2 if stem else -9.0)

    def _anchors(self) -> tuple[Anchor | None, ...]:
        found: list[Anchor | None] = []
        for index, shape in enumerate(self.source.shapes):
            if shape.is_rest:
                found.append(None)
                continue
            stem = self.stems.get(index)
            tip = stem.tip if stem else (shape.top if shape.up else shape.bottom)
            found.append(Anchor(self.xs[index], shape.head_width, shape.top, shape.bottom, shape.up, tip,
                                self.font.half_head * shape.scale))
        return tuple(found)


STEM_SLASH = 0.12
