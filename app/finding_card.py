"""One thing said of the line, with what may be done about it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QEnterEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout

from app import words_about as words
from app.pointer import Span
from app.shown_words import plain_words, rich
from core.harmony import ChordStyle

ACTIONS = {"accept": words.ACCEPT, "reword": words.REWORD, "dismiss": words.DISMISS, "restore": words.RESTORE}
_TIPS = {"accept": words.ACCEPT_TIP, "reword": words.REWORD_TIP, "dismiss": words.DISMISS_TIP, "restore": ""}
_READING_TIPS = {"accept": words.ACCEPT_READING_TIP, "reword": words.REWORD_READING_TIP}


class FindingCard(QFrame):
    """A sentence and its buttons. done: with the name of the action; pointed: with its notes, or None when left.

    stepped: 1 or -1, for the card below or above.
    """

    done = Signal(str)
    pointed = Signal(object)
    stepped = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("finding")
        self._span: Span | None = None
        self.label, self.kind = QLabel(wordWrap=True), QLabel(wordWrap=True)
        self.label.setTextFormat(Qt.TextFormat.RichText)
        self.kind.setObjectName("quiet")
        self.buttons = {name: QPushButton(text) for name, text in ACTIONS.items()}
        line = QHBoxLayout()
        line.setSpacing(8)
        line.addWidget(self.kind, 1)
        for name, button in self.buttons.items():
            button.setFlat(True)
            button.clicked.connect(lambda _checked, name=name: self.done.emit(name))
            button.installEventFilter(self)
            line.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 6, 3)
        column.setSpacing(0)
        column.addWidget(self.label)
        column.addLayout(line)

    def tell(self, text: str, kind: str, span: Span, style: ChordStyle, actions: tuple[str, ...],
             is_reading: bool = False) -> None:
        """Show a sentence with music tokens, what kind it is of, and these actions."""
        self._span = span
        self.label.setText(rich(text, style))
        self.kind.setText(kind)
        spoken = plain_words(text)
        self.setAccessibleName(spoken)
        for name, button in self.buttons.items():
            button.setVisible(name in actions)
            button.setAccessibleName(words.BUTTON_OF.format(button=button.text(), sentence=spoken))
            button.setToolTip(_READING_TIPS.get(name, _TIPS[name]) if is_reading else _TIPS[name])

    @property
    def held(self) -> str:
        """The action whose button has the keyboard; "" for none."""
        return next((name for name, button in self.buttons.items() if button.hasFocus()), "")

    def take_keyboard(self, action: str = "") -> None:
        """On the button of an action, or the first there is."""
        there = [name for name, button in self.buttons.items() if not button.isHidden()]
        self.buttons[action if action in there else there[0]].setFocus(Qt.FocusReason.OtherFocusReason)

    def point(self) -> None:
        self.pointed.emit(self._span)

    def enterEvent(self, event: QEnterEvent) -> None:  # noqa: N802
        super().enterEvent(event)
        self.point()

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802
        super().leaveEvent(event)
        self.pointed.emit(self._span if self.held else None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            is_in = event.type() == QEvent.Type.FocusIn
            self.setProperty("held", is_in)
            self.style().polish(self)
            if is_in or not self.underMouse():
                self.pointed.emit(self._span if is_in else None)
        elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
            if step is not None:
                self.stepped.emit(step)
                return True
        return super().eventFilter(watched, event)
