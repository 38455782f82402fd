"""The pages read for faults of ink, a page at a time while nobody types."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document
from core.handout import Layout
from core.handout.inspect import Flaw, flaws, proofread

IDLE_MS = 900
"""So long after the last edit reading begins."""


class InkReader(QObject):
    """Flaws of the document's pages, as far as they are read. read: all of them are."""

    read = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._document = document
        self._of: Layout | None = None
        self._found: tuple[Flaw, ...] = ()
        self._rest: Iterator[None] = iter(())
        self._wanted = False
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self._go_on)
        document.changed.connect(self._follow)

    @property
    def is_done(self) -> bool:
        return self._of is self._document.layout

    @property
    def flaws(self) -> tuple[Flaw, ...]:
        """Of the pages as they are; those of an older drawing until these are read."""
        return self._found

    def want(self, wanted: bool) -> None:
        """Whether the pages are to be read at all from now on."""
        self._wanted = wanted
        self._follow()

    def _follow(self) -> None:
        self._timer.stop()
        if self._wanted and not self.is_done:
            self._rest = self._pages(self._document.layout)
            self._timer.start(IDLE_MS)

    def _go_on(self) -> None:
        """One page; then the next, when all that waits has had its turn."""
        next(self._rest, None)
        if not self.is_done:
            self._timer.start(0)

    def _pages(self, layout: Layout) -> Iterator[None]:
        for page in layout.pages.pages:
            flaws(replace(layout.pages, pages=(page,)))  # kept by the page, so that the whole is read at once then
            yield
        self._found, self._of = proofread(layout), layout
        self.read.emit()
