"""What a study still lacks, told bar by bar, and the walk through it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from PySide6.QtCore import QPoint, Qt

from app import words_about
from app.ink_reader import IDLE_MS
from app.page_faults import words_for
from app.unfinished import Gap, gaps, next_with_gap
from core.handout import lay_out, load_template
from core.handout.inspect import Flaw, proofread
from core.line.telling import told
from core.study import Bar, Callout, Change, Event, Note, Study, edits, parse_pitch
from tests.app.everything import everything
from tests.app.windows import Person, demo

Key = Qt.Key
NOTE = Event(Fraction(0), Fraction(4), (Note(parse_pitch("C4")),))


def found(study, flaws=()):
    layout = lay_out(study, load_template("lesson"))
    return gaps(layout, told(study, layout.analysis), flaws)


def kinds(study, flaws=()):
    return [(gap.bar, gap.kind) for gap in found(study, flaws)]


def test_a_bar_that_sounds_wants_words_and_a_silent_one_none():
    assert kinds(Study(bars=(Bar((NOTE,)), Bar()))) == [(0, "words")]
    assert kinds(Study(bars=(Bar((NOTE,), comment="so"), Bar((NOTE,), comment=" ")))) == [(1, "words")]


def test_a_callout_speaks_for_every_bar_it_reaches():
    reaching = Callout(Fraction(0), Fraction(0), 2, text="over three bars")
    bars = (Bar((NOTE,), callouts=(reaching,)), Bar((NOTE,)), Bar((NOTE,)), Bar((NOTE,)))
    assert kinds(Study(bars=bars)) == [(3, "words")]


def test_notes_off_the_neck_unread_symbols_findings_and_ink_are_told():
    low = replace(NOTE, notes=(Note(parse_pitch("C2")),))
    study = Study(bars=(Bar((low,), comment="low"), Bar((NOTE,), (Change(Fraction(0), "H7"),), comment="?")))
    assert kinds(study, [Flaw(2, 1, "tab over callout")]) == [(0, "hand"), (1, "hand"), (1, "ink")]
    said = found(study, [Flaw(2, 1, "tab over callout")])[-1].what
    assert said.startswith("page 2: a fret number and a callout touch; ")


def test_findings_are_unfinished_until_they_are_decided():
    study = demo()
    assert Gap(4, "finding", "2 findings to decide") in found(study)
    chosen = told(study, lay_out(study, load_template("lesson")).analysis).chosen[4]
    for one in chosen:
        study = edits.dismiss(study, 4, study.event_at(one.first).onset, one.kind)
    assert not [gap for gap in found(study) if gap.bar == 4 and gap.kind == "finding"]


@pytest.mark.parametrize(("bar", "by", "expected"), [(0, 1, 3), (3, 1, 5), (5, 1, None), (4, -1, 3), (3, -1, None)])
def test_the_nearest_bar_with_a_gap(bar, by, expected):
    assert next_with_gap([Gap(3, "words", ""), Gap(3, "ink", ""), Gap(5, "hand", "")], bar, by) == expected


@pytest.fixture
def person(qtbot):
    """In a study of which bars 2 and 5 alone have no words."""
    study = demo()
    for bar in range(len(study.bars)):
        study = edits.set_comment(study, bar, "" if bar in (2, 5) else "said")
        for _ in study.bars[bar].callouts:
            study = edits.remove_callout(study, bar, 0)
    return Person(qtbot, study)


def only_words(person):
    """By the boxes over the list."""
    view = person.window.side.unfinished
    for kind, box in view.boxes.items():
        if kind != "words":
            person.qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(8, box.height() // 2))
            assert not box.isChecked()
    return view


def rows(view):
    return [view.list.item(row).text() for row in range(view.list.count())]


def test_the_list_and_the_walk_agree(person):
    person.press_keys("Alt+3")
    view = only_words(person)
    assert rows(view) == ["Bar 2: nothing said yet", "Bar 5: nothing said yet"]
    assert view.count.text() == "2 bars unfinished"
    visited = []
    for _ in range(2):
        person.press_keys("Ctrl+Shift+PgDown")
        visited.append(person.at.bar)
    assert visited == [2, 5]
    assert view.list.currentRow() == 1
    person.press_keys("Ctrl+Shift+PgDown")
    assert person.at.bar == 5
    assert person.window.message.label.text() == words_about.NONE_FURTHER
    person.press_keys("Ctrl+Shift+PgUp")
    assert person.at.bar == 2


def test_a_line_of_the_list_leads_to_its_bar_and_in_to_write(person):
    person.press_keys("Alt+3")
    view = only_words(person)
    view.list.setFocus()
    person.press(Key.Key_Down)
    person.press(Key.Key_Down)
    assert person.at.bar == 5
    person.press(Key.Key_Return)
    assert person.window.bar_panel.comment.hasFocus()
    person.qtbot.keyClicks(person.window.bar_panel.comment, "At last")
    person.press_keys("Alt+3")
    assert rows(view) == ["Bar 2: nothing said yet"]


def test_by_the_mouse(person):
    person.press_keys("Alt+3")
    view = only_words(person)
    where = view.list.visualItemRect(view.list.item(1)).center()
    person.qtbot.mouseClick(view.list.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert person.at.bar == 5


def test_the_pages_are_read_when_nobody_types(qtbot):
    """As proofread finds it; only while the list is seen."""
    person = Person(qtbot, everything())
    ink = person.window.side.unfinished.ink
    expected = proofread(person.window.document.layout)
    assert expected
    qtbot.wait(IDLE_MS + 200)
    assert ink.flaws == ()
    with qtbot.waitSignal(ink.read, timeout=20_000):
        person.press_keys("Alt+3")
        assert person.window.side.unfinished.reading.isVisible()
    assert ink.flaws == expected
    assert not person.window.side.unfinished.reading.isVisible()
    listed = "\n".join(rows(person.window.side.unfinished))
    assert all(words_for(flaw) in listed for flaw in expected)


@pytest.mark.parametrize("tab", ["Alt+1", "Alt+2", "Alt+3", "Alt+4"])
def test_another_study_is_told_of_in_every_tab(qtbot, tab):
    """From the last bar of a long one to a short one, and what was shown of the first is gone."""
    person = Person(qtbot, demo())
    person.press_keys(tab)
    side = person.window.side
    assert side.currentIndex() == int(tab[-1]) - 1
    assert side.isAncestorOf(person.window.focusWidget())
    person.window.page.setFocus()
    person.press_keys("Ctrl+End")
    qtbot.waitUntil(lambda: person.window.line.is_ready)
    person.window.document.start(Study(bars=(Bar((NOTE,), (Change(Fraction(0), "Cmaj7"),)),)), saved=True)
    qtbot.waitUntil(lambda: person.window.line.is_ready)
    person.press_keys("Ctrl+Shift+F")
    assert side.currentWidget() is person.window.bar_panel
    person.press_keys("Alt+3")
    assert rows(side.unfinished)[0].startswith("Bar 1: nothing said yet")
    assert len(rows(side.unfinished)) == 1
    person.press_keys("Alt+2")
    assert [place.bar for place in side.notes.model.rows] == [0]


@pytest.mark.parametrize(("what", "said"), [
    ("callout over callout", "page 2: two callouts touch; shorten one, or begin a new system at this bar"),
    ("accidental over head", "page 2: an accidental and a note head touch; begin a new system at this bar, or choose "
                             "another template"),
    ("callout stands off the page", "page 2: a callout runs off the page; another template may set it better"),
    ("a system is much looser than its page",
     "page 2: a system is much looser than its page; begin a system at another bar"),
    ("a page is less than a quarter full",
     "page 2: a page is less than a quarter full; begin a page at another bar, or leave it so")])
def test_a_fault_on_the_page_says_what_to_do(what, said):
    assert words_for(Flaw(2, 0, what)) == said
