"""Some bars of a study say of their notes what the whole handout says of them (ours: the whole is the oracle)."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.drawing import Arc, Glyph, Text
from core.files import load_study
from core.handout import Excerpt, Layout, all_of, lay_out, lay_out_excerpt, load_template
from core.study import Bar, Callout, Change, Event, Note, Study, parse_pitch
from tests.strategies import CALM, studies

LESSON = load_template("lesson")
FINGERED = replace(LESSON, style=replace(LESSON.style, rows=(
    "chords", "notation", "dynamics", "strokes", "fingers", "tab", "degrees", "readings", "callouts"),
    fingers="all", strokes="all"))
KINDS = ("degree", "reading", "tab", "hand", "remark")


def said(layout: Layout) -> dict[int, Counter]:
    """By bar, every piece of text and every sign that tells a degree, a reading's degree, a fret, finger or stroke."""
    found: dict[int, Counter] = defaultdict(Counter)
    for page in layout.pages.pages:
        for placed in page.placed:
            for mark in placed.drawing.marks:
                is_stroke = isinstance(mark, Glyph) and mark.name.startswith("strings")
                if isinstance(mark, Text | Glyph) and mark.tag and (mark.tag.kind in KINDS or is_stroke):
                    what = (mark.text, mark.face) if isinstance(mark, Text) else (mark.name, "")
                    found[placed.bar][mark.tag, *what] += 1
    return found


@pytest.fixture(scope="module")
def demo() -> Study:
    return load_study(Path("assets/cellar-stairs.study"))


def same(whole: Layout, part: Layout, first: int) -> None:
    """All of it; but a reading that goes on into the excerpt is named anew where that begins."""
    told, own = said(whole), said(part)
    for index in range(len(part.study.bars)):
        more = own[index] - told[first + index]
        assert not told[first + index] - own[index], index
        assert not [tag for tag, *_ in more if index or tag.kind != "reading"], index


@settings(CALM, max_examples=30)
@given(study=studies(), data=st.data())
def test_a_bar_of_an_excerpt_says_of_its_notes_what_the_whole_handout_says(study, data):
    first = data.draw(st.integers(0, len(study.bars) - 1))
    last = data.draw(st.integers(first, len(study.bars) - 1))
    part = Excerpt(study, first, last)
    same(lay_out(study, FINGERED), lay_out_excerpt(part, FINGERED), first)
    notes = [notes for bar in part.analysis.bars for notes in bar.notes]
    assert len(notes) == sum(len(bar.events) for bar in part.study.bars)
    for place, _ in part.fingering.notices:
        assert part.study.note_at(place)


@pytest.mark.parametrize("bars", [(0, 11), (12, 23), (5, 5), (20, 30)])
def test_the_demo_in_parts(bars, demo):
    first, last = bars[0], min(bars[1], len(demo.bars) - 1)
    same(lay_out(demo, FINGERED), lay_out_excerpt(Excerpt(demo, first, last), FINGERED), first)


def line(names: str, **marks) -> Bar:
    return Bar(tuple(Event(Fraction(place, 2), Fraction(1, 2), (Note(parse_pitch(name), tie=name == "F4"),))
                     for place, name in enumerate(names.split())), **marks)


CUT = Study(bars=(
    line("D4 F4 A4 C5 E5 C5 A4 F4", changes=(Change(Fraction(0), "D-7"),),
         callouts=(Callout(Fraction(3), Fraction(1), 1, "Across", "From one bar into the next."),)),
    line("F4 E4 D4 C4 B3 D4 F4 A4", changes=(Change(Fraction(2), "G7"),)),
    line("G4 E4 C4 G3 E4 D4 C4 B3", changes=(Change(Fraction(0), "Cmaj7"),))))


def test_the_chord_an_excerpt_begins_under_is_written_there():
    (opening,) = Excerpt(CUT, 1, 1).analysis.bars
    chords = [(span.symbol, span.offset, span.carried) for span in opening.chords]
    assert chords == [("D-7", 0, False), ("G7", 2, False)]


def test_a_tie_and_a_callout_at_the_edge_of_an_excerpt():
    """The note held over keeps its tie, drawn from the edge; the callout its words and the notes that are left."""
    layout = lay_out_excerpt(Excerpt(CUT, 1, 1), LESSON)
    marks = [mark for placed in layout.pages.pages[0].placed for mark in placed.drawing.marks]
    assert len([mark for mark in marks if isinstance(mark, Arc)]) == 1
    assert any(isinstance(mark, Text) and "Across" in mark.text for mark in marks)
    before = lay_out(Excerpt(CUT, 1, 1).study, LESSON).pages.pages[0]
    assert not any(isinstance(mark, Arc) for placed in before.placed for mark in placed.drawing.marks)


def numbers(layout: Layout) -> list[str]:
    return [mark.text for placed in layout.pages.pages[0].placed for mark in placed.drawing.marks
            if isinstance(mark, Text) and mark.tag is not None and mark.tag.kind == "bar" and mark.text.isdigit()]


def test_the_first_system_of_an_excerpt_bears_its_number():
    assert numbers(lay_out_excerpt(Excerpt(CUT, 1, 2), LESSON)) == ["2"]
    assert numbers(lay_out_excerpt(all_of(CUT), LESSON)) == []
