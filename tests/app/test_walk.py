"""A long walk through the commands of writing, by keys and mouse, and all the way back."""

from __future__ import annotations

import os
from random import Random

from PySide6.QtCore import QPoint, Qt

from app import words_fingering
from core.files import parse_study, study_xml
from tests.app.scores import Held, Key, four_notes, type_line
from tests.app.windows import Person

KEYS = [*"ABCDEFG0123456789RTSVNOLQMXJIW.('>_/#", "Shift+B", "+,1", "+,7", *(
    f"Ctrl+{key}" for key in ("U", "R", "C", "X", "V", "A", "Z", "Z", "Backspace", "Left", "Right", "Up", "Down")), *(
    f"Shift+{key}" for key in ("U", "I", "R", "Left", "Right", "Up", "Down")),
    "+,A", "+,C", "+,E", "U", "Ctrl+Shift+Z",
    "Ctrl+Shift+Up", "Ctrl+Shift+Down", "Alt+Up", "Alt+Down", "Backspace", "Space", "Del", "Left",
    "Right", "Up", "Down", "Home", "End", "Esc"]

GROWING = {"I", "Shift+I", "Ctrl+R", "Ctrl+V"}

LINES = (("Ctrl+T", "c2 d e (3fga B2 | c4 z4"), ("H", "Cm7 F7 | Bbmaj7"), ("Shift+H", "C7 | F7 | C7"),
         ("Ctrl+T", "no music: at all"), ("H", "Xyz"))

STEPS = int(os.environ.get("BARGLOSS_LONG_WALK") or 300)
"""BARGLOSS_LONG_WALK=5000 walks longer."""


def neck_step(person, random: Random) -> None:
    """Somewhere on the neck, by mouse or by keys."""
    board = person.window.neck.board
    held = random.choice([Held.NoModifier, Held.NoModifier, Held.ShiftModifier])
    if random.random() < 0.7:
        where = QPoint(random.randrange(board.width()), random.randrange(board.height()))
        person.qtbot.mouseClick(board, Qt.MouseButton.LeftButton, held, where)
        return
    person.press_keys(words_fingering.NECK_KEY)
    assert board.hasFocus()
    for _ in range(3):
        person.press(random.choice([Key.Key_Left, Key.Key_Right, Key.Key_Up, Key.Key_Down, Key.Key_Home, Key.Key_End]))
    person.press(Key.Key_Return, held)
    person.press(Key.Key_Escape)


def a_step(person, random: Random) -> None:
    choice = random.random()
    view = person.window.page.viewport().rect()
    if choice < 0.1:
        held = random.choice([Held.NoModifier, Held.NoModifier, Held.ShiftModifier])
        person.click_page(QPoint(random.randrange(view.width()), random.randrange(view.height())), held)
    elif choice < 0.16:
        neck_step(person, random)
    elif choice < 0.18:
        type_line(person, *random.choice(LINES))
        if person.window.writing.line.isVisible():
            person.press(Key.Key_Escape)
    else:
        key = random.choice(KEYS)
        if len(person.study.bars) > 16 and key in GROWING:
            key = "Ctrl+Backspace"
        person.press(key) if len(key) == 1 and not key.isalnum() else person.press_keys(key)


def test_a_long_walk_ends_valid_and_can_be_walked_back(qtbot):
    random = Random(72)
    person = Person(qtbot, four_notes())
    first = person.study
    person.press_keys(words_fingering.NECK_KEY)
    person.press_keys("Esc")
    person.press_keys("W")
    for _ in range(STEPS):
        a_step(person, random)
        assert person.window.page.hasFocus()
    last = person.study
    assert parse_study(study_xml(last), "walk") == last
    assert last != first
    while person.window.document.redo_name:
        person.press_keys("Ctrl+Shift+Z")
    last = person.study
    undone = 0
    while person.window.document.undo_name:
        person.press_keys("Ctrl+Z")
        undone += 1
    assert person.study is first
    assert undone > STEPS / 10
    while person.window.document.redo_name:
        person.press_keys("Ctrl+Shift+Z")
    assert person.study is last
