"""The list of rows beside the window: tick what is shown, move what stands elsewhere; the page follows at once."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app import words, words_rows
from app.dialogs import word_buttons
from app.document import Document
from app.fields import Fault
from app.look_work import LookWork
from app.row_choice import Rows, can_move, moved, turned
from core.errors import BarglossError

_TICKED = {True: Qt.CheckState.Checked, False: Qt.CheckState.Unchecked}


class RowsView(QDialog):
    """Stays open, and follows the template."""

    def __init__(self, parent: QWidget, document: Document, work: LookWork) -> None:
        super().__init__(parent, windowTitle=words_rows.TITLE)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._work = work
        self._shown: tuple[str, Rows] | None = None
        self.how, self.told = QLabel(wordWrap=True, objectName="quiet"), Fault()
        self.list = QListWidget(accessibleName=words_rows.TITLE)
        self.up, self.down, self.back = (
            QPushButton(name, autoDefault=False) for name in (words_rows.UP, words_rows.DOWN, words_rows.BACK))
        self._arrange()
        self.list.itemChanged.connect(lambda item: self._turn(self.list.row(item)))
        self.list.currentRowChanged.connect(lambda _: self._enable())
        self.up.clicked.connect(lambda: self._move(-1))
        self.down.clicked.connect(lambda: self._move(1))
        self.back.clicked.connect(lambda: self._try(work.give_back))
        document.changed.connect(self._refresh)
        self._refresh()
        self.list.setCurrentRow(0)

    def _arrange(self) -> None:
        close = word_buttons({QDialogButtonBox.StandardButton.Close: words.CLOSE})
        close.rejected.connect(self.close)
        moving = QVBoxLayout()
        moving.addWidget(self.up)
        moving.addWidget(self.down)
        moving.addStretch(1)
        middle = QHBoxLayout()
        middle.addWidget(self.list, 1)
        middle.addLayout(moving)
        foot = QHBoxLayout()
        foot.addWidget(self.back)
        foot.addStretch(1)
        foot.addWidget(close)
        column = QVBoxLayout(self)
        column.addWidget(self.how)
        column.addLayout(middle, 1)
        column.addWidget(self.told)
        column.addLayout(foot)
        self.resize(420, 380)

    def _refresh(self) -> None:
        """Show the rows as they are, if they are others than shown."""
        now = self._work.template, self._work.rows
        if now != self._shown:
            self._shown = now
            self._fill(now[1])
            self.how.setText(words_rows.HOW.format(template=now[0].capitalize()))
            self.told.tell("")

    def _fill(self, rows: Rows) -> None:
        with QSignalBlocker(self.list):
            for at, row in enumerate(rows):
                item = self.list.item(at) or QListWidgetItem(self.list)
                item.setText(words_rows.NAMES[row.name])
                item.setCheckState(_TICKED[row.shown])
        self.list.viewport().update()
        self._enable()

    def _enable(self) -> None:
        at, rows = self.list.currentRow(), self._work.rows
        self.up.setEnabled(can_move(rows, at, -1))
        self.down.setEnabled(can_move(rows, at, 1))
        self.back.setEnabled(not self._work.is_own)

    def _turn(self, at: int) -> None:
        self._try(lambda: self._work.choose(turned(self._work.rows, at)))

    def _move(self, by: int) -> None:
        at = self.list.currentRow()
        if self._try(lambda: self._work.choose(moved(self._work.rows, at, by))):
            self.list.setCurrentRow(at + by)

    def _try(self, change: Callable[[], None]) -> bool:
        """Whether it could be done; what stands in its way is told."""
        try:
            change()
        except BarglossError as error:
            self._fill(self._work.rows)
            self.told.tell(words_rows.REFUSED.format(what=error.what))
            return False
        self.told.tell("")
        return True
