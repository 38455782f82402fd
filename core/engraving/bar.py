"""One bar, engraved once: its rows' shapes and the gaps between its columns; then, at a stretch, its ink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from core.engraving.rows import ROWS
from core.engraving.spacing import Gap, spread, spring_of, width_at
from core.engraving.view import BarView, Column, RowInk, RowShape, columns_of

_LEAD = 1.1
"""From the barline to the first column, before its accidentals."""
_TAIL = 0.75
"""From the last column's ink to the barline."""
_GRACE_SPRING = 0.0
_BARLINE_ROOM = {"double": 0.4, "final": 0.8, "repeat": 1.6}


@dataclass(frozen=True, eq=False, slots=True)
class BarShape:
    """rows: by name, in the style's order. gaps: barline to first column, column to column, last
    column to barline. natural: width at the style's own stretch; least: at no stretch; both in
    staff spaces. springs: how much the bar grows a unit of stretch, at the style's.
    """

    view: BarView
    columns: tuple[Column, ...]
    rows: dict[str, RowShape]
    gaps: tuple[Gap, ...]
    natural: float
    least: float
    springs: float


@dataclass(frozen=True, eq=False, slots=True)
class BarInk:
    """A bar at a given stretch. xs: of the columns, from the barline on the left."""

    shape: BarShape
    width: float
    xs: tuple[float, ...]
    rows: dict[str, RowInk]


def shape_bar(view: BarView) -> BarShape:
    """Everything about the bar that does not depend on how wide it is set."""
    columns = columns_of(view.bar)
    rows = {name: ROWS[name](view, columns) for name in view.style.rows if name in ROWS}
    gaps = _gaps(view, columns, tuple(rows.values()))
    eighth = view.style.eighth
    springs = sum([gap.spring for gap in gaps if gap.spring * eighth > gap.rod])
    return BarShape(view, columns, rows, gaps, width_at(gaps, eighth), width_at(gaps, 0.0), springs)


def _gaps(view: BarView, columns: tuple[Column, ...], rows: Sequence[RowShape]) -> tuple[Gap, ...]:
    lead = max((_LEAD + row.reaches[0].left * 0.9 for row in rows), default=_LEAD)
    gaps = [Gap(lead, 0.0)]
    ends = [column.onset for column in columns[1:]] + [view.length]
    for index, (column, end) in enumerate(zip(columns, ends, strict=True)):
        if index + 1 < len(columns):
            rod = max(row.reaches[index].right + row.reaches[index + 1].left + row.gap for row in rows)
        else:
            tail = _TAIL + _BARLINE_ROOM.get(view.barline, 0.0)
            rod = max((row.reaches[index].right + tail for row in rows), default=tail)
        gaps.append(Gap(rod, _spring(view, column, end)))
    if not view.bar.events:
        gaps[-1] = Gap(max(gaps[-1].rod, 5.0), gaps[-1].spring)
    for row in rows:
        for span in row.spans:
            last = len(columns) if span.until is None else span.until
            spread(gaps, span.first + 1, last, span.width)
    return tuple(gaps)


def _spring(view: BarView, column: Column, end: Fraction) -> float:
    """Share of its event's spring that a column's gap takes; a grace note takes none."""
    events = view.bar.events
    if not events:
        return spring_of(view.length) * 0.8
    if column.event is not None and events[column.event].grace:
        return _GRACE_SPRING
    sounding = column.event
    if sounding is None:
        sounding = max(
            (i for i, event in enumerate(events) if not event.grace and event.onset <= column.onset), default=0
        )
    duration = events[sounding].duration
    return spring_of(duration) * float((end - column.onset) / duration)


def ink_bar(shape: BarShape, stretch: float) -> BarInk:
    """The bar's rows at that stretch."""
    return _ink_bar(shape, round(stretch, 3))


@lru_cache(maxsize=4096)
def _ink_bar(shape: BarShape, stretch: float) -> BarInk:
    xs = []
    at = 0.0
    for gap in shape.gaps[:-1]:
        at += max(gap.rod, gap.spring * stretch)
        xs.append(at)
    last = shape.gaps[-1]
    width = at + max(last.rod, last.spring * stretch)
    rows = {name: row.ink(xs, width) for name, row in shape.rows.items()}
    return BarInk(shape, width, tuple(xs), rows)
