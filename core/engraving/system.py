"""One system: bars side by side at one stretch, their rows stacked, and all that crosses barlines.

y 0 is the top line of the first staff row, x 0 the left end of its lines; staff spaces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from statistics import median
from typing import NamedTuple

from core.engraving.arcs import Placement, arcs_of
from core.engraving.bar import BarInk, BarShape, ink_bar
from core.engraving.boxes import Box, mark_box
from core.engraving.callouts import set_words
from core.engraving.carried import carried_signs
from core.engraving.clearance import obstacles
from core.engraving.crossing import Beyond, LaidBar, joined
from core.engraving.drawing import Arc, Drawing, Glyph, Line, Mark, Tag, Text
from core.engraving.hairpins import hairpins_across
from core.engraving.legato import legato_across
from core.engraving.measures import ROW_GAP, STAFF_LINE, THIN_BARLINE
from core.engraving.overhead import Skyline, is_bare, overhead
from core.engraving.positions import positions_across
from core.engraving.remarks import remarks_of
from core.engraving.rows import STAVES
from core.engraving.signatures import barline_marks, key_marks, meter_marks, repeat_start_marks
from core.engraving.spacing import Gap, stretch_for
from core.engraving.splitting import retagged
from core.engraving.style import Style
from core.engraving.view import BarView, RowInk
from core.engraving.word_boxes import Note, least_room
from core.study import Callout, Key

_AHEAD_GAP = 0.7
_METER_GAP = 0.55
"""More white than elsewhere in the head, between sharps or flats and the meter."""
_CLEF = "gClef8vb"
_CLEF_X, _CLEF_Y = 0.55, 3.0  # a G clef stands on its own line (SMuFL 3.3)
_TAB_CLEF_IN = 0.55
_CROSSING = {"tab": legato_across, "positions": positions_across, "dynamics": hairpins_across}
"""Rows with ink that crosses barlines."""
_ROOM_AFTER = {"strokes": 0.7, "fingers": 0.7, "positions": 0.6, "tab": 0.75, "degrees": 0.55, "readings": 0.5}


class Carried(NamedTuple):
    """A callout's bracket that comes in from an earlier system and ends at onset `stop` of bar `place` here."""

    place: int
    stop: Fraction


@dataclass(frozen=True, slots=True)
class SystemPlan:
    """What to set as one system. width: of the page's column; stretch: None to fill it.

    numbers: printed ones of its bars. opens: the study begins with it, at its first bar. before: the key in force
    before it. tied_in: midi numbers held over from the system before; slurred_in: a slur comes in.
    hairpins: the ones that come in from the system before and go on into the next, "" for none.
    after: the bar that the next system begins with, whose new key or meter is shown ahead;
    last: the one that the system before ends with.
    """

    bars: tuple[BarShape, ...]
    numbers: tuple[int, ...]
    opens: bool
    width: float
    stretch: float | None
    before: Key | None
    tied_in: tuple[int, ...]
    slurred_in: bool
    carried: tuple[Carried, ...]
    after: BarShape | None = None
    last: BarShape | None = None
    hairpins: tuple[str, str] = ("", "")


class Item(NamedTuple):
    """A drawing at x, y of the system; place: which bar of the system it belongs to, or None."""

    drawing: Drawing
    x: float
    y: float
    place: int | None


class BarSpan(NamedTuple):
    """Where a bar lies in its system: its left and right barline."""

    left: float
    right: float


@dataclass(frozen=True, eq=False, slots=True)
class SystemInk:
    """A finished system. top (negative) and bottom: y its ink keeps between; right: where its lines end; rows: y where
    its rows of music end, and words begin."""

    items: tuple[Item, ...]
    bars: tuple[BarSpan, ...]
    top: float
    bottom: float
    right: float
    rows: float


class BarRoom(NamedTuple):
    """What a bar needs beside its music. prefix: of its own signs inside a system; head: of clef and
    signatures where it begins one; ahead: of the new ones among them, at the end of the system
    before; words: width its callouts need at the least."""

    prefix: float
    head: float
    ahead: float
    words: float


@lru_cache(maxsize=2048)
def bar_room(shape: BarShape) -> BarRoom:
    """In staff spaces."""
    style = shape.view.style
    words = least_room(shape.view) if "callouts" in style.rows else 0.0
    staff = ((0.0, 4.0),)
    before = shape.view.key_before
    head = _head(shape, before)[1] + _prefix(shape, True, 0.0, staff, before)[1]
    return BarRoom(_prefix(shape, False, 0.0, staff, before)[1], head, _ahead(shape, 0.0)[1], words)


