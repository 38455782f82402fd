"""What a first start says: three things to try, each done by a click."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton

from app import words_around


class Trial(NamedTuple):
    """name, tip: what the person reads; do: what trying it does."""

    name: str
    tip: str
    do: Callable[[], object]


class Welcome(QFrame):
    """A strip above the page. closed: the person has seen enough of it."""

    closed = Signal()

    def __init__(self, trials: Sequence[Trial]) -> None:
        super().__init__()
        self.setObjectName("welcome")
        self.setAccessibleName(words_around.WELCOME_NAME)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 5, 8, 5)
        row.setSpacing(12)
        self.about = QLabel(words_around.WELCOME)
        row.addWidget(self.about)
        self.buttons: list[QPushButton] = []
        for number, trial in enumerate(trials, 1):
            button = QPushButton(f"{number}  {trial.name}", toolTip=trial.tip, accessibleName=trial.name,
                                 accessibleDescription=trial.tip)
            button.clicked.connect(lambda _checked, do=trial.do: do())
            row.addWidget(button)
            self.buttons.append(button)
        row.addStretch(1)
        self.close_button = QToolButton(text="×", toolTip=words_around.CLOSE_WELCOME,
                                        accessibleName=words_around.CLOSE_WELCOME)
        self.close_button.setAutoRaise(True)
        self.close_button.clicked.connect(self._close)
        row.addWidget(self.close_button)
        self.hide()

    def greet(self, with_demo: bool) -> None:
        """Show it. with_demo: the study is one of the demo studies."""
        self.about.setText(words_around.WELCOME if with_demo else words_around.WELCOME_NAME + ":")
        self.show()

    def _close(self) -> None:
        self.hide()
        self.closed.emit()
