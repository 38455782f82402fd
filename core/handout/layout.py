"""From a study to its finished pages; and again after an edit, doing only what changed.

study -> analysis and fingering -> galley -> systems -> pages. Each stage takes over from the
layout before what it can, by identity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from core.engraving import (
    BarShape,
    Carried,
    Galley,
    SystemInk,
    SystemPlan,
    engrave,
    head_width,
    prefix_width,
    set_system,
)
from core.engraving.callouts import least_room
from core.engraving.drawing import Bookmark, Page, Pages, Placed
from core.engraving.words import words_of
from core.errors import BarglossError
from core.guitar import Fingering, finger
from core.handout.breaking import BarWidth, Range, SystemHeight, break_pages, break_systems
from core.handout.furniture import degree_key, foot, title_block
from core.handout.template import PAPERS, Template
from core.line import Analysis, analyse
from core.study import Study

_Key = tuple[object, ...]


@dataclass(frozen=True, eq=False, slots=True)
class PlacedSystem:
    """A system on its page: index of the page, bars of the study it holds, y of its first staff line in points."""

    page: int
    bars: Range
    y: float
    ink: SystemInk


@dataclass(frozen=True, eq=False, slots=True)
class Layout:
    """A study on its pages, with all that was computed on the way. keys: what each system was made from."""

    study: Study
    template: Template
    analysis: Analysis
    fingering: Fingering
    galley: Galley
    systems: tuple[PlacedSystem, ...]
    pages: Pages
    keys: tuple[_Key, ...]


def lay_out(study: Study, template: Template, paper: str = "a4", before: Layout | None = None) -> Layout:
    """The study on pages. before: a layout of the study as it was, to build on. Raises BarglossError."""
    if paper not in PAPERS:
        raise BarglossError(f"there is no paper {paper!r}; there is {', '.join(PAPERS)}")
    analysis = analyse(study, before.analysis if before else None)
    fingering = finger(study, before.fingering if before else None)
    galley = engrave(study, analysis, fingering, template.style, before.galley if before else None)
    width, height = PAPERS[paper]
    column = (width - template.left - template.right) / template.space
    ranges = break_systems(_widths(study, galley), column, template.style.eighth)
    known: dict[_Key, SystemInk] = {}
    if before:
        known = dict(zip(before.keys, (system.ink for system in before.systems), strict=True))
    plans = _plans(study, galley, ranges, column, template)
    keys = tuple(_key_of(plan) for plan in plans)
    inks = [known.get(key) or set_system(plan) for key, plan in zip(keys, plans, strict=True)]
    systems, pages = _pages(study, template, (width, height), ranges, inks)
    return Layout(study, template, analysis, fingering, galley, systems, pages, keys)


def compose(study: Study, template: Template, paper: str = "a4") -> Pages:
    """The study's pages. Raises BarglossError."""
    return lay_out(study, template, paper).pages


def _key_of(plan: SystemPlan) -> _Key:
    return (tuple(map(id, plan.bars)), plan.numbers, plan.opens, plan.width, plan.stretch, plan.before, plan.tied_in,
            plan.slurred_in, plan.carried)


def _widths(study: Study, galley: Galley) -> list[BarWidth]:
    starts = sorted({0, *(chorus.bar for chorus in study.choruses)})
    style = galley.style
    found = []
    since = 0
    for index, shape in enumerate(galley.bars):
        bar = shape.view.bar
        counts = shape.view.shift == 0
        if index in starts:
            since = 0
        words = 0.0
        if bar.callouts and "callouts" in style.rows:
            words = least_room([words_of(one.heading, one.text, style) for one in bar.callouts], style) + 1.5
        found.append(BarWidth(shape.natural, shape.least, shape.springs, head_width(shape), prefix_width(shape, False),
                              since, words, counts, bool(bar.break_before)))
        since += counts
    return found


def _plans(
    study: Study, galley: Galley, ranges: Sequence[Range], column: float, template: Template
) -> list[SystemPlan]:
    plans = []
    slurs = _open_slurs(study)
    carried = _carried(study)
    for first, end in ranges:
        bars = galley.bars[first:end]
        before = study.in_force[first - 1].key if first else None
        tied_in = tuple(pitch.midi for pitch in bars[0].view.tied_in)
        plans.append(SystemPlan(
            bars, tuple(here.number for here in study.in_force[first:end]), first == 0, column,
            _loose(bars, column, template) if end == len(galley.bars) else None, before, tied_in, slurs[first],
            tuple(Carried(one.place - first, one.stop) for one in carried if one.origin < first <= one.place),
        ))
    return plans


