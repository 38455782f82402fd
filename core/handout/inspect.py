"""Reads finished pages as a proof-reader would, and says what a strict engraver would mark.

Of the pages alone: ink off the page, things in each other's way (collisions.py), stems, beams and
rows out of line (alignment.py). Of a layout also what systems and pages are to one another (balance.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from core.engraving.drawing import Page, Pages
from core.engraving.smufl import MusicFont, music_font
from core.handout.alignment import misaligned
from core.handout.balance import unbalanced
from core.handout.collisions import TOUCH, collisions
from core.handout.layout import Layout
from core.handout.template import MM
from core.handout.things import things

EDGE = 10 * MM
"""Nothing stands nearer to the paper's edge: desktop printers lose up to 6.4 mm (references: practice)."""


class Flaw(NamedTuple):
    """page counts from 1; bar is an index into the study's bars, None for what belongs to no bar."""

    page: int
    bar: int | None
    what: str


def flaws(pages: Pages) -> tuple[Flaw, ...]:
    """Everything wrong with the pages as drawn, in page order."""
    font = music_font(pages.music_font)
    return tuple([Flaw(number, bar, what) for number, page in enumerate(pages.pages, 1)
                  for bar, what in _of_page(page, font)])


def proofread(layout: Layout) -> tuple[Flaw, ...]:
    """Everything wrong with a layout: its pages' flaws, and what is out of balance, in page order."""
    found = [*flaws(layout.pages), *(Flaw(page + 1, *fault) for page, fault in unbalanced(layout))]
    return tuple(sorted(found, key=lambda flaw: flaw.page))


@lru_cache(maxsize=512)
def _of_page(page: Page, font: MusicFont) -> tuple[tuple[int | None, str], ...]:
    """Kept by the page's identity: after an edit only the changed pages are read again."""
    return tuple(_read(page, font))


def _read(page: Page, font: MusicFont) -> Iterator[tuple[int | None, str]]:
    found = things(page, font)
    for one in found:
        box = one.box
        if min(box.left, box.top) < EDGE - TOUCH or box.right > page.width - EDGE + TOUCH or (
                box.bottom > page.height - EDGE + TOUCH):
            yield one.bar, f"{one.kind} stands off the page"
    for one, other in collisions(found):
        yield other.bar, f"{other.kind} over {one.kind}"
    yield from misaligned(found, font)
