"""The side of the window: the bar, its notes in a table, what is unfinished, and the whole solo, a tab each."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabWidget, QWidget

from app import words_about as words
from app.bar_panel import BarPanel
from app.cursor import Cursor
from app.document import Document
from app.line_work import LineWork
from app.note_table import NoteTable
from app.solo_view import SoloView
from app.unfinished_view import UnfinishedView


class Side(QTabWidget):
    """lost: why something written into the table of notes was not kept."""

    lost = Signal(str)

    def __init__(self, document: Document, cursor: Cursor, line: LineWork, bar: BarPanel) -> None:
        super().__init__()
        self.bar = bar
        self.notes = NoteTable(document, cursor)
        self.unfinished = UnfinishedView(document, cursor, line)
        self.solo = SoloView(document, cursor, line)
        self.tabs: dict[str, QWidget] = {
            "bar": bar, "notes": self.notes, "unfinished": self.unfinished, "solo": self.solo}
        for index, (name, tab) in enumerate(self.tabs.items()):
            self.addTab(tab, words.TABS[name])
            self.setTabToolTip(index, words.TAB_TIPS[name])
        self.setDocumentMode(True)
        self.setAccessibleName(words.SIDE)
        self.tabBar().setAccessibleName(words.SIDE)
        self.notes.lost.connect(self.lost)
        self.unfinished.entered.connect(lambda: bar.enter("", 0))
        self.solo.taken.connect(bar.findings.take_draft)

    def show_tab(self, name: str) -> None:
        """Bring a tab to the front and put the keyboard into it."""
        self.setCurrentWidget(self.tabs[name])
        inside = {"notes": self.notes.table, "unfinished": self.unfinished.list, "solo": self.solo}.get(name)
        if inside is not None:
            inside.setFocus()
        else:
            self.tabBar().setFocus()
