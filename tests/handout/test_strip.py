"""The strip: the systems of the pages, all on one page as long as they need."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from core.files import load_study
from core.handout import lay_out, load_template, template_names
from core.handout.inspect import proofread
from core.study import edits
from tests.bench.big_study import big_study

DEMOS = [load_study(path) for path in sorted(Path("assets").glob("*.study"))]


def gaps(layout) -> list[float]:
    """White between the ink of systems, in points."""
    space = layout.template.space
    return [below.y + below.ink.top * space - above.y - above.ink.bottom * space
            for above, below in pairwise(layout.systems)]


def picture(layout) -> list[object]:
    """All that is on the pages, mark for mark."""
    return [(page.width, page.height, [(placed.drawing.marks, *placed[1:]) for placed in page.placed])
            for page in layout.pages.pages]


@pytest.mark.parametrize("template", template_names())
def test_a_strip_is_one_page_with_the_pages_own_systems_and_nothing_to_mark(template):
    for study in DEMOS:
        pages = lay_out(study, load_template(template))
        strip = lay_out(study, load_template(template), strip=True)
        assert len(strip.pages.pages) == 1
        assert {system.page for system in strip.systems} == {0}
        assert [system.bars for system in strip.systems] == [system.bars for system in pages.systems]
        assert proofread(strip) == ()
        assert strip.pages.pages[0].width == pages.pages.pages[0].width


def test_its_gaps_are_equal_however_long_it_is_and_its_foot_follows_the_last_system():
    lesson = load_template("lesson")
    for study in (*DEMOS, big_study()):
        strip = lay_out(study, lesson, strip=True)
        white = gaps(strip)
        assert max(white) - min(white) < 0.01
        assert lesson.system_gap < white[0] < 2 * lesson.system_gap
        last = strip.systems[-1]
        end = last.y + last.ink.bottom * lesson.space
        page = lay_out(study, lesson).pages.pages[0]
        assert 0 < strip.pages.pages[0].height - end < page.height / 6


def test_a_wish_for_a_new_page_is_one_for_a_new_system():
    study = DEMOS[0]
    wished = replace(study, bars=(*study.bars[:9], replace(study.bars[9], break_before="page"), *study.bars[10:]))
    strip = lay_out(wished, load_template("lesson"), strip=True)
    assert len(strip.pages.pages) == 1
    assert 9 in [system.bars.first for system in strip.systems]


def test_from_pages_to_strip_and_back_and_after_an_edit_all_is_as_if_made_afresh():
    lesson, study = load_template("lesson"), DEMOS[0]
    after = edits.set_comment(study, 3, "A word more, which may want a little room of its own.")
    pages = lay_out(study, lesson)
    strip = lay_out(study, lesson, before=pages, strip=True)
    edited = lay_out(after, lesson, before=strip, strip=True)
    back = lay_out(after, lesson, before=edited)
    for made, afresh in ((strip, lay_out(study, lesson, strip=True)), (edited, lay_out(after, lesson, strip=True)),
                         (back, lay_out(after, lesson))):
        assert picture(made) == picture(afresh)
    assert any(one.ink is other.ink for one, other in zip(pages.systems, strip.systems, strict=True))
