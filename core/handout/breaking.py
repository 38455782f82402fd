"""Where systems and pages end: one shortest path over both, then pages again by the true heights.

A state is a bar that a system ends with and how far down its page that system reaches (in
steps); a move sets the next bars as one system, on the same page or at the top of a new one.
The cost of a system of bars i..j, from their measured widths and about their heights, adds
  - looseness: 45 r^2, r the logarithm of the room against the bars' natural width; systems 1.4 times as wide,
    or pressed under four fifths, pay 2000 for the square of what r is beyond that, so that the systems of a page
    look alike. Pressing is besides 60 c^2, c the share used up of what the bars can give way, and 150 where they
    must be pressed a little further, by a fiftieth at most (a system that cannot hold its ink is not allowed);
  - count: nothing for four bars or (a little more) two, more for other numbers, most for one; a
    last system may have fewer than four for nothing;
  - place: nothing before a phrase of four bars, a little in its middle, more elsewhere; a chorus
    that begins inside a system costs more than any of these, so that choruses line up;
  - words: for each callout that finds no room beside the others;
  - the last system: a heavy toll for a single bar, a light one for a short line.
The cost of a page is 100 times its squared share of white, and 5 for the page; of a last page 15 times, with a
toll under a third full that is heavy from a quarter on; a system wished onto a new page begins one. Heights are
a guess until systems are set, so once they are, `break_pages` finds the cheapest pages for them exactly.
All weights are our own, set by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import log
from typing import NamedTuple

from core.engraving import BarHeight, system_height

_MOST_BARS = 12
_IMPOSSIBLE = 1e9
_COUNT = {1: 45.0, 2: 5.0, 3: 9.0, 4: 0.0, 5: 14.0, 6: 18.0, 7: 26.0, 8: 20.0}
_PLACE = (0.0, 15.0, 5.0, 15.0)
_CHORUS_INSIDE = 40.0
_SHORT_LAST = 0.45
_LOOSE, _TIGHT = log(1.4), log(0.8)
_PRESSED = 1.02
"""How much more than the column the least widths of a system's bars may take."""
_STEPS = 24
"""A page's height is told in so many steps."""
_PAGE = 5.0
_State = tuple[int, int, int]
"""The cheapest way to a bar and place: its cost in millionths, and the bar and place before it."""
_Row = dict[int, _State]
_UNIT = 10**6
_WORST = 205 * _UNIT
"""What a worse place on the page can still make good: the cheapest state could leave its page at once
(105 at most) and go on as the other does, on pages that are whiter by 100 at most."""
_PLANE = _STEPS + 1
"""A place is a step of the first page, or a step of a later one and _PLANE."""


class BarWidth(NamedTuple):
    """What breaking knows of a bar. Widths in staff spaces: natural at the template's stretch, least
    at none; give: growth a unit of stretch. head: of clef and signatures if a system begins here;
    prefix: of its own signs if none does; ahead: of those shown at the end of a system before it.
    phrase: bars since the chorus began. words: width its callouts need at the least. counts: a
    pickup does not count as a bar. wish: a break is wanted, page: of the page too. glued: no system
    begins here, for an earlier bar prints this one too.
    """

    natural: float
    least: float
    head: float
    prefix: float
    ahead: float
    phrase: int
    words: float
    counts: bool
    wish: bool
    page: bool = False
    glued: bool = False


class PageRoom(NamedTuple):
    """height of a page, what the title takes of the first, least gap between systems; in staff spaces."""

    height: float
    title: float
    gap: float


class Range(NamedTuple):
    """Indices first..last, the last one excluded."""

    first: int
    end: int


class Broken(NamedTuple):
    """Systems of least total cost, their pages' included; and what is needed to break anew after an edit.

    rows: the states of each bar's end, their costs over the row's own least, which `least` holds.
    """

    ranges: tuple[Range, ...]
    bars: tuple[BarWidth, ...]
    heights: tuple[BarHeight, ...]
    room: tuple[float, PageRoom]
    rows: list[_Row]
    least: list[int]


