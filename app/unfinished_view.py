"""The bars with something still missing, and the walk through them."""

from __future__ import annotations

from itertools import groupby

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app import words_about as words
from app.cursor import Cursor
from app.document import Document
from app.ink_reader import InkReader
from app.line_work import LineWork
from app.places import first_of_bar
from app.spoken import bar_title
from app.unfinished import Gap, gaps, next_with_gap

_BAR = Qt.ItemDataRole.UserRole


class UnfinishedView(QWidget):
    """A list, kept up only while it is seen. entered: the person goes to work on the bar selected."""

    entered = Signal()

    def __init__(self, document: Document, cursor: Cursor, line: LineWork) -> None:
        super().__init__()
        self._document, self._cursor, self._line = document, cursor, line
        self.ink = InkReader(document)
        self._shown: list[tuple[int, str]] = []
        self.count, self.reading = QLabel(), QLabel(words.READING_INK)
        self.count.setObjectName("heading")
        self.reading.setObjectName("quiet")
        self.list = QListWidget(wordWrap=True, accessibleName=words.UNFINISHED)
        self.boxes = {kind: QCheckBox(name, checked=True) for kind, name in words.KIND_NAMES.items()}
        grid = QGridLayout()
        for at, box in enumerate(self.boxes.values()):
            grid.addWidget(box, at // 2, at % 2)
            box.toggled.connect(lambda _: self.refresh())
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 12, 8)
        column.addWidget(self.count)
        column.addLayout(grid)
        column.addWidget(self.list, 1)
        column.addWidget(self.reading)
        self.list.currentItemChanged.connect(self._follow)
        self.list.itemClicked.connect(self._go_to)
        self.list.itemActivated.connect(lambda _: self.entered.emit())
        for signal in (line.ready, self.ink.read):
            signal.connect(self._refresh_if_seen)
        cursor.moved.connect(self._mark_current)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.ink.want(True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        super().hideEvent(event)
        self.ink.want(False)

    @property
    def gaps(self) -> list[Gap]:
        """What is missing, of the kinds ticked."""
        last = len(self._document.study.bars)
        found = gaps(self._document.layout, self._line.told, self.ink.flaws)
        return [gap for gap in found if self.boxes[gap.kind].isChecked() and gap.bar < last]

    def go(self, by: int) -> bool:
        """To the next (1) or previous (-1) bar that lacks something; whether there is one."""
        bar = next_with_gap(self.gaps, self._cursor.at.bar, by)
        if bar is not None:
            self._cursor.go(first_of_bar(self._document.study, bar))
        return bar is not None

    def _refresh_if_seen(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """List the bars anew, if they are others or lack something else."""
        study = self._document.study
        rows = []
        for bar, group in groupby(self.gaps, key=lambda gap: gap.bar):
            name = bar_title(study, bar)
            rows.append((bar, f"{name}: {'; '.join(dict.fromkeys(gap.what for gap in group))}"))
        self.reading.setVisible(not self.ink.is_done)
        self.count.setText(words.UNFINISHED_COUNT.get(len(rows), words.UNFINISHED_COUNT[2]).format(count=len(rows))
                           if rows else words.ALL_FINISHED)
        if rows == self._shown:
            return
        self._shown = rows
        self.list.blockSignals(True)
        top = self.list.verticalScrollBar().value()
        self.list.clear()
        for bar, text in rows:
            item = QListWidgetItem(text)
            item.setData(_BAR, bar)
            self.list.addItem(item)
        self.list.verticalScrollBar().setValue(top)
        self.list.blockSignals(False)
        self._mark_current()

    def _mark_current(self) -> None:
        """The selected bar's line, if it has one, is the current one."""
        if not self.isVisible():
            return
        bars = [bar for bar, _ in self._shown]
        row = bars.index(self._cursor.at.bar) if self._cursor.at.bar in bars else -1
        if row != self.list.currentRow():
            self.list.blockSignals(True)
            self.list.setCurrentRow(row)
            self.list.blockSignals(False)

    def _follow(self, item: QListWidgetItem | None) -> None:
        if item is not None and self.list.hasFocus():
            self._go_to(item)

    def _go_to(self, item: QListWidgetItem) -> None:
        bar = item.data(_BAR)
        if bar != self._cursor.at.bar and bar < len(self._document.study.bars):
            self._cursor.go(first_of_bar(self._document.study, bar))
