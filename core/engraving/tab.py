"""The tab row of one bar: fret numbers on string lines that break behind them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from core.engraving.drawing import Drawing, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.measures import GRACE, HEAD, STAFF_LINE, TAB_STEP
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span

_LINE_BREAK = 0.22
"""White between a number and the ends of its line."""


@dataclass(frozen=True, slots=True)
class _Number:
    """A fret number. half: half its width."""

    event: int
    note: int
    string: int
    text: str
    size: float
    half: float


@dataclass(frozen=True, eq=False)
class TabShape:
    """The row before it is stretched. numbers: by column."""

    view: BarView
    columns: tuple[Column, ...]
    numbers: tuple[tuple[_Number, ...], ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.5

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Numbers centred under their heads; y from the top string's line down."""
        style = self.view.style
        name = f"{style.signs}-semibold"
        drop = face(name).cap_height / 2
        marks: list[Mark] = []
        breaks: dict[int, list[tuple[float, float]]] = {}
        for x, column in zip(xs, self.numbers, strict=True):
            for number in column:
                scale = number.size / style.fret_size
                centre = x + HEAD / 2 * (GRACE if scale < 1 else 1.0)
                y = TAB_STEP * (number.string - 1)
                marks.append(Text(centre - number.half, y + drop * number.size, number.text, name, number.size, "ink",
                                  Tag("tab", number.event, number.note)))
                edge = number.half + _LINE_BREAK * scale
                breaks.setdefault(number.string, []).append((centre - edge, centre + edge))
        strings = len(self.view.instrument.tuning)
        lines: list[Mark] = []
        for string in range(1, strings + 1):
            at = 0.0
            for left, right in breaks.get(string, ()):
                if left > at:
                    lines.append(Line(at, TAB_STEP * (string - 1), left, TAB_STEP * (string - 1), STAFF_LINE, "staff"))
                at = right
            if width > at:
                lines.append(Line(at, TAB_STEP * (string - 1), width, TAB_STEP * (string - 1), STAFF_LINE, "staff"))
        top = -0.75 if breaks.get(1) else 0.0
        bottom = TAB_STEP * (strings - 1) + (0.75 if breaks.get(strings) else 0.0)
        return RowInk(Drawing((*lines, *marks)), top, bottom)


def tab_shape(view: BarView, columns: tuple[Column, ...]) -> TabShape:
    """The numbers of every event. A note held over from the bar before stands in brackets, one held
    within the bar not at all; a ghost note is bracketed too.
    """
    numbers: list[tuple[_Number, ...]] = []
    held: tuple[int, ...] = tuple(pitch.midi for pitch in view.tied_in)
    for column in columns:
        if column.event is None:
            numbers.append(())
            continue
        event = view.bar.events[column.event]
        size = view.style.fret_size * (0.75 if event.grace else 1.0)
        places = view.fingering.events[column.event].notes
        taken = {place.string for place in places if place}
        found = []
        for index, (note, place) in enumerate(zip(event.notes, places, strict=True)):
            is_held = note.pitch.midi in held
            if is_held and column.onset > 0:
                continue
            text = "×" if place is None else str(place.fret)
            if note.ghost or is_held:
                text = f"({text})"
            string = place.string if place else _nearest_string(note.pitch.midi, view, taken)
            taken.add(string)
            half = face(f"{view.style.signs}-semibold").width(text, size) / 2
            found.append(_Number(column.event, index, string, text, size, half))
        if not event.grace:
            held = tuple(note.pitch.midi for note in event.notes if note.tie)
        numbers.append(tuple(found))
    return TabShape(view, columns, tuple(numbers), tuple(map(_reach, numbers)))


def _nearest_string(midi: int, view: BarView, taken: Collection[int]) -> int:
    """Where a note no hand can take is marked: of the strings not taken, the one whose open note is nearest."""
    tuning = view.instrument.tuning
    away = {len(tuning) - index: abs(pitch.midi - midi) for index, pitch in enumerate(tuning)}
    return min(away, key=lambda string: (string in taken, away[string]))


def _reach(column: tuple[_Number, ...]) -> Reach:
    if not column:
        return NOTHING
    half = max(number.half for number in column)
    return Reach(half - HEAD / 2, half + HEAD / 2)