def break_systems(
    bars: tuple[BarWidth, ...], heights: tuple[BarHeight, ...], width: float, page: PageRoom,
    before: Broken | None = None,
) -> Broken:
    """width: of the column, in staff spaces. before: of the bars as they were, to build on.

    Costs are whole numbers, so that rows which an edit leaves alike are equal in every digit: states are found anew
    only from the edit on to where they are, but for a sum, what they were.
    """
    if before and (before.bars, before.heights, before.room) == (bars, heights, (width, page)):
        return before
    # A system sees no farther than the bar after its last; folded rests may make it long.
    reach = 0 if any([bar.glued for bar in bars]) else _MOST_BARS + 1
    known = before if before and reach and before.room == (width, page) and len(before.bars) == len(bars) else None
    return _Forward(bars, heights, width, page, reach or len(bars)).run(known)


class _Forward:
    """One shortest path, bar by bar; lives as long as one call of `break_systems`."""

    def __init__(self, bars: tuple[BarWidth, ...], heights: tuple[BarHeight, ...], width: float, page: PageRoom,
                 reach: int) -> None:
        self._bars, self._heights, self._width, self._page, self._reach = bars, heights, width, page, reach
        self._step = page.height / _STEPS
        self._rows: list[_Row] = [{} for _ in range(len(bars) + 1)]
        self._least = [0] * (len(bars) + 1)

    def run(self, before: Broken | None) -> Broken:
        rows, least, count = self._rows, self._least, len(self._bars)
        low, high = (0, count) if before is None else self._differing(before)
        rows[0][min(round(self._page.title / self._step), _STEPS)] = (0, 0, 0)
        if before is not None and low:  # a row depends on the bars before it and the one after
            rows[:low], least[:low] = before.rows[:low], before.least[:low]
        alike = shift = 0
        for first in range(max(0, low - self._reach + 1), count + 1):
            if first >= low and rows[first]:
                least[first] = min([state[0] for state in rows[first].values()])
                rows[first] = {at: (cost - least[first], since, place)
                               for at, (cost, since, place) in rows[first].items()}
            if before is not None and first > high:
                alike, shift = self._alike(before, first, alike, shift)
                if alike == self._reach:  # and so is all that they lead to
                    rows[first:] = before.rows[first:]
                    least[first:] = [cost + shift for cost in before.least[first:]]
                    break
            if rows[first] and first < count:
                self._go_on(first, low)
        last = rows[-1]
        ranges = _trace_states(rows, min(last, key=lambda at: last[at][0] + _ENDING[at]))
        return Broken(ranges, self._bars, self._heights, (self._width, self._page), rows, least)

    def _alike(self, before: Broken, at: int, alike: int, shift: int) -> tuple[int, int]:
        """How many rows up to this one are what they were but for one and the same sum; and that sum."""
        if self._rows[at] != before.rows[at]:
            return 0, 0
        more = self._least[at] - before.least[at] if self._rows[at] else shift
        return (alike + 1 if more == shift else 1), more

    def _differing(self, before: Broken) -> tuple[int, int]:
        """The first and the last bar that are others than before."""
        pairs = zip(self._bars, before.bars, self._heights, before.heights, strict=True)
        found = [at for at, (bar, was, high, was_high) in enumerate(pairs) if bar != was or high != was_high]
        return found[0], found[-1]

    def _go_on(self, first: int, low: int) -> None:
        """Every system that begins with this bar and ends at or after bar `low`, at every place of the page."""
        bars, page, step, row = self._bars, self._page, self._step, self._rows[first]
        so_far = self._least[first]
        fullest = min(row, key=lambda at: row[at][0] + _CLOSING[at])
        least = so_far + row[fullest][0] + _CLOSING[fullest]
        moves = [(at, at % _PLANE, so_far + state[0]) for at, state in row.items() if state[0] <= _WORST]
        stop = first + self._reach
        for count, cost, tall in _systems_from(bars[first:stop], self._heights[first:stop], first == 0,
                                               stop < len(bars), self._width):
            end = first + count
            if end < low:
                continue
            reached = self._rows[end]
            down = max(1, round((tall + (page.gap if first else 0.0)) / step))
            if not (first and bars[first].page):
                for at, used, spent in moves:
                    if used + down <= _STEPS:
                        known = reached.get(at + down)
                        if known is None or spent + cost < known[0]:
                            reached[at + down] = (spent + cost, first, at)
            if first or not reached:  # a first system taller than its page stands on it all the same
                at = (_PLANE if first else 0) + min(max(1, round(tall / step)), _STEPS)
                if at not in reached or least + cost < reached[at][0]:
                    reached[at] = (least + cost, first, fullest)


