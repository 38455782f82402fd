"""Words under the bars of a page: callouts about the same notes, one over another; remarks (look and place ours)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations, count

import pytest

from core.engraving.drawing import Frame, Line, Text
from core.engraving.faces import face
from core.handout import Layout, lay_out, load_template, template_names
from core.handout.inspect import proofread
from core.study import Bar, Callout, Change, Event, Note, Study, parse_pitch
from tests.engraving.scenes import stood

LINE = Bar(tuple(Event(Fraction(place, 2), Fraction(1, 2), (Note(parse_pitch(name)),))
                 for place, name in enumerate(("D4", "F4", "A4", "C5", "E5", "C5", "A4", "F4"))),
           changes=(Change(Fraction(0), "D-7"),))
SPANS = {
    "the same notes": [(0, 3), (0, 3)], "three on the same": [(0, 2)] * 3, "one in another": [(0, 6), (2, 4)],
    "the same start": [(0, 2), (0, 6)], "the same end": [(0, 7), (4, 7)], "overlapping": [(0, 4), (3, 7)],
    "two in one": [(0, 7), (0, 2), (5, 7)], "a chain": [(0, 3), (2, 5), (4, 7)],
}


def study(spans, words: int = 9) -> Study:
    callouts = tuple(Callout(Fraction(start, 2), Fraction(stop, 2), 0, f"Word {at}", " ".join(["hear"] * words))
                     for at, (start, stop) in zip(count(1), spans, strict=False))
    bars = (LINE, replace(LINE, callouts=callouts), LINE, LINE)
    return Study(title="Words", rights="r", bars=bars)


def marks_of(layout: Layout) -> list:
    """In staff spaces from the page's corner."""
    return [stood(mark, placed.x / placed.scale, placed.y / placed.scale)
            for page in layout.pages.pages for placed in page.placed for mark in placed.drawing.marks]


@pytest.mark.parametrize("template", template_names())
@pytest.mark.parametrize("spans", SPANS.values(), ids=SPANS)
def test_no_callout_is_in_the_way_of_another(spans, template):
    assert not [flaw for flaw in proofread(lay_out(study(spans), load_template(template))) if "callout" in flaw.what]


def test_callouts_that_stand_in_rows_bear_numbers_clear_of_the_brackets():
    spans = [*combinations((0, 2, 4, 6), 2), (0, 2)]
    layout = lay_out(study(spans, 14), load_template("large-print"))
    numbers = [mark for mark in marks_of(layout) if isinstance(mark, Text) and mark.text == str(len(spans))]
    assert numbers, "they stand in rows"
    assert not [flaw for flaw in proofread(layout) if "callout" in flaw.what]


def test_callouts_about_the_same_notes_share_a_bracket():
    for spans, brackets in ((SPANS["the same notes"], 1), (SPANS["one in another"], 2)):
        flat = [mark for mark in marks_of(lay_out(study(spans), load_template("lesson"))) if isinstance(mark, Line)
                and mark.tag and mark.tag.kind == "callout" and mark.y1 == mark.y2 and mark.x2 - mark.x1 > 5]
        assert len(flat) == brackets


def test_remarks_stand_under_the_comment_each_on_a_line_with_its_letter_raised():
    events = list(LINE.events)
    events[1], events[4] = replace(events[1], remark="the third"), replace(events[4], remark="aim for it")
    bar = replace(LINE, events=tuple(events), comment="Think of it.")
    for comment, top in (("Think of it.", 1), ("", 1)):
        layout = lay_out(Study(rights="r", bars=(replace(bar, comment=comment), LINE)), load_template("lesson"))
        texts = [mark for mark in marks_of(layout) if isinstance(mark, Text) and mark.tag
                 and mark.tag.kind == "comment"]
        rows = sorted({round(mark.y, 3) for mark in texts if mark.text not in "ab"})
        assert len(rows) == top + 2
        (a,), (b,) = ([mark for mark in texts if mark.text == letter] for letter in "ab")
        assert rows[-2] > a.y > rows[-3]
        assert rows[-1] > b.y > rows[-2]
        assert a.x == b.x == min(mark.x for mark in texts)


def test_a_comment_stands_clear_of_the_box_above_it():
    """A staff space of white at least between the box and the words (ours)."""
    bars = (replace(study([(0, 3)]).bars[1], comment="Think of it."), LINE)
    layout = lay_out(Study(rights="r", bars=bars), load_template("lesson"))
    style = layout.template.style
    (box,) = [mark for mark in marks_of(layout) if isinstance(mark, Frame) and mark.tag and mark.tag.kind == "callout"]
    comment = min(mark.y for mark in marks_of(layout) if isinstance(mark, Text) and mark.tag
                  and mark.tag.kind == "comment")
    assert comment - face(style.words).cap_height * style.word_size - box.bottom >= 1.0
