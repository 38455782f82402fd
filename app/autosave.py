"""Autosave: a journal of the study, written after each edit, beside the keystrokes and never in their way.

An edit is handed to a worker as soon as its picture is painted. The next edit's step waits for that writing,
which a person at the keys never meets; so a crash costs one edit at most. Letters typed into one field are
one step, and go in as they come. The text of a bar is kept with it (`core.files.bar_writer`), so a step puts one
bar into words however long the study is; the rest is done ahead, once a study has been open for a moment.
"""

from __future__ import annotations

import secrets
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app import words_around
from app.document import Document
from app.outside_changes import OutsideChanges
from core.errors import BarglossError
from core.files import Journal, drop_journal, journals_in, study_xml, write_journal
from core.files.journal import SUFFIX

_A_MOMENT = 700  # milliseconds: the window is painted by then


class Autosave(QObject):
    """Keeps a document's journal while it has anything unsaved. failed: what hinders it, once for each hindrance."""

    failed = Signal(str)

    def __init__(self, document: Document, outside: OutsideChanges, folder: Path) -> None:
        super().__init__(document)
        self._document, self._outside = document, outside
        self.file = folder / f"{secrets.token_hex(8)}{SUFFIX}"
        self._lock: QLockFile | None = None
        self._worker = ThreadPoolExecutor(1, "autosave")
        self._writing: Future[None] | None = None
        self._wanted: Journal | None = None
        """What is still to be handed over."""
        self._kept = document.study
        self._steps = document.steps
        self._hindrance = ""
        self._soon = QTimer(self, singleShot=True, interval=0)  # after the picture of the edit
        self._soon.timeout.connect(self._hand_over)
        self._ahead = QTimer(self, singleShot=True, interval=_A_MOMENT)
        self._ahead.timeout.connect(lambda: self._worker.submit(study_xml, document.study))
        self._ahead.start()
        document.opened.connect(self._ahead.start)
        document.changed.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        document = self._document
        if document.steps != self._steps or document.is_clean:
            self._steps = document.steps
            self.flush()
        if document.is_clean:
            self._drop()
        elif document.study is not self._kept or self._lock is None:
            self._kept = document.study
            self._wanted = Journal(document.study, document.path, self._outside.stamp)
            self._soon.start()

    def _hand_over(self) -> None:
        if self._wanted is None:
            return
        if self._writing is not None and not self._writing.done():
            self._soon.start(5)  # what is typed meanwhile goes in one with it
            return
        wanted, self._wanted = self._wanted, None
        if self._claim():
            self._writing = self._worker.submit(self._write, wanted)

    def _claim(self) -> bool:
        """Hold the lock that tells other windows whose journal this is."""
        if self._lock is None:
            with suppress(OSError):  # where it cannot be made, the lock cannot either
                self.file.parent.mkdir(parents=True, exist_ok=True)
            lock = lock_of(self.file)
            if lock.tryLock(0):
                self._lock = lock
            else:
                self._hinder(words_around.NO_FOLDER.format(folder=self.file.parent))
        return self._lock is not None

    def _write(self, journal: Journal) -> None:
        """In the worker."""
        try:
            write_journal(self.file, journal)
            self._hindrance = ""
        except BarglossError as error:
            self._hinder(str(error))

    def _hinder(self, what: str) -> None:
        if what != self._hindrance:
            self._hindrance = what
            self.failed.emit(what)

    def flush(self) -> None:
        """Return when all there was to write is written."""
        self._finish()
        if self._wanted is not None:
            self._hand_over()
            self._finish()

    def again(self) -> bool:
        """Write it now, whatever was written before; whether it could be."""
        self._wanted = Journal(self._document.study, self._document.path, self._outside.stamp)
        self.flush()
        return self.file.exists() and not self._hindrance

    def _finish(self) -> None:
        if self._writing is not None:
            self._writing.result()
            self._writing = None

    def _drop(self) -> None:
        self._wanted = None
        self._kept = self._document.study
        if self._lock is not None:
            with suppress(BarglossError):
                drop_journal(self.file)
            self._lock.unlock()
            self._lock = None

    def close(self) -> None:
        """The person has left this study, and decided about what was not saved."""
        self._ahead.stop()
        self._soon.stop()
        self._finish()
        self._drop()
        self._worker.shutdown()


def lock_of(file: Path) -> QLockFile:
    """The lock that the window keeping this journal holds; it is free again when that window is gone, however."""
    lock = QLockFile(str(file.with_suffix(".lock")))
    lock.setStaleLockTime(0)  # a window may stay open for days
    return lock


def left_behind(folder: Path) -> list[Path]:
    """The journals that no open window keeps, the oldest first."""
    found = []
    for file in journals_in(folder):
        lock = lock_of(file)
        if lock.tryLock(0):
            lock.unlock()
            found.append(file)
    return found
