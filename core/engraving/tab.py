"""The tab row of one bar: fret numbers on string lines that break behind them.

Where it stands alone it bears the rhythm (rhythm.py). What joins numbers across barlines is legato.py's.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from core.engraving.boxes import mark_box
from core.engraving.drawing import Drawing, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.gestures import SLIDE_ROOM, Edges, bend_marks, gesture_reach, scoop_mark, slide_mark, tail_mark
from core.engraving.inflections import is_slid_down
from core.engraving.measures import GRACE, STAFF_LINE
from core.engraving.rhythm import rhythm_marks, rhythm_reach
from core.engraving.style import Style
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span
from core.study import Event

_LINE_BREAK = 0.22
"""White between a number and the ends of its line."""
_TALLEST_BRACKET = 1.03
"""Em of a number in brackets beside another, in steps of the tab: they are about nine tenths of it high."""
_CRUMB = 0.25
"""A piece of line no longer than this, between two numbers, would look like a dot."""


@dataclass(frozen=True, slots=True)
class Number:
    """A fret number. half: half its width. held: goes on from the event before; tied: into the next;
    small: a grace note's."""

    event: int
    note: int
    string: int
    fret: int | None
    text: str
    size: float
    half: float
    small: bool
    held: bool
    tied: bool


def centre_of(number: Number, x: float, style: Style) -> float:
    """x of a number's centre whose column stands at x: the middle of its head."""
    return x + style.music.head / 2 * (GRACE if number.small else 1.0)


