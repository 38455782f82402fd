"""How pages are filled: white between systems and over the key, and the guess of heights that breaking goes by."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from statistics import mean

import pytest

from core.engraving import bar_height, system_height
from core.files import load_study
from core.handout import Layout, lay_out, load_template, template_names
from core.handout.pagination import sheet_of
from core.handout.template import page_size

DEMOS = sorted(Path("assets").glob("*.study"))


@pytest.fixture(scope="module", params=template_names())
def demos(request) -> list[Layout]:
    template = load_template(request.param)
    return [lay_out(load_study(path), template) for path in DEMOS]


def sheet(layout: Layout):
    return sheet_of(layout.study, layout.template, page_size(layout.template, "a4"))


def test_heights_are_guessed_well(demos):
    """In staff spaces. Of a system well under a page high; breaking on a bad guess leaves systems alone on pages."""
    missed = []
    for layout in demos:
        column = sheet(layout).column / layout.template.space
        for system in layout.systems:
            guess = system_height([bar_height(shape) for shape in system.shapes], column)
            missed.append(guess - (system.ink.bottom - system.ink.top))
    assert abs(mean(missed)) < 3.0
    assert max(map(abs, missed)) < 10.0


def test_the_degree_key_has_white_over_it(demos):
    """Half of what stands between two systems, where the page has white to share (our own figure)."""
    for layout in demos:
        template, page = layout.template, sheet(layout)
        first = [system for system in layout.systems if system.page == 0]
        ends = [(system.y + system.ink.top * template.space, system.y + system.ink.bottom * template.space)
                for system in first]
        key_top = template.top + page.room - page.key.height
        between = max((below[0] - above[1] for above, below in pairwise(ends)), default=0.0)
        assert key_top - ends[-1][1] >= 0.25 * template.system_gap - 1e-6
        if between > template.system_gap + 1e-6:
            assert key_top - ends[-1][1] >= between / 2 - 1e-6
