"""Loudness at a note, and signs and jumps of a bar: each a choice among what can be printed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from app import words_about as words
from app.cursor import Cursor
from app.document import Document
from app.fields import Choice
from app.spoken import bar_name
from core.errors import BarglossError
from core.study import DYNAMICS, JUMPS, Study, edits

_Change = Callable[[Study, str], Study]


def choice(name: str, choices: dict[str, str], tip: str = "") -> QComboBox:
    """A box of values, each under the name it is shown by."""
    box = Choice(name, tip)
    for value, shown in choices.items():
        box.addItem(shown, value)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(5)
    return box


class _Choices(QWidget):
    """Two boxes on a line, with their names. lost: why one could not be set."""

    lost = Signal(str)

    def __init__(self, document: Document, cursor: Cursor, boxes: dict[str, QComboBox]) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        for name, box in boxes.items():
            label = QLabel(name)
            label.setBuddy(box)
            line.addWidget(label)
            line.addWidget(box, 1)
        cursor.moved.connect(self.refresh)
        document.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what the study has."""

    def _set(self, name: str, box: QComboBox, change: _Change) -> None:
        value = str(box.currentData())
        bar = bar_name(self._document.study, self._cursor.at.bar)
        try:
            self._document.edit(name.format(bar=bar), lambda study: change(study, value))
        except BarglossError as error:
            self.lost.emit("\n".join(error.lines()))
            self.refresh()


class LoudnessFields(_Choices):
    """Dynamic and hairpin at the selected note."""

    def __init__(self, document: Document, cursor: Cursor) -> None:
        self.dynamic = choice(words.DYNAMIC, {one: one or words.NONE for one in DYNAMICS})
        self.hairpin = choice(words.HAIRPIN, words.HAIRPINS)
        super().__init__(document, cursor, {words.DYNAMIC: self.dynamic, words.HAIRPIN: self.hairpin})
        self.dynamic.activated.connect(lambda _: self._set_at_note(words.EDIT_DYNAMIC, self.dynamic, edits.set_dynamic))
        self.hairpin.activated.connect(lambda _: self._set_at_note(words.EDIT_HAIRPIN, self.hairpin, edits.set_hairpin))

    def refresh(self) -> None:
        place = self._cursor.at.moving
        event = self._document.study.event_at(place) if place else None
        self.setEnabled(event is not None)
        self.dynamic.setCurrentIndex(self.dynamic.findData(event.dynamic if event else ""))
        self.hairpin.setCurrentIndex(self.hairpin.findData(event.hairpin if event else ""))

    def _set_at_note(self, name: str, box: QComboBox, change: Callable[..., Study]) -> None:
        place = self._cursor.at.moving
        if place is not None:
            self._set(name, box, lambda study, value: change(study, place, value))


class SignFields(_Choices):
    """Sign and jump of the selected bar."""

    def __init__(self, document: Document, cursor: Cursor) -> None:
        self.sign = choice(words.SIGN, words.SIGNS, words.SIGN_TIP)
        self.jump = choice(words.JUMP, {one: one or words.NONE for one in JUMPS}, words.JUMP_TIP)
        super().__init__(document, cursor, {words.SIGN: self.sign, words.JUMP: self.jump})
        self.sign.activated.connect(lambda _: self._set_at_bar(words.EDIT_SIGN, self.sign, edits.set_sign))
        self.jump.activated.connect(lambda _: self._set_at_bar(words.EDIT_JUMP, self.jump, edits.set_jump))

    def refresh(self) -> None:
        bar = self._document.study.bars[self._cursor.at.bar]
        self.sign.setCurrentIndex(self.sign.findData(bar.sign))
        self.jump.setCurrentIndex(self.jump.findData(bar.jump))

    def _set_at_bar(self, name: str, box: QComboBox, change: Callable[..., Study]) -> None:
        bar = self._cursor.at.bar
        self._set(name, box, lambda study, value: change(study, bar, value))
