"""Endings, signs, labels and jumps over a system: where they stand, and that nothing is under them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.engraving.boxes import mark_box
from core.engraving.drawing import Frame, Glyph, Line, Text
from core.engraving.measures import BRACKET
from core.engraving.smufl import music_font
from core.handout import compose, load_template
from core.handout.inspect import flaws
from core.study import JUMPS, Bar, Change, Chorus, Study
from tests.engraving.scenes import bar, galley, study, system

FONT = music_font("Bravura")
LINE = "C4 D4 E4 F4 G4 A4 B4 C5"
HIGH = "C5 D5 E5 F5 G5 A5 B5 C6"


def boxes(ink, kind, text: str = "") -> list:
    """Boxes on the system of the marks of that class whose text or name begins so."""
    found = []
    for item in ink.items:
        for mark in item.drawing.marks:
            if isinstance(mark, kind) and (getattr(mark, "text", "") or getattr(mark, "name", "")).startswith(text):
                box = mark_box(mark, FONT)
                found.append(box._replace(left=box.left + item.x, right=box.right + item.x, top=box.top + item.y,
                                          bottom=box.bottom + item.y))
    return found


def brackets(ink) -> tuple[list[Line], list[Line]]:
    """Level strokes and hooks of endings."""
    lines = [mark for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Line) and mark.width == BRACKET and mark.ink == "ink" and mark.y1 < -1 and item.y == 0]
    return [line for line in lines if line.y1 == line.y2], [line for line in lines if line.x1 == line.x2]


def test_a_first_ending_is_closed_and_the_last_is_open():
    """MusicXML 4.0, `start-stop-discontinue`: only "stop" has a downward jog at its right."""
    ink = system(study(bar(LINE, ending="1", repeat_end=2), bar(LINE, ending="2")))
    levels, hooks = brackets(ink)
    first, second = levels
    assert first.x1 < boxes(ink, Text, "1.")[0].left < first.x2 < ink.bars[0].right
    assert second.x1 == ink.bars[1].left
    assert len(hooks) == 3
    assert max(hook.x1 for hook in hooks) < ink.bars[1].right - 5


@pytest.mark.parametrize(("written", "printed"), [("1", "1."), ("1, 3", "1, 3."), ("1. 2.", "1, 2."), ("2.", "2.")])
def test_the_numbers_of_an_ending(written, printed):
    assert len(boxes(system(study(bar(LINE, ending=written))), Text, printed)) == 1


def test_an_ending_goes_on_over_a_system_break_without_number_or_hook():
    whole = study(*[bar(LINE, ending="1")] * 2, bar(LINE, ending="1", repeat_end=2), bar(LINE, ending="2"))
    shapes = galley(whole).bars
    before = system(whole, bars=shapes[:2])
    levels, hooks = brackets(before)
    assert levels[0].x2 == pytest.approx(before.right + BRACKET / 2)
    assert len(levels) == len(hooks) == 1
    after = system(whole, bars=shapes[2:], opens=False, numbers=(3, 4))
    levels, hooks = brackets(after)
    assert not boxes(after, Text, "1.")
    assert len(levels) == 2
    assert len(hooks) == 2  # the repeat's, and the second ending's own
    assert min(hook.x1 for hook in hooks) > after.bars[0].right - 1


def test_two_endings_of_one_number_after_a_repeat_are_two_brackets():
    levels, _ = brackets(system(study(bar(LINE, ending="1", repeat_end=2), bar(LINE, ending="1", repeat_end=2))))
    assert len(levels) == 2


@pytest.mark.parametrize("sign", ["segno", "coda"])
def test_a_sign_stands_over_the_beginning_of_its_bar(sign):
    ink = system(study(LINE, bar(LINE, sign=sign)))
    (box,) = boxes(ink, Glyph, sign)
    assert box.left == pytest.approx(ink.bars[1].left)
    assert box.bottom < 0
    assert ink.top <= box.top


@pytest.mark.parametrize("jump", [jump for jump in JUMPS if jump])
def test_a_jump_ends_at_its_barline_in_italics(jump):
    ink = system(study(bar(LINE, jump=jump), LINE))
    (box,) = boxes(ink, Text, jump)
    assert [mark.face for item in ink.items for mark in item.drawing.marks
            if isinstance(mark, Text) and mark.text == jump] == ["serif-italic"]
    right = boxes(ink, Glyph, "coda")[0].right if jump == "To Coda" else box.right
    assert ink.bars[0].right - 0.6 < right < ink.bars[0].right
    assert box.bottom < 0
    assert ink.top <= box.top


def test_words_before_a_sign_leave_it_alone():
    ink = system(study(bar(LINE, jump="D.S. al Coda"), bar(LINE, sign="coda")))
    (words,), (sign,) = boxes(ink, Text, "D.S."), boxes(ink, Glyph, "coda")
    assert sign.left - words.right > 1.2


CHORDS = (Change(0, "Eb7(b9,#11)"), Change(2, "Ab△7"))
FULL = Study(bars=(
    bar(LINE, changes=CHORDS, sign="segno", rehearsal="A", jump="To Coda"),
    bar(HIGH, changes=CHORDS, sign="coda", rehearsal="B", ending="1, 2, 3", jump="D.S. al Coda"),
    bar(HIGH, changes=CHORDS, ending="1, 2, 3", repeat_end=4, jump="Fine"),
    bar(LINE, ending="4", jump="D.C. al Fine", sign="segno"), Bar(jump="D.S. al Fine", rehearsal="Interlude"),
    bar(LINE, changes=CHORDS, sign="coda", rehearsal="Last time", jump="Fine", barline="final"),
), choruses=(Chorus("Chorus 1", 0), Chorus("A chorus of a long name", 3)))


@pytest.mark.parametrize("template", ["lesson", "handwritten"])
@pytest.mark.parametrize("breaks", [(), (1,), (1, 2, 3, 4, 5), (3,)])
def test_nothing_over_the_staff_meets(template, breaks):
    bars = [replace(one, break_before="system" if index in breaks else "") for index, one in enumerate(FULL.bars)]
    pages = compose(replace(FULL, bars=tuple(bars)), load_template(template))
    over = ("label", "bar number", "sign", "hook", "chord")
    assert [flaw for flaw in flaws(pages) if any(word in flaw.what for word in over)] == []


def test_labels_rest_on_what_is_under_them():
    """The boxes keep half a space of white, over chord symbols too, and are no higher than they need be."""
    ink = system(FULL, width=300.0)
    for frame in boxes(ink, Frame):
        under = [box for kind in (Glyph, Text, Line) for box in boxes(ink, kind)
                 if box.left < frame.right and box.right > frame.left and box.top >= frame.bottom]
        assert min(box.top for box in under) >= frame.bottom + 0.4
