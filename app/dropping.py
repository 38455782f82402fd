"""Files dropped on the window: a study is opened, a score in an open format is brought in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QWidget

from app import words_around
from core.files import SUFFIX

BROUGHT = (".musicxml", ".xml", ".mxl", ".mid", ".midi", ".abc")


class Dropping(QObject):
    """Takes one file dropped on a window. Each of the three is given the file, or what to tell the person."""

    def __init__(self, window: QWidget, opening: Callable[[Path], None], bringing: Callable[[Path], None],
                 refusing: Callable[[str], None]) -> None:
        super().__init__(window)
        self._opening, self._bringing, self._refusing = opening, bringing, refusing
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        kinds = QEvent.Type.DragEnter, QEvent.Type.DragMove, QEvent.Type.Drop
        if event.type() not in kinds or not isinstance(event, QDropEvent):
            return super().eventFilter(watched, event)
        file = _file_of(event.mimeData())
        if file is None:
            return super().eventFilter(watched, event)
        event.acceptProposedAction()
        if event.type() == QEvent.Type.Drop:
            self._take(file)
        return True

    def _take(self, file: Path) -> None:
        ending = file.suffix.lower()
        if ending == SUFFIX:
            self._opening(file)
        elif ending in BROUGHT:
            self._bringing(file)
        else:
            self._refusing(words_around.DROPPED_OTHER.format(name=file.name))


def _file_of(data: QMimeData) -> Path | None:
    """The one file that is dragged; None for several or for something else."""
    files = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
    return files[0] if len(files) == 1 else None
