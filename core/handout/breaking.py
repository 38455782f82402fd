"""Where systems and pages end: two shortest paths, each exact.

Systems. The cost of setting bars i..j as one system, from their measured widths alone, adds
  - stretch: 18 (s - 1)^2, s the stretch against the template's own; pressing is 60 c^2, c the share
    used up of what the bars can give way (a system that cannot hold its ink is not allowed);
  - count: nothing for four bars or (a little more) two, more for other numbers, most for one;
  - place: nothing before a phrase of four bars, a little in its middle, more elsewhere;
  - words: for each callout that finds no room beside the others;
  - the last system: a heavy toll for a single bar, a light one for a short line.
Pages. The cost of a page is 100 times its squared share of white, with a toll on a last page
under a third full; a system wished onto a new page begins one.
All weights are our own, set by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

_MOST_BARS = 12
_IMPOSSIBLE = 1e9
_COUNT = {1: 45.0, 2: 5.0, 3: 9.0, 4: 0.0, 5: 14.0, 6: 18.0, 7: 26.0, 8: 20.0}
_PLACE = (0.0, 15.0, 5.0, 15.0)
_SHORT_LAST = 0.45


@dataclass(frozen=True, slots=True)
class BarWidth:
    """What breaking knows of a bar. Widths in staff spaces: natural at the template's stretch, least
    at none; give: growth a unit of stretch. head: of clef and signatures if a system begins here;
    prefix: of its own signs if none does; ahead: of those shown at the end of a system before it. phrase: bars since the chorus began. words: width its
    callouts need at the least. counts: a pickup does not count as a bar. wish: a break is wanted.
    """

    natural: float
    least: float
    give: float
    head: float
    prefix: float
    ahead: float
    phrase: int
    words: float
    counts: bool
    wish: bool


class Range(NamedTuple):
    """Indices first..last, the last one excluded."""

    first: int
    end: int


def break_systems(bars: Sequence[BarWidth], width: float, eighth: float) -> tuple[Range, ...]:
    """Systems of least total cost. width: of the column; eighth: the template's own stretch."""
    best = [0.0] + [_IMPOSSIBLE * 10] * len(bars)
    since = [0] * (len(bars) + 1)
    for first in range(len(bars)):
        if best[first] >= _IMPOSSIBLE * 10:
            continue
        natural = least = give = words = 0.0
        count = 0
        for end in range(first + 1, min(first + _MOST_BARS, len(bars)) + 1):
            bar = bars[end - 1]
            inside = 0.0 if end - 1 == first else bar.prefix
            natural, least = natural + bar.natural + inside, least + bar.least + inside
            give, words, count = give + bar.give, words + bar.words, count + bar.counts
            last = end == len(bars)
            room = width - bars[first].head - (0.0 if last else bars[end].ahead)
            if least > room and end > first + 1:
                break
            cost = best[first] + _fit(natural, least, give * eighth, room, last)
            cost += _COUNT.get(count, 30.0) if not last or count == 1 else 0.0
            cost += 150.0 if last and count == 1 and first > 0 else 0.0
            cost += 30.0 * max(0.0, words - width) / width
            if not last:
                cost += _PLACE[bars[end].phrase % 4] if not bars[end].wish else 0.0
            if cost < best[end]:
                best[end], since[end] = cost, first
            if not last and bars[end].wish:
                break
    return _trace(since)


def _fit(natural: float, least: float, give: float, room: float, last: bool) -> float:
    if natural <= room:
        if last:
            return 12.0 * max(0.0, _SHORT_LAST - natural / room) ** 2 * 10
        stretch = (room - natural) / max(give, 1e-6)
        return 18.0 * min(stretch, 5.0) ** 2
    if least > room:
        return _IMPOSSIBLE
    return 60.0 * ((natural - room) / max(natural - least, 1e-6)) ** 2


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
            cost = best[start] + (100.0 * white**2 if end < count else _last_page(white, start > 0)) + 5.0
            if cost < best[end]:
                best[end], since[end] = cost, start
    return _trace(since)


def _last_page(white: float, has_company: bool) -> float:
    if not has_company:
        return 0.0
    return 15.0 * white**2 + (60.0 * (white - 2 / 3) + 40.0 if white > 2 / 3 else 0.0)