@dataclass(frozen=True, eq=False)
class TabShape:
    """The row before it is stretched. numbers: by column."""

    view: BarView
    columns: tuple[Column, ...]
    numbers: tuple[tuple[Number, ...], ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.5

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Numbers centred under their heads; y from the top string's line down."""
        style = self.view.style
        name = f"{style.signs}-semibold"
        drop, step = face(name).cap_height / 2, style.tab_step
        marks: list[Mark] = []
        breaks: dict[int, list[tuple[float, float]]] = {}
        for x, column in zip(xs, self.numbers, strict=True):
            for number in column:
                scale = number.size / style.fret_size
                centre = centre_of(number, x, style)
                y = step * (number.string - 1)
                marks.append(Text(centre - number.half, y + drop * number.size, number.text, name, number.size, "ink",
                                  Tag("tab", number.event, number.note)))
                edge = number.half + _LINE_BREAK * scale
                breaks.setdefault(number.string, []).append((centre - edge, centre + edge))
            if column:
                marks += self._gestures(column, centre_of(column[-1], x, style))
        strings = len(self.view.instrument.tuning)
        lines: list[Mark] = []
        for string in range(1, strings + 1):
            at = 0.0
            for left, right in breaks.get(string, ()):
                if left > at + _CRUMB:
                    lines.append(Line(at, step * (string - 1), left, step * (string - 1), STAFF_LINE, "staff"))
                at = right
            if width > at + _CRUMB:
                lines.append(Line(at, step * (string - 1), width, step * (string - 1), STAFF_LINE, "staff"))
        boxes = [mark_box(mark, style.music) for mark in marks if not isinstance(mark, Text)]
        top = min([self.numbers_top, *(box.top for box in boxes)])
        bottom = max([step * (strings - 1) + self._off(strings), *(box.bottom for box in boxes)])
        if style.tab_bears_rhythm:
            more, lowest = rhythm_marks(self.view, self.columns, xs, width)
            marks += more
            bottom = max(bottom, lowest)
        return RowInk(Drawing((*lines, *marks)), top, bottom)

    @property
    def numbers_top(self) -> float:
        """y that numbers on the top string keep under."""
        return -self._off(1)

    def _off(self, string: int) -> float:
        """How far numbers reach from their string to either side."""
        tall = face(f"{self.view.style.signs}-semibold").cap_height
        sizes = [number.size for column in self.numbers for number in column if number.string == string]
        return tall / 2 * max(sizes) + 0.1 if sizes else 0.0

    def _gestures(self, numbers: tuple[Number, ...], centre: float) -> list[Mark]:
        """Signs of an event at its highest number, a fall's at its lowest; a slide that legato draws is left to it."""
        index = numbers[-1].event
        names, step = self.view.bar.events[index].articulations, self.view.style.tab_step
        (high, tag), (low, low_tag) = (
            (Edges(centre - one.half, centre + one.half, step * (one.string - 1)), Tag("note", index, one.note))
            for one in (numbers[-1], numbers[0])
        )
        marks: list[Mark] = []
        if "slide" in names and self.view.fingering.events[index].technique != "slide":
            marks.append(slide_mark(high, tag, down=is_slid_down(self.view, index)))
        if "bend" in names:
            marks += bend_marks(high, tag)
        if self.view.style.tab_stands_alone:
            if "fall" in names:
                marks.append(tail_mark(low, low_tag, up=False))
            if "doit" in names:
                marks.append(tail_mark(high, tag, up=True))
            if "scoop" in names:
                marks.append(scoop_mark(low, low_tag))
        return marks


def tab_shape(view: BarView, columns: tuple[Column, ...]) -> TabShape:
    """The numbers of every event. A note held over from the bar before stands in brackets, one held
    within the bar only where the tab bears the rhythm; a ghost note is bracketed too.
    """
    style = view.style
    numbers: list[tuple[Number, ...]] = []
    held: tuple[int, ...] = tuple(pitch.midi for pitch in view.tied_in)
    for column in columns:
        if column.event is None:
            numbers.append(())
            continue
        event = view.bar.events[column.event]
        places = view.fingering.events[column.event].notes
        taken = {place.string for place in places if place}
        found = []
        for index, (note, place) in enumerate(zip(event.notes, places, strict=True)):
            is_held = note.pitch.midi in held
            if is_held and column.onset > 0 and not style.tab_bears_rhythm:
                continue
            text = "×" if place is None else str(place.fret)
            in_brackets = note.ghost or is_held
            if in_brackets:
                text = f"({text})"
            size = _size_of(event, style, in_brackets)
            string = place.string if place else _nearest_string(note.pitch.midi, view, taken)
            taken.add(string)
            half = face(f"{view.style.signs}-semibold").width(text, size) / 2
            found.append(Number(column.event, index, string, place.fret if place else None, text, size, half,
                                event.grace, is_held, note.tie))
        if not event.grace:
            held = tuple(note.pitch.midi for note in event.notes if note.tie)
        numbers.append(tuple(found))
    reaches = [_reach(view, column, found) for column, found in zip(columns, numbers, strict=True)]
    return TabShape(view, columns, tuple(numbers), tuple(reaches))


def _size_of(event: Event, style: Style, in_brackets: bool) -> float:
    """Brackets are taller than figures: in a double stop they must not reach those of the next string."""
    size = style.fret_size * (0.75 if event.grace else 1.0)
    if in_brackets and len(event.notes) > 1:
        size = min(size, _TALLEST_BRACKET * style.tab_step)
    return max(size, min(style.smallest, style.fret_size))


def _nearest_string(midi: int, view: BarView, taken: Collection[int]) -> int:
    """Where a note no hand can take is marked: of the strings not taken, the one whose open note is nearest."""
    tuning = view.instrument.tuning
    away = {len(tuning) - index: abs(pitch.midi - midi) for index, pitch in enumerate(tuning)}
    return min(away, key=lambda string: (string in taken, away[string]))


def _reach(view: BarView, column: Column, numbers: tuple[Number, ...]) -> Reach:
    half_head, reach = view.style.music.head / 2, NOTHING
    if numbers and column.event is not None:
        event = view.bar.events[column.event]
        half = max(number.half for number in numbers)
        more = gesture_reach(event, alone=view.style.tab_stands_alone)
        slide = SLIDE_ROOM if view.fingering.events[column.event].technique == "slide" else 0.0
        reach = Reach(half - half_head + max(more.left, slide), half + half_head + more.right)
    if view.style.tab_bears_rhythm:
        reach = Reach(reach.left, max(reach.right, rhythm_reach(column, view).right))
    return reach
