"""Systems and pages out of balance, each planted in a layout that has none."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from core.handout import Layout, lay_out, load_template
from core.handout.balance import FULL_ENOUGH, UNEVEN, looseness, unbalanced
from core.handout.breaking import Range
from tests.engraving.scenes import study

BAR = "E4 A4 G4 F4 E4 D4 Bb3 G3"


@cache
def clean(bars: int = 40) -> Layout:
    return lay_out(study(*[BAR] * bars), load_template("lesson"))


def told(layout: Layout) -> list[str]:
    return [fault.what for _, fault in unbalanced(layout)]


def with_system(place: int, **facts: object) -> Layout:
    systems = list(clean().systems)
    systems[place] = replace(systems[place], **facts)
    return replace(clean(), systems=tuple(systems))


def test_even_systems_have_no_fault():
    assert len(clean().pages.pages) > 1
    assert told(clean()) == []


def test_looseness_is_one_at_the_templates_own_spacing():
    """A short study is one system, set as loosely as the template says."""
    short = clean(2)
    assert looseness(short.systems[0]) == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("factor", "what"), [
    (UNEVEN * 1.1, ["a system is much looser than its page"]), (UNEVEN * 0.9, []),
    (1.1 / UNEVEN, []), (0.7 / UNEVEN, ["a system is much tighter than its page"])])
def test_a_system_looser_or_tighter_than_its_page_is_found(factor, what):
    system = clean().systems[1]
    head = system.ink.right - looseness(system) * sum(bar.natural for bar in clean().galley.bars[
        system.bars.first:system.bars.end])
    wide = replace(system.ink, right=head + (system.ink.right - head) * factor)
    assert told(with_system(1, ink=wide)) == what


def test_a_system_in_the_one_above_is_found():
    first, second, *_ = clean().systems
    assert told(with_system(1, y=first.y + 10)) == ["a system stands in the one above it"]
    assert told(with_system(1, y=second.y - 1)) == []


def test_a_last_system_of_one_bar_is_found():
    last = clean().systems[-1]
    assert "the last system is a single bar" in told(
        with_system(-1, bars=Range(last.bars.end - 1, last.bars.end), shapes=last.shapes[-1:]))


def test_a_page_less_than_a_quarter_full_is_found():
    last = len(clean().pages.pages) - 1
    alone = [system for system in clean().systems if system.page < last]
    near_empty = replace(clean(), systems=(*alone, replace(clean().systems[-1], y=clean().template.top + 60)))
    assert "a page is less than a quarter full" in told(near_empty)
    room = clean().pages.pages[0].height - clean().template.top - clean().template.bottom
    assert 60 + clean().systems[-1].ink.bottom * clean().template.space < FULL_ENOUGH * room


def test_a_short_study_on_one_page_may_leave_it_empty():
    assert told(clean(2)) == []
