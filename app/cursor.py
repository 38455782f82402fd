"""The one selection that the page, the panel and the status line share."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.places import Selected, first_difference, first_of_bar, still_there


class Cursor(QObject):
    """What is selected. moved: it is something else now, or the study around it is.

    leaving: it is about to be; what was typed for it has to be kept now.
    """

    leaving = Signal()
    moved = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._document = document
        self._known = document.study
        self.at = first_of_bar(document.study, 0)
        document.opened.connect(self._restart)
        document.changed.connect(self._follow)

    def go(self, to: Selected | None) -> None:
        """Select something else; None leaves all as it is."""
        if to is None or to == self.at:
            return
        self.leaving.emit()
        self.at = still_there(self._document.study, to)
        self._document.rest()
        self.moved.emit()

    def _restart(self) -> None:
        self.at = first_of_bar(self._document.study, 0)
        self._known = self._document.study
        self.moved.emit()

    def _follow(self) -> None:
        """After an undo, to the bar that changed; and never where nothing is any more."""
        study, before = self._document.study, self._known
        self._known = study
        at, bar = still_there(study, self.at), first_difference(before, study)
        last = at.span[1].bar if at.span else at.bar
        if bar is not None and not at.bar <= bar <= last and not _differs(before.bars, study.bars, at.bar):
            at = first_of_bar(study, bar)
        if at != self.at:
            self.at = at
            self.moved.emit()


def _differs(before: tuple[object, ...], after: tuple[object, ...], bar: int) -> bool:
    return bar < min(len(before), len(after)) and before[bar] is not after[bar]
