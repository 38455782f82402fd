"""Chord symbols or readings of one bar, a line each: beat and symbol."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from app import words
from app.beats import beat_text, read_beat
from app.document import Document
from app.fields import Fault, Line
from app.spoken import bar_name, bar_title
from core.errors import BarglossError
from core.harmony import parse_chord, parse_harmony
from core.study import Change, InForce, Reading, Study, edits

Mark = Change | Reading


@dataclass(frozen=True)
class MarkKind:
    """What chord symbols and readings do differently. check: raises BarglossError for a text that cannot be read."""

    symbol_name: str
    tip: str
    add: str
    edit_name: str
    add_name: str
    remove_name: str
    row: Callable[[InForce], Sequence[Mark]]
    check: Callable[[str], object]
    put: Callable[[Study, int, Fraction, str], Study]
    remove: Callable[[Study, int, Fraction], Study]


def _check_reading(text: str) -> object:
    """A blank reading, which ends the one before it, stays one; a new one must say something."""
    if not text.strip():
        raise BarglossError(words.EMPTY_READING)
    return parse_harmony(text)


CHORD_MARKS = MarkKind(
    words.CHORD, words.CHORD_TIP, words.ADD_CHORD, words.EDIT_CHORD, words.ADD_CHORD_EDIT, words.REMOVE_CHORD,
    lambda here: here.bar.changes, lambda text: text.strip() and parse_chord(text), edits.set_change,
    lambda study, bar, offset: edits.set_change(study, bar, offset, ""))
READING_MARKS = MarkKind(
    words.READING, words.READING_TIP, words.ADD_READING, words.EDIT_READING, words.ADD_READING_EDIT,
    words.REMOVE_READING, lambda here: here.bar.readings, _check_reading, edits.set_reading,
    lambda study, bar, offset: edits.set_reading(study, bar, offset, None))


def put_mark(kind: MarkKind, study: Study, bar: int, before: Fraction | None, mark: tuple[Fraction, str]) -> Study:
    """The study with a mark instead of the one at offset `before`. Raises BarglossError where another stands there."""
    here = study.in_force[bar]
    offset, text = mark
    if offset != before and any(other[0] == offset for other in kind.row(here)):
        raise BarglossError(words.TAKEN.format(beat=beat_text(offset, here)))
    if before is not None and before != offset:
        study = kind.remove(study, bar, before)
    return kind.put(study, bar, offset, text)


class _Row(QWidget):
    """One mark, or a new one that has no place in the study yet (before is None)."""

    settled = Signal()
    removed = Signal()

    def __init__(self, kind: MarkKind) -> None:
        super().__init__()
        self.before: Fraction | None = None
        self.beat = Line(f"{kind.symbol_name}: {words.BEAT}", tip=words.BEAT_TIP)
        self.beat.setFixedWidth(58)
        self.symbol = Line(kind.symbol_name, tip=kind.tip)
        self.fault = Fault()
        self.remove = QToolButton(text="×", toolTip=words.REMOVE)
        self.remove.setAutoRaise(True)
        self.remove.clicked.connect(self.removed)
        line = QHBoxLayout()
        line.setSpacing(6)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(QLabel(words.BEAT))
        line.addWidget(self.beat)
        line.addWidget(self.symbol, 1)
        line.addWidget(self.remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(line)
        column.addWidget(self.fault)
        for field in (self.beat, self.symbol):
            field.typing.typed.connect(lambda _: self.fault.tell(""))
            field.typing.settled.connect(lambda _: self.settled.emit())

    def show_mark(self, mark: Mark, here: InForce) -> None:
        beat = beat_text(mark[0], here)
        if mark[0] != self.before:
            self.fault.tell("")
        self.before = mark[0]
        self.beat.typing.show(beat)
        self.symbol.typing.show(mark[1])
        self.remove.setAccessibleName(words.REMOVE_MARK.format(beat=beat))


class MarksEditor(QWidget):
    """The marks of one kind in the bar shown. lost: what was typed and could not be kept, and why; grew: by a line.

    add: its button, for whoever places the editor.
    """

    lost = Signal(str)
    grew = Signal()

    def __init__(self, document: Document, kind: MarkKind) -> None:
        super().__init__()
        self._document, self._kind, self._bar = document, kind, 0
        self._none = ""
        self._rows: list[_Row] = []
        self._new = False
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.none = QLabel()
        self.none.setObjectName("quiet")
        self.add = QPushButton(kind.add)
        self.add.setFlat(True)
        self.add.clicked.connect(self._add)
        self._column.addWidget(self.none)

    def show_bar(self, bar: int, none: str) -> None:
        """Show this bar's marks. none: what to say where there are none."""
        if bar != self._bar:
            self._new = False
            for row in self._rows:
                row.fault.tell("")
                for field in (row.beat, row.symbol):
                    field.typing.forget()
        self._bar, self._none = bar, none
        here = self._document.study.in_force[bar]
        marks = list(self._kind.row(here))
        while len(self._rows) < len(marks) + self._new:
            self._rows.append(self._made(len(self._rows)))
        for index, row in enumerate(self._rows):
            row.setVisible(index < len(marks) + self._new)
            if index < len(marks):
                row.show_mark(marks[index], here)
        self.none.setText(none)
        self.none.setVisible(not marks and not self._new)

    def enter(self, index: int) -> None:
        """Put the caret into the symbol at this place of the bar's list, or into a new one."""
        if index < len(self._rows) and not self._rows[index].isHidden():
            self._rows[index].symbol.setFocus()
        else:
            self._add()

    def settle(self) -> None:
        """Keep what was typed; tell what cannot be kept."""
        for row in [one for one in self._rows if not one.isHidden()]:
            row.beat.typing.settle()
            row.symbol.typing.settle()
            if row.fault.text():
                where = bar_title(self._document.study, self._bar)
                self.lost.emit(words.NOT_KEPT.format(where=where, what=row.fault.text()))

    def _made(self, index: int) -> _Row:
        row = _Row(self._kind)
        row.settled.connect(lambda: self._keep(row))
        row.removed.connect(lambda: self._remove(row))
        self._column.insertWidget(index, row)
        self.grew.emit()
        return row

    def _name(self, name: str) -> str:
        return name.format(bar=bar_name(self._document.study, self._bar))

    def _keep(self, row: _Row) -> None:
        here, before = self._document.study.in_force[self._bar], row.before
        text = row.symbol.typing.text.strip()
        if before is None and not text:
            return
        pending, self._new = self._new, self._new and before is not None
        try:
            if before is None or text != dict(self._kind.row(here)).get(before):
                self._kind.check(text)
            offset = read_beat(row.beat.typing.text, here)
            name = self._kind.add_name if before is None else self._kind.edit_name
            self._document.edit(self._name(name),
                                lambda study: put_mark(self._kind, study, here.index, before, (offset, text)))
        except BarglossError as error:
            self._new = pending
            row.fault.tell(error.what)

    def _remove(self, row: _Row) -> None:
        for field in (row.beat, row.symbol):
            field.typing.forget()
        row.fault.tell("")
        if row.before is None:
            self._new = False
            self.show_bar(self._bar, self._none)
            return
        offset = row.before
        self._document.edit(self._name(self._kind.remove_name),
                            lambda study: self._kind.remove(study, self._bar, offset))

    def _add(self) -> None:
        """An empty line at the first beat where nothing begins yet."""
        here = self._document.study.in_force[self._bar]
        taken = {mark[0] for mark in self._kind.row(here)}
        free = [beat for beat in (Fraction(4 * at, here.meter.unit) for at in range(64))
                if beat < here.length and beat not in taken]
        self._new = True
        self.show_bar(self._bar, self._none)
        row = self._rows[len(taken)]
        row.before = None
        row.beat.typing.show(beat_text(free[0], here) if free else "")
        row.symbol.typing.show("")
        row.symbol.setFocus()
