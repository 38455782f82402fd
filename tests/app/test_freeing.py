"""What is set for the hands: seen on the page, and given back, by a command, in the table, beside the ways to play."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction

from app import words, words_about, words_fingering
from app.guitarist_view import read_strings
from app.places import Selected, Spot, note_spots, set_frets
from app.selection_ink import BLUE
from core.engraving.boxes import Box
from core.errors import BarglossError
from core.study import NotePlace, edits, is_set
from tests.app.windows import Person, demo

Key, Held = Qt.Key, Qt.KeyboardModifier
BAR = 4  # of cellar-stairs: eight notes


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


def heads(person, bar=BAR):
    return [NotePlace(bar, event, note) for event, one in enumerate(person.study.bars[bar].events)
            for note in range(len(one.notes))]


def set_all(person, bar=BAR):
    """The teacher's own: where they lie now, all by one finger and downstrokes."""
    def change(study):
        grips = person.window.document.layout.fingering.bars[bar].events
        for place in heads(person, bar):
            grip = grips[place.event].notes[place.note]
            study = edits.set_string(study, place, grip.string, grip.fret)
            study = edits.set_stroke(edits.set_finger(study, place, grip.finger), place, "down")
        return study
    person.window.document.edit("set", change)


def free_action(person):
    return next(one for one in person.window.fingering.menu.actions() if one.text() == words_fingering.FREE)


def test_the_selected_notes_are_freed_by_a_key_and_that_is_one_step(person):
    before = person.study
    set_all(person)
    locked = person.study
    person.click_page(person.spot_of(heads(person)[1], "tab"))
    person.click_page(person.spot_of(heads(person)[3], "tab"), Held.ShiftModifier)
    person.press_keys(words_fingering.FREE_KEY)
    assert not is_set(person.study, heads(person)[1:4])
    assert all(is_set(person.study, [head]) for head in [heads(person)[0], *heads(person)[4:]])
    assert person.window.document.undo_name == words_fingering.FREE_EDIT.format(bar="bar 4")
    person.press_keys("Ctrl+Z")
    assert person.study is locked
    person.window.selection.go(Selected(BAR))
    person.press_keys(words_fingering.FREE_KEY)
    assert person.study.bars[BAR] == before.bars[BAR]


def test_it_can_be_chosen_only_where_something_is_set(person):
    action: QAction = free_action(person)
    person.window.selection.go(Selected(BAR))
    assert not action.isEnabled()
    set_all(person)
    assert action.isEnabled()
    person.window.selection.go(Selected(BAR + 1))
    assert not action.isEnabled()
    person.click_page(person.spot_of(heads(person)[0], "tab"))
    action.trigger()
    assert not action.isEnabled()
    person.press_keys("Ctrl+Z")
    assert action.isEnabled()


def test_a_way_that_was_taken_is_given_back_beside_the_ways(person):
    person.click_page(person.spot_of(heads(person)[0], "note"))
    person.click_page(person.spot_of(heads(person)[-1], "tab"), Held.ShiftModifier)
    person.press_keys(words_fingering.KEYS["ways"])
    view = person.window.fingering.ways
    person.qtbot.waitUntil(lambda: view.list.count() > 1, timeout=30_000)
    assert not view.free.isEnabled()
    shown = view.list.item(1)
    assert any(ease in shown.text() for ease in words_fingering.EASES.values())
    assert str(view._ways[1].cost) in shown.toolTip()
    count, before = view.list.count(), person.study
    person.qtbot.keyClick(view.list, Key.Key_Down)
    person.click(view.take)
    person.qtbot.waitUntil(lambda: view.list.count() == 1, timeout=30_000)
    assert "Free these notes" in view.title.text()
    person.click(view.free)
    assert person.study.bars[BAR] == before.bars[BAR]
    person.qtbot.waitUntil(lambda: view.list.count() == count, timeout=30_000)


def table_of(person, row, column):
    person.click_page(person.spot_of(heads(person)[row], "tab"))
    person.press_keys("Alt+2")
    table = person.window.side.notes.table
    index = table.model().index(row, list(words_about.COLUMNS).index(column))
    person.qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center())
    return table


