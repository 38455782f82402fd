"""The person's own keys: changed on the sheet, held at once, told where they clash, kept. The behaviour is ours."""

from __future__ import annotations

import json
import re

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QToolButton

from app import words_around, words_keys
from app.folders import settings_file
from app.help_sheet import HelpSheet
from app.own_keys import fixed_keys
from app.settings import Settings
from tests.app.windows import Person, demo

Key, Held = Qt.Key, Qt.KeyboardModifier


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


def opened(person: Person) -> HelpSheet:
    person.press_keys("F1")
    (sheet,) = person.window.findChildren(HelpSheet)
    person.qtbot.waitUntil(sheet.isActiveWindow)
    return sheet


def choose(person: Person, sheet: HelpSheet, name: str):
    """By searching for its name, and going down to it by the arrows."""
    sheet.search.setFocus()
    sheet.search.selectAll()
    person.qtbot.keyClicks(sheet.search, name)
    person.qtbot.keyClick(sheet.search, Key.Key_Return)
    for _ in range(50):
        if sheet.tree.currentItem().text(0) == name:
            return sheet.tree.currentItem()
        person.qtbot.keyClick(sheet.tree, Key.Key_Down)
    raise AssertionError(name)


def change(person: Person, sheet: HelpSheet, name: str, key, held=Held.NoModifier) -> str:
    """By keys alone; what the sheet says to it."""
    choose(person, sheet, name)
    person.qtbot.keyClick(sheet.tree, Key.Key_Return)
    assert sheet.field.hasFocus()
    person.qtbot.keyClick(sheet.field, key, held)
    assert sheet.field is None
    assert sheet.tree.hasFocus()
    return sheet.told.text()


def back_to_page(person: Person, sheet: HelpSheet) -> None:
    sheet.close()
    person.window.activateWindow()
    person.window.page.setFocus()
    person.qtbot.waitUntil(person.window.page.hasFocus)


def command(person: Person, name: str):
    return next(one for one in person.window.around.keys.commands if one.name == name)


def test_a_key_is_changed_by_keys_alone_and_holds_at_once(person):
    sheet = opened(person)
    assert "Ctrl+9" in change(person, sheet, "Next bar", Key.Key_9, Held.ControlModifier)
    row = sheet.tree.currentItem()
    assert row.text(1) == "Ctrl+9"
    assert row.font(1).bold()
    assert "Ctrl+Right" in row.toolTip(1)
    back_to_page(person, sheet)
    before = person.at.bar
    person.press_keys("Ctrl+9")
    assert person.at.bar == before + 1
    person.press_keys("Ctrl+Right")
    assert person.at.bar == before + 1


def test_a_key_is_changed_by_the_mouse(person):
    sheet = opened(person)
    row = choose(person, sheet, "Fit width")
    person.qtbot.mouseClick(sheet.tree.viewport(), Qt.MouseButton.LeftButton,
                            pos=sheet.tree.visualItemRect(row).center())
    person.qtbot.mouseClick(sheet.change, Qt.MouseButton.LeftButton)
    person.qtbot.keyClick(sheet.field, Key.Key_F7)
    assert row.text(1) == "F7"


def test_escape_leaves_the_key_and_the_sheet_as_they_are(person):
    sheet = opened(person)
    choose(person, sheet, "Save")
    person.qtbot.keyClick(sheet.tree, Key.Key_Return)
    person.qtbot.keyClick(sheet.field, Key.Key_Escape)
    assert sheet.isVisible()
    assert sheet.field is None
    assert sheet.told.text() == words_keys.HOW  # Escape is no key that was tried
    assert sheet.tree.currentItem().text(1) == "Ctrl+S"


