"""Music tokens complete as they are typed: after `{`, what the bar holds, then what the study holds."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QObject, QStringListModel, Qt
from PySide6.QtGui import QKeyEvent, QTextCursor
from PySide6.QtWidgets import QCompleter, QLineEdit, QPlainTextEdit

from app.fields import Line, Words
from app.spoken import degree_of
from core.handout import Layout
from core.study import NotePlace

_OPEN = re.compile(r"\{([^{}\n]*)$")
_DEGREES = ("1", "b9", "9", "#9", "b3", "3", "11", "#11", "b5", "5", "#5", "b13", "13", "bb7", "b7", "7")
_ROWS = 8


def tokens_of(layout: Layout, bar: int) -> list[str]:
    """What is likely to be named of a bar: its chords, degrees and notes; then the study's chords, and all degrees."""
    study = layout.study
    heads = [NotePlace(bar, event, note) for event, sounding in enumerate(study.bars[bar].events)
             for note in range(len(sounding.notes))]
    own: list[Iterable[str]] = [
        (span.symbol for span in layout.analysis.bars[bar].chords), (degree_of(layout, head) for head in heads),
        (study.note_at(head).pitch.pitch_class.name for head in heads),
        (change.symbol for one in study.bars for change in one.changes), _DEGREES]
    return list(dict.fromkeys(token for row in own for token in row if token and token != "%"))


class TokenCompleter(QObject):
    """Bound to one field. tokens: what to offer, asked for at each `{`."""

    def __init__(self, field: Line | Words, tokens: Callable[[], list[str]]) -> None:
        super().__init__(field)
        self._field, self._tokens = field, tokens
        self._model = QStringListModel(self)
        self.completer = QCompleter(self._model, self)
        self.completer.setCaseSensitivity(Qt.CaseSensitivity.CaseSensitive)  # b9 is no B9
        self.completer.setMaxVisibleItems(_ROWS)
        self.completer.setWidget(field)
        self.completer.activated[str].connect(self._put)
        field.popup = self.completer.popup()
        field.popup.installEventFilter(self)
        field.typing.typed.connect(lambda _: self._offer())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """While the list is open, Escape and what is typed are its own, not the window's shortcuts."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
            event.setAccepted(not held)
            return not held
        return super().eventFilter(watched, event)

    def _offer(self) -> None:
        popup = self.completer.popup()
        begun = _OPEN.search(self._before)
        if begun is None:
            popup.hide()
            return
        if not popup.isVisible():
            self._model.setStringList(self._tokens())
        self.completer.setCompletionPrefix(begun[1])
        count = self.completer.completionCount()
        if count == 0 or not self._field.hasFocus():
            popup.hide()
            return
        area = self._field.cursorRect()
        area.setWidth(popup.sizeHintForColumn(0) + popup.verticalScrollBar().sizeHint().width() + 16)
        self.completer.complete(area)
        popup.setCurrentIndex(self.completer.completionModel().index(0, 0))

    @property
    def _before(self) -> str:
        """The text up to the caret."""
        if isinstance(self._field, QPlainTextEdit):
            return self._field.toPlainText()[:self._field.textCursor().position()]
        return self._field.text()[:self._field.cursorPosition()]

    def _put(self, token: str) -> None:
        begun = _OPEN.search(self._before)
        if begun is None:
            return
        if isinstance(self._field, QPlainTextEdit):
            caret = self._field.textCursor()
            caret.movePosition(QTextCursor.MoveOperation.Left, QTextCursor.MoveMode.KeepAnchor, len(begun[1]))
            caret.insertText(f"{token}}}")
        else:
            _replace_before(self._field, len(begun[1]), f"{token}}}")


def _replace_before(field: QLineEdit, length: int, text: str) -> None:
    field.setSelection(field.cursorPosition() - length, length)
    field.insert(text)
