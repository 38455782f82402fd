"""Where the selection goes: from note to note, bar to bar and system to system. No Qt widget in sight."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from core.engraving.boxes import Box, find, mark_box, tagged_boxes
from core.engraving.drawing import Frame, Placed, Tag
from core.handout import Layout, PlacedSystem, placed_in
from core.study import NotePlace, Study

_OF_A_NOTE = ("note", "tab", "degree")
_TO_A_NOTE = (*_OF_A_NOTE, "hand")
"""Of what a click selects the note."""


class Selected(NamedTuple):
    """A bar by index; in it a note, or None; and the last of several selected notes, or None."""

    bar: int
    note: NotePlace | None = None
    until: NotePlace | None = None

    @property
    def span(self) -> tuple[NotePlace, NotePlace] | None:
        """First and last of the selected notes."""
        if self.note is None:
            return None
        last = self.until or self.note
        return min(self.note, last), max(self.note, last)

    @property
    def moving(self) -> NotePlace | None:
        """The end that the keys move."""
        return self.until or self.note


class Spot(NamedTuple):
    """A box on a page, in points from its top left. page: index; kind: of the ink in it."""

    page: int
    box: Box
    kind: str = ""


def heads(study: Study, bars: Iterable[int]) -> Iterator[NotePlace]:
    """Every head of these bars, in order, low to high in a double stop."""
    for bar in bars:
        for event, sounding in enumerate(study.bars[bar].events):
            for note in range(len(sounding.notes)):
                yield NotePlace(bar, event, note)


def span_of(study: Study, at: Selected) -> tuple[NotePlace, NotePlace]:
    """First and last of the selected events; where no note is selected, those of the bar."""
    return at.span or (NotePlace(at.bar, 0), NotePlace(at.bar, max(0, len(study.bars[at.bar].events) - 1)))


def still_there(study: Study, at: Selected) -> Selected:
    """The selection without what the study does not have: the last bar for one past the end, no note for no head."""
    bar = min(max(at.bar, 0), len(study.bars) - 1)
    note = at.note if bar == at.bar and _has(study, at.note) else None
    return Selected(bar, note, at.until if note and _has(study, at.until) else None)


def _has(study: Study, place: NotePlace | None) -> bool:
    if place is None or not 0 <= place.bar < len(study.bars):
        return False
    events = study.bars[place.bar].events
    return 0 <= place.event < len(events) and 0 <= place.note < len(events[place.event].notes)


def note_after(study: Study, at: Selected) -> NotePlace | None:
    """The next head; the first one of the bar where none is selected."""
    bar = at.moving.bar if at.moving else at.bar
    return next((head for head in heads(study, range(bar, len(study.bars))) if not at.moving or head > at.moving), None)


def note_before(study: Study, at: Selected) -> NotePlace | None:
    here = at.moving or NotePlace(at.bar, 0)
    for bar in range(here.bar, -1, -1):
        earlier = [head for head in heads(study, [bar]) if head < here]
        if earlier:
            return earlier[-1]
    return None


def first_of_bar(study: Study, bar: int) -> Selected:
    """The bar with its first note, if it has one."""
    return Selected(bar, next(heads(study, [bar]), None))


def last_of_bar(study: Study, bar: int) -> Selected:
    own = list(heads(study, [bar]))
    return Selected(bar, own[-1] if own else None)


def system_of(layout: Layout, bar: int) -> PlacedSystem:
    return next(system for system in layout.systems if system.bars.first <= bar < system.bars.end)


def a_system_on(layout: Layout, at: Selected, by: int) -> Selected | None:
    """What lies straight below (by 1) or above (by -1) in the neighbouring system."""
    place = layout.systems.index(system_of(layout, at.bar)) + by
    if not 0 <= place < len(layout.systems):
        return None
    x = middle_of(layout, at)
    system = layout.systems[place]
    bar = min(range(system.bars.first, system.bars.end), key=lambda one: _away(bar_spot(layout, one).box, x))
    own = list(heads(layout.study, [bar]))
    return Selected(bar, min(own, key=lambda head: abs(_centre(layout, head) - x), default=None))


def _away(box: Box, x: float) -> float:
    return max(box.left - x, x - box.right, 0.0)


def middle_of(layout: Layout, at: Selected) -> float:
    """x of the selection's middle, in points."""
    if at.note is not None:
        return _centre(layout, at.note)
    box = bar_spot(layout, at.bar).box
    return (box.left + box.right) / 2


def _centre(layout: Layout, head: NotePlace) -> float:
    box = note_spots(layout, head)[0].box
    return (box.left + box.right) / 2


def bar_spot(layout: Layout, bar: int) -> Spot:
    """The bar from barline to barline, over the whole height of its system."""
    system, template = system_of(layout, bar), layout.template
    span = system.ink.bars[bar - system.bars.first]
    return Spot(system.page, Box(template.left + span.left * template.space, system.y + system.ink.top * template.space,
                                 template.left + span.right * template.space,
                                 system.y + system.ink.bottom * template.space))


def ink_round(layout: Layout, bar: int) -> Iterator[Placed]:
    """What is drawn of the systems that the bar is in, on the page that it begins on."""
    page = system_of(layout, bar).page
    for system in layout.systems:
        if system.page == page and system.bars.first <= bar < system.bars.end:
            yield from placed_in(system, layout.template)


