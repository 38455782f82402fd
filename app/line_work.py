"""What the line of the document does, kept beside its layout: looked for after a moment's rest, or when asked for.

Looking takes a good part of a frame on a long study (tests/bench), so it does not stand between a key and its picture.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document
from core.line.drafts import Draft, drafts
from core.line.telling import Told, told
from core.study import Study

REST_MS = 300
"""So long after the last edit, or after the start with its first picture, it is looked for."""


class LineWork(QObject):
    """Findings and drafts of a document. ready: they are those of the study as it stands, and were not before."""

    ready = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._document = document
        self._of: Study | None = None
        self._told: Told | None = None
        self._drafts: tuple[Draft | None, ...] = ()
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._catch_up)
        document.changed.connect(self._follow)
        document.opened.connect(self._forget)
        self._rest.start()

    @property
    def is_ready(self) -> bool:
        """Whether nothing has to be looked for."""
        return self._of is self._document.study

    @property
    def told(self) -> Told:
        """Of the study as it stands."""
        self._catch_up()
        assert self._told is not None
        return self._told

    @property
    def drafts(self) -> tuple[Draft | None, ...]:
        """One a bar, of the study as it stands."""
        self._catch_up()
        return self._drafts

    def _follow(self) -> None:
        if not self.is_ready:
            self._rest.start(REST_MS)

    def _forget(self) -> None:
        self._of = self._told = None

    def _catch_up(self) -> None:
        self._rest.stop()
        if self.is_ready:
            return
        study = self._document.study
        self._told = told(study, self._document.layout.analysis, self._told)
        self._drafts = drafts(study, self._told.chosen)
        self._of = study
        self.ready.emit()
