"""A line to type bars into: opened over the status line, closed by Return once it is understood."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app import words_writing as words
from app.fields import Fault
from core.errors import BarglossError


class TypeLine(QWidget):
    """Hidden while there is nothing to type. closed: the keyboard is free again."""

    closed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.label, self.field, self.fault = QLabel(), QLineEdit(accessibleName=words.TYPE_LINE), Fault()
        self.label.setBuddy(self.field)
        row = QHBoxLayout()
        row.addWidget(self.label)
        row.addWidget(self.field, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 6, 14, 6)
        column.setSpacing(3)
        column.addLayout(row)
        column.addWidget(self.fault)
        self._take: Callable[[str], None] = lambda _: None
        self.field.returnPressed.connect(self._enter)
        self.field.textEdited.connect(lambda _: self.fault.tell(""))
        self.hide()

    def ask(self, label: str, hint: str, text: str, take: Callable[[str], None]) -> None:
        """Open for a text. take: is given it; it raises BarglossError where it makes nothing of it."""
        self._take = take
        self.label.setText(label)
        self.field.setPlaceholderText(hint)
        self.field.setText(text)
        self.field.selectAll()
        self.fault.tell("")
        self.show()
        self.field.setFocus()

    def _enter(self) -> None:
        try:
            self._take(self.field.text())
        except BarglossError as error:
            self.fault.tell("\n".join(error.lines()))
            return
        self.leave()

    def leave(self) -> None:
        self.hide()
        self.closed.emit()