def _ahead(shape: BarShape, x: float) -> tuple[list[Mark], float]:
    """The courtesy signature of a bar that begins the next system, from the barline x on, and its width."""
    view, font = shape.view, shape.view.style.music
    marks: list[Mark] = []
    at = x
    if view.key_changed and _base(view.style) == "notation":
        signs, width = key_marks(view.key, view.key_before, at + _AHEAD_GAP, font)
        marks += signs
        at += width + _AHEAD_GAP if width else 0.0
    if view.meter_changed:
        signs, width = _meter(view, at + _AHEAD_GAP)
        marks += signs
        at += width + _AHEAD_GAP
    return marks, at - x + (_AHEAD_GAP / 2 if marks else 0.0)


def _prefix(
    shape: BarShape, first: bool, x: float, staves: tuple[tuple[float, float], ...], before: Key | None
) -> tuple[list[Mark], float]:
    """Marks and width; `first` of a system has its key and meter in the head."""
    here, font = shape.view, shape.view.style.music
    marks: list[Mark] = []
    at = x
    if here.bar.repeat_start:
        signs, width = repeat_start_marks(at + (0.0 if not first else 0.3), staves, here.style)
        marks += signs
        at += width + (0.2 if not first else 0.5)
    if first and _base(here.style) == "notation":
        signs, width = carried_signs(here, at)
        marks += signs
        at += width
    if not first and here.key_changed and _base(here.style) == "notation":
        signs, width = key_marks(here.key, before, at + 0.8, font)
        marks += signs
        at += width + 0.8 if width else 0.0
    if not first and here.meter_changed:
        signs, width = _meter(here, at + 0.8)
        marks += signs
        at += width + 0.9
    return marks, at - x


def _head(shape: BarShape, before: Key | None) -> tuple[list[Mark], float]:
    """Marks of the first staff's head, its tab clef apart, and where the music begins."""
    here, font = shape.view, shape.view.style.music
    marks: list[Mark] = []
    if _base(here.style) == "notation":
        marks.append(Glyph(_CLEF_X, _CLEF_Y, _CLEF))
        at = _CLEF_X + font.box(_CLEF).right + 0.5
        signs, width = key_marks(here.key, before if here.key_changed else None, at, font)
        marks += signs
        at += width + (0.5 if width else 0.0)
    else:  # a tab has no key: its numbers say which note is meant
        at = _CLEF_X + _TAB_CLEF_IN + font.box("6stringTabClef").right + 0.7
    if here.meter_changed:
        at += _METER_GAP if len(marks) > 1 else 0.0  # beside the clef
        signs, width = _meter(here, at)
        marks += signs
        at += width + 0.4
    return marks, at


def _base(style: Style) -> str:
    """The first row with a staff, which y 0 is the top of."""
    return next((name for name in style.rows if name in STAVES), "notation")


def _meter(view: BarView, x: float) -> tuple[list[Mark], float]:
    """A time signature from x on in the middle of the first staff, and its width."""
    marks, width = meter_marks(view.meter, x, view.style.music)
    if _base(view.style) == "notation":
        return marks, width
    middle = view.style.tab_step * (len(view.instrument.tuning) - 1) / 2
    return [mark._replace(y=mark.y + middle - 2.0) for mark in marks if isinstance(mark, Glyph)], width


def set_system(plan: SystemPlan) -> SystemInk:
    """The system's ink."""
    return _Setter(plan).run()


