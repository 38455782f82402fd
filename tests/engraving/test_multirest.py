"""Bars of rest as one: which bars, what is drawn, and that bars keep their numbers and places."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style
from core.engraving.boxes import mark_box
from core.engraving.drawing import Glyph, Line
from core.engraving.measures import H_BAR
from core.engraving.multirest import rest_runs, run_marks
from core.engraving.smufl import music_font
from core.handout import lay_out, load_template
from core.handout.inspect import flaws
from core.study import Bar, Callout, Change, Chorus, Event, Key, Meter, Reading, Study
from tests.engraving.scenes import bar, galley, system
from tests.strategies import CALM

FONT = music_font("Bravura")
LINE = bar("C4 D4 E4 F4 G4 A4 B4 C5")
REST = Bar()
LESSON = load_template("lesson")
FOLDED = replace(LESSON, style=replace(LESSON.style, multirests=True))


def runs(*bars: Bar, **facts: object) -> dict[int, int]:
    return rest_runs(Study(bars=bars, **facts))


def test_a_run_is_two_bars_or_more():
    assert runs(REST, LINE, REST, REST, REST, LINE, REST, REST) == {2: 3, 3: 0, 4: 0, 6: 2, 7: 0}


@pytest.mark.parametrize("bar", [
    Bar(changes=(Change(0, "C7"),)), Bar(readings=(Reading(0, "C7"),)), Bar(callouts=(Callout(0, 0, 0, "Wait"),)),
    Bar(comment="Wait."), Bar(key=Key(2)), Bar(meter=Meter((3,))), Bar(length=2), Bar(repeat_start=True),
    Bar(repeat_end=2), Bar(ending="1"), Bar(rehearsal="A"), Bar(break_before="system"), Bar(sign="coda"),
    Bar(jump="Fine"), Bar((Event(0, 4, remark="hush"),)), Bar((Event(0, 4, dynamic="p"),)),
], ids=repr)
def test_a_bar_that_says_more_than_rest_ends_a_run(bar):
    found = runs(REST, REST, bar, *[REST] * 2) if bar.meter is None else runs(REST, REST, bar, Bar(meter=Meter()))
    assert found.get(2, 1) == 1
    assert found[0] == 2


def test_a_run_ends_at_a_barline_and_before_a_chorus():
    assert runs(REST, Bar(barline="double"), REST, REST) == {0: 2, 1: 0, 2: 2, 3: 0}
    assert runs(REST, REST, REST, REST, choruses=(Chorus("2", 2),)) == {0: 2, 1: 0, 2: 2, 3: 0}


def test_a_callout_that_reaches_into_rests_keeps_them():
    first = replace(LINE, callouts=(Callout(0, 0, 2, "To here"),))
    assert runs(first, REST, REST, REST, REST) == {3: 2, 4: 0}


@pytest.mark.parametrize("font", ["Bravura", "Petaluma"])
@pytest.mark.parametrize("count", [2, 17, 304])
def test_a_thick_line_on_the_middle_line_and_its_number_over_the_staff(font, count):
    """SMuFL 1.4, engravingDefaults hBarThickness (references S5: 1.0)."""
    marks = run_marks(count, 12.0, music_font(font))
    thick = [mark for mark in marks if isinstance(mark, Line) and mark.width == H_BAR]
    assert [(line.y1, line.y2) for line in thick] == [(2.0, 2.0)]
    figures = [mark for mark in marks if isinstance(mark, Glyph)]
    assert "".join(mark.name[-1] for mark in figures) == str(count)
    boxes = [mark_box(mark, music_font(font)) for mark in figures]
    assert max(box.bottom for box in boxes) < -0.4
    assert (boxes[0].left + boxes[-1].right) / 2 == pytest.approx(6.0, abs=0.25)


def test_the_folded_bars_have_no_width_and_the_barline_is_the_last_s():
    whole = Study(bars=(LINE, REST, REST, Bar(barline="final")))
    ink = system(whole, style=Style(multirests=True))
    assert [span.right - span.left for span in ink.bars[2:]] == [0.0, 0.0]
    assert ink.bars[1].right == ink.bars[3].left
    barlines = [mark for item in ink.items for mark in item.drawing.marks
                if isinstance(mark, Line) and mark.tag and mark.tag.kind == "bar"]
    assert len(barlines) == 3  # one plain, one final
    assert not [mark for item in ink.items for mark in item.drawing.marks
                if isinstance(mark, Glyph) and mark.name.startswith("rest")]


def test_off_nothing_changes():
    whole = Study(bars=(LINE, REST, REST, REST))
    assert [shape.view.rests for shape in galley(whole).bars] == [1, 1, 1, 1]


@settings(CALM, max_examples=30)
@given(st.lists(st.sampled_from([LINE, REST, REST, REST, Bar(barline="double")]), min_size=1, max_size=40))
def test_every_bar_has_its_place_and_no_system_begins_inside_a_run(bars):
    layout = lay_out(Study(bars=tuple(bars)), FOLDED)
    counts = rest_runs(layout.study)
    assert [index for one in layout.systems for index in range(*one.bars)] == list(range(len(bars)))
    for one in layout.systems:
        assert counts.get(one.bars.first, 1) > 0
        assert len(one.ink.bars) == one.bars.end - one.bars.first
    assert sum(max(counts.get(index, 1), 0) for index in range(len(bars))) == len(bars)


def test_a_long_run_is_one_bar_of_its_system():
    layout = lay_out(Study(bars=(LINE, *[REST] * 60, LINE, LINE)), FOLDED)
    assert [tuple(one.bars) for one in layout.systems] == [(0, 63)]
    assert flaws(layout.pages) == ()


def test_the_system_after_a_run_counts_on():
    bars = (LINE, *[REST] * 9, replace(LINE, break_before="system"), LINE)
    pages = lay_out(Study(bars=bars), FOLDED).pages
    assert "11" in {getattr(mark, "text", "") for placed in pages.pages[0].placed for mark in placed.drawing.marks}
