"""From a study to its finished pages; and again after an edit, doing only what changed.

study -> analysis and fingering -> galley -> systems -> pages. Each stage takes over from the
layout before what it can, by identity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.engraving import (
    Galley,
    SystemInk,
    SystemPlan,
    bar_height,
    engrave,
    set_system,
)
from core.engraving.drawing import Bookmark, Page, Pages, Placed
from core.guitar import Fingering, finger
from core.handout.breaking import Broken, PageRoom, break_systems
from core.handout.excerpt import Excerpt
from core.handout.pagination import PageKey, PlacedSystem, paginate, sheet_of, strip_of
from core.handout.planning import line_of, plans_of, widths_of
from core.handout.template import Template, page_size
from core.line import Analysis, analyse
from core.study import Study

SystemKey = tuple[object, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Layout:
    """A study on its pages, with all that was computed on the way. furniture: of each page, what stands there beside
    its systems. The keys say what each system and page was made from."""

    study: Study
    template: Template
    analysis: Analysis
    fingering: Fingering
    galley: Galley
    broken: Broken
    systems: tuple[PlacedSystem, ...]
    pages: Pages
    furniture: tuple[tuple[Placed, ...], ...]
    system_keys: tuple[SystemKey, ...]
    page_keys: tuple[PageKey, ...]


def lay_out(
    study: Study, template: Template, paper: str = "a4", before: Layout | None = None, *, strip: bool = False
) -> Layout:
    """The study on pages. before: a layout of the study as it was, to build on; strip: the systems of the pages under
    each other, on one page as long as that takes. Raises BarglossError."""
    analysis = analyse(study, before.analysis if before else None)
    fingering = finger(study, before.fingering if before else None)
    galley = engrave(study, analysis, fingering, template.style, before.galley if before else None)
    return _on_pages(_Engraved(study, analysis, fingering, galley), template, page_size(template, paper), before,
                     strip=strip)


def lay_out_excerpt(part: Excerpt, template: Template, paper: str = "a4") -> Layout:
    """Some bars of a study on pages. Raises BarglossError."""
    galley = engrave(part.study, part.analysis, part.fingering, template.style, held=part.held)
    return _on_pages(_Engraved(part.study, part.analysis, part.fingering, galley), template,
                     page_size(template, paper), None)


class _Engraved(NamedTuple):
    study: Study
    analysis: Analysis
    fingering: Fingering
    galley: Galley


def _on_pages(
    made: _Engraved, template: Template, size: tuple[float, float], before: Layout | None, *, strip: bool = False
) -> Layout:
    study, _, _, galley = made
    sheet, space = sheet_of(study, template, size), template.space
    column = sheet.column / space
    line = line_of(galley, column)
    broken = break_systems(
        widths_of(study, line), tuple(map(bar_height, line.shapes)), column,
        PageRoom(sheet.room / space, (sheet.head + sheet.tail) / space, template.system_gap / space),
        before.broken if before else None,
    )
    ranges = broken.ranges
    plans = plans_of(study, line, ranges, column, template)
    system_keys = tuple(map(_key_of, plans))
    inks: dict[SystemKey, SystemInk] = {}
    pages: dict[PageKey, Page] = {}
    if before and before.template is template:
        inks = dict(zip(before.system_keys, (system.ink for system in before.systems), strict=True))
        pages = dict(zip(before.page_keys, before.pages.pages, strict=True))
    set_inks = [inks.get(key) or set_system(plan) for key, plan in zip(system_keys, plans, strict=True)]
    if strip:
        sheet = strip_of(sheet, template, set_inks)
    paged = paginate(study, template, sheet, [line.whole(one) for one in ranges], plans,
                     set_inks, pages)
    bound = Pages(paged.pages, study.title or study.tune or "Untitled study", study.transcriber or study.player,
                  study.tune, template.style.font, template.colours, paged.bookmarks)
    return Layout(study, template, made.analysis, made.fingering, galley, broken, paged.systems, bound, paged.furniture,
                  system_keys, paged.keys)


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
    return Pages(tuple(pages), _all("title", parts), _all("author", parts), _all("subject", parts), first.music_font,
                 first.colours, tuple(bookmarks))


def _all(name: str, parts: Sequence[Pages]) -> str:
    """What the parts say under this name, each once."""
    return "; ".join(dict.fromkeys(filter(None, [getattr(part, name) for part in parts])))


def _key_of(plan: SystemPlan) -> SystemKey:
    return (tuple(map(id, plan.bars)), plan.numbers, plan.opens, plan.width, plan.stretch, plan.before, plan.tied_in,
            plan.slurred_in, plan.carried, id(plan.after), id(plan.last), plan.hairpins)
