"""Systems onto pages: where each stands, white spread evenly between them, and what else is on the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

from core.engraving import BarShape, SystemInk, SystemPlan
from core.engraving.drawing import Bookmark, Page, Placed
from core.handout.breaking import Range, SystemHeight, break_pages
from core.handout.furniture import Block, degree_key, foot, foot_baseline, foot_room, set_up, title_block
from core.handout.template import Template
from core.study import Study

_LOOSE = 1.35
"""A last page's gaps against the least ones: it is not stretched to the foot."""

_OVER_KEY = 0.5
"""White over the degree key, in parts of that between two systems, as far as the page has any to share."""

_HAIR = 0.01
"""Points, so that a strip's room is not under what its systems take by a rounding."""

PageKey = tuple[object, ...]


@dataclass(frozen=True, eq=False, slots=True)
class PlacedSystem:
    """A system on its page: index of the page, bars of the study it holds, y of its first staff line in points.
    shapes: of its bars; of one too wide for the column, a part.
    """

    page: int
    bars: Range
    y: float
    ink: SystemInk
    shapes: tuple[BarShape, ...]


class Paged(NamedTuple):
    """furniture: of each page, what stands there beside its systems; keys: what each was made from."""

    systems: tuple[PlacedSystem, ...]
    pages: tuple[Page, ...]
    furniture: tuple[tuple[Placed, ...], ...]
    keys: tuple[PageKey, ...]
    bookmarks: tuple[Bookmark, ...]


class Sheet(NamedTuple):
    """A page before music stands on it, in points. room: for systems, from the top margin to the bottom one;
    head, tail: of it, what title and degree key take on the first page. strip: it holds every system there is."""

    width: float
    height: float
    column: float
    room: float
    head: float
    tail: float
    title: Block
    key: Block
    strip: bool = False


def sheet_of(study: Study, template: Template, paper: tuple[float, float]) -> Sheet:
    """paper: width and height in points."""
    width, height = paper
    column = width - template.left - template.right
    source = (study.player, study.recording, study.transcriber, set_up(study.instrument))
    title = title_block(study.title, study.tune, source, study.feel, study.tempo, template, column)
    key = degree_key(template, column, any(bar.changes for bar in study.bars), any(bar.readings for bar in study.bars))
    gap = template.system_gap
    bottom = max(template.bottom, foot_room(study.title, study.rights, template, column))
    return Sheet(width, height, column, height - template.top - bottom, title.height + gap * 0.5,
                 key.height + gap * 0.25 if key.drawing.marks else 0.0, title, key)


def strip_of(sheet: Sheet, template: Template, inks: Sequence[SystemInk]) -> Sheet:
    """The sheet made as long as these systems are, under each other with the white of a page that is not full."""
    between = len(inks) - 1 + (_OVER_KEY if sheet.tail else 0.0)
    room = sheet.head + sheet.tail + between * template.system_gap * _LOOSE + _HAIR
    room += sum((ink.bottom - ink.top) * template.space for ink in inks)
    return sheet._replace(height=sheet.height - sheet.room + room, room=room, strip=True)


def paginate(
    study: Study, template: Template, sheet: Sheet, ranges: Sequence[Range], plans: Sequence[SystemPlan],
    inks: Sequence[SystemInk], known: dict[PageKey, Page],
) -> Paged:
    """All pages. known: pages made before, taken over where nothing changed."""
    width, height, column, room, head, tail, title, key, strip = sheet
    gap = template.system_gap
    heights = [
        SystemHeight((ink.bottom - ink.top) * template.space,
                     not strip and study.bars[here.first].break_before == "page")
        for ink, here in zip(inks, ranges, strict=True)
    ]
    breaks = break_pages(heights, room - head - tail, room, gap)
    systems: list[PlacedSystem] = []
    pages: list[Page] = []
    beside: list[tuple[Placed, ...]] = []
    keys: list[PageKey] = []
    for number, (first, end) in enumerate(breaks):
        opens = number == 0
        free = room - (head + tail if opens else 0.0) - sum(one.height for one in heights[first:end])
        most = template.widest_gap if end < len(inks) else gap * _LOOSE
        between = end - first - 1 + (_OVER_KEY if opens and tail else 0.0)
        white = min(max(free / max(1.0, between), gap), most)
        y = template.top + (head if opens else 0.0)
        mine = []
        for index in range(first, end):
            ink = inks[index]
            mine.append(PlacedSystem(number, ranges[index], y - ink.top * template.space, ink, plans[index].bars))
            y += heights[index].height + white
        bottom = foot(study.title if not opens else "", study.rights, template, column, number + 1, len(breaks))
        furniture = [Placed(bottom.drawing, template.left, height - foot_baseline(template), 1.0)]
        if opens:
            furniture.append(Placed(title.drawing, template.left, template.top, 1.0))
            furniture.append(Placed(key.drawing, template.left, template.top + room - key.height, 1.0))
        page_key = (*map(_system_key, mine), *((id(one.drawing), one.y) for one in furniture), width, height)
        page = known.get(page_key) or Page(
            width, height, (*chain.from_iterable(placed_in(one, template) for one in mine), *furniture))
        systems += mine
        pages.append(page)
        beside.append(tuple(furniture))
        keys.append(page_key)
    return Paged(tuple(systems), tuple(pages), tuple(beside), tuple(keys), _bookmarks(study, systems, template))


def _system_key(system: PlacedSystem) -> tuple[object, ...]:
    return id(system.ink), system.bars, system.y


def placed_in(system: PlacedSystem, template: Template) -> tuple[Placed, ...]:
    """The system's drawings on its page, in points."""
    return _placed(system.ink, system.bars.first, system.y, template.left, template.space)


@lru_cache(maxsize=32)  # a page's worth, for whoever asks again and again about a bar
def _placed(ink: SystemInk, first: int, y: float, left: float, space: float) -> tuple[Placed, ...]:
    return tuple([
        Placed(item.drawing, left + item.x * space, y + item.y * space, space,
               None if item.place is None else first + item.place)
        for item in ink.items
    ])


def _bookmarks(study: Study, systems: Sequence[PlacedSystem], template: Template) -> tuple[Bookmark, ...]:
    """One a chorus, at the top of the system it begins in."""
    found = []
    for chorus in study.choruses:
        system = next(one for one in systems if one.bars.first <= chorus.bar < one.bars.end)
        found.append(Bookmark(chorus.label, system.page, system.y + system.ink.top * template.space))
    return tuple(found)
