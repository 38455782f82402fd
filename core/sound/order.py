"""The bars in the order they are heard: repeats and endings written out.

Jumps (D.C., D.S. and the like) are printed and exported, but not followed here.
"""

from __future__ import annotations

import re
from itertools import takewhile

from core.errors import BarglossError
from core.study import Bar, Study

LONGEST = 10_000
"""Bars; more is a slip in a repeat's number, not a solo."""


def play_order(study: Study) -> tuple[int, ...]:
    """Indices of the bars as they are played.

    `repeat_end` is how often the passage is played, two at least; a bar under an ending is played on the
    passes its ending names. Raises BarglossError beyond LONGEST bars.
    """
    order: list[int] = []
    at, begin, turn = 0, 0, 1
    while at < len(study.bars):
        bar = study.bars[at]
        if bar.repeat_start and at != begin:
            begin, turn = at, 1
        named = passes(bar.ending)
        if named and turn not in named:
            at += 1
            continue
        order.append(at)
        if len(order) > LONGEST:
            raise BarglossError(f"the repeats make more than {LONGEST} bars; lower the number of a repeat")
        if bar.repeat_end and turn < _turns(study.bars, at):
            at, turn = begin, turn + 1
            continue
        at += 1
        leaves_ending = bool(named) and (at == len(study.bars) or not study.bars[at].ending)
        if bar.repeat_end or leaves_ending:
            begin, turn = at, 1
    return tuple(order)


def passes(ending: str) -> frozenset[int]:
    """The passes an ending names: `1. 2.` is 1 and 2; none for a bar that is always played."""
    return frozenset(int(number) for number in re.findall(r"\d{1,3}", ending))


def _turns(bars: tuple[Bar, ...], at: int) -> int:
    """How often the passage that ends at bar `at` is played: as its endings say, else as its repeat says."""
    if not bars[at].ending:
        return max(2, bars[at].repeat_end)
    endings = takewhile(bool, (bar.ending for bar in bars[at:]))
    return max((number for ending in endings for number in passes(ending)), default=2)