class _Setter:
    """Stacks one system; lives as long as one call of `set_system`."""

    def __init__(self, plan: SystemPlan) -> None:
        self.plan = plan
        self.style: Style = plan.bars[0].view.style
        self.items: list[Item] = []
        self.strings = len(plan.bars[0].view.instrument.tuning)
        rows = [name for name in self.style.rows if name in plan.bars[0].rows]
        self.base = _base(self.style)
        split = rows.index(self.base) if self.base in rows else 0
        self.above, self.below = rows[:split], rows[split + 1 :]
        self.top, self.bottom = 0.0, 4.0
        self._place_bars()

    def _place_bars(self) -> None:
        """Widths at the stretch that fills the column, and each bar's left edge."""
        plan = self.plan
        self.head, start = _head(plan.bars[0], plan.before)
        first, *others = plan.bars
        prefixes = [_prefix(first, True, 0.0, ((0.0, 4.0),), None)[1], *(bar_room(shape).prefix for shape in others)]
        stretch, squeeze = plan.stretch, 1.0
        if stretch is None:
            gaps: list[Gap] = [gap for shape in plan.bars for gap in shape.gaps]
            ahead = bar_room(plan.after).ahead if plan.after else 0.0
            room = plan.width - start - sum(prefixes) - ahead
            stretch = stretch_for(gaps, room)
            if not stretch and room > 0:  # one bar wider than the column: better close together than off the page
                squeeze = min(1.0, room / sum(gap.rod for gap in gaps))
        self.inks: list[BarInk] = [ink_bar(shape, stretch, squeeze) for shape in plan.bars]
        self.lefts: list[float] = []
        self.spans: list[BarSpan] = []
        at = start
        for index, (ink, prefix) in enumerate(zip(self.inks, prefixes, strict=True)):
            self.spans.append(BarSpan(0.0 if index == 0 else at, at + prefix + ink.width))
            self.lefts.append(at + prefix)
            at += prefix + ink.width
        self.start, self.right = start, at
        self.ahead, width = _ahead(plan.after, at) if plan.after else ([], 0.0)
        self.end = at + width

    def run(self) -> SystemInk:
        self.base_row = self._row(self.base)
        arcs = self._arcs()
        tops, bottoms = self._extents(arcs)
        for place, marks in _by_bar(arcs):
            self._add(marks, 0.0, 0.0, place)
        self._rows_above(tops)
        y = self._rows_below(bottoms)
        self._lines()
        self._signs()
        self.bottom = max(self.bottom, y)
        ends = [*bottoms, self.staves[-1][1]]
        if self.base == "notation":
            ends.append(_CLEF_Y + self.style.music.box(_CLEF).bottom)
        clear = max(y, max(ends) + _ROOM_AFTER["tab"])  # brackets hook upward
        words = set_words(self._notes(), self._carried(), clear, self.right if self.right > self.plan.width * 0.8
                          else self.plan.width, self.style, self.start)
        self.items += [Item(ink.drawing, ink.x, ink.y, ink.bar) for ink in words.ink]
        self.bottom = max(self.bottom, words.bottom)
        return SystemInk(tuple(self.items), tuple(self.spans), self.top, self.bottom, self.end, max(y, *ends))

    def _add(self, marks: Sequence[Mark], x: float, y: float, place: int | None) -> None:
        if marks:
            self.items.append(Item(Drawing(tuple(marks)), x, y, place))

    def _row(self, name: str) -> list[RowInk]:
        """The row's ink bar by bar, what of it crosses barlines included."""
        rows = [ink.rows[name] for ink in self.inks]
        if name not in _CROSSING:
            return self._whole(rows)
        laid = [
            LaidBar(ink.shape.view, ink.shape.columns, ink.shape.rows[name], ink.xs, left, left + ink.width)
            for ink, left in zip(self.inks, self.lefts, strict=True)
        ]
        last, after = (None if one is None else one.rows[name] for one in (self.plan.last, self.plan.after))
        marks = _CROSSING[name](laid, Beyond(self.lefts[0], self.right, last, after, self.plan.hairpins))
        return self._whole(joined(rows, marks, laid, self.style.music))

    def _whole(self, rows: list[RowInk]) -> list[RowInk]:
        """The same ink, that of a split bar's part tagged by its place in the whole bar."""
        parts = [shape.view.part for shape in self.plan.bars]
        return [row if part is None else row._replace(drawing=Drawing(retagged(row.drawing.marks, part)))
                for row, part in zip(rows, parts, strict=True)]

    def _arcs(self) -> list[tuple[int, Arc]]:
        if self.base != "notation":
            return []
        places = []
        for place, (ink, left) in enumerate(zip(self.inks, self.lefts, strict=True)):
            anchors = ink.rows["notation"].anchors
            for event, anchor in zip(ink.shape.view.bar.events, anchors, strict=False):
                places.append(Placement(event, anchor, left, place))
        return arcs_of(places, self.lefts[0], self.right, self.plan.tied_in, self.plan.slurred_in, self._ink_between)

    def _ink_between(self, first: int, last: int) -> list[Box]:
        """What ties and slurs of those bars have to clear, in the system's own places."""
        return [
            box._replace(left=box.left + self.lefts[place], right=box.right + self.lefts[place])
            for place in range(first, last + 1)
            for box in obstacles(self.base_row[place].drawing, self.style.music)
        ]

    def _extents(self, arcs: list[tuple[int, Arc]]) -> tuple[list[float], list[float]]:
        """Top and bottom of each bar's base row, its arcs included."""
        tops = [min(row.top, 0.0) for row in self.base_row]
        bottoms = [row.bottom for row in self.base_row]
        for mark in carried_signs(self.inks[0].shape.view, 0.0)[0] if self.base == "notation" else ():
            box = mark_box(mark, self.style.music)
            tops[0], bottoms[0] = min(tops[0], box.top), max(bottoms[0], box.bottom)
        for place, one in arcs:
            ys = [one.start[1], one.end[1], (one.start[1] + one.end[1]) / 8 + (one.far[0][1] + one.far[1][1]) * 3 / 8]
            last = max(i for i, left in enumerate(self.lefts) if left <= one.end[0] or i == place)
            for bar in range(place, last + 1):
                tops[bar], bottoms[bar] = min(tops[bar], *ys), max(bottoms[bar], *ys)
        return tops, bottoms

    def _rows_above(self, tops: list[float]) -> None:
        """Chord symbols (and any row named before the staff) upward from the ink."""
        edges = list(tops)
        for name in reversed(self.above):
            rows = self._row(name)
            needed = [min(-1.7, edge - 0.4 - row.bottom) for edge, row in zip(edges, rows, strict=True)]
            busy = [y for y, row in zip(needed, rows, strict=True) if row.drawing.marks]
            if not busy:
                continue
            usual = min(needed) if name in _CROSSING else min(y for y in busy if y >= median(busy) - 2.5)
            for place, (row, y) in enumerate(zip(rows, needed, strict=True)):
                baseline = min(y, usual)
                if row.drawing.marks:
                    self.items.append(Item(row.drawing, self.lefts[place], baseline, place))
                if row.top < row.bottom:
                    edges[place] = min(edges[place], baseline + row.top)
        self.top = min(self.top, *edges)

    def _rows_below(self, bottoms: list[float]) -> float:
        """The base row and those under it; returns the y where their ink ends."""
        edges = list(bottoms)
        self.staves = [(0.0, 4.0 if self.base == "notation" else self.style.tab_step * (self.strings - 1))]
        room = _ROOM_AFTER.get(self.base, ROW_GAP)
        for place, row in enumerate(self.base_row):
            self.items.append(Item(row.drawing, self.lefts[place], 0.0, place))
        for name in self.below:
            rows = self._row(name)
            if not any(row.drawing.marks for row in rows):
                continue
            y = max(edge - row.top for edge, row in zip(edges, rows, strict=True)) + room
            if name == "tab" and self.base == "notation":  # its top line stays clear of the clef's 8
                y = max(y, _CLEF_Y + self.style.music.box(_CLEF).bottom + ROW_GAP)
                self.staves.append((y, y + self.style.tab_step * (self.strings - 1)))
            for place, row in enumerate(rows):
                if row.drawing.marks:
                    self.items.append(Item(row.drawing, self.lefts[place], y, place))
            lowest = max(y + row.bottom for row in rows)
            edges = [lowest] * len(edges)
            room = _ROOM_AFTER.get(name, ROW_GAP)
        return max(*edges, *(bottom for _, bottom in self.staves))

    def _lines(self) -> None:
        """Staff lines, the tab's lines before and between bars, and barlines."""
        marks: list[Mark] = []
        staves = tuple(self.staves)
        if self.base == "notation":
            for line in range(5):
                marks.append(Line(0.0, line, self.end, line, STAFF_LINE, "staff"))
        if "tab" in (*self.below, self.base):
            top = staves[-1][0]
            for left, right in self._blanks():
                for string in range(self.strings):
                    y = top + self.style.tab_step * string
                    marks.append(Line(left, y, right, y, STAFF_LINE, "staff"))
        marks.append(Line(THIN_BARLINE / 2, staves[0][0] - STAFF_LINE / 2, THIN_BARLINE / 2,
                          staves[-1][1] + STAFF_LINE / 2, THIN_BARLINE))
        self._add(marks, 0.0, 0.0, None)
        ends = ((staves[0][0] - STAFF_LINE / 2, staves[0][1]), (staves[-1][0], staves[-1][1] + STAFF_LINE / 2))
        joined = ends if len(staves) > 1 else ((ends[0][0], ends[1][1]),)
        for place, (ink, span) in enumerate(zip(self.inks, self.spans, strict=True)):
            kind = ink.shape.view.barline
            after = next((one.shape.view for one in self.inks[place + 1 :] if one.shape.view.rests), None)
            if not ink.shape.view.rests or (after and after.bar.repeat_start and kind != "repeat"):
                continue
            self._add(barline_marks(kind, span.right, joined, self.style), 0.0, 0.0, place)

    def _blanks(self) -> list[tuple[float, float]]:
        """x ranges of the tab staff that no bar's own lines cover."""
        blanks = [(0.0, self.lefts[0])]
        for before, left in zip(self.spans, self.lefts[1:], strict=False):
            if left > before.right:
                blanks.append((before.right, left))
        if self.end > self.right:
            blanks.append((self.right, self.end))
        return blanks

    def _signs(self) -> None:
        """Clefs, signatures, numbers, labels, endings."""
        staves = tuple(self.staves)
        self._add([*self.head, *self.ahead], 0.0, 0.0, None)
        if "tab" in (*self.below, self.base):
            top, bottom = staves[-1]
            name = f"{6 if self.strings > 5 else 4}stringTabClef"
            self._add([Glyph(_CLEF_X + _TAB_CLEF_IN, (top + bottom) / 2, name)], 0.0, 0.0, None)
        key = self.plan.before
        for place, shape in enumerate(self.plan.bars):
            left = self.spans[place].left if place else self.start
            marks, _ = _prefix(shape, place == 0, left, staves, key)
            self._add(marks, 0.0, 0.0, place)
            key = shape.view.key
        name = self.style.signs
        part = self.plan.bars[0].view.part
        if not self.plan.opens and not (part and part.event):
            number = Text(0.0, -1.75, str(self.plan.numbers[0]), name, self.style.number_size, "quiet", Tag("bar"))
            self._add([number], 0.0, 0.0, 0)
            self.top = min(self.top, -3.0)
        self._overhead()

    def _overhead(self) -> None:
        """Endings, signs, labels and jumps, on whatever ink is under them."""
        views = [shape.view for shape in self.plan.bars]
        if all(map(is_bare, views)):
            return
        skyline = Skyline([item[:3] for item in self.items if item.y <= 0], self.style.music)
        for place, marks in overhead(views, self.spans, self.start, skyline, self.style):
            self._add(marks, 0.0, 0.0, place)
            self.top = min(self.top, *(mark_box(mark, self.style.music).top for mark in marks))

    def _x_at(self, place: int, onset: Fraction, *, stop: bool) -> float:
        """Left (or right) edge of the head at that onset, or of the last before it."""
        ink = self.inks[place]
        best = 0
        for index, column in enumerate(ink.shape.columns):
            if column.onset <= onset:
                best = index
        return self.lefts[place] + ink.xs[best] + (self.style.music.head if stop else 0.0)

    def _notes(self) -> list[Note]:
        """The words under this system: callouts that begin in it, and comments."""
        if "callouts" not in self.style.rows:
            return []
        notes = []
        for place, shape in enumerate(self.plan.bars):
            bar = shape.view.bar
            for index, callout in enumerate(bar.callouts):
                notes.append(self._callout(place, index, callout))
            remarks = remarks_of(bar) if "degrees" in self.style.rows else ()
            if bar.comment.strip() or remarks:
                left = self.start if place == 0 else self.spans[place].left
                notes.append(Note(place, Tag("comment"), _bar_name(self.plan.numbers[place]), bar.comment.strip(), left,
                                  self.spans[place].right, is_comment=True, remarks=remarks))
        return sorted(notes, key=lambda note: (note.is_comment, note.bar, note.left))

    def _callout(self, place: int, index: int, callout: Callout) -> Note:
        left = self._x_at(place, callout.start, stop=False)
        end = place + callout.bars_on
        runs_on = end >= len(self.inks)
        right = self.right if runs_on else self._x_at(end, callout.stop, stop=True)
        right = max(right, left + self.style.music.head)
        view = self.plan.bars[place].view
        tag = Tag("callout", view.part.callouts[index] if view.part else index)
        return Note(place, tag, callout.heading, callout.text, left, right, runs_on=runs_on, neck=view.necks[index])

    def _carried(self) -> list[tuple[float, float]]:
        if "callouts" not in self.style.rows:
            return []
        found = []
        for one in self.plan.carried:
            right = self.right if one.place >= len(self.inks) else self._x_at(one.place, one.stop, stop=True)
            found.append((self.start + 0.3, right))
        return found


def _bar_name(number: int) -> str:
    return f"Bar {number}" if number else "Pickup"


def _by_bar(arcs: list[tuple[int, Arc]]) -> list[tuple[int, list[Arc]]]:
    found: dict[int, list[Arc]] = {}
    for place, one in arcs:
        found.setdefault(place, []).append(one)
    return list(found.items())
