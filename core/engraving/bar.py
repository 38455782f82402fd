"""One bar, engraved once: its rows' shapes and the gaps between its columns; then, at a stretch, its ink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from core.engraving.rows import ROWS
from core.engraving.spacing import Gap, spread, spring_of, width_at
from core.engraving.view import BarView, Column, RowInk, RowShape, columns_of

_LEAD = 1.1
"""From the barline to the first column, before its accidentals."""
_TAIL = 0.75
"""From the last column's ink to the barline."""
_RUN = 11.0
"""A bar that stands for several bars of rest."""
_BARLINE_ROOM = {"double": 0.4, "final": 0.8, "repeat": 1.6}


@dataclass(frozen=True, eq=False, slots=True)
class BarShape:
    """rows: by name, in the style's order. gaps: barline to first column, column to column, last
    column to barline. natural: width at the style's own stretch; least: at no stretch; both in
    staff spaces.
    """

    view: BarView
    columns: tuple[Column, ...]
    rows: dict[str, RowShape]
    gaps: tuple[Gap, ...]
    natural: float
    least: float


@dataclass(frozen=True, eq=False, slots=True)
class BarInk:
    """A bar at a given stretch. xs: of the columns, from the barline on the left."""

    shape: BarShape
    width: float
    xs: tuple[float, ...]
    rows: dict[str, RowInk]


def shape_bar(view: BarView) -> BarShape:
    """Everything about the bar that does not depend on how wide it is set."""
    columns = columns_of(view) if view.rests else ()
    rows = {name: ROWS[name](view, columns) for name in view.style.rows if name in ROWS}
    gaps = _gaps(view, columns, tuple(rows.values())) if view.rests else (Gap(0.0, 0.0),)
    eighth = view.style.eighth
    return BarShape(view, columns, rows, gaps, width_at(gaps, eighth), width_at(gaps, 0.0))


def _gaps(view: BarView, columns: tuple[Column, ...], rows: Sequence[RowShape]) -> tuple[Gap, ...]:
    lead = max((_LEAD + row.reaches[0].left * 0.9 for row in rows), default=_LEAD)
    gaps = [Gap(lead, 0.0)]
    springs = _springs(view, columns)
    tail = _TAIL + _BARLINE_ROOM.get(view.barline, 0.0)
    last = len(columns) - 1
    for index, spring in enumerate(springs):
        if index < last:
            rod = max([row.reaches[index].right + row.reaches[index + 1].left + row.gap for row in rows])
        else:
            rod = max([row.reaches[index].right + tail for row in rows], default=tail)
        gaps.append(Gap(rod, spring))
    if not view.bar.events:
        gaps[-1] = Gap(max(gaps[-1].rod, 5.0 if view.rests == 1 else _RUN), gaps[-1].spring)
    for row in rows:
        for span in row.spans:
            spread(gaps, span.first + 1, last + 1 if span.until is None else span.until, span.width)
    return tuple(gaps)


def _springs(view: BarView, columns: tuple[Column, ...]) -> list[float]:
    """Of the gap after each column: its share, in time, of the spring of the event that sounds there.

    A grace note takes none; each rest of a silence is an event of its own.
    """
    events = view.bar.events
    if not events:
        return [spring_of(float(view.length)) * 0.8 / len(columns)] * len(columns)
    onsets = [float(column.onset) for column in columns]
    springs = []
    duration = 1.0
    for column, start, end in zip(columns, onsets, [*onsets[1:], float(view.length)], strict=True):
        event = None if column.event is None else events[column.event]
        if column.rest is not None and (event is None or not event.tuplets):
            duration = float(column.rest_length)
        elif event is not None and not event.grace:
            duration = float(event.duration)
        springs.append(0.0 if event is not None and event.grace else spring_of(duration) * (end - start) / duration)
    return springs


def ink_bar(shape: BarShape, stretch: float, squeeze: float = 1.0) -> BarInk:
    """The bar's rows at that stretch. squeeze: below 1 its rods give way, for a bar wider than the page."""
    return _ink_bar(shape, round(stretch, 3), squeeze)


@lru_cache(maxsize=4096)
def _ink_bar(shape: BarShape, stretch: float, squeeze: float) -> BarInk:
    xs = []
    at = 0.0
    for gap in shape.gaps[:-1]:
        at += max(gap.rod * squeeze, gap.spring * stretch)
        xs.append(at)
    last = shape.gaps[-1]
    width = at + max(last.rod * squeeze, last.spring * stretch)
    rows = {name: row.ink(xs, width) for name, row in shape.rows.items()}
    return BarInk(shape, width, tuple(xs), rows)
