"""From engraved bars to what is set as one system: what breaking knows of each bar, and then the systems' plans."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from core.engraving import BarShape, Carried, Galley, SystemPlan, bar_room, is_reached, parts_of, reaching_parts
from core.handout.breaking import BarWidth, Range
from core.handout.template import Template
from core.study import Bar, Study, hairpins_in

_FILLED = 2 / 3
"""A last system whose bars fill less of the column at their own spacing ends short of the margin."""


class Line(NamedTuple):
    """A study's bars, one after the other, those wider than the column in parts. bars: whose each shape is."""

    shapes: tuple[BarShape, ...]
    bars: tuple[int, ...]

    def whole(self, shapes: Range) -> Range:
        """The study's bars that these shapes show, or show a part of."""
        return Range(self.bars[shapes.first], self.bars[shapes.end - 1] + 1)


def line_of(galley: Galley, column: float) -> Line:
    """column: in staff spaces."""
    split = [(shape,) if shape.least < column / 2 else parts_of(shape, column - bar_room(shape).head)
             for shape in galley.bars]
    bars = tuple([index for index, parts in enumerate(split) for _ in parts])
    if len(bars) == len(split):
        return Line(galley.bars, bars)
    return Line(tuple([reaching_parts(part, galley.bars[index].view.bar, split[index + 1:])
                       for index, parts in enumerate(split) for part in parts]), bars)


def widths_of(study: Study, line: Line) -> tuple[BarWidth, ...]:
    """What breaking knows of each bar."""
    starts = {chorus.bar for chorus in study.choruses}
    found = []
    since = 0
    for shape, index in zip(line.shapes, line.bars, strict=True):
        part = shape.view.part
        is_new = part is None or part.event == 0
        if index in starts and is_new:
            since = 0
        counts = is_new and not shape.view.shift
        prefix, head, ahead, words = bar_room(shape)
        found.append(BarWidth(shape.natural, shape.least, head, prefix, ahead, since, words, counts,
                              bool(shape.view.bar.break_before), shape.view.bar.break_before == "page",
                              not shape.view.rests))
        since += counts
    return tuple(found)


def plans_of(
    study: Study, line: Line, ranges: Sequence[Range], column: float, template: Template
) -> list[SystemPlan]:
    """One a range of the line."""
    music = [study.bars[index] if shape.view.part is None else shape.view.bar
             for shape, index in zip(line.shapes, line.bars, strict=True)]
    slurs, reaching = _open_slurs(music), _reaching(music)
    hairpins = (*hairpins_in(music), "")
    numbers = [study.in_force[index].number for index in line.bars]
    keys = [shape.view.key for shape in line.shapes]
    shapes = line.shapes
    plans = []
    for first, end in ranges:
        bars = shapes[first:end]
        following = shapes[end] if end < len(shapes) else None
        carried = tuple(Carried(one.place - first, one.stop) for one in reaching if one.origin < first <= one.place)
        plans.append(SystemPlan(
            bars, tuple(numbers[first:end]), first == 0 and numbers[0] < 2, column,
            _loose(bars, column, template) if end == len(shapes) else None,
            keys[first - 1] if first else None,
            tuple(pitch.midi for pitch in bars[0].view.tied_in), slurs[first], carried,
            following if following and (bar_room(following).ahead or is_reached(following)) else None,
            shapes[first - 1] if first and is_reached(bars[0]) else None, (hairpins[first], hairpins[end]),
        ))
    return plans


def _loose(bars: Sequence[BarShape], column: float, template: Template) -> float | None:
    """The stretch of a last system: its own, where filling the column would tear it apart."""
    natural = sum(bar.natural for bar in bars) + bar_room(bars[0]).head
    return template.style.eighth if natural < _FILLED * column else None


def _open_slurs(bars: Sequence[Bar]) -> list[bool]:
    """Whether a slur comes into each bar from the one before."""
    found, is_open = [], False
    for bar in bars:
        found.append(is_open)
        is_open = is_open if bar.slur_out is None else bar.slur_out
    return found


class _Reach(NamedTuple):
    """A callout that goes on into later bars: from bar `origin` to onset `stop` of bar `place`."""

    origin: int
    place: int
    stop: Fraction


def _reaching(bars: Sequence[Bar]) -> list[_Reach]:
    return [
        _Reach(index, index + callout.bars_on, callout.stop)
        for index, bar in enumerate(bars) for callout in bar.reaching
    ]
