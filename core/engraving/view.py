"""What the engraver looks at: one bar with all that is known of it, its columns, and its rows' ink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple, Protocol

from core.engraving.drawing import Drawing, NeckDiagram
from core.engraving.rests import rest_parts
from core.engraving.style import Style
from core.guitar import BarFingering
from core.line import BarAnalysis
from core.study import Bar, Instrument, Key, Meter, Pitch, Written


class Part(NamedTuple):
    """What a part of a split bar begins with: which of the whole bar's events and chord symbols; and which
    callouts are its own."""

    event: int
    chord: int
    callouts: tuple[int, ...]


@dataclass(frozen=True, eq=False, slots=True)
class BarView:
    """A bar, what holds in it, and what was computed of it; not where it stands in the study.

    length, shift: of the bar, and where in the metre it begins (a pickup begins late), in quarters.
    key_changed, meter_changed: printed anew here. tied_in: pitches held over from the bar before;
    slid_from: the highest pitch it ended with, where the first note here is slid into;
    heard, key_before: its last alteration on each letter and octave, and its key; reading_in: the
    reading it ended with. label: of the chorus that begins here.
    barline: how the bar ends: "", "double", "dashed", "final" or "repeat". ending_in, ending_on:
    whether the ending over it comes from the bar before, and goes on over the next. rests: how many
    bars of rest it prints as one; 0 of a bar that an earlier one prints. necks: the neck pictures of its
    callouts. part: of a bar too wide for its column, which it shows.
    """

    bar: Bar
    key: Key
    meter: Meter
    length: Fraction
    shift: Fraction
    key_changed: bool
    meter_changed: bool
    analysis: BarAnalysis
    fingering: BarFingering
    tied_in: tuple[Pitch, ...]
    slid_from: Pitch | None
    heard: tuple[tuple[int, int], ...]
    key_before: Key
    reading_in: str
    label: str
    barline: str
    ending_in: bool
    ending_on: bool
    instrument: Instrument
    style: Style
    necks: tuple[NeckDiagram | None, ...]
    rests: int = 1
    part: Part | None = None

    @property
    def is_rest(self) -> bool:
        """Whether the bar is silent and full: one rest stands for it."""
        events = self.bar.events
        return not events or (len(events) == 1 and not events[0].notes and self.length == self.meter.length)


class Column(NamedTuple):
    """A place in the bar where something stands. event: its index, or None (a chord change under a held note,
    a further rest of a silence). rest: the rest that is drawn here."""

    onset: Fraction
    event: int | None
    rest: Written | None = None

    @property
    def rest_length(self) -> Fraction:
        """What its rest is written as, in quarters."""
        return Fraction(0) if self.rest is None else self.rest.value * (2 - Fraction(1, 2**self.rest.dots))


def columns_of(view: BarView) -> tuple[Column, ...]:
    """In time order; grace notes before the note they lead to, the rests of a silence where they begin."""
    bar = view.bar
    columns: list[Column] = []
    for index, event in enumerate(bar.events):
        if event.notes:
            columns.append(Column(event.onset, index))
        else:
            columns += _silence(view, index)
    standing = [one.onset for one in columns if one.event is None or not bar.events[one.event].grace]
    silent: list[Fraction] = []  # compared and not hashed: a hash of a fraction costs ten times as much
    for offset, _ in (*bar.changes, *bar.readings):
        if offset not in standing and offset not in silent:
            silent.append(offset)
    if not silent and columns:
        return tuple(columns)
    if not bar.events and Fraction(0) not in silent:
        silent.append(Fraction(0))
    columns += [Column(offset, None) for offset in silent]
    return tuple(sorted(columns, key=_when))


def _silence(view: BarView, index: int) -> list[Column]:
    """The columns of a rest: as many as it takes to show the beat; in a tuplet it stays as it is written."""
    event = view.bar.events[index]
    parts = () if event.tuplets or view.is_rest else rest_parts(event.onset + view.shift, event.duration, view.meter)
    columns = [Column(event.onset, index, parts[0] if parts else event.written)]
    for part in parts[1:]:
        columns.append(Column(columns[-1].onset + columns[-1].rest_length, None, part))
    return columns


def _when(column: Column) -> Fraction:
    return column.onset


class Reach(NamedTuple):
    """How far a row's ink goes to either side of a column's x, in staff spaces."""

    left: float
    right: float


NOTHING = Reach(0.0, 0.0)


class Span(NamedTuple):
    """Ink that may overhang columns of its row but not its neighbour's ink: from column `first` it
    takes `width`, up to column `until` (None: the barline)."""

    first: int
    until: int | None
    width: float


class Anchor(NamedTuple):
    """An event's ink, for what is tied to it: x of the head's left edge, its width, y of its topmost
    and lowest head, whether the stem goes up, y of the stem's tip, and half a head's height."""

    left: float
    width: float
    top: float
    bottom: float
    up: bool
    tip: float
    half_head: float = 0.5

    @property
    def middle(self) -> float:
        return self.left + self.width / 2


class RowInk(NamedTuple):
    """A row of one bar: its drawing, and the y its ink keeps between. anchors: of the notation row only."""

    drawing: Drawing
    top: float
    bottom: float
    anchors: tuple[Anchor | None, ...] = ()


class RowShape(Protocol):
    """A row of one bar before it is stretched."""

    @property
    def reaches(self) -> Sequence[Reach]:
        """One a column."""

    @property
    def spans(self) -> Sequence[Span]: ...

    @property
    def gap(self) -> float:
        """Least white between the ink of two columns."""

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """xs: where each column stands; width: of the bar."""


@dataclass(frozen=True, eq=False)
class PlainRow:
    """What most rows' shapes share: reaches a column, no spans."""

    reaches: Sequence[Reach]
    spans: Sequence[Span] = field(default=())
    gap: float = 0.4
