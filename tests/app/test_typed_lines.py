"""Bars typed as a line: notes as ABC, and chord symbols."""

from __future__ import annotations

from fractions import Fraction

import pytest
from PySide6.QtTest import QTest

from core.study import Bar, Change, NotePlace, Study
from tests.app.scores import Key, bar, four_notes, told, type_keys, type_line
from tests.app.windows import Person


@pytest.fixture
def person(qtbot):
    return Person(qtbot, four_notes())


def test_bars_typed_in_abc(person):
    """ABC 2.1: with L:1/8, C is middle C and c the octave above, ^ a sharp, z a rest, / halves."""
    type_keys(person, "W", "Right", "Right")
    type_line(person, "Ctrl+T", "^F2 z2 | c/d/ e (3fga B4")
    assert told(person.study)[:2] == ["C4 1 | D4 1 | F#4 1 | - 1",
                                      "C5 1/4 | D5 1/4 | E5 1/2 | F5 1/3 | G5 1/3 | A5 1/3 | B4 2"]
    assert person.window.page.hasFocus()


def test_what_is_no_abc_is_told_and_stays(person):
    before = person.study
    type_line(person, "Ctrl+T", "hello: you")
    line = person.window.writing.line
    assert line.isVisible()
    assert "type the notes alone" in line.fault.text()
    assert person.study is before
    person.press(Key.Key_Escape)
    assert not line.isVisible()
    assert person.window.page.hasFocus()


@pytest.mark.parametrize(("text", "told_"), [
    ("C2 q7 H D", "bar 1: 'q7' (character 4)"), ("C2 ^F2 z2 G,2 | xyz", "bar 2: 'yz' (character 18)"),
    ("C2 | D2 E2 (F", "bar 2: '(F' (character 12)"),
    ("c8 d4 | e", "bar 1: 12 eighths are typed where there is room for 8"),
])
def test_abc_that_cannot_be_read_is_told_by_its_place_and_writes_nothing(person, text, told_):
    before = person.study
    type_line(person, "Ctrl+T", text)
    assert person.window.writing.line.fault.text().startswith(told_)
    assert person.study is before


def test_abc_over_tied_notes_leaves_whole_notes_at_its_edges(qtbot):
    """The note before is held on no more; what was held on into after the last bar typed begins there."""
    person = Person(qtbot, Study(bars=(bar("C4 D4 E4 F4~"), bar("F4 G4 A4 B4~"), bar("B4 A4 G4 F4"))))
    type_keys(person, "Ctrl+Right")
    type_line(person, "Ctrl+T", "c2 d2 e2 f2")
    assert told(person.study) == ["C4 1 | D4 1 | E4 1 | F4 1", "C5 1 | D5 1 | E5 1 | F5 1", "B4 1 | A4 1 | G4 1 | F4 1"]


def test_abc_begins_where_the_selection_is_seen(person):
    """Out of the writing mode no caret is: then at the note selected, or with the bar."""
    person.press_keys("Right")
    type_line(person, "Ctrl+T", "c2")
    assert told(person.study)[0] == "C4 1 | C5 1 | E4 1 | F4 1"
    person.press_keys("Ctrl+End")  # into a bar of rest
    for _ in range(2):
        type_line(person, "Ctrl+T", "c2 d2 |")
        assert told(person.study)[2] == "C5 1 | D5 1 | - 2"
        person.press_keys("Ctrl+Z")
        person.press_keys("Ctrl+End")
    person.press_keys("Ctrl+T")
    assert person.window.writing.line.label.text() == "Notes in ABC, from beat 1 of bar 3 on"


def test_abc_longer_than_its_bar_line_allows_is_refused(person):
    before = person.study
    type_line(person, "Ctrl+T", "c2 d2 e2 f2 g2 a2 b2 |")
    assert person.study is before
    assert person.window.writing.line.fault.text().startswith("bar 1: ")


def test_changes_typed_over_bars(person):
    type_line(person, "H", "Cm7 F7 | % | Bbmaj7")
    assert [each.changes for each in person.study.bars] == [
        (Change(Fraction(0), "Cm7"), Change(Fraction(2), "F7")), (Change(Fraction(0), "%"),),
        (Change(Fraction(0), "Bbmaj7"),)]
    person.press_keys("Ctrl+Right")
    type_line(person, "H", "C7 | nonsense")
    assert person.window.writing.line.fault.text().startswith("bar 3: ")


def test_a_repeat_sign_typed_stands_for_all_chords_of_the_bar_before(person):
    type_line(person, "H", "Fm7 Bb7 | % | Cm7")
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    assert "♭9 of B♭7" in person.window.status.text()
    person.click_page(person.spot_of(NotePlace(1, 0), "note"))
    assert "9 of Fm7" in person.window.status.text()
    assert person.study.bars[1].changes == (Change(Fraction(0), "%"),)
    person.click_page(person.spot_of(NotePlace(0, 2), "note"))
    type_line(person, "H", "Dm7 G7")
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    assert "3 of G7" in person.window.status.text()


def test_changes_of_a_chorus_are_shown_and_what_is_left_alone_stays(qtbot):
    odd = (Change(Fraction(0), "C7"), Change(Fraction(7, 2), "F7"))
    person = Person(qtbot, Study(bars=(Bar(changes=odd), Bar(changes=(Change(Fraction(0), "G7"),)))))
    person.press_keys("Shift+H")
    assert person.window.writing.line.field.text() == "C7 F7 | G7"
    person.press_keys("End")
    QTest.keyClicks(person.window.writing.line.field, " Db7")
    person.press(Key.Key_Return)
    assert person.study.bars[0].changes == odd
    assert person.study.bars[1].changes == (Change(Fraction(0), "G7"), Change(Fraction(2), "Db7"))
