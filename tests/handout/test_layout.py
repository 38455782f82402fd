"""Whole studies onto pages: nothing fails, nothing is lost, an edit gives what a fresh layout gives."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.drawing import Pages
from core.errors import BarglossError
from core.files import load_study
from core.handout import Layout, Template, join, lay_out, load_template
from core.handout.inspect import flaws
from core.study import Bar, Callout, Change, Event, Key, Note, NotePlace, Pitch, Reading, Study, edits, parse_pitch
from core.study.writing import tied
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


def other_bar(bar: Bar, bars: tuple[Bar, ...], at: int, chance: Random) -> Bar:
    """The bar with one thing of it another, most of which its neighbours' ink, degrees or fingering depend on."""
    first, last = (bar.events[0], bar.events[-1]) if bar.events else (None, None)
    ahead = bars[at + 1:at + 4]
    kind = chance.choice(["rest", "rest", "notes", "one note", "tie", "slide", "slide", "chord", "reading", "ending",
                          "ending", "callout", "key", "words"])
    if kind == "rest":
        return replace(bar, events=(), callouts=())
    if kind == "notes":
        return replace(bar, events=chance.choice(bars).events, callouts=())
    if kind == "one note":
        return replace(bar, events=(Event(Fraction(0), Fraction(3)), Event(Fraction(3), Fraction(1), (
            Note(Pitch(chance.choice("CDEG"), chance.choice([0, 0, 1]), 4)),))), callouts=())
    if kind == "tie" and last is not None and last.notes:
        return replace(bar, events=(*bar.events[:-1], replace(last, notes=tied(last.notes, not last.notes[0].tie))))
    if kind == "slide" and first is not None and first.notes:
        articulations = () if "slide" in first.articulations else ("slide",)
        return replace(bar, events=(replace(first, articulations=articulations), *bar.events[1:]))
    if kind == "chord":
        return replace(bar, changes=(Change(Fraction(0), chance.choice(["Cm7", "F7", "Ebmaj7", "D7(b9)"])),))
    if kind == "reading":
        return replace(bar, readings=(Reading(Fraction(0), chance.choice(["Gb7", "Bbm7", "C major"])),))
    if kind == "ending":
        return replace(bar, ending=chance.choice(["", "1", "1"]), repeat_end=chance.choice([0, 0, 2]))
    if kind == "callout" and ahead:
        on = chance.randrange(1, len(ahead) + 1)
        start, stop = min(bar.onsets), max(ahead[on - 1].onsets)
        return replace(bar, callouts=(Callout(start, stop, on, "Over the barline", neck=True),))
    if kind == "key":
        return replace(bar, key=chance.choice([None, Key(2, "major")]))
    return replace(bar, comment=f"{bar.comment} more"[-40:])


def edited(study: Study, chance: Random) -> Study:
    """With another bar, or once in a while with another heading that bars are drawn by."""
    at = chance.randrange(len(study.bars))
    with suppress(BarglossError):
        kind = chance.randrange(20)
        if kind == 0:
            return edits.set_chorus(study, at, chance.choice(["", "Again"]))
        if kind == 1:
            return edits.set_details(study, guitarist=replace(
                study.guitarist, left_handed=not study.guitarist.left_handed))
        if kind == 2:
            return edits.set_details(study, instrument=replace(study.instrument, capo=1 - study.instrument.capo))
        return edits.replace_bar(study, at, other_bar(study.bars[at], study.bars, at, chance))
    return study


@pytest.mark.parametrize("folded", [False, True])
@pytest.mark.parametrize("seed", range(12))
def test_edits_one_upon_the_other_give_what_fresh_layouts_give(seed, folded):
    """Stage by stage, against the same study laid out by itself, which knows of no study before."""
    lesson, chance = load_template("lesson"), Random(seed)
    template = replace(lesson, style=replace(lesson.style, multirests=folded))
    pool = [replace(bar, callouts=()) for path in DEMOS for bar in load_study(path).bars if bar.length is None
            and sum(event.duration for event in bar.events if not event.grace) in (0, 4)]
    study = replace(big_study(1), bars=tuple([replace(chance.choice(pool), key=None, meter=None) for _ in range(14)]))
    for _ in range(30):
        study = edited(study, chance)
    layout = lay_out(study, template)
    for _ in range(25):
        study = edited(study, chance)
        layout = lay_out(study, template, before=layout)
        alone = replace(study)
        fresh = lay_out(alone, template)
        assert study.in_force == alone.in_force
        assert layout.analysis.bars == fresh.analysis.bars
        assert layout.fingering == fresh.fingering
        assert picture(layout) == picture(fresh)


def test_an_accidental_gone_takes_the_courtesy_sign_of_the_next_bar_with_it(lesson):
    """Its notes are the same, and so is what was found of them."""
    first = [Pitch("F", 1, 4), Pitch("A", 0, 4), Pitch("C", 0, 5), Pitch("E", 0, 5)]
    rows = [tuple([Event(Fraction(at), Fraction(1), (Note(pitch),)) for at, pitch in enumerate(row)])
            for row in (first, [Pitch("F", 0, 4), *first[1:]], first[1:] * 2)]
    study = Study(bars=tuple([Bar(row[:4]) for row in (*rows, rows[2], rows[2])]), key=Key(0))
    before = lay_out(study, lesson)
    study = edits.set_note_pitch(study, NotePlace(0, 0), Pitch("G", 0, 4))
    after = lay_out(study, lesson, before=before)
    assert "accidentalNatural" in str(picture(before))
    assert "accidentalNatural" not in str(picture(after))


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