@pytest.mark.parametrize(("name", "key", "held", "told"), [
    ("Next bar", Key.Key_H, Held.ControlModifier, "Ctrl+H belongs to 'File: Export handout (PDF)'"),
    ("Longer: twice the value", Key.Key_Q, Held.NoModifier, "Q belongs to 'Write: Quicker: half the value'"),
    ("Slur over the selected notes", Key.Key_C, Held.NoModifier, "C belongs to 'Write: Notes by letter: C, nearest"),
    ("Slur over the selected notes", Key.Key_Plus, Held.NoModifier, "belongs to 'Write: Double stop: A as well"),
    ("Slur over the selected notes", Key.Key_Left, Held.NoModifier, "Left is fixed ('The note before"),
    ("Slur over the selected notes", Key.Key_Return, Held.ShiftModifier, "is fixed ('While writing, one more note"),
    ("Next bar", Key.Key_F, Held.AltModifier, "Alt+F opens the menu File"),
    ("Next bar", Key.Key_Z, Held.NoModifier, "Z alone would be lost to typing"),
    ("Next bar", Key.Key_Z, Held.ShiftModifier, "Shift+Z alone would be lost to typing"),
])
def test_a_key_that_is_something_else_s_is_refused_in_one_line_that_names_it(person, name, key, held, told):
    sheet = opened(person)
    before = command(person, name).keys
    line = change(person, sheet, name, key, held)
    assert told in line
    assert "\n" not in line
    assert command(person, name).keys == before


def test_a_command_of_the_page_may_have_a_letter_of_its_own(person):
    sheet = opened(person)
    change(person, sheet, "Slur over the selected notes", Key.Key_Z)
    change(person, sheet, "Dots: none, one, two", Key.Key_S)
    assert command(person, "Dots: none, one, two").told == "S"
    back_to_page(person, sheet)
    person.press(Key.Key_W)
    person.press(Key.Key_S)
    assert person.window.pen.value.dots == 1


def test_what_tells_a_key_elsewhere_tells_the_new_one(person):
    writing = person.window.writing
    person.press(Key.Key_W)
    assert "# sharper" in writing.reminder.text()
    (rest,) = [one for one in writing.bar.findChildren(QToolButton) if one.text() == "Rest"]
    assert rest.toolTip() == "Rest: key R"
    sheet = opened(person)
    change(person, sheet, "Rest", Key.Key_Z)
    change(person, sheet, "Sharper by a half step, the same letter", Key.Key_Y)
    change(person, sheet, "Writing", Key.Key_R)
    change(person, sheet, "Type changes from this bar on", Key.Key_W)
    assert "Y sharper" in writing.reminder.text()
    assert rest.toolTip() == "Rest: key Z"
    assert "Press R to write" in writing.hint.text()
    assert "Z a rest. W types chord symbols" in writing.hint.text()
    back_to_page(person, sheet)
    person.press(Key.Key_Escape)
    person.press(Key.Key_C)
    assert writing.where.text().startswith("R begins writing")


def test_one_key_goes_back_and_all_do(person):
    sheet = opened(person)
    change(person, sheet, "Save", Key.Key_9, Held.ControlModifier)
    change(person, sheet, "Fit width", Key.Key_S, Held.ControlModifier)
    choose(person, sheet, "Save")
    person.qtbot.mouseClick(sheet.back, Qt.MouseButton.LeftButton)
    assert "Ctrl+S belongs to 'View: Fit width'" in sheet.told.text()
    choose(person, sheet, "Fit width")
    person.qtbot.mouseClick(sheet.back, Qt.MouseButton.LeftButton)
    assert command(person, "Fit width").told == "Ctrl+0"
    assert not sheet.back.isEnabled()
    change(person, sheet, "Fit width", Key.Key_F7)
    person.qtbot.mouseClick(sheet.all_back, Qt.MouseButton.LeftButton)
    assert [one for one in person.window.around.keys.commands if one.is_changed] == []
    assert (command(person, "Save").told, command(person, "Fit width").told) == ("Ctrl+S", "Ctrl+0")
    assert not sheet.all_back.isEnabled()


