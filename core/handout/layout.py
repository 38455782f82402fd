"""From a study to its finished pages; and again after an edit, doing only what changed.

study -> analysis and fingering -> galley -> systems -> pages. Each stage takes over from the
layout before what it can, by identity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from core.engraving import (
    BarShape,
    Carried,
    Galley,
    SystemInk,
    SystemPlan,
    bar_height,
    bar_room,
    engrave,
    is_reached,
    set_system,
)
from core.engraving.drawing import Bookmark, Page, Pages
from core.guitar import Fingering, finger
from core.handout.breaking import BarWidth, PageRoom, Range, break_systems
from core.handout.pagination import PageKey, PlacedSystem, paginate, sheet_of
from core.handout.template import Template, page_size
from core.line import Analysis, analyse
from core.study import Study

SystemKey = tuple[object, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Layout:
    """A study on its pages, with all that was computed on the way. The keys say what each system and
    page was made from."""

    study: Study
    template: Template
    analysis: Analysis
    fingering: Fingering
    galley: Galley
    systems: tuple[PlacedSystem, ...]
    pages: Pages
    system_keys: tuple[SystemKey, ...]
    page_keys: tuple[PageKey, ...]


def lay_out(study: Study, template: Template, paper: str = "a4", before: Layout | None = None) -> Layout:
    """The study on pages. before: a layout of the study as it was, to build on. Raises BarglossError."""
    size = page_size(template, paper)
    analysis = analyse(study, before.analysis if before else None)
    fingering = finger(study, before.fingering if before else None)
    galley = engrave(study, analysis, fingering, template.style, before.galley if before else None)
    sheet, space = sheet_of(study, template, size), template.space
    column = sheet.column / space
    ranges = break_systems(
        tuple(_widths(study, galley)), tuple(map(bar_height, galley.bars)), column, template.style.eighth,
        PageRoom(sheet.room / space, (sheet.head + sheet.tail) / space, template.system_gap / space),
    )
    plans = _plans(study, galley, ranges, column, template)
    system_keys = tuple(map(_key_of, plans))
    inks: dict[SystemKey, SystemInk] = {}
    pages: dict[PageKey, Page] = {}
    if before and before.template is template:
        inks = dict(zip(before.system_keys, (system.ink for system in before.systems), strict=True))
        pages = dict(zip(before.page_keys, before.pages.pages, strict=True))
    set_inks = [inks.get(key) or set_system(plan) for key, plan in zip(system_keys, plans, strict=True)]
    paged = paginate(study, template, sheet, ranges, set_inks, pages)
    made = Pages(paged.pages, study.title or study.tune or "Untitled study", study.transcriber or study.player,
                 study.tune, template.style.font, template.colours, paged.bookmarks)
    return Layout(study, template, analysis, fingering, galley, paged.systems, made, system_keys, paged.keys)


def compose(study: Study, template: Template, paper: str = "a4") -> Pages:
    """The study's pages. Raises BarglossError."""
    return lay_out(study, template, paper).pages


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


def _key_of(plan: SystemPlan) -> SystemKey:
    return (tuple(map(id, plan.bars)), plan.numbers, plan.opens, plan.width, plan.stretch, plan.before, plan.tied_in,
            plan.slurred_in, plan.carried, id(plan.after), id(plan.last))


def _widths(study: Study, galley: Galley) -> list[BarWidth]:
    """What breaking knows of each bar."""
    starts = {chorus.bar for chorus in study.choruses}
    found = []
    since = 0
    for index, shape in enumerate(galley.bars):
        if index in starts:
            since = 0
        counts = not shape.view.shift
        prefix, head, ahead, words = bar_room(shape)
        found.append(BarWidth(shape.natural, shape.least, shape.springs, head, prefix, ahead, since, words, counts,
                              bool(shape.view.bar.break_before), shape.view.bar.break_before == "page",
                              not shape.view.rests))
        since += counts
    return found


def _plans(
    study: Study, galley: Galley, ranges: Sequence[Range], column: float, template: Template
) -> list[SystemPlan]:
    slurs, reaching = _open_slurs(study), _reaching(study)
    numbers = [here.number for here in study.in_force]
    plans = []
    for first, end in ranges:
        bars = galley.bars[first:end]
        following = galley.bars[end] if end < len(galley.bars) else None
        carried = tuple(Carried(one.place - first, one.stop) for one in reaching if one.origin < first <= one.place)
        plans.append(SystemPlan(
            bars, tuple(numbers[first:end]), first == 0, column,
            _loose(bars, column, template) if end == len(galley.bars) else None,
            study.in_force[first - 1].key if first else None,
            tuple(pitch.midi for pitch in bars[0].view.tied_in), slurs[first], carried,
            following if following and (bar_room(following).ahead or is_reached(following)) else None,
            galley.bars[first - 1] if first and is_reached(bars[0]) else None,
        ))
    return plans


def _loose(bars: Sequence[BarShape], column: float, template: Template) -> float | None:
    """The stretch of a last system: its own, where filling the column would tear it apart."""
    natural = sum(bar.natural for bar in bars) + bar_room(bars[0]).head
    return template.style.eighth if natural < 0.6 * column else None


def _open_slurs(study: Study) -> list[bool]:
    """Whether a slur comes into each bar from the one before."""
    found, is_open = [], False
    for bar in study.bars:
        found.append(is_open)
        for event in bar.events:
            if event.slur:
                is_open = event.slur != "stop"
    return found


class _Reach(NamedTuple):
    """A callout that goes on into later bars: from bar `origin` to onset `stop` of bar `place`."""

    origin: int
    place: int
    stop: Fraction


def _reaching(study: Study) -> list[_Reach]:
    return [
        _Reach(index, index + callout.bars_on, callout.stop)
        for index, bar in enumerate(study.bars) for callout in bar.callouts if callout.bars_on
    ]
