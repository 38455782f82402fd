"""Reads finished pages as a proof-reader would: ink off the page, and things that stand in each other's way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Frame, Glyph, Mark, Page, Pages, Placed, Text
from core.engraving.smufl import MusicFont, music_font
from core.handout.template import MM

EDGE = 10 * MM
"""Nothing stands nearer to the paper's edge: desktop printers lose up to 6.4 mm (references: practice)."""
_TOUCH = 0.4
"""Points by which boxes may overlap: a box is a little larger than what is drawn in it."""
_ROWS = frozenset({"chord", "tab", "degree", "reading", "callout", "comment", "remark", "title", "foot"})


class Flaw(NamedTuple):
    """page counts from 1; bar is an index into the study's bars, None for what belongs to no bar."""

    page: int
    bar: int | None
    what: str


class _Thing(NamedTuple):
    """Marks that stand for one thing, as a box in points."""

    box: Box
    kind: str
    key: tuple[object, ...]
    bar: int | None


def flaws(pages: Pages) -> tuple[Flaw, ...]:
    """Everything wrong with the pages, in page order."""
    font = music_font(pages.music_font)
    return tuple(flaw for number, page in enumerate(pages.pages, 1) for flaw in _of_page(number, page, font))


def _of_page(number: int, page: Page, font: MusicFont) -> Iterator[Flaw]:
    things = []
    for index, placed in enumerate(page.placed):
        for mark in placed.drawing.marks:
            box = _on_page(mark_box(mark, font), placed)
            if min(box.left, box.top) < EDGE - _TOUCH or box.right > page.width - EDGE + _TOUCH or (
                box.bottom > page.height - EDGE + _TOUCH
            ):
                yield Flaw(number, placed.bar, f"{_name(mark)} stands off the page")
        things += _things(index, placed, font)
    things.sort(key=lambda thing: thing.box.top)
    for place, thing in enumerate(things):
        for other in things[place + 1 :]:
            if other.box.top > thing.box.bottom - _TOUCH:
                break
            if _in_the_way(thing, other):
                yield Flaw(number, other.bar, f"{other.kind} over {thing.kind}")


def _on_page(box: Box, placed: Placed) -> Box:
    return Box(placed.x + box.left * placed.scale, placed.y + box.top * placed.scale,
               placed.x + box.right * placed.scale, placed.y + box.bottom * placed.scale)


def _things(index: int, placed: Placed, font: MusicFont) -> list[_Thing]:
    """The drawing's text rows, callout boxes and noteheads, each as one box."""
    found: dict[tuple[object, ...], Box] = {}
    kinds: dict[tuple[object, ...], str] = {}
    framed = any(isinstance(mark, Frame) for mark in placed.drawing.marks)
    for mark in placed.drawing.marks:
        if mark.tag is None:
            continue
        kind = mark.tag.kind
        if kind == "callout":
            if not isinstance(mark, Frame) and not (isinstance(mark, Text) and not framed):
                continue
        elif kind == "note":
            if not isinstance(mark, Glyph):
                continue
        elif kind not in _ROWS or not isinstance(mark, Text | Glyph):
            continue
        alone = kind in ("note", "title", "foot")
        key = (index, mark) if alone else (index, placed.bar, mark.tag)
        box = _on_page(mark_box(mark, font), placed)
        known = found.get(key)
        found[key] = box if known is None else Box(min(known.left, box.left), min(known.top, box.top),
                                                   max(known.right, box.right), max(known.bottom, box.bottom))
        kinds[key] = kind
    return [_Thing(box, kinds[key], key, placed.bar) for key, box in found.items()]


def _in_the_way(one: _Thing, other: _Thing) -> bool:
    if one.kind == "note" and other.kind == "note":
        return False
    return (min(one.box.right, other.box.right) - max(one.box.left, other.box.left) > _TOUCH
            and min(one.box.bottom, other.box.bottom) - max(one.box.top, other.box.top) > _TOUCH)


def _name(mark: Mark) -> str:
    return mark.tag.kind if mark.tag else type(mark).__name__.lower()
