"""Passages and whole bars, copied, cut and pasted."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from app import words_writing as words
from app.places import bar_spot
from app.staff_hits import staves_of
from core.guitar import TUNINGS
from core.study import (
    Bar,
    Callout,
    Change,
    Event,
    Instrument,
    Meter,
    Note,
    NotePlace,
    Study,
    parse_pitch,
)
from tests.app.scores import at_page, bar, four_notes, select, told, type_keys
from tests.app.windows import Person


@pytest.fixture
def person(qtbot):
    return Person(qtbot, four_notes())


def test_copied_into_another_window(person, qtbot):
    select(person, NotePlace(0, 2), NotePlace(1, 1))
    person.press_keys("Ctrl+C")
    assert QApplication.clipboard().text() == "E4 F4 | G4 A4"
    other = Person(qtbot, Study(bars=(bar("- C3 - -"), Bar())))
    type_keys(other, "W", "Right", "Ctrl+V")
    assert told(other.study) == ["- 1 | C3 1 | E4 1 | F4 1", "G4 1 | A4 1 | - 2"]
    assert other.window.document.undo_name == "paste, bar 1"


def said(study: Study) -> list[tuple]:
    """What bars say beside their notes."""
    return [(one.changes, one.callouts, one.comment, [event.remark for event in one.events]) for one in study.bars]


def worded() -> Study:
    """Two bars with changes, a callout over both, a comment, a remark; the second begins with a rest."""
    first = bar("C4 D4 E4 F4", changes=(Change(Fraction(0), "Cm7"),), comment="Watch this",
                callouts=(Callout(Fraction(1), Fraction(2), 1, "Over the barline"),))
    events = list(first.events)
    events[1] = replace(events[1], remark="dig in")
    second = bar("- G4 A4 B4", changes=(Change(Fraction(2), "F7"),))
    return Study(bars=(replace(first, events=tuple(events)), second, Bar()))


def test_whole_bars_are_copied_with_all_that_is_said_in_them(qtbot):
    """Into another window, over its bars and past its end; the bar before stays, and undo and redo are exact."""
    source = Person(qtbot, worded())
    select(source, NotePlace(0, 0), NotePlace(1, 3))
    source.press_keys("Ctrl+C")
    other = Person(qtbot, Study(bars=(bar("C5 C5 C5 C5"), bar("- D5 D5 D5", changes=(Change(Fraction(0), "G7"),)))))
    before = other.study
    other.click_page(other.spot_of(NotePlace(1, 1), "note"))  # the first note of its bar means the bar
    other.press_keys("Ctrl+V")
    assert told(other.study) == [told(before)[0], *told(source.study)[:2]]
    assert said(other.study) == [said(before)[0], *said(source.study)[:2]]
    assert other.window.document.undo_name == "paste, bar 2"
    after = other.study
    other.press_keys("Ctrl+Z")
    assert other.study is before
    other.press_keys("Ctrl+Shift+Z")
    assert other.study is after


def test_a_bar_that_is_selected_is_copied_whole_rests_and_all(qtbot):
    person = Person(qtbot, worded())
    box = bar_spot(person.window.document.layout, 1)
    y = staves_of(person.window.document.layout, 1).tab[-1] + 3
    person.click_page(at_page(person, box.page, box.box.right - 4, y))
    assert (person.at.bar, person.at.note) == (1, None)
    type_keys(person, "Ctrl+C", "Ctrl+Right", "Ctrl+V")
    assert told(person.study)[2] == told(person.study)[1]
    assert [one.symbol for one in person.study.bars[2].changes] == ["Cm7", "F7"]  # with the chord it stood under


def test_the_notes_of_whole_bars_can_be_pasted_alone(qtbot):
    person = Person(qtbot, worded())
    select(person, NotePlace(0, 0), NotePlace(1, 3))
    type_keys(person, "Ctrl+C", "Ctrl+Right", "Ctrl+Right", "Ctrl+Shift+V")
    assert told(person.study)[2:] == told(person.study)[:2]
    assert said(person.study)[2:] == [((), (), "", ["", "dig in", "", ""]), ((), (), "", [""] * 4)]


def test_whole_bars_at_a_beat_inside_a_bar_are_notes_from_the_first_on(qtbot):
    person = Person(qtbot, worded())
    select(person, NotePlace(0, 0), NotePlace(1, 3))
    type_keys(person, "Ctrl+C", "Ctrl+Right", "Ctrl+Right", "W", "4", "Space", "Ctrl+V")
    assert told(person.study)[2:] == ["- 1 | C4 1 | D4 1 | E4 1", "F4 1 | - 1 | G4 1 | A4 1", "B4 1 | - 3"]
    assert said(person.study)[2][:3] == ((), (), "")


def test_bars_of_another_length_take_the_notes_alone(qtbot):
    source = Person(qtbot, worded())
    select(source, NotePlace(0, 0), NotePlace(1, 3))
    source.press_keys("Ctrl+C")
    waltz = Person(qtbot, Study(meter=Meter((3,)), bars=(Bar(comment="Mine"), Bar(), Bar())))
    waltz.press_keys("Ctrl+V")
    assert told(waltz.study) == ["C4 1 | D4 1 | E4 1", "F4 1 | - 1 | G4 1", "A4 1 | B4 1 | - 1"]
    assert waltz.study.bars[0].comment == "Mine"


def test_what_was_set_for_another_neck_is_not_pasted_with_the_notes(qtbot):
    low = Event(Fraction(0), Fraction(4), (Note(parse_pitch("C2"), string=7, fret=1),))
    seven = Instrument(tuning=TUNINGS["seven-string"])
    source = Person(qtbot, Study(instrument=seven, bars=(Bar((low,)), Bar((low,)))))
    select(source, NotePlace(0, 0), NotePlace(1, 0))
    source.press_keys("Ctrl+C")
    other = Person(qtbot, Study(bars=(Bar(), Bar())))
    other.press_keys("Ctrl+V")
    assert [one.notes for each in other.study.bars for one in each.events] == [(Note(parse_pitch("C2")),)] * 2


def test_what_is_no_music_is_not_pasted(person):
    QApplication.clipboard().setText("words")
    before = person.study
    person.press_keys("Ctrl+V")
    assert person.study is before
    assert person.window.message.label.text() == words.NOTHING_TO_PASTE


def test_from_an_empty_clipboard_nothing_is_pasted(person, monkeypatch):
    """Qt gives None for it, on some systems and not always."""
    monkeypatch.setattr(QGuiApplication.clipboard().__class__, "mimeData", lambda *_: None)
    before = person.study
    type_keys(person, "Ctrl+V")
    assert person.study is before
    assert person.window.message.label.text() == words.NOTHING_TO_PASTE


def test_cut_leaves_rests_and_can_be_put_elsewhere(person):
    select(person, NotePlace(0, 1), NotePlace(0, 2))
    person.press_keys("Ctrl+X")
    assert told(person.study)[0] == "C4 1 | - 2 | F4 1"
    type_keys(person, "Ctrl+Right", "Ctrl+V")
    assert told(person.study)[1] == "D4 1 | E4 1 | B4 1 | C5 1"
