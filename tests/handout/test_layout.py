"""Whole studies onto pages: nothing fails, nothing is lost, an edit gives what a fresh layout gives."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.drawing import Pages
from core.files import load_study
from core.handout import Layout, Template, join, lay_out, load_template
from core.handout.inspect import flaws
from core.study import NotePlace, Pitch, Study, edits, parse_pitch
from tests.bench.big_study import big_study
from tests.strategies import CALM, studies

DEMOS = sorted(Path("assets").glob("*.study"))


@pytest.fixture(scope="module")
def lesson() -> Template:
    return load_template("lesson")


def heads(pages: Pages) -> Counter[tuple[int, int, int]]:
    """Noteheads on the pages, by bar, event and note."""
    return Counter(
        (placed.bar, mark.tag.event, mark.tag.note)
        for page in pages.pages for placed in page.placed if placed.bar is not None
        for mark in placed.drawing.marks
        if mark.tag is not None and mark.tag.kind == "note" and getattr(mark, "name", "").startswith("notehead")
        and "Parenthesis" not in mark.name
    )


def written_heads(study: Study) -> Counter[tuple[int, int, int]]:
    return Counter(
        (bar, event, note)
        for bar, one in enumerate(study.bars) for event, what in enumerate(one.events)
        for note in range(len(what.notes))
    )


@settings(CALM, max_examples=60)
@given(study=studies())
def test_any_study_goes_on_pages_with_each_of_its_heads_once(study):
    assert heads(lay_out(study, load_template("lesson")).pages) == written_heads(study)


def picture(layout: Layout) -> list[object]:
    """All that is painted, as values."""
    return [
        (placed.x, placed.y, placed.bar, placed.drawing.marks)
        for page in layout.pages.pages for placed in page.placed
    ]


@settings(CALM, max_examples=30)
@given(data=st.data())
def test_a_layout_built_on_another_equals_a_fresh_one(data):
    lesson = load_template("lesson")
    study = data.draw(studies())
    layout = lay_out(study, lesson)
    for _ in range(3):
        places = [NotePlace(*place) for place in written_heads(study)]
        if not places:
            return
        place = data.draw(st.sampled_from(places))
        pitch = data.draw(st.sampled_from([parse_pitch(name) for name in ("C4", "F#3", "Bb4", "E5")]))
        study = edits.set_note_pitch(study, place, pitch)
        study = edits.set_comment(study, place.bar, data.draw(st.sampled_from(["", "Breathe.", "Then {b9} falls."])))
        layout = lay_out(study, lesson, before=layout)
        assert picture(layout) == picture(lay_out(study, lesson))


def test_an_edit_leaves_other_systems_and_pages_the_same_objects(lesson):
    study = big_study()
    before = lay_out(study, lesson)
    after = lay_out(edits.set_comment(study, 40, "One word."), lesson, before=before)
    same = [old.ink is new.ink for old, new in zip(before.systems, after.systems, strict=True)]
    assert same.count(False) == 1
    assert before.pages.pages[0] is after.pages.pages[0]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demo_handouts_have_no_flaw(path, paper, lesson):
    assert flaws(lay_out(load_study(path), lesson, paper).pages) == ()


def test_the_big_study_has_no_flaw(lesson):
    assert flaws(lay_out(big_study(), lesson).pages) == ()


def test_every_chorus_has_a_bookmark_where_it_begins(lesson):
    layout = lay_out(big_study(), lesson)
    assert [mark.label for mark in layout.pages.bookmarks] == [chorus.label for chorus in layout.study.choruses]
    for mark, chorus in zip(layout.pages.bookmarks, layout.study.choruses, strict=True):
        system = next(one for one in layout.systems if chorus.bar in range(*one.bars))
        assert mark.page == system.page
        assert mark.y < system.y


def test_joined_handouts_keep_pages_and_bookmarks_in_order(lesson):
    parts = [lay_out(load_study(path), lesson).pages for path in DEMOS]
    whole = join(parts)
    assert len(whole.pages) == sum(len(part.pages) for part in parts)
    titles = [mark for mark in whole.bookmarks if mark.label in {part.title for part in parts}]
    assert [mark.page for mark in titles] == [0, len(parts[0].pages), len(parts[0].pages) + len(parts[1].pages)]


def test_a_callout_over_a_system_break_goes_on_as_a_bracket(lesson):
    study = big_study()
    layout = lay_out(study, lesson)
    end = layout.systems[0].bars.end
    last = study.bars[end - 1].events[-1].onset
    callout = study.bars[0].callouts[0].__class__(last, study.bars[end].events[0].onset, 1, "Over", "Both sides.")
    bar = study.bars[end - 1]
    changed = edits.replace_bar(study, end - 1, type(bar)(bar.events, bar.changes, callouts=(callout,)))
    after = lay_out(changed, lesson, before=layout)
    system = next(one for one in after.systems if one.bars.first == end)
    untagged = [item for item in system.ink.items if item.place == 0 and item.drawing.marks[0].tag is None
                and {mark.ink for mark in item.drawing.marks} == {"rule"}]
    assert len(untagged) == 1


def test_pitch_change_moves_the_head_a_space_a_third(lesson):
    study = big_study()
    place = next(NotePlace(bar, 0) for bar, one in enumerate(study.bars) if one.events and one.events[0].notes)

    def y_of_head(of: Study) -> float:
        for page in lay_out(of, lesson).pages.pages:
            for placed in page.placed:
                for mark in placed.drawing.marks:
                    tag = mark.tag
                    if placed.bar == place.bar and tag and tag.kind == "note" and tag.event == 0 and (
                        getattr(mark, "name", "").startswith("noteheadB")
                    ):
                        return mark.y
        raise AssertionError("no head")

    low, high = (edits.set_note_pitch(study, place, Pitch(step, 0, 4)) for step in "CE")
    assert y_of_head(low) - y_of_head(high) == 1.0


def test_a_remark_prints_as_a_letter_at_its_note_and_words_under_its_bar(lesson):
    study = big_study()
    place = next(NotePlace(bar, 1) for bar, one in enumerate(study.bars) if bar > 3 and one.events[1].notes)
    pages = lay_out(edits.set_remark(study, place, "Leanonthis"), lesson).pages
    texts = [(placed.bar, mark.tag.kind, mark.text) for page in pages.pages for placed in page.placed
             for mark in placed.drawing.marks if mark.tag is not None and hasattr(mark, "text")]
    assert [(bar, text) for bar, kind, text in texts if kind == "remark"] == [(place.bar, "a")]
    assert any(bar == place.bar and kind == "comment" and "Leanonthis" in text for bar, kind, text in texts)
