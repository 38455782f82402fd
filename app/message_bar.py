"""One line to the person, inside the window, until it is closed or the next one comes; news goes by itself."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton

from app import words

NEWS_MS = 10_000
A_SIGN_MS = 90
"""So long the news stays: at the least, and for each sign that is read."""


class MessageBar(QFrame):
    """Hidden while there is nothing to say."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("message")
        self.label = QLabel(wordWrap=True)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.close_button = QToolButton(text="×", toolTip=words.CLOSE_MESSAGE, accessibleName=words.CLOSE_MESSAGE)
        self.close_button.setAutoRaise(True)
        self.close_button.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 8, 6)
        row.addWidget(self.label, 1)
        row.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignTop)
        self._fading = QTimer(self, singleShot=True, interval=NEWS_MS)
        self._fading.timeout.connect(self.hide)
        self._settles = False
        self.hide()

    def fault(self, what: str) -> None:
        """Say what went wrong and what to do."""
        self._say(what, "fault")
        self._fading.stop()

    def refusal(self, what: str) -> None:
        """Say why something was not done; it is settled by whatever is done next."""
        self.fault(what)
        self._settles = True

    def settle(self) -> None:
        """Something was done."""
        if self._settles:
            self.hide()

    def news(self, what: str) -> None:
        """Say what was done."""
        self._say(what, "news")
        self._fading.start(max(NEWS_MS, A_SIGN_MS * len(what)))

    def _say(self, what: str, kind: str) -> None:
        self._settles = False
        self.label.setText(what)
        for part in (self, self.label):
            part.setProperty("kind", kind)
            part.style().polish(part)
        self.show()
        self.setAccessibleName(what)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))
