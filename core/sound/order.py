"""The bars in the order they are heard: repeats, endings and one jump back written out."""

from __future__ import annotations

import re
from itertools import takewhile
from typing import NamedTuple

from core.errors import BarglossError
from core.sound.jumps import Jump, jump_of
from core.study import Bar, Study

LONGEST = 10_000
"""Bars; more is a slip in a repeat's number, not a solo."""


class Order(NamedTuple):
    """bars: indices. trouble: why the signs are not followed; None where they are."""

    bars: tuple[int, ...]
    trouble: BarglossError | None = None


def play_order(study: Study) -> Order:
    """The bars as they are heard; as they stand on paper where the signs contradict each other or find no end.

    `repeat_end` is how often the passage is played, two at least; a bar under an ending is played on the passes its
    ending names. After a D.C. or D.S. what was repeated before is played once, with its last ending; what comes after
    the jump, as the coda, is repeated as it says (common practice, no source).
    """
    try:
        return Order(_followed(study.bars, jump_of(study)))
    except BarglossError as error:
        return Order(tuple(range(len(study.bars))), error)


def _followed(bars: tuple[Bar, ...], jump: Jump | None) -> tuple[int, ...]:
    order: list[int] = []
    at, begin, turn = 0, 0, 1
    has_jumped = False
    while at < len(bars):
        bar = bars[at]
        if bar.repeat_start and at != begin:
            begin, turn = at, 1
        is_again = jump is not None and has_jumped and at <= jump.leaves
        named = passes(bar.ending)
        if named and is_again:
            turn = last_pass(bars, at)
        if named and turn not in named:
            at += 1
            continue
        order.append(at)
        if len(order) > LONGEST:
            raise BarglossError(f"the repeats make more than {LONGEST} bars; lower the number of a repeat")
        if bar.repeat_end and not is_again and turn < _turns(bars, at):
            at, turn = begin, turn + 1
            continue
        if jump is not None:
            if has_jumped and at == jump.fine:
                break
            leads = _leads(jump, at, has_jumped)
            if leads is not None:
                has_jumped = True
                at = begin = leads
                turn = 1
                continue
        at += 1
        leaves_ending = bool(named) and (at == len(bars) or not bars[at].ending)
        if bar.repeat_end or leaves_ending:
            begin, turn = at, 1
    return tuple(order)


def _leads(jump: Jump, at: int, has_jumped: bool) -> int | None:
    """Where it goes from the end of a bar; None for on to the next."""
    if not has_jumped:
        return jump.to if at == jump.leaves else None
    return jump.coda if at == jump.away else None


def passes(ending: str) -> frozenset[int]:
    """The passes an ending names: `1. 2.` is 1 and 2; none for a bar that is always played."""
    return frozenset(int(number) for number in re.findall(r"\d{1,3}", ending))


def _turns(bars: tuple[Bar, ...], at: int) -> int:
    """How often the passage that ends at bar `at` is played: as its endings say, else as its repeat says."""
    if not bars[at].ending:
        return max(2, bars[at].repeat_end)
    endings = takewhile(bool, (bar.ending for bar in bars[at:]))
    return max((number for ending in endings for number in passes(ending)), default=2)


def last_pass(bars: tuple[Bar, ...], at: int) -> int:
    """The highest pass that the endings side by side with this bar's name."""
    first = at
    while first > 0 and bars[first - 1].ending and not bars[first].repeat_start:
        first -= 1
    last = at + 1
    while last < len(bars) and bars[last].ending and not bars[last].repeat_start:
        last += 1
    return max((number for bar in bars[first:last] for number in passes(bar.ending)), default=1)