def ink_of(layout: Layout, bar: int) -> Iterator[Placed]:
    """What is drawn of the bar itself, there."""
    return (placed for placed in ink_round(layout, bar) if placed.bar == bar)


def rows_spot(layout: Layout, bar: int) -> Spot:
    """The bar's rows of music alone, as deep as its system's."""
    system, whole = system_of(layout, bar), bar_spot(layout, bar)
    return Spot(system.page, whole.box._replace(bottom=system.y + system.ink.rows * layout.template.space))


def words_spots(layout: Layout, bar: int) -> list[Spot]:
    """A spot for each callout of the bar and one for its comment."""
    page, font = system_of(layout, bar).page, layout.template.style.music
    found: dict[tuple[str, int], Box] = {}
    for placed in ink_of(layout, bar):
        for mark in placed.drawing.marks:
            tag = mark.tag
            if tag is not None and (tag.kind == "comment" or (tag.kind == "callout" and isinstance(mark, Frame))):
                box = _on_page(placed, mark_box(mark, font))
                found[tag.kind, tag.event] = _union(found.get((tag.kind, tag.event), box), box)
    return [Spot(page, box, kind) for (kind, _), box in found.items()]


def _on_page(placed: Placed, box: Box) -> Box:
    return Box(placed.x + box.left * placed.scale, placed.y + box.top * placed.scale,
               placed.x + box.right * placed.scale, placed.y + box.bottom * placed.scale)


def note_spots(layout: Layout, place: NotePlace) -> list[Spot]:
    """One spot for its ink on the staff (first), on the tab and in the degree row, where there is any."""
    page = system_of(layout, place.bar).page
    font, found = layout.template.style.music, {}
    for placed in ink_of(layout, place.bar):
        for box, tag in tagged_boxes(placed.drawing, font):
            if tag.kind in _OF_A_NOTE and (tag.event, tag.note) == place[1:]:
                on_page = _on_page(placed, box)
                found[tag.kind] = _union(found.get(tag.kind, on_page), on_page)
    return [Spot(page, found[kind], kind) for kind in _OF_A_NOTE if kind in found]


def ink_of_events(layout: Layout, bar: int) -> Iterator[tuple[int, Box]]:
    """Index and box of each mark of the bar's notes and rests, on the staff and on the tab."""
    for placed in ink_of(layout, bar):
        for box, tag in tagged_boxes(placed.drawing, layout.template.style.music):
            if tag.kind in ("note", "rest", "tab"):
                yield tag.event, _on_page(placed, box)


def set_frets(layout: Layout, bars: Iterable[int]) -> Iterator[Spot]:
    """On the tab, each fret that the teacher has set."""
    for bar in bars:
        page = system_of(layout, bar).page
        own = {head[1:] for head in heads(layout.study, [bar]) if layout.study.note_at(head).string is not None}
        for placed in ink_of(layout, bar) if own else ():
            for box, tag in tagged_boxes(placed.drawing, layout.template.style.music):
                if tag.kind == "tab" and (tag.event, tag.note) in own:
                    yield Spot(page, _on_page(placed, box), "tab")


def _union(one: Box, other: Box) -> Box:
    return Box(min(one.left, other.left), min(one.top, other.top),
               max(one.right, other.right), max(one.bottom, other.bottom))


def tag_at(layout: Layout, page: int, x: float, y: float) -> Tag | None:
    """What the ink at a point of a page stands for."""
    hit = find(layout.pages.pages[page], x, y, layout.template.style.music)
    return hit.tag if hit is not None and hit.placed.bar is not None else None


def writes_at(layout: Layout, page: int, x: float, y: float) -> Tag | None:
    """What can be gone into at a point of a page: the page's own ink as well; in a bar, no ink in particular too."""
    hit = find(layout.pages.pages[page], x, y, layout.template.style.music)
    if hit is not None and hit.placed.bar is None:
        return hit.tag
    return None if at_point(layout, page, x, y) is None else hit.tag if hit is not None else Tag("bar")


def at_point(layout: Layout, page: int, x: float, y: float) -> Selected | None:
    """What a click at a point of a page selects: the note whose ink is there, else the bar, else nothing."""
    hit = find(layout.pages.pages[page], x, y, layout.template.style.music)
    if hit is not None and hit.placed.bar is not None:
        if hit.tag.kind in _TO_A_NOTE:
            return Selected(hit.placed.bar, NotePlace(hit.placed.bar, hit.tag.event, hit.tag.note))
        return Selected(hit.placed.bar)
    for system in layout.systems:
        for bar in range(system.bars.first, system.bars.end):
            if system.page == page and bar_spot(layout, bar).box.holds(x, y):
                return Selected(bar)
    return None


def first_difference(one: Study, other: Study) -> int | None:
    """Index of the first bar that is not the same object in both; None where all are."""
    pairs = zip(one.bars, other.bars, strict=False)
    differs = next((index for index, (bar, twin) in enumerate(pairs) if bar is not twin), None)
    if differs is None and len(one.bars) != len(other.bars):
        return min(len(one.bars), len(other.bars)) - 1
    return differs
