"""Other rows than the template's, and which of them a page cannot show. What stands where is ours, seen on the page."""

from __future__ import annotations

from itertools import pairwise, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import ROWS, check_rows
from core.engraving.boxes import tagged_boxes
from core.errors import BarglossError
from core.files import load_study
from core.handout import lay_out, load_template, template_names, with_rows
from core.handout.inspect import proofread
from tests.strategies import CALM

DEMOS = {path.stem: load_study(path) for path in sorted(Path("assets").glob("*.study"))}
KINDS = {"chords": "chord", "notation": "note", "strokes": "stroke", "tab": "tab", "degrees": "degree",
         "readings": "reading"}


def can_be(rows) -> bool:
    try:
        check_rows(rows)
    except BarglossError:
        return False
    return True


def tops(layout, bar: int) -> dict[str, float]:
    """y of the highest ink of each kind in a bar."""
    found: dict[str, float] = {}
    for page in layout.pages.pages:
        for placed in page.placed:
            for box, tag in tagged_boxes(placed.drawing, layout.template.style.music) if placed.bar == bar else ():
                y = placed.y + box.top * placed.scale
                found[tag.kind] = min(y, found.get(tag.kind, y))
    return found


@pytest.mark.parametrize(("rows", "what"), [
    ((), "a page needs notation or tab"),
    (("chords", "degrees", "callouts"), "a page needs notation or tab"),
    (("tab", "notation"), "the notation stands above the tab"),
    (("degrees", "tab"), "below the first staff"),
    (("notation", "readings", "tab"), "below notation and tab"),
    (("notation", "lyrics"), "there is no row 'lyrics'"),
])
def test_what_a_page_cannot_show_is_told_in_a_line(rows, what):
    with pytest.raises(BarglossError, match=what) as caught:
        check_rows(rows)
    assert len(caught.value.lines()) == 1


def test_what_ships_can_be_shown_and_stays_the_very_same_template():
    for name in template_names():
        template = load_template(name)
        check_rows(template.style.rows)
        assert with_rows(template, template.style.rows) is template


@given(st.permutations([*ROWS, "callouts"]).flatmap(lambda rows: st.integers(2, 10).map(lambda count: rows[:count]))
       .filter(can_be))
@settings(CALM, max_examples=25)
def test_every_order_that_is_let_through_reads_clean(rows):
    """The proof-reader is the judge; it was written for the templates' own orders."""
    template = with_rows(load_template("lesson"), tuple(rows))
    for name in ("cellar-stairs", "ferry-timetable"):
        assert proofread(lay_out(DEMOS[name], template)) == ()


@pytest.mark.parametrize("rows", [("notation", "callouts"), ("chords", "tab", "callouts")])
@pytest.mark.parametrize("name", template_names())
def test_words_straight_under_a_staff_keep_off_its_ink(name, rows):
    """Beams that hang low, and the clef's 8."""
    for study in DEMOS.values():
        assert proofread(lay_out(study, with_rows(load_template(name), rows))) == ()


@pytest.mark.parametrize("left_out", load_template("lesson").style.rows)
def test_a_row_left_out_leaves_clean_pages_without_its_ink(left_out):
    lesson = load_template("lesson")
    rows = tuple(row for row in lesson.style.rows if row != left_out)
    for study in DEMOS.values():
        layout = lay_out(study, with_rows(lesson, rows))
        assert proofread(layout) == ()
        kinds = {kind for bar in range(len(study.bars)) for kind in tops(layout, bar)}
        assert KINDS.get(left_out, left_out.removesuffix("s")) not in kinds or left_out in ("notation", "dynamics")


def test_rows_stand_in_the_order_that_is_asked_for():
    lesson = load_template("lesson")
    between = [order for order in permutations(("chords", "degrees", "tab")) if can_be(("notation", *order))]
    assert len(between) == 6
    for order in between:
        layout = lay_out(DEMOS["cellar-stairs"], with_rows(lesson, ("notation", *order)))
        heights = [tops(layout, 1)[KINDS[row]] for row in order]
        assert all(above < below for above, below in pairwise(heights)), order
