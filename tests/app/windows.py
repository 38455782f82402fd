"""A window on a study, and what a person does to it: nothing but mouse and keys."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from app.document import Document
from app.own_keys import commands_of
from app.places import Spot, words_spots
from app.window import ASSETS, Window
from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Glyph, Tag
from core.files import load_study
from core.study import NotePlace, Study

Click = Callable[..., None]


def demo(name: str = "cellar-stairs") -> Study:
    return load_study(ASSETS / f"{name}.study")


class Person:
    """Somebody at a window. window: for reading what it shows; everything done goes through events."""

    def __init__(self, qtbot, study: Study, path=None) -> None:
        self.qtbot = qtbot
        self.window = Window(Document(study, path))
        qtbot.addWidget(self.window, before_close_func=_without_asking)
        self.window.resize(1280, 800)
        self.window.show()
        qtbot.waitExposed(self.window)
        self.window.activateWindow()
        self.window.page.setFocus()
        qtbot.waitUntil(self.window.page.hasFocus)

    @property
    def study(self) -> Study:
        return self.window.document.study

    @property
    def drawing(self):
        return self.window.document.layout.pages

    @property
    def at(self):
        return self.window.selection.at

    def spot_of(self, place: NotePlace, kind: str) -> QPoint:
        """Where on the viewport a note's head, its number on the tab or its degree is."""
        layout = self.window.document.layout
        font = layout.template.style.music
        for index, page in enumerate(layout.pages.pages):
            for placed in page.placed:
                for mark in placed.drawing.marks if placed.bar == place.bar else ():
                    is_stem = kind == "note" and not (isinstance(mark, Glyph) and mark.name.startswith("notehead"))
                    if mark.tag == Tag(kind, place.event, place.note) and not is_stem:
                        x, y = _middle(mark_box(mark, font))
                        x, y = placed.x + x * placed.scale, placed.y + y * placed.scale
                        return self.window.page.on_screen(Spot(index, Box(x, y, x, y))).topLeft().toPoint()
        raise AssertionError(f"{place} has no {kind}")

    def spot_of_callout(self, bar: int) -> QPoint:
        """The middle of the frame of a bar's first callout, on the viewport."""
        spot = next(one for one in words_spots(self.window.document.layout, bar) if one.kind == "callout")
        return self.window.page.on_screen(spot).center().toPoint()

    def click_page(self, where: QPoint, held=Qt.KeyboardModifier.NoModifier) -> None:
        self.qtbot.mouseClick(self.window.page.viewport(), Qt.MouseButton.LeftButton, held, where)
        QCoreApplication.processEvents()

    def click(self, widget: QWidget) -> None:
        assert widget.isVisible()
        self.qtbot.mouseClick(widget, Qt.MouseButton.LeftButton)
        QCoreApplication.processEvents()

    def press(self, key, held=Qt.KeyboardModifier.NoModifier) -> None:
        """On whatever has the keyboard."""
        self.qtbot.keyClick(self.window.focusWidget(), key, held)
        QCoreApplication.processEvents()

    def press_keys(self, keys) -> None:
        self.qtbot.keySequence(self.window.focusWidget(), QKeySequence(keys))
        QCoreApplication.processEvents()

    def write(self, field: QLineEdit | QPlainTextEdit, text: str) -> None:
        """Click into a field, and type this instead of what is there."""
        self.click(field.viewport() if isinstance(field, QPlainTextEdit) else field)
        assert field.hasFocus()
        self.press_keys("Ctrl+A")
        self.qtbot.keyClicks(field, text)
        QCoreApplication.processEvents()

    def enter(self, field: QLineEdit, text: str) -> None:
        self.write(field, text)
        self.press(Qt.Key.Key_Return)


def keys_told(window: Window, menu: str) -> list[tuple[str, str]]:
    """Name and keys of each command of a menu, as the help sheet tells them."""
    return [(one.name, one.told) for one in commands_of(window.menuBar()) if one.menu == menu]


def _middle(box: Box) -> tuple[float, float]:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def _without_asking(window: Window) -> None:
    window.document._saved = window.document.study