def test_keys_are_kept_from_day_to_day_even_swapped_ones(person, qtbot):
    sheet = opened(person)
    change(person, sheet, "Save", Key.Key_9, Held.ControlModifier)
    change(person, sheet, "Bring in", Key.Key_S, Held.ControlModifier)
    change(person, sheet, "Save", Key.Key_B, Held.ControlModifier)
    person.window.close()
    second = Person(qtbot, demo())
    assert (command(second, "Save").told, command(second, "Bring in").told) == ("Ctrl+B", "Ctrl+S")
    opened_again = opened(second)
    opened_again.all_back.click()
    assert (command(Person(qtbot, demo()), "Save").told) == "Ctrl+S"


@pytest.mark.parametrize("kept", [
    "nonsense", "[1, 2]", json.dumps({"File: Gone": ["Ctrl+9"]}), json.dumps({"File: Save": "Ctrl+9"}),
    json.dumps({"File: Save": [7]}), json.dumps({"File: Save": ["no key at all"]}), json.dumps({"File: Save": []}),
    json.dumps({"File: Save": ["Ctrl+O"]}), json.dumps({"File: Save": ["Left"]}), json.dumps({"File: Save": ["Z"]}),
])
def test_what_is_kept_and_is_no_key_for_a_command_any_more_is_passed_over(qtbot, kept):
    settings = Settings(settings_file())
    settings.keep("keys", kept)
    settings.write()
    person = Person(qtbot, demo())
    assert [one.place for one in person.window.around.keys.commands if one.is_changed] == []


def test_of_two_kept_with_one_key_only_one_has_it(qtbot):
    settings = Settings(settings_file())
    settings.keep("keys", json.dumps({"File: Save": ["Ctrl+9"], "View: Fit width": ["Ctrl+9"]}))
    settings.write()
    person = Person(qtbot, demo())
    assert sorted([command(person, "Save").told, command(person, "Fit width").told]) in (
        [["Ctrl+9", "Ctrl+S"], ["Ctrl+0", "Ctrl+9"]])


def test_every_command_of_the_menus_is_on_the_sheet_under_a_name_of_its_own(person):
    keys = person.window.around.keys
    assert len({one.place for one in keys.commands}) == len(keys.commands) > 140
    sheet = opened(person)
    assert len([row for row in sheet._rows() if sheet._of(row) is not None]) == len(keys.commands)


def test_no_command_comes_with_a_key_that_is_another_s_or_fixed(person):
    """So that every original can be gone back to."""
    keys = person.window.around.keys
    for one in keys.commands:
        assert keys._clash(one, one.original) == ""
    assert [what for what, key in fixed_keys() if key.isEmpty() or key[0].key() == Key.Key_unknown] == []


def test_the_sheet_tells_no_key_that_keyboards_lack(person):
    undo = command(person, "Undo")
    undo.action.setShortcuts([QKeySequence("Ctrl+Z"), QKeySequence("F14"), QKeySequence(Key.Key_Undo)])
    told = [row.text(1) for row in opened(person)._rows()]
    assert "Ctrl+Z" in told
    assert [keys for keys in told if re.search(r"F1[3-9]|F[23]\d|Undo", keys)] == []


def test_the_search_shows_only_what_has_its_words(person):
    sheet = opened(person)
    person.qtbot.keyClicks(sheet.search, "zoom")
    assert [row.text(0) for row in sheet._rows() if not row.isHidden()] == ["Zoom in", "Zoom out"]
    sheet.search.selectAll()
    person.qtbot.keyClicks(sheet.search, "ctrl+l")
    assert "Listen from here" in [row.text(0) for row in sheet._rows() if not row.isHidden()]
    sheet.search.selectAll()
    person.qtbot.keyClicks(sheet.search, "xyzzy")
    assert sheet.told.text() == words_keys.NONE_FOUND.format(text="xyzzy")


def test_what_is_fixed_cannot_be_changed(person):
    sheet = opened(person)
    row = choose(person, sheet, words_around.PAGE_KEYS[0][0])
    assert not sheet.change.isEnabled()
    person.qtbot.keyClick(sheet.tree, Key.Key_Return)
    assert sheet.field is None
    assert sheet.told.text() == words_keys.ONLY_FIXED
    assert sheet.isVisible()
    assert row.text(1) == words_around.PAGE_KEYS[0][1]
