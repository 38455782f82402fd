"""Falls, doits, bends, scoops, slides and turns: just off the head, clear of everything else, room kept for them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Arc, Glyph, Line, Polygon
from core.engraving.inflections import brush
from core.engraving.smufl import music_font
from core.handout import compose, load_template
from core.handout.inspect import flaws
from core.study import Bar, Study
from tests.engraving.scenes import events, row, shape, study
from tests.strategies import CALM

FONT = music_font("Bravura")
HEAD = FONT.box("noteheadBlack").right
OUT, INTO = ("fall", "doit", "bend"), ("scoop", "slide")


def played(text: str, **marks: str) -> Study:
    """Articulations by index: e0="fall turn"."""
    line = [replace(event, articulations=tuple(marks.get(f"e{index}", "").split()))
            for index, event in enumerate(events(text))]
    return study(Bar(tuple(line), length=line[-1].end))


def gestures(ink) -> list[Box]:
    return [mark_box(mark, FONT) for mark in ink.drawing.marks if mark.tag and mark.tag.kind == "note"
            and (isinstance(mark, Arc | Polygon) or _is_slide(mark))]


def _is_slide(mark) -> bool:
    return isinstance(mark, Line) and mark.x1 != mark.x2 and mark.ink == "ink"


def heads(ink) -> list[Box]:
    return [mark_box(mark, FONT) for mark in ink.drawing.marks
            if isinstance(mark, Glyph) and mark.name.startswith("noteheadBlack")]


@pytest.mark.parametrize("name", OUT)
def test_what_leaves_a_note_begins_just_off_its_head(name):
    ink = row("notation", played("A3:4 r:4 r:2", e0=name))
    (head,), boxes = heads(ink), gestures(ink)
    assert 0.1 < min(box.left for box in boxes) - head.right < 0.3
    middle = (head.top + head.bottom) / 2
    if name == "fall":
        assert max(box.bottom for box in boxes) > middle + 1.2
        assert min(box.top for box in boxes) > middle - 0.25
    else:
        assert min(box.top for box in boxes) < middle - 1.2
        assert max(box.bottom for box in boxes) < middle + 0.25


@pytest.mark.parametrize("name", INTO)
def test_what_leads_into_a_note_ends_just_before_it_from_below(name):
    ink = row("notation", played("r:4 A3:4 r:2", e1=name))
    (head,), (box,) = heads(ink), gestures(ink)
    assert 0.05 < head.left - box.right < 0.3
    assert box.bottom > (head.top + head.bottom) / 2 + 0.6


def test_a_slide_comes_from_where_the_note_before_is():
    (box,) = gestures(row("notation", played("C4:2 A3:2", e1="slide")))
    (rising,) = gestures(row("notation", played("F3:2 A3:2", e1="slide")))
    assert box.top < 2.5 - 0.5 < rising.top


@pytest.mark.parametrize("text", ["A3:4. r:8 r:2", "A3?:4 r:4 r:2", "E5:4 r:4 r:2", "F3:8 r:8 r:4 r:2",
                                  "F3+G3:4 r:4 r:2"],
                         ids=["dot", "ghost", "ledger", "flag", "second"])
@pytest.mark.parametrize("name", OUT)
def test_it_begins_past_dots_brackets_ledgers_flags_and_heads(text, name):
    ink = row("notation", played(text, e0=name))
    begin = min(box.left for box in gestures(ink))
    own = [mark_box(mark, FONT) for mark in ink.drawing.marks if isinstance(mark, Glyph | Line) and mark.tag
           and mark.tag.kind == "note" and not (isinstance(mark, Line) and mark.ink == "ink")
           and not (isinstance(mark, Glyph) and mark.name.startswith("flag"))]
    assert begin > max(box.right for box in own)


@settings(CALM, max_examples=20)
@given(st.lists(st.tuples(st.sampled_from(["C4", "F#4", "A3+B3", "E5", "E2", "Bb3?", "C#6"]),
                          st.sampled_from([8, 4, 16]), st.sampled_from(["", *OUT, *INTO, "turn", "fall scoop"])),
                min_size=4, max_size=6), st.sampled_from(["lesson", "handwritten"]))
def test_no_inflection_meets_anything(line, template):
    text = " ".join(f"{names}:{value}" for names, value, _ in line)
    one = played(text, **{f"e{index}": marks for index, (_, _, marks) in enumerate(line)})
    pages = compose(Study(bars=one.bars * 2), load_template(template))
    assert [flaw for flaw in flaws(pages) if "gesture" in flaw.what] == []


@pytest.mark.parametrize("name", [*OUT, *INTO])
def test_a_bar_grows_to_hold_it(name):
    plain, with_it = shape(played("C4:4 D4:4 E4:4 F4:4")), shape(played("C4:4 D4:4 E4:4 F4:4", e1=name))
    assert with_it.least > plain.least + 1


@pytest.mark.parametrize("text", ["A3:4 r:4 r:2", "F3:4 r:4 r:2", "E5:4 r:4 r:2", "F3 G3 r:4 r:2"])
def test_a_turn_stands_over_head_stem_and_staff(text):
    ink = row("notation", played(text, e0="turn"))
    (turn,) = [mark_box(mark, FONT) for mark in ink.drawing.marks if isinstance(mark, Glyph) and "Turn" in mark.name]
    others = [mark_box(mark, FONT) for mark in ink.drawing.marks if mark.tag and mark.tag.event == 0
              and not (isinstance(mark, Glyph) and "Turn" in mark.name)]
    assert turn.bottom < 0
    assert turn.bottom < min(box.top for box in others)
    assert ink.top <= turn.top


def test_a_brush_stroke_is_pointed_and_of_its_thickness_in_the_middle():
    stroke = brush((0, 0), (1, 0), (2, 0), (3, 0), None, thick=0.2)
    middle = [3 / 8 * (pair[0][1] + pair[1][1]) for pair in (stroke.near, stroke.far)]  # of a cubic, t = 1/2
    assert abs(middle[0] - middle[1]) == pytest.approx(0.2 - 0.07)  # painters add their pen of 0.07
    assert (stroke.start, stroke.end) == ((0, 0), (3, 0))
