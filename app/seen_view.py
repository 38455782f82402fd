"""A view that is kept up only while it is seen, and a moment after the last change: what it shows takes a while."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

REST_MS = 200


class SeenView(QWidget):
    """A subclass says in `refresh` how it is kept up."""

    def __init__(self) -> None:
        super().__init__()
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self.refresh)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.refresh()

    def refresh_soon(self) -> None:
        """Once nothing has changed for a moment."""
        if self.isVisible():
            self._rest.start()

    def refresh(self) -> None:
        """Show what the study has."""
