"""The lesson page's design values, measured on the demo handouts as they are laid out."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import pytest

from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Frame, Glyph, Line, Mark, Text
from core.engraving.faces import face
from core.engraving.smufl import music_font
from core.files import load_study
from core.handout import PAPERS, Layout, PlacedSystem, lay_out, load_template
from core.handout.template import MM

DEMOS = sorted(Path(__file__).parents[2].glob("assets/*.study"))
FONT = music_font("Bravura")
CASES = [(path, paper) for path in DEMOS for paper in PAPERS]
pytestmark = pytest.mark.parametrize(("path", "paper"), CASES, ids=[f"{path.stem}-{paper}" for path, paper in CASES])


class Put(NamedTuple):
    """A mark, where its drawing stands in the system, and which bar of the study it belongs to."""

    mark: Mark
    x: float
    y: float
    bar: int | None

    @property
    def kind(self) -> str:
        return self.mark.tag.kind if self.mark.tag else ""

    @property
    def key(self) -> tuple[int | None, int, int]:
        return self.bar, self.mark.tag.event, self.mark.tag.note

    @property
    def box(self) -> Box:
        left, top, right, bottom = mark_box(self.mark, FONT)
        return Box(left + self.x, top + self.y, right + self.x, bottom + self.y)


@lru_cache
def laid_out(path: Path, paper: str) -> Layout:
    return lay_out(load_study(path), load_template("lesson"), paper)


def put(system: PlacedSystem) -> Iterator[Put]:
    for item in system.ink.items:
        bar = None if item.place is None else system.bars.first + item.place
        yield from (Put(mark, item.x, item.y, bar) for mark in item.drawing.marks)


def heads(system: PlacedSystem) -> dict[tuple[int | None, int, int], Put]:
    return {one.key: one for one in put(system) if one.kind == "note" and isinstance(one.mark, Glyph)
            and one.mark.name in ("noteheadBlack", "noteheadHalf", "noteheadWhole")}


def is_repeat(mark: Mark) -> bool:
    """Its dots and lines stand over both staves."""
    return mark.tag is None and ((isinstance(mark, Glyph) and mark.name == "augmentationDot") or (
        isinstance(mark, Line) and mark.x1 == mark.x2 and mark.y2 > 6))


def test_notation_and_tab_keep_their_distance(path, paper):
    """Never under 1.2 staff spaces between any two inks of the two staves, arcs and tuplet numbers included."""
    for system in laid_out(path, paper).systems:
        marks = list(put(system))
        (line,) = {one.y for one in marks if one.kind == "tab"}
        for bar in range(*system.bars):
            here = [one for one in marks if one.bar == bar]
            highest = min([line, *(one.box.top for one in here if one.kind == "tab")])
            music = [one.box.bottom for one in here if one.y == 0 and one.mark.ink in ("ink", "staff")
                     and one.kind in ("note", "rest", "") and not is_repeat(one.mark)]
            assert highest - max([4.0, *music]) >= 1.2 - 0.06
        clef = next(one for one in marks if isinstance(one.mark, Glyph) and one.mark.name == "gClef8vb")
        assert line - clef.box.bottom >= 1.2 - 1e-9


def test_degrees_stand_on_one_baseline_a_system(path, paper):
    for system in laid_out(path, paper).systems:
        baselines: dict[tuple[int | None, int], float] = {}  # of each event's lowest label: a double stop has two
        for one in put(system):
            if one.kind == "degree" and isinstance(one.mark, Text):
                place = one.key[:2]
                baselines[place] = max(baselines.get(place, -1e9), one.mark.y + one.y)
        assert len(set(baselines.values())) == 1


def spans(system: PlacedSystem, kind: str) -> dict[tuple[int | None, int, int], tuple[float, float]]:
    """Left and right end of what stands for each note: text by advance width, accidentals by ink."""
    found: dict[tuple[int | None, int, int], tuple[float, float]] = {}
    for one in put(system):
        if one.kind == kind and isinstance(one.mark, Text | Glyph):
            left, right = found.get(one.key, (1e9, -1e9))
            found[one.key] = min(left, one.box.left), max(right, one.box.right)
    return found


def test_degrees_are_centred_under_their_heads(path, paper):
    """To a twentieth of a space, by what is drawn."""
    for system in laid_out(path, paper).systems:
        above = heads(system)
        labels = spans(system, "degree")
        assert labels
        for key, (left, right) in labels.items():
            head = above[key]
            assert abs((left + right) / 2 - head.x - head.mark.x - FONT.head / 2) <= 0.05


def test_fret_numbers_are_centred_under_their_heads(path, paper):
    for system in laid_out(path, paper).systems:
        above = heads(system)
        for key, (left, right) in spans(system, "tab").items():
            head = above[key]
            assert abs((left + right) / 2 - head.x - head.mark.x - FONT.head / 2 * head.mark.scale) <= 0.05


def test_a_chord_symbol_begins_where_its_note_does(path, paper):
    """Within the side bearing of its root letter; where a chord changes under a held note there is no head to match."""
    layout = laid_out(path, paper)
    for system in layout.systems:
        lefts = {key: one.x + one.mark.x for key, one in heads(system).items()}
        for (bar, index, _), (left, _) in spans(system, "chord").items():
            offset = layout.study.bars[bar].changes[index].offset
            events = layout.study.bars[bar].events
            event = next((i for i, e in enumerate(events) if e.onset == offset and not e.grace and e.notes), None)
            if event is not None:
                assert abs(left - lefts[bar, event, 0]) <= 0.15


def test_chord_symbols_share_a_baseline_but_where_a_very_high_note_pushes(path, paper):
    for system in laid_out(path, paper).systems:
        baselines = [one.y for one in put(system) if one.kind == "chord"]
        highest = max(baselines, key=baselines.count)
        assert all(y <= highest + 1e-9 for y in baselines)
        assert baselines.count(highest) >= len(baselines) / 2


def test_callout_lines_are_neither_short_nor_long(path, paper):
    """About 20 to 60 characters of running text: the width of a box of several lines, less its padding."""
    sample = "the line falls by step into the third of the chord, heard a beat before the bar"
    character = face("serif").width(sample, load_template("lesson").style.word_size) / len(sample)
    found = 0
    for system in laid_out(path, paper).systems:
        for item in system.ink.items:
            frame = next((mark for mark in item.drawing.marks if isinstance(mark, Frame) and mark.ink == "rule"), None)
            if frame is not None and frame.bottom - frame.top > 5:
                found += 1
                assert 18 <= (frame.right - frame.left - 1.5) / character <= 62
    assert found


def test_nothing_stands_in_the_outer_ten_millimetres(path, paper):
    """References D2: on both papers live matter keeps 10 mm from the edges (arithmetic; common practice)."""
    for page in laid_out(path, paper).pages.pages:
        for placed in page.placed:
            for mark in placed.drawing.marks:
                box = mark_box(mark, FONT)
                assert placed.x + box.left * placed.scale >= 10 * MM
                assert placed.y + box.top * placed.scale >= 10 * MM
                assert placed.x + box.right * placed.scale <= page.width - 10 * MM
                assert placed.y + box.bottom * placed.scale <= page.height - 10 * MM


def test_a_last_page_is_at_least_a_third_full(path, paper):
    layout = laid_out(path, paper)
    if len(layout.pages.pages) == 1:
        return
    template = load_template("lesson")
    last = [one for one in layout.systems if one.page == len(layout.pages.pages) - 1]
    filled = sum(one.ink.bottom - one.ink.top for one in last) * template.space + template.system_gap * (len(last) - 1)
    room = PAPERS[paper][1] - template.top - template.bottom
    assert filled / room >= 1 / 3


def test_every_system_but_the_first_bears_its_bar_number(path, paper):
    layout = laid_out(path, paper)
    for place, system in enumerate(layout.systems):
        first = system.bars.first
        number = str(layout.study.in_force[first].number)
        found = [one for one in put(system) if isinstance(one.mark, Text) and one.mark.ink == "quiet" and
                 one.mark.text == number and one.x + one.mark.x < 1 and one.box.bottom < 0]
        assert bool(found) is (place > 0)


def test_systems_fill_the_column_but_perhaps_the_last(path, paper):
    template = load_template("lesson")
    column = (PAPERS[paper][0] - template.left - template.right) / template.space
    *full, last = laid_out(path, paper).systems
    assert all(abs(system.ink.right - column) < 0.1 for system in full)
    assert last.ink.right <= column + 0.1


def test_sizes_are_the_designed_ones(path, paper):
    """Words 8.5 pt, brackets and boxes a hairline of 0.13 spaces."""
    space = load_template("lesson").space
    for system in laid_out(path, paper).systems:
        for one in put(system):
            if isinstance(one.mark, Text) and one.kind in ("callout", "comment") and " " in one.mark.text:
                assert one.mark.size * space == pytest.approx(8.5)
            if isinstance(one.mark, Line) and one.mark.ink == "rule":
                assert one.mark.width == 0.13


def test_no_face_lacks_a_character_of_the_page(path, paper):
    for page in laid_out(path, paper).pages.pages:
        for placed in page.placed:
            for mark in placed.drawing.marks:
                if isinstance(mark, Text):
                    assert all(character in face(mark.face) for character in mark.text), mark.text
