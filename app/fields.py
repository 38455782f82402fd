"""Fields to type into: told apart are each keystroke and the moment a text has settled."""

from __future__ import annotations

from math import ceil

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QTextCursor, QWheelEvent
from PySide6.QtWidgets import QAbstractItemView, QComboBox, QDialog, QLabel, QLineEdit, QPlainTextEdit

PAUSE_MS = 1200
"""After so long without a key, what was typed has settled."""


class Typing(QObject):
    """Watches one field. typed: after each keystroke; settled: on leaving it, on Enter in a line, after a pause.

    Undo and redo keys are left to the window: its steps are the study's, not the field's.
    """

    typed = Signal(str)
    settled = Signal(str)

    def __init__(self, field: QLineEdit | QPlainTextEdit) -> None:
        super().__init__(field)
        self.field = field
        self._shown = ""
        self._showing = False
        self._pending = False
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self.settle)
        field.textChanged.connect(self._on_text)
        field.installEventFilter(self)
        if isinstance(field, QPlainTextEdit):
            field.setTabChangesFocus(True)

    @property
    def text(self) -> str:
        return self.field.toPlainText() if isinstance(self.field, QPlainTextEdit) else self.field.text()

    def show(self, text: str) -> None:
        """Show what the study says, unless it is what was shown or typed last: the caret stays where it is."""
        if text == self._shown:
            return
        self._shown = text
        if text == self.text:
            return
        self._drop_pause()
        self._showing = True
        if isinstance(self.field, QPlainTextEdit):
            at = self.field.textCursor().position()
            self.field.setPlainText(text)
            cursor = self.field.textCursor()
            cursor.setPosition(min(at, len(self.text)))
            self.field.setTextCursor(cursor)
        else:
            place = self.field.cursorPosition()
            self.field.setText(text)
            self.field.setCursorPosition(min(place, len(text)) if self.field.hasFocus() else 0)
        self._showing = False

    def forget(self) -> None:
        """Show the study's text at the next `show`, whatever was typed."""
        self._drop_pause()
        self._shown = "\0"

    def settle(self) -> None:
        """Tell what was typed, if anything was since the last time."""
        if self._pending:
            self._drop_pause()
            self.settled.emit(self.text)

    def _drop_pause(self) -> None:
        self._pending = False
        self._pause.stop()

    def _on_text(self) -> None:
        if not self._showing:
            self._pending = True
            self._pause.start()
            self.typed.emit(self.text)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.FocusOut:
            self.settle()
        elif isinstance(event, QKeyEvent):
            ours = event.matches(QKeySequence.StandardKey.Undo) or event.matches(QKeySequence.StandardKey.Redo)
            if event.type() == QEvent.Type.ShortcutOverride and ours:
                event.ignore()
                return True
            enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if event.type() == QEvent.Type.KeyPress and enter and isinstance(self.field, QLineEdit):
                self.settle()
        return super().eventFilter(watched, event)


class Line(QLineEdit):
    """One line. typing: its watcher; popup: what is offered to complete it, if anything ever is."""

    popup: QAbstractItemView | None = None

    def __init__(self, name: str, hint: str = "", tip: str = "") -> None:
        super().__init__()
        self.typing = Typing(self)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setToolTip(tip)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if not _is_for(self.popup, event):
            super().keyPressEvent(event)


class Words(QPlainTextEdit):
    """Some lines, as tall as its text within bounds. typing, popup: as of a Line."""

    popup: QAbstractItemView | None = None

    def __init__(self, name: str, hint: str = "", tip: str = "", lines: tuple[int, int] = (2, 7)) -> None:
        super().__init__()
        self.typing = Typing(self)
        self._lines = lines
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setToolTip(tip)
        self.document().documentLayout().documentSizeChanged.connect(self._fit)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if not _is_for(self.popup, event):
            super().keyPressEvent(event)

    def go_on(self) -> None:
        """Put the caret behind what is written."""
        self.setFocus()
        self.moveCursor(QTextCursor.MoveOperation.End)

    def _fit(self) -> None:
        least, most = self._lines
        rows = min(max(int(self.document().size().height()), least), most)
        first = self.document().firstBlock()
        line = self.blockBoundingRect(first).height() / max(1, first.layout().lineCount())
        margins = 2 * (self.document().documentMargin() + self.frameWidth())
        self.setFixedHeight(ceil(rows * max(line, self.fontMetrics().lineSpacing()) + margins) + 1)


def _is_for(popup: QAbstractItemView | None, event: QKeyEvent) -> bool:
    """Whether a key takes or leaves what is offered; it is then ignored, for a QCompleter asks its field first."""
    keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)
    if popup is None or not popup.isVisible() or event.key() not in keys:
        return False
    event.ignore()
    return True


class Choice(QComboBox):
    """A list to choose from. The wheel turns it only while it has the keyboard: else it scrolls what it stands in."""

    def __init__(self, name: str = "", tip: str = "") -> None:
        super().__init__(accessibleName=name, toolTip=tip)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        super().wheelEvent(event) if self.hasFocus() else event.ignore()


class Fault(QLabel):
    """One line on what is wrong with the field above it; hidden while nothing is."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("fault")
        self.setWordWrap(True)
        self.hide()

    def tell(self, what: str) -> None:
        self.setText(what)
        self.setVisible(bool(what))
        dialog = self.window()
        layout = dialog.layout()
        if what and isinstance(dialog, QDialog) and layout is not None and layout.hasHeightForWidth():
            layout.activate()
            needed = layout.totalHeightForWidth(dialog.width())  # a dialog does not grow by itself
            dialog.resize(dialog.width(), max(dialog.height(), needed))