def _loose(bars: Sequence[BarShape], column: float, template: Template) -> float | None:
    """The stretch of a last system: its own, where filling the column would tear it apart."""
    natural = sum(bar.natural for bar in bars) + head_width(bars[0])
    return template.style.eighth if natural < 0.8 * column else None


def _open_slurs(study: Study) -> list[bool]:
    """Whether a slur comes into each bar from the one before."""
    found, is_open = [], False
    for bar in study.bars:
        found.append(is_open)
        for event in bar.events:
            if event.slur:
                is_open = event.slur != "stop"
    return found


@dataclass(frozen=True, slots=True)
class _Reach:
    """A callout that goes on into later bars: from bar `origin` to onset `stop` of bar `place`."""

    origin: int
    place: int
    stop: Fraction


def _carried(study: Study) -> list[_Reach]:
    return [
        _Reach(index, index + callout.bars_on, callout.stop)
        for index, bar in enumerate(study.bars) for callout in bar.callouts if callout.bars_on
    ]


def _pages(
    study: Study, template: Template, paper: tuple[float, float], ranges: Sequence[Range], inks: Sequence[SystemInk]
) -> tuple[tuple[PlacedSystem, ...], Pages]:
    """Systems onto pages, white spread evenly between them."""
    width, height = paper
    column = width - template.left - template.right
    title = title_block(study, template, column)
    key = degree_key(template, column)
    foot_height = foot(study, template, column, 1, 1).height
    heights = [SystemHeight((ink.bottom - ink.top) * template.space, study.bars[here.first].break_before == "page")
               for ink, here in zip(inks, ranges, strict=True)]
    gap = template.system_gap
    other = height - template.top - template.bottom
    head, tail = title.height + gap * 0.8, (key.height + gap * 0.4 if "degrees" in template.style.rows else 0.0)
    breaks = break_pages(heights, other - head - tail, other, gap)
    systems: list[PlacedSystem] = []
    pages: list[Page] = []
    bookmarks: list[Bookmark] = []
    labels = {chorus.bar: chorus.label for chorus in study.choruses}
    for number, (first, end) in enumerate(breaks):
        placed: list[Placed] = []
        top = template.top
        room = other
        if number == 0:
            placed.append(Placed(title.drawing, template.left, template.top, 1.0))
            top, room = top + head, room - head - tail
            if tail:
                placed.append(Placed(key.drawing, template.left, height - template.bottom - key.height, 1.0))
        used = sum(one.height for one in heights[first:end])
        white = (room - used) / max(1, end - first - 1)
        white = min(max(white, gap), template.widest_gap) if end < len(inks) else min(max(white, gap), gap * 1.35)
        y = top
        for index in range(first, end):
            ink, here = inks[index], ranges[index]
            base = y - ink.top * template.space
            for item in ink.items:
                bar = None if item.place is None else here.first + item.place
                placed.append(Placed(item.drawing, template.left + item.x * template.space,
                                     base + item.y * template.space, template.space, bar))
            systems.append(PlacedSystem(number, here, base, ink))
            for bar in range(here.first, here.end):
                if bar in labels:
                    bookmarks.append(Bookmark(labels[bar], number, y))
            y += heights[index].height + white
        page_foot = foot(study, template, column, number + 1, len(breaks))
        placed.append(Placed(page_foot.drawing, template.left, height - template.bottom + foot_height * 0.45, 1.0))
        pages.append(Page(width, height, tuple(placed)))
    made = Pages(tuple(pages), study.title or study.tune or "Untitled study", study.transcriber or study.player,
                 study.tune, template.style.font, template.colours, tuple(bookmarks))
    return tuple(systems), made


def join(parts: Sequence[Pages]) -> Pages:
    """Several handouts as one, in order. Colours and music font are the first one's."""
    pages: list[Page] = []
    bookmarks: list[Bookmark] = []
    for part in parts:
        if len(parts) > 1:
            bookmarks.append(Bookmark(part.title, len(pages), 0.0))
        bookmarks += [mark._replace(page=mark.page + len(pages)) for mark in part.bookmarks]
        pages += part.pages
    first = parts[0]
    return Pages(tuple(pages), first.title, first.author, first.subject, first.music_font, first.colours,
                 tuple(bookmarks))