def test_several_cells_of_the_table_are_given_back_in_one_step(person):
    set_all(person)
    locked = person.study
    table = table_of(person, 1, "string")
    to = table.model().index(4, list(words_about.COLUMNS).index("finger"))
    person.qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, Held.ShiftModifier,
                            table.visualRect(to).center())
    assert len(table.selectedIndexes()) == 4 * 3
    person.qtbot.keyClick(table, Key.Key_Delete)
    notes = [person.study.note_at(head) for head in heads(person)]
    assert [(note.string, note.finger) == (None, None) for note in notes] == [
        False, True, True, True, True, *[False] * (len(notes) - 5)]
    assert all(person.study.event_at(head).stroke == "down" for head in heads(person))
    assert person.window.document.undo_name == words_about.GIVE_BACK_EDIT.format(bar="bar 4")
    person.press_keys("Ctrl+Z")
    assert person.study is locked


def test_a_column_is_given_back_by_the_arrows_and_names_its_step(person):
    set_all(person)
    table = table_of(person, 0, "finger")
    for _ in range(2):
        person.qtbot.keyClick(table, Key.Key_Down, Held.ShiftModifier)
    person.qtbot.keyClick(table, Key.Key_Delete)
    assert [person.study.note_at(head).finger is None for head in heads(person)[:4]] == [True, True, True, False]
    assert person.window.document.undo_name == words.EDIT_FINGER.format(bar="bar 4")
    before = person.study
    person.qtbot.keyClick(table, Key.Key_Delete)  # nothing is left to give back
    assert person.study is before


def blue_under(person, spot) -> bool:
    """Whether the line under a fret is on screen."""
    box = person.window.page.on_screen(Spot(spot.page, Box(*spot.box)))
    seen = person.window.page.viewport().grab().toImage()
    ratio = seen.devicePixelRatio()
    x = round(box.center().x() * ratio)
    rows = range(round((box.bottom() + 0.5) * ratio), round((box.bottom() + 4) * ratio))
    return any(abs(seen.pixelColor(x, y).hue() - BLUE.hue()) < 10 and seen.pixelColor(x, y).saturation() > 150
               for y in rows)


def ink(pages):
    return [[(placed.x, placed.y, placed.drawing.marks) for placed in page.placed] for page in pages.pages]


def test_what_is_set_is_underlined_in_the_selected_bars_and_not_in_print(person):
    person.window.selection.go(Selected(BAR))
    place, pages = heads(person)[0], person.drawing
    (was,) = [spot for spot in note_spots(person.window.document.layout, place) if spot.kind == "tab"]
    assert not blue_under(person, was)
    grip = person.window.document.layout.fingering.bars[BAR].events[place.event].notes[0]
    person.window.document.edit("set", lambda study: edits.set_string(study, place, grip.string, grip.fret))
    (spot,) = set_frets(person.window.document.layout, [BAR])
    assert spot == was
    assert blue_under(person, spot)
    assert ink(person.drawing) == ink(pages)  # what prints is as it was
    person.window.selection.go(Selected(BAR + 2))
    assert not blue_under(person, spot)


@pytest.mark.parametrize(("text", "strings"), [
    ("2-5", (2, 3, 4, 5)), ("2 3 4 5", (2, 3, 4, 5)),
    ("2,3, 4,5", (2, 3, 4, 5)), ("5 – 2", (2, 3, 4, 5)), ("2 - 5", (2, 3, 4, 5)),
    ("1 3-4", (1, 3, 4)), ("6", (6,)), ("", ()), ("3 3 1", (1, 3))])
def test_strings_are_named_as_people_write_them(text, strings):
    assert read_strings(text, 6) == strings


@pytest.mark.parametrize("text", ["high ones", "2-", "-", "1-2-3", "0-3", "7", "2-900000000000", "1.5", "²"])
def test_what_names_no_strings_is_told_in_one_line(text):
    with pytest.raises(BarglossError, match="names no strings; write numbers from 1 to 6, as in 2-5") as told:
        read_strings(text, 6)
    assert len(told.value.lines()) == 1


def test_strings_are_typed_as_a_stretch(person):
    person.press_keys(words_fingering.KEYS["guitarist"])
    field = person.window.fingering.guitarist.strings
    person.click(field)
    person.qtbot.keyClicks(field, "2-5\r")
    assert person.study.guitarist.strings == (2, 3, 4, 5)
    assert field.text() == "2 3 4 5"
