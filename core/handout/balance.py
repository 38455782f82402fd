"""Systems and pages against one another: room taken, pages left empty, systems in each other's way.

How loose a system is: the width its bars take against the width they would take at the template's
own spacing. It is uneven where that is more than 1.8 times its page's median; or less than a 1.8th
of it and tight in itself, under four fifths of the template's spacing. A last system that ends short
of the margin is as loose as its own spacing. A last system of one bar is a fault where the bar before
would have gone beside it and left its own system no looser than that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from statistics import median

from core.engraving import BarShape, bar_room
from core.handout.alignment import Fault
from core.handout.layout import Layout
from core.handout.pagination import PlacedSystem

UNEVEN = 1.8
TIGHT = 0.8
FULL_ENOUGH = 1 / 4
"""Of a page's height between its margins, when it is not the only page."""


def unbalanced(layout: Layout) -> Iterator[tuple[int, Fault]]:
    """Faults with the index of their page."""
    for page, group in groupby(layout.systems, key=lambda system: system.page):
        mine = list(group)
        for fault in (*_uneven(mine), *_overlapping(layout, mine), *_empty(layout, page, mine)):
            yield page, fault
    last = layout.systems[-1]
    if len(layout.systems) > 1 and len(last.shapes) == 1 and _would_fit(layout):
        yield last.page, Fault(last.bars.first, "the last system is a single bar")


def _would_fit(layout: Layout) -> bool:
    """Whether the last two bars could have stood on one system."""
    before, last = layout.systems[-2:]
    one, other = before.shapes[-1], last.shapes[0]
    template = layout.template
    column = (layout.pages.pages[0].width - template.left - template.right) / template.space
    left = before.shapes[:-1]
    usual = median(looseness(system) for system in layout.systems if system.page == before.page)
    return (other.view.part is None
            and bar_room(one).head + one.least + bar_room(other).prefix + other.least <= column
            and (not left or (column - bar_room(left[0]).head) / _natural(left) <= UNEVEN * usual))


def looseness(system: PlacedSystem) -> float:
    """1 where the system's bars are as wide as the template's own spacing would have them."""
    return (system.ink.right - bar_room(system.shapes[0]).head) / _natural(system.shapes)


def _natural(shapes: Sequence[BarShape]) -> float:
    """Width of a system's bars at the template's own spacing."""
    return sum(bar.natural for bar in shapes) + sum(bar_room(bar).prefix for bar in shapes[1:])


def _uneven(systems: Sequence[PlacedSystem]) -> Iterator[Fault]:
    ratios = [looseness(system) for system in systems]
    usual = median(ratios)
    for system, ratio in zip(systems, ratios, strict=True):
        if ratio > UNEVEN * usual:
            yield Fault(system.bars.first, "a system is much looser than its page")
        elif ratio < min(usual / UNEVEN, TIGHT):
            yield Fault(system.bars.first, "a system is much tighter than its page")


def _overlapping(layout: Layout, systems: Sequence[PlacedSystem]) -> Iterator[Fault]:
    space = layout.template.space
    for above, below in pairwise(systems):
        if above.y + above.ink.bottom * space > below.y + below.ink.top * space:
            yield Fault(below.bars.first, "a system stands in the one above it")


def _empty(layout: Layout, page: int, systems: Sequence[PlacedSystem]) -> Iterator[Fault]:
    template = layout.template
    room = layout.pages.pages[page].height - template.top - template.bottom
    end = systems[-1].y + systems[-1].ink.bottom * template.space
    if len(layout.pages.pages) > 1 and end - template.top < FULL_ENOUGH * room:
        yield Fault(systems[0].bars.first, "a page is less than a quarter full")