def _trace_states(states: Sequence[_Row], at: int) -> tuple[Range, ...]:
    ranges = []
    end = len(states) - 1
    while end > 0:
        _, first, at = states[end][at]
        ranges.append(Range(first, end))
        end = first
    return tuple(reversed(ranges))


@lru_cache(maxsize=8192)
def _systems_from(
    bars: tuple[BarWidth, ...], heights: tuple[BarHeight, ...], opens: bool, goes_on: bool, width: float
) -> tuple[tuple[int, int, float], ...]:
    """Every system that can begin with the first of these bars: how many it holds, its cost, about its height.

    opens: the study begins here; goes_on: there are bars after these.
    """
    found = []
    natural = least = words = 0.0
    count = choruses = printed = 0
    for end, bar in enumerate(bars, 1):
        printed += not bar.glued
        if printed > _MOST_BARS:
            break
        inside = 0.0 if end == 1 else bar.prefix
        natural, least = natural + bar.natural + inside, least + bar.least + inside
        words, count = words + bar.words, count + (bar.counts and not bar.glued)
        choruses += end > 1 and bar.phrase == 0 and bars[end - 2].counts
        last = end == len(bars) and not goes_on
        after = bars[end] if end < len(bars) else None
        if after is None and not last:
            break
        if after is not None and after.glued:
            continue
        room = width - bars[0].head - (after.ahead if after else 0.0)
        if least > room * _PRESSED and end > 1:
            break
        cost = _fit(natural, least, room, last) + _CHORUS_INSIDE * choruses
        cost += _COUNT.get(count, 30.0) if not last or count == 1 or count > 4 else 0.0
        cost += 200.0 if last and count == 1 and not opens else 0.0
        cost += 30.0 * max(0.0, words - width) / width
        if after is not None and not after.wish:
            cost += _PLACE[after.phrase % 4]
        found.append((end, round(cost * _UNIT), system_height(heights[:end], width)))
        if after is not None and after.wish:
            break
    return tuple(found)


def _fit(natural: float, least: float, room: float, last: bool) -> float:
    if last and natural <= room:
        return 120.0 * max(0.0, _SHORT_LAST - natural / room) ** 2
    if least > room * _PRESSED:
        return _IMPOSSIBLE
    loose = log(room / natural)
    cost = 45.0 * loose**2 + 2000.0 * max(0.0, loose - _LOOSE, _TIGHT - loose) ** 2
    cost += 150.0 if least > room else 0.0
    return cost + 60.0 * (max(0.0, natural - room) / max(natural - least, 1e-6)) ** 2


def _trace(since: list[int]) -> tuple[Range, ...]:
    ranges = []
    end = len(since) - 1
    while end > 0:
        ranges.append(Range(since[end], end))
        end = since[end]
    return tuple(reversed(ranges))


class SystemHeight(NamedTuple):
    """A system's height in points, and whether it was wished onto a new page."""

    height: float
    wish: bool


def break_pages(systems: Sequence[SystemHeight], first: float, other: float, gap: float) -> tuple[Range, ...]:
    """Pages of least total cost. first, other: room on the first and on later pages; gap: least white
    between systems; all in points. A system taller than its page stands alone on it."""
    count = len(systems)
    best: list[float] = [0.0] + [_IMPOSSIBLE * 10] * count
    since = [0] * (count + 1)
    for start in range(count):
        room = first if start == 0 else other
        used = -gap
        for end in range(start + 1, count + 1):
            used += systems[end - 1].height + gap
            if end > start + 1 and (used > room or systems[end - 1].wish):
                break
            white = max(0.0, 1 - used / room)
            cost = best[start] + _PAGE
            if end < count:
                cost += 100.0 * white**2
            elif start > 0:
                cost += _last_page(white)
            if cost < best[end]:
                best[end], since[end] = cost, start
    return _trace(since)


def _last_page(white: float) -> float:
    """Of a last page that is not the only one."""
    under = min(1.0, 12 * max(0.0, white - 2 / 3))  # of the way from a third full to a quarter
    return 15.0 * white**2 + 40.0 * under**2 + 60.0 * max(0.0, white - 3 / 4)


_CLOSING = [round(_UNIT * (100.0 * (1 - step / _STEPS) ** 2 + _PAGE)) for step in range(_PLANE)] * 2
_ENDING = [0] * _PLANE + [round(_UNIT * _last_page(1 - step / _STEPS)) for step in range(_PLANE)]
"""By place: what it costs to leave the page there, and to end there."""
