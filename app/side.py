"""The side of the window: the bar, its notes, what is unfinished, the whole solo and the study sheet, a tab each."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabWidget, QWidget

from app import words_about as words
from app import words_sheet
from app.bar_panel import BarPanel
from app.cursor import Cursor
from app.document import Document
from app.line_work import LineWork
from app.note_table import NoteTable
from app.solo_view import SoloView
from app.study_sheet import StudySheet
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
        self.sheet = StudySheet(document, cursor)
        self.tabs: dict[str, QWidget] = {
            "bar": bar, "notes": self.notes, "unfinished": self.unfinished, "solo": self.solo}
        for index, (name, tab) in enumerate(self.tabs.items()):
            self.addTab(tab, words.TABS[name])
            self.setTabToolTip(index, words.TAB_TIPS[name])
        self.setTabToolTip(self.addTab(self.sheet, words_sheet.TAB), words_sheet.TAB_TIP)
        self.setDocumentMode(True)
        self.setAccessibleName(words.SIDE)
        self.tabBar().setAccessibleName(words.SIDE)
        for part in (self.notes, self.sheet):
            part.lost.connect(self.lost)
        self.unfinished.entered.connect(lambda: bar.enter("", 0))
        self.solo.taken.connect(bar.findings.take_draft)

    def enter_sheet(self, kind: str = "title", index: int = 0) -> None:
        """Bring the study sheet to the front, with the caret where that ink of the page is written."""
        self.setCurrentWidget(self.sheet)
        self.sheet.enter(kind, index)

    def show_tab(self, name: str) -> None:
        """Bring a tab to the front and put the keyboard into it."""
        self.setCurrentWidget(self.tabs[name])
        inside = {"notes": self.notes.table, "unfinished": self.unfinished.list, "solo": self.solo}.get(name)
        if inside is not None:
            inside.setFocus()
        else:
            self.tabBar().setFocus()
