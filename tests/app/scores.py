"""Small studies for tests of the window, told in letters; and what a person does to write them."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.places import Spot
from core.engraving.boxes import Box
from core.study import (
    Bar,
    Event,
    Note,
    NotePlace,
    Study,
    parse_pitch,
)

Key, Held = Qt.Key, Qt.KeyboardModifier
QUARTER, EIGHTH = Fraction(1), Fraction(1, 2)


def bar(text: str, length: Fraction = QUARTER, **rest) -> Bar:
    """`C4 D4+F4 - E4~`: notes, double stops, rests and ties of one length."""
    return Bar(tuple(Event(at * length, length, () if name == "-" else tuple(
        Note(parse_pitch(one.rstrip("~")), tie=one.endswith("~")) for one in name.split("+")))
        for at, name in enumerate(text.split())), **rest)


def told(study: Study) -> list[str]:
    """Each bar as `C4 1 | - 3`: rests after one another as one, a tie by ~, a grace note by *."""
    return [" | ".join(f"{name} {length}" for name, length in _row(each)) for each in study.bars]


def _row(each: Bar) -> list[tuple[str, Fraction | str]]:
    row: list[tuple[str, Fraction | str]] = []
    for event in each.events:
        name = "+".join(one.pitch.name + "~" * one.tie for one in event.notes) or "-"
        if row and name == row[-1][0] == "-":
            row[-1] = (name, row[-1][1] + event.duration)
        else:
            row.append((name, "*" if event.grace else event.duration))
    return row


def four_notes() -> Study:
    return Study(bars=(bar("C4 D4 E4 F4"), bar("G4 A4 B4 C5"), Bar()))


def type_keys(person, *keys):
    for key in keys:
        person.press_keys(key)


def select(person, first: NotePlace, last: NotePlace) -> None:
    person.click_page(person.spot_of(first, "note"))
    person.click_page(person.spot_of(last, "tab"), Held.ShiftModifier)


def type_line(person, keys, text):
    person.press_keys(keys)
    field = person.window.writing.line.field
    assert field.hasFocus()
    person.press_keys("Ctrl+A")
    QTest.keyClicks(field, text)
    person.press(Key.Key_Return)


def at_page(person, page, x, y):
    return person.window.page.on_screen(Spot(page, Box(x, y, x, y))).topLeft().toPoint()
