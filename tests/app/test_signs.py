"""Dynamics, hairpins, signs, jumps, and a callout about the selection: from the panels and from the menu."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app import words_about
from core.study import JUMPS, NotePlace
from tests.app.windows import Person, demo

Key, Held = Qt.Key, Qt.KeyboardModifier
BAR = 4


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, demo())
    one.click_page(one.spot_of(NotePlace(BAR, 1), "tab"))
    return one


def choose(person, *names):
    """By the mouse, menu after menu."""
    bar, menu = person.window.menuBar(), None
    for name in names:
        owner = menu or bar
        action = next(one for one in owner.actions() if one.text() == name)
        person.qtbot.mouseClick(owner, Qt.MouseButton.LeftButton, pos=owner.actionGeometry(action).center())
        menu = action.menu()
        if menu is not None:
            person.qtbot.waitUntil(menu.isVisible)


def select(person, first, last):
    person.click_page(person.spot_of(first, "tab"))
    person.click_page(person.spot_of(last, "tab"), Held.ShiftModifier)


def hairpins(person, *bars):
    return [(bar, at, event.hairpin) for bar in bars for at, event in enumerate(person.study.bars[bar].events)
            if event.hairpin]


@pytest.mark.parametrize(("field", "keys", "read", "name"), [
    ("dynamic", "mf", lambda study: study.bars[BAR].events[1].dynamic, "dynamic, bar 4"),
    ("hairpin", "dim", lambda study: study.bars[BAR].events[1].hairpin, "hairpin, bar 4"),
])
def test_loudness_at_the_selected_note(person, field, keys, read, name):
    before = person.study
    box = getattr(person.window.note_panel.loudness, field)
    box.setFocus()
    while box.currentData() != keys:
        person.press(Key.Key_Down)
    assert read(person.study) == keys
    assert person.window.document.undo_name == name
    while person.study is not before:
        person.press_keys("Ctrl+Z")
    assert box.currentData() == ""


@pytest.mark.parametrize(("field", "value", "read", "name"), [
    ("sign", "coda", lambda bar: bar.sign, "sign, bar 4"),
    ("jump", "D.S. al Coda", lambda bar: bar.jump, "jump, bar 4"),
])
def test_signs_and_jumps_of_the_bar(person, field, value, read, name):
    box = getattr(person.window.bar_panel.signs, field)
    box.setFocus()
    while box.currentData() != value:
        person.press(Key.Key_Down)
    assert read(person.study.bars[BAR]) == value
    assert person.window.document.undo_name == name
    person.press_keys("Ctrl+PgDown")
    assert box.currentData() == ""


@pytest.mark.parametrize(("menu", "value", "read"), [
    (words_about.DYNAMIC_MENU, "ff", lambda bar: bar.events[1].dynamic),
    (words_about.SIGN_MENU, "segno", lambda bar: bar.sign), (words_about.JUMP_MENU, JUMPS[1], lambda bar: bar.jump),
])
def test_by_the_menu(person, menu, value, read):
    choose(person, words_about.ANNOTATE, menu, value)
    assert read(person.study.bars[BAR]) == value


def test_a_hairpin_over_the_selection_and_away_again(person):
    """From its first note to the note after its last."""
    before = person.study
    select(person, NotePlace(BAR, 2), NotePlace(BAR, 5))
    choose(person, words_about.ANNOTATE, words_about.HAIRPIN_OVER, words_about.HAIRPINS_OVER["cresc"])
    assert hairpins(person, BAR) == [(BAR, 2, "cresc"), (BAR, 6, "stop")]
    assert person.window.document.undo_name == "hairpin, bar 4"
    choose(person, words_about.ANNOTATE, words_about.HAIRPIN_OVER, words_about.HAIRPINS_OVER[""])
    assert person.study.bars == before.bars


def test_a_callout_about_the_selection(person):
    select(person, NotePlace(BAR, 2), NotePlace(BAR, 5))
    person.press_keys("Ctrl+Shift+C")
    made = person.study.bars[BAR].callouts[-1]
    events = person.study.bars[BAR].events
    assert (made.start, made.stop, made.bars_on) == (events[2].onset, events[5].onset, 0)
    person.qtbot.keyClicks(person.window.focusWidget(), "Up and over")
    assert person.study.bars[BAR].callouts[-1].heading == "Up and over"


def test_a_callout_about_notes_selected_backwards_over_the_barline(person):
    """It stands in the bar of the first of them, and is written at once."""
    select(person, NotePlace(BAR, 1), NotePlace(BAR - 1, 2))
    person.press_keys("Ctrl+Shift+C")
    made = person.study.bars[BAR - 1].callouts[-1]
    assert (made.bars_on, made.stop) == (1, person.study.bars[BAR].events[1].onset)
    assert person.at.span == (NotePlace(BAR - 1, 2), NotePlace(BAR, 1))  # still what is selected
    person.qtbot.keyClicks(person.window.focusWidget(), "Over the line")
    assert person.study.bars[BAR - 1].callouts[-1].heading == "Over the line"


def test_dragged_over_notes_it_is_what_a_callout_speaks_of(person):
    page = person.window.page.viewport()
    start, stop = person.spot_of(NotePlace(BAR, 2), "tab"), person.spot_of(NotePlace(BAR, 5), "tab")
    person.qtbot.mousePress(page, Qt.MouseButton.LeftButton, pos=start)
    for step in range(1, 6):
        person.qtbot.mouseMove(page, start + (stop - start) * step / 5)
    person.qtbot.mouseRelease(page, Qt.MouseButton.LeftButton, pos=stop)
    assert person.at.span == (NotePlace(BAR, 2), NotePlace(BAR, 5))
    choose(person, words_about.ANNOTATE, words_about.CALLOUT_SELECTION)
    made, events = person.study.bars[BAR].callouts[-1], person.study.bars[BAR].events
    assert (made.start, made.stop) == (events[2].onset, events[5].onset)
