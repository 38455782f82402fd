"""A panel beside the window about who plays, other ways to play, range and difficulty; and the menu that opens it."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QMainWindow, QTabWidget, QVBoxLayout, QWidget

from app import words_fingering as words
from app.actions import add_action
from app.cursor import Cursor
from app.document import Document
from app.guitarist_view import GuitaristView
from app.hard_view import HardView
from app.message_bar import MessageBar
from app.page_view import PageView
from app.range_view import RangeView
from app.way_ink import WayInk
from app.ways_view import WaysView


class FingeringPanel(QDialog):
    """Stays open beside the window; the page goes on being worked with."""

    def __init__(self, window: QMainWindow, document: Document, cursor: Cursor, page: PageView,
                 message: MessageBar) -> None:
        super().__init__(window, windowTitle=words.PANEL)
        self.guitarist = GuitaristView(document)
        self.ways, self.range = WaysView(document, cursor), RangeView(document, cursor)
        self.hard = HardView(document, cursor)
        self.tabs = QTabWidget(documentMode=True, accessibleName=words.PANEL)
        self.views: dict[str, QWidget] = {
            "guitarist": self.guitarist, "ways": self.ways, "range": self.range, "hard": self.hard}
        for name, view in self.views.items():
            self.tabs.addTab(view, words.TABS[name])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.tabs)
        self.way_ink = WayInk(page, document)
        self.ways.looked.connect(self.way_ink.look_at)
        self.ways.lost.connect(message.fault)
        self.range.lost.connect(message.fault)
        self.resize(460, 640)
        self.menu = window.menuBar().addMenu(words.FINGERING)
        for name, shown in words.MENU.items():
            add_action(self.menu, shown, lambda name=name: self.open_at(name), [words.KEYS[name]])

    def open_at(self, name: str) -> None:
        """Bring it, with that part in front and the keyboard in it."""
        self.tabs.setCurrentWidget(self.views[name])
        self.show()
        self.raise_()
        self.activateWindow()
        self.views[name].setFocus()

    def close_down(self) -> None:
        """The window is being left."""
        self.ways.beside.close_down()
