"""The labels that stand over bars, a line each: what it says, and the bar it stands over."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from app import words_sheet as words
from app.document import Document
from app.fields import Fault, Line
from app.spoken import bar_name
from core.errors import BarglossError
from core.study import Study, edits


class LabelKind(NamedTuple):
    """What labels of choruses and rehearsal letters do differently. there: bar by index and text of each, in order;
    new: what one more at a bar would say; put: "" takes it away."""

    name: str
    add: str
    add_name: str
    edit_name: str
    new_name: str
    remove_name: str
    there: Callable[[Study], list[tuple[int, str]]]
    new: Callable[[Study, int], str]
    put: Callable[[Study, int, str], Study]


def _choruses(study: Study) -> list[tuple[int, str]]:
    return [(one.bar, one.label) for one in study.choruses]


def _letters(study: Study) -> list[tuple[int, str]]:
    return [(index, bar.rehearsal) for index, bar in enumerate(study.bars) if bar.rehearsal]


def _next_letter(study: Study, bar: int) -> str:
    return chr(ord("A") + sum(index < bar for index, _ in _letters(study)) % 26)


CHORUSES = LabelKind(
    words.CHORUS_LABEL, words.ADD_CHORUS, words.ADD_CHORUS_NAME, words.EDIT_CHORUS, words.NEW_CHORUS_EDIT,
    words.REMOVE_CHORUS, _choruses,
    lambda study, bar: words.NEW_CHORUS.format(number=sum(one.bar < bar for one in study.choruses) + 1),
    edits.set_chorus)
LETTERS = LabelKind(
    words.LETTER_LABEL, words.ADD_LETTER, words.ADD_LETTER_NAME, words.EDIT_LETTER, words.NEW_LETTER_EDIT,
    words.REMOVE_LETTER, _letters, _next_letter, edits.set_rehearsal)


class _Row(QWidget):
    """bar: that its label stands over, by index."""

    def __init__(self, kind: LabelKind) -> None:
        super().__init__()
        self.bar = -1
        self.label = Line(kind.name)
        self.number = Line(words.FROM_BAR_OF.format(name=kind.name))
        self.number.setFixedWidth(52)
        self.fault = Fault()
        self.remove = QToolButton(text="×")
        self.remove.setAutoRaise(True)
        line = QHBoxLayout()
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(6)
        for part in (self.label, QLabel(words.FROM_BAR), self.number, self.remove):
            line.addWidget(part, 1 if part is self.label else 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(line)
        column.addWidget(self.fault)

    def show_label(self, bar: int, label: str, number: int) -> None:
        if bar != self.bar:
            self.fault.tell("")
            self.forget()
        self.bar = bar
        self.label.typing.show(label)
        self.number.typing.show(str(number))
        name = words.REMOVE_LABEL.format(label=label)
        self.remove.setToolTip(name)
        self.remove.setAccessibleName(name)

    def forget(self) -> None:
        self.label.typing.forget()
        self.number.typing.forget()


class LabelRows(QWidget):
    """grew: by a line. add: its button, for whoever places the rows."""

    grew = Signal()

    def __init__(self, document: Document, kind: LabelKind) -> None:
        super().__init__()
        self._document, self._kind, self._bar = document, kind, 0
        self.rows: list[_Row] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.add = QPushButton()
        self.add.setFlat(True)
        self.add.clicked.connect(self._add)
        self._name_button()

    def _name_button(self) -> None:
        self.add.setText(self._name(self._kind.add, self._bar))
        self.add.setAccessibleName(self._name(self._kind.add_name, self._bar))

    def refresh(self, bar: int) -> None:
        """Show what the study has. bar: the selected one, which a new label would stand over."""
        self._bar = bar
        study = self._document.study
        there = self._kind.there(study)
        while len(self.rows) < len(there):
            self.rows.append(self._made())
        for index, row in enumerate(self.rows):
            row.setVisible(index < len(there))
            if index < len(there):
                at, label = there[index]
                row.show_label(at, label, study.in_force[at].number)
        self._name_button()

    def enter(self, bar: int) -> None:
        """Put the caret into the label over a bar, if there is one."""
        for row in self.shown:
            if row.bar == bar:
                row.label.setFocus()
                row.label.selectAll()

    @property
    def shown(self) -> list[_Row]:
        return [row for row in self.rows if not row.isHidden()]

    def settle(self) -> list[str]:
        """Keep what was typed; what cannot be kept, and why."""
        for row in self.shown:
            row.label.typing.settle()
            row.number.typing.settle()
        return [row.fault.text() for row in self.shown if row.fault.text()]

    def forget(self) -> None:
        for row in self.rows:
            row.fault.tell("")
            row.forget()

    def _made(self) -> _Row:
        row = _Row(self._kind)
        row.label.typing.typed.connect(lambda text: self._write(row, text))
        row.label.typing.settled.connect(lambda text: self._finish(row, text))
        row.number.typing.typed.connect(lambda _: row.fault.tell(""))
        row.number.typing.settled.connect(lambda text: self._move(row, text))
        row.remove.clicked.connect(lambda: self._remove(row))
        self._column.addWidget(row)
        self.grew.emit()
        return row

    def _name(self, name: str, bar: int) -> str:
        return name.format(bar=bar_name(self._document.study, bar))

    def _write(self, row: _Row, text: str) -> None:
        bar = row.bar
        if text.strip():
            self._document.edit(self._name(self._kind.edit_name, bar), lambda study: self._kind.put(study, bar, text),
                                typing=(self._kind.name, bar))

    def _finish(self, row: _Row, text: str) -> None:
        """An empty label is taken away; of any other, the blanks round it."""
        if text.strip():
            self._write(row, text.strip())
            self._document.rest()
        else:
            self._remove(row)

    def _move(self, row: _Row, text: str) -> None:
        try:
            study = self._document.study
            to = study.bar_index(read_number(text))
            if to != row.bar and any(bar == to for bar, _ in self._kind.there(study)):
                raise BarglossError(words.LABEL_TAKEN.format(bar=text.strip()))
            label = dict(self._kind.there(study))[row.bar]
            bar = row.bar
            self._document.edit(self._name(self._kind.edit_name, bar), lambda study: self._kind.put(
                self._kind.put(study, bar, ""), to, label))
        except BarglossError as error:
            row.fault.tell(error.what)

    def _remove(self, row: _Row) -> None:
        bar = row.bar
        row.forget()
        self._document.edit(self._name(self._kind.remove_name, bar), lambda study: self._kind.put(study, bar, ""))

    def _add(self) -> None:
        """One more over the selected bar; into the one that is there."""
        bar, study = self._bar, self._document.study
        if bar not in dict(self._kind.there(study)):
            self._document.edit(self._name(self._kind.new_name, bar), lambda study: self._kind.put(
                study, bar, self._kind.new(study, bar)))
        self.enter(bar)


def read_number(text: str) -> int:
    """A bar number. Raises BarglossError."""
    if not text.strip().isdecimal() or len(text.strip()) > 6:
        raise BarglossError(words.BAD_NUMBER.format(text=text.strip()))
    return int(text)
