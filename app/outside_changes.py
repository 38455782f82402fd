"""Notices when another program has changed the study's file since it was opened or saved here."""

from __future__ import annotations

from contextlib import suppress

from PySide6.QtCore import QObject

from app.document import Document
from core.errors import BarglossError
from core.files import Stamp, is_as_stamped, stamp_of


class OutsideChanges(QObject):
    """stamp: of the document's file as it is known here; None where it has none."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._document = document
        self.stamp: Stamp | None = None
        self._known: object = None
        document.changed.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        """After opening and after saving, the file is as we know it."""
        known = self._document.path, self._document.saved
        if known != self._known:
            self._known = known
            self.accept()

    def accept(self) -> None:
        """The file as it is now is the one known here."""
        self.stamp = None
        if self._document.path is not None:
            with suppress(BarglossError):  # a file that cannot be read now is told when it is saved
                self.stamp = stamp_of(self._document.path)

    def resume(self, stamp: Stamp | None) -> None:
        """The file as it was when the work now gone on with was begun."""
        self.stamp = stamp

    @property
    def found(self) -> bool:
        """Whether the file holds something else now. One taken away counts too."""
        path = self._document.path
        if path is None:
            return False
        try:
            return not is_as_stamped(path, self.stamp)
        except BarglossError:
            return False
