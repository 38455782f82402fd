"""Where in the music a point of a page lies: which bar and beat, how high on the staff, on which string of the tab."""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import NamedTuple

from app.pen import Caret
from app.places import Spot, bar_spot, ink_of_events, ink_round, system_of
from core.engraving.boxes import Box
from core.engraving.drawing import Line
from core.handout import Layout
from core.study import STEPS, Pitch

_TOP_LINE = 31  # letters above C0 of F4, the top line under a treble clef that sounds an octave lower
_BEYOND = 3.5  # staff spaces over and under a staff that still belong to it: four ledger lines
_BEFORE = 1.0  # staff spaces left of a note that still mean the note
_OPENING = 1.2  # of a bar of rest, what its barline or signature takes


class StaffHit(NamedTuple):
    """caret: the note or rest there, a long rest cut at the grid; diatonic: letters above C0, on the staff;
    string: on the tab, 1 the highest. One of the two is None."""

    caret: Caret
    diatonic: int | None
    string: int | None


def staff_hit(layout: Layout, page: int, x: float, y: float, grid: Fraction) -> StaffHit | None:
    """What a point of a page, in points, means to somebody who writes; None where no staff is. grid: quarters."""
    space = layout.template.space
    bars = [at for system in layout.systems if system.page == page
            for at in range(system.bars.first, system.bars.end)
            if bar_spot(layout, at).box.grown(_BEYOND * space).holds(x, y)]
    if not bars:
        return None
    bar = min(bars, key=lambda at: _away(bar_spot(layout, at).box, x, y))
    staves = staves_of(layout, bar)
    if staves.notation and staves.notation[0] - _BEYOND * space <= y <= staves.notation[-1] + _BEYOND * space:
        above = round((y - staves.notation[0]) / (space / 2))
        return StaffHit(caret_at(layout, bar, x, grid), _TOP_LINE - above, None)
    if staves.tab and staves.tab[0] - space <= y <= staves.tab[-1] + space:
        string = min(range(len(staves.tab)), key=lambda at: abs(staves.tab[at] - y)) + 1
        return StaffHit(caret_at(layout, bar, x, grid), None, string)
    return None


def _away(box: Box, x: float, y: float) -> tuple[float, float]:
    """How far outside the box, across first."""
    return max(box.left - x, x - box.right, 0.0), max(box.top - y, y - box.bottom, 0.0)


class Staves(NamedTuple):
    """y of the lines of a bar's staff and tab, in points, from the top; () where the page has none."""

    notation: tuple[float, ...]
    tab: tuple[float, ...]


def staves_of(layout: Layout, bar: int) -> Staves:
    system, space = system_of(layout, bar), layout.template.space
    spot = bar_spot(layout, bar)
    lines = set()
    for placed in ink_round(layout, bar):
        for mark in placed.drawing.marks if placed.bar in (None, bar) else ():
            if isinstance(mark, Line) and mark.ink == "staff" and mark.tag is None and mark.y1 == mark.y2:
                y = placed.y + mark.y1 * placed.scale
                if spot.box.top <= y <= spot.box.bottom:
                    lines.add(round(y, 2))
    has_notation = "notation" in layout.template.style.rows
    staff = tuple(system.y + line * space for line in range(5)) if has_notation else ()
    below = system.y + 4.5 * space if has_notation else spot.box.top
    return Staves(staff, tuple(sorted(line for line in lines if line > below)))


def _stations(layout: Layout, bar: int) -> list[tuple[Fraction, float]]:
    """Onsets of the bar and the x of the left edge of what stands there, and its end."""
    here, box, space = layout.study.in_force[bar], bar_spot(layout, bar).box, layout.template.space
    events = here.bar.events
    lefts: dict[int, float] = {}
    for event, ink in ink_of_events(layout, bar):
        lefts[event] = min(ink.left, lefts.get(event, ink.left))
    found = {one.onset: lefts[at] for at, one in enumerate(events) if at in lefts and not one.grace and
             not (len(events) == 1 and one.is_rest)}
    if Fraction(0) not in found:
        found[Fraction(0)] = min([box.left + _OPENING * space, *found.values()])
    return [*sorted(found.items()), (here.length, box.right)]


def caret_at(layout: Layout, bar: int, x: float, grid: Fraction) -> Caret:
    """The place in a bar that an x means."""
    stations, space = _stations(layout, bar), layout.template.space
    at = max((index for index, (_, left) in enumerate(stations[:-1]) if left - _BEFORE * space <= x), default=0)
    (onset, left), (until, right) = stations[at], stations[at + 1]
    events = layout.study.bars[bar].events
    if any(event.onset == onset and event.notes for event in events):
        return Caret(bar, onset)
    share = Fraction(max(0.0, min(0.999, (x - left + space / 2) / max(right - left, 0.1)))).limit_denominator(1000)
    into = grid * floor((until - onset) * share / grid)
    return Caret(bar, onset + into)


def caret_spot(layout: Layout, caret: Caret) -> Spot:
    """A line's place: left and right are the x at which the caret stands; it reaches over staff and tab."""
    stations, page, space = _stations(layout, caret.bar), system_of(layout, caret.bar).page, layout.template.space
    staves = staves_of(layout, caret.bar)
    lines = [*staves.notation, *staves.tab]
    after = next((at for at, (onset, _) in enumerate(stations) if onset > caret.onset), len(stations))
    onset, x = stations[after - 1]
    if after < len(stations):
        until, right = stations[after]
        x += (right - x) * float((caret.onset - onset) / (until - onset))
    x -= 0.45 * space
    return Spot(page, Box(x, lines[0] - 1.5 * space, x, lines[-1] + 0.8 * space))


def height_y(layout: Layout, bar: int, diatonic: int) -> float:
    """y of a staff place, in points."""
    return system_of(layout, bar).y + (_TOP_LINE - diatonic) * layout.template.space / 2


def pitch_at(layout: Layout, hit: StaffHit) -> Pitch:
    """The letter of that height, as the key has it."""
    assert hit.diatonic is not None
    step = STEPS[hit.diatonic % 7]
    return Pitch(step, layout.study.in_force[hit.caret.bar].key.alter_of(step), hit.diatonic // 7)
