"""The notes of a bar in a table: what is set apart from what is proposed, and written in place by keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app import words_about
from core.guitar import places
from core.study import NotePlace
from tests.app.windows import Person, demo

Key, Role = Qt.Key, Qt.ItemDataRole
BAR = 4  # of cellar-stairs: eight notes, one with a remark
COLUMNS = list(words_about.COLUMNS)


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, demo())
    one.click_page(one.spot_of(NotePlace(BAR, 1), "tab"))
    one.press_keys("Alt+2")
    assert table(one).hasFocus()
    return one


def table(person):
    return person.window.side.notes.table


def told(person, row, column, role=Role.DisplayRole):
    model = table(person).model()
    return model.data(model.index(row, COLUMNS.index(column)), role)


def go(person, row, column):
    """By the arrow keys."""
    at = table(person).currentIndex()
    for _ in range(abs(row - at.row())):
        person.press(Key.Key_Down if row > at.row() else Key.Key_Up)
    for _ in range(abs(COLUMNS.index(column) - at.column())):
        person.press(Key.Key_Right if COLUMNS.index(column) > at.column() else Key.Key_Left)
    now = table(person).currentIndex()
    assert (now.row(), now.column()) == (row, COLUMNS.index(column))


def write(person, row, column, text):
    go(person, row, column)
    person.press(Key.Key_Return)
    person.qtbot.keyClicks(person.window.focusWidget(), text)
    person.press(Key.Key_Return)
    person.qtbot.waitUntil(table(person).hasFocus)  # a delegate keeps what was typed at the next turn of the loop


def heads(person):
    return [(event, note) for event, one in enumerate(person.study.bars[BAR].events) for note in one.notes]


def test_it_has_a_row_a_note_with_what_the_page_shows(person):
    bar, layout = person.study.bars[BAR], person.window.document.layout
    assert table(person).model().rowCount() == sum(len(event.notes) for event in bar.events)
    for row, (event, note) in enumerate(heads(person)):
        grip = layout.fingering.bars[BAR].events[event].notes[0]
        assert told(person, row, "note") == note.pitch.name.replace("b", "♭").replace("#", "♯")
        assert [told(person, row, name) for name in ("string", "fret", "finger")] == [
            str(grip.string), str(grip.fret), str(grip.finger)]
    assert told(person, 0, "degree") == "3"
    assert told(person, 4, "stroke") == "hammer-on"
    assert told(person, 4, "remark") == bar.events[5].remark != ""


@pytest.mark.parametrize(("column", "text", "read", "expected"), [
    ("degree", "#9", lambda event: event.notes[0].degree, "#9"),
    ("finger", "3", lambda event: event.notes[0].finger, 3),
    ("stroke", "u", lambda event: event.stroke, "up"),
    ("remark", "lean on it", lambda event: event.remark, "lean on it"),
])
def test_written_in_place_and_given_back(person, column, text, read, expected):
    before, event = person.study, heads(person)[2][0]
    write(person, 2, column, text)
    assert read(person.study.bars[BAR].events[event]) == expected
    assert table(person).hasFocus()
    assert person.at.note == NotePlace(BAR, heads(person)[3][0])  # on to the next note
    if column != "remark":
        assert told(person, 2, column, Role.FontRole).bold()
        assert told(person, 2, column, Role.ForegroundRole) is None
        assert told(person, 2, column, Role.AccessibleTextRole).endswith("set by you")
        assert told(person, 1, column, Role.FontRole).italic()
        assert told(person, 1, column, Role.AccessibleTextRole).endswith("proposed")
    person.press(Key.Key_Up)
    person.press(Key.Key_Delete)
    assert person.study.bars[BAR] == before.bars[BAR]
    person.press_keys("Ctrl+Z")
    person.press_keys("Ctrl+Z")
    assert person.study is before


def test_finger_after_finger_without_a_mouse(person):
    """A digit opens the cell, Enter goes on to the next note."""
    go(person, 0, "finger")
    for finger in "1423":
        person.qtbot.keyClicks(person.window.focusWidget(), finger)
        person.press(Key.Key_Return)
        person.qtbot.waitUntil(table(person).hasFocus)
    assert [note.finger for _, note in heads(person)][:5] == [1, 4, 2, 3, None]


@pytest.mark.parametrize("column", ["string", "fret"])
def test_a_string_or_a_fret_sets_the_place(person, column):
    event, note = heads(person)[1]
    spot = places(note.pitch.midi, person.study.instrument)[-1]
    write(person, 1, column, str(getattr(spot, column)))
    now = person.study.bars[BAR].events[event].notes[0]
    assert (now.string, now.fret) == (spot.string, spot.fret)
    assert told(person, 1, "string") == str(spot.string)
    assert told(person, 1, "fret", Role.FontRole).bold()


@pytest.mark.parametrize(("column", "text", "what"), [
    ("degree", "14", "is no degree"), ("finger", "5", "is no finger"), ("stroke", "left", "is no stroke"),
    ("string", "1", "no string 1 for this note: it lies at string"),
])
def test_what_cannot_be_is_told_and_changes_nothing(person, column, text, what):
    before = person.study
    write(person, 0, column, text)
    assert person.study is before
    assert person.window.message.isVisible()
    assert what in person.window.message.label.text()
    assert table(person).currentIndex().row() == 0


def test_a_note_selected_on_the_page_is_the_row_and_the_other_way_round(person):
    person.click_page(person.spot_of(NotePlace(BAR, 6), "degree"))
    assert table(person).currentIndex().row() == 5
    table(person).setFocus()
    person.press(Key.Key_Up)
    assert person.at.note == NotePlace(BAR, 5)
    assert table(person).hasFocus()


def test_another_bar_brings_its_own_notes(person):
    person.press_keys("Ctrl+PgDown")
    assert table(person).model().rows[0].bar == BAR + 1
    assert told(person, 0, "note") == "C4"


def test_a_name_is_not_written(person):
    go(person, 0, "note")
    person.press(Key.Key_Return)
    assert table(person).hasFocus()


def test_left_half_typed_it_is_kept(person):
    event = heads(person)[0][0]
    go(person, 0, "remark")
    for letter in "half a":
        person.qtbot.keyClicks(person.window.focusWidget(), letter)
    person.press_keys("Ctrl+PgDown")
    assert person.at.bar == BAR + 1
    assert person.study.bars[BAR].events[event].remark == "half a"
    assert told(person, 0, "note") == "C4"
