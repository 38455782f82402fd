"""What can be seen: edges by night, where the keyboard is, and no list of nothing.

Contrast by WCAG 2.2, "relative luminance" and success criterion 1.4.11: 3 to 1 for the edge of a control.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QApplication, QLineEdit

from app import dialogs, words
from app.surroundings import surround_with
from core.study import Change, edits
from tests.app.windows import Person, demo, keys_told


@pytest.fixture
def person(qtbot):
    yield Person(qtbot, demo())
    surround_with(QApplication.instance(), "system")


def luminance(colour) -> float:
    parts = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
             for part in (colour.redF(), colour.greenF(), colour.blueF())]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one, other) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("name", ["comment", "remark"])
def test_fields_have_an_edge_by_night(person, name):
    window = person.window
    window.around.surround("dark")
    person.press_keys("Right")
    QApplication.sendPostedEvents()
    field = window.bar_panel.comment if name == "comment" else window.note_panel.remark
    field = field if name == "comment" else field.findChild(QLineEdit) or field
    corner = field.mapTo(window, QPoint(0, 0))
    seen = window.grab().toImage()
    middle = corner.y() + field.height() // 2
    outside, edge = seen.pixelColor(corner.x() - 3, middle), seen.pixelColor(corner.x(), middle)
    assert contrast(edge, outside) >= 3


@pytest.mark.parametrize("schemes", [("dark",), ("dark", "light")])
@pytest.mark.parametrize("is_writing_before", [True, False])
def test_the_notes_to_press_are_seen_by_day_and_by_night(person, schemes, is_writing_before):
    """WCAG 2.2, 1.4.11: 3 to 1 for what tells a button from another."""
    if is_writing_before:
        person.press_keys("W")
    for scheme in schemes:
        person.window.around.surround(scheme)
        QApplication.sendPostedEvents()
    if not is_writing_before:
        person.press_keys("W")
    button = person.window.writing.bar.values[4]
    assert not button.icon().isNull()
    ground = person.window.palette().window().color()
    seen = button.grab().toImage()
    assert max(contrast(seen.pixelColor(x, y), ground)
               for x in range(4, seen.width() - 4) for y in range(4, seen.height() - 4)) >= 3


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_finding_with_the_keyboard_is_seen_to_have_it(person, scheme):
    person.window.around.surround(scheme)
    person.window.selection.go(person.at._replace(bar=4, note=None, until=None))
    person.window.annotating.to_findings()
    findings = person.window.bar_panel.findings
    card = findings.with_keyboard
    assert card is not None

    def edges():
        QApplication.sendPostedEvents()
        button = next(one for one in card.buttons.values() if not one.isHidden())
        return (card.grab().toImage().pixelColor(1, card.height() // 2),
                button.grab().toImage().pixelColor(button.width() // 2, 0))

    held = edges()
    person.window.page.setFocus()
    for with_keyboard, without in zip(held, edges(), strict=True):
        assert with_keyboard != without
    assert contrast(held[1], person.window.palette().window().color()) >= 3


def test_no_notices_are_told_in_a_word(person):
    person.window.show_notices()
    assert not person.window.findChildren(dialogs.NoticeList)
    assert person.window.message.isVisible()
    assert person.window.message.label.text() == words.NOTHING_TO_TELL


def test_a_notice_is_listed(person):
    bar = replace(person.study.bars[2], changes=(Change(person.study.bars[2].changes[0].offset, "Hm7"),))
    person.window.document.edit("test", lambda study: replace(study, bars=(*study.bars[:2], bar, *study.bars[3:])))
    person.window.show_notices()
    (shown,) = person.window.findChildren(dialogs.NoticeList)
    assert "Hm7" in shown.list.item(0).text()


def test_the_help_sheet_tells_keys_that_keyboards_have_and_commands_by_their_names(person):
    """Under X11, Qt binds F14 to undo besides Ctrl+Z."""
    person.window.document.edit("words about bar 1", lambda study: edits.set_comment(study, 1, "Other words."))
    undo = next(one for one in person.window.findChildren(QAction) if one.text().startswith("&Undo: words"))
    undo.setShortcuts([QKeySequence("Ctrl+Z"), QKeySequence("F14")])
    assert ("Undo", "Ctrl+Z") in keys_told(person.window, "Edit")
