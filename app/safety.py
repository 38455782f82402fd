"""That nothing is lost: autosave, work left behind by a crash, files that other programs change."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QEvent, QObject, QTimer, Signal
from PySide6.QtWidgets import QMessageBox, QWidget

from app import words, words_around
from app.autosave import Autosave, left_behind
from app.document import Document
from app.outside_changes import OutsideChanges
from core.errors import BarglossError
from core.files import Journal, drop_journal, load_study, read_journal

Answer = Literal["first", "second", "neither"]


class Safety(QObject):
    """Looks after the document of a window. fault, news: what to tell the person."""

    fault, news = Signal(str), Signal(str)

    def __init__(self, window: QWidget, document: Document, folder: Path) -> None:
        super().__init__(window)
        self._window, self._document, self._folder = window, document, folder
        self.outside = OutsideChanges(document)
        self.autosave = Autosave(document, self.outside, folder)
        self.autosave.failed.connect(lambda what: self.fault.emit(words_around.AUTOSAVE_FAILED.format(what=what)))
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.WindowActivate:
            QTimer.singleShot(0, self, self.look_outside)  # a dialog has no place inside an event
        return super().eventFilter(watched, event)

    def look_outside(self) -> None:
        """Ask what to do where another program has changed the file; tell where the file is gone."""
        document = self._document
        path = document.path
        if path is None or not self.outside.found:
            return
        if not path.exists():
            self.outside.accept()
            document.forget_saved()
            self.fault.emit(words_around.FILE_GONE.format(name=path.name))
            return
        if ask_about_file(self._window, path.name) == "first":
            self._take_theirs(path)
        else:
            self.outside.accept()
            document.forget_saved()

    def may_save(self, path: Path) -> bool:
        """Whether to write there now; asks before another program's work is replaced."""
        if path != self._document.path or not path.exists() or not self.outside.found:
            return True
        answer = ask_about_file(self._window, path.name, words_around.STAY)
        if answer == "first":
            self._take_theirs(path)
        return answer == "second"

    def _take_theirs(self, path: Path) -> None:
        try:
            self._document.take_over(words_around.TAKEN_OVER, load_study(path))
        except BarglossError as error:
            self.fault.emit("\n".join(error.lines()))
        self.outside.accept()

    def offer_left_behind(self) -> None:
        """Offer what a crash left unsaved, the latest first, until the person goes on with one."""
        for file in reversed(left_behind(self._folder)):
            with suppress(BarglossError):  # not ours to judge: another version's, perhaps
                journal = read_journal(file)
                if _is_saved(journal):
                    drop_journal(file)
                elif self._decide(file, journal):
                    return

    def _decide(self, file: Path, journal: Journal) -> bool:
        """Whether the work is gone on with."""
        name = journal.path.name if journal.path else journal.study.title or words.UNTITLED
        answer = ask_about_left(self._window, name, datetime.fromtimestamp(file.stat().st_mtime))
        if answer == "first":
            self._document.resume(journal.study, journal.path)
            self.outside.resume(journal.stamp)
            if not self.autosave.again():
                return True  # what is there stays there
            self.news.emit(words_around.RESUMED)
        if answer != "neither":
            drop_journal(file)
        return answer == "first"

    def close(self) -> None:
        """The study is left, with all decided."""
        self.autosave.close()


def _is_saved(journal: Journal) -> bool:
    """Whether its file holds the same work: it ended between saving and putting the journal away."""
    try:
        return journal.path is not None and load_study(journal.path) == journal.study
    except BarglossError:
        return False


def ask_about_left(parent: QWidget, name: str, time: datetime) -> Answer:
    """Go on (first), throw away (second), or neither."""
    return _ask(parent, words_around.LEFT_BEHIND.format(name=name),
                words_around.LEFT_BEHIND_MORE.format(time=f"{time:%Y-%m-%d %H:%M}"),
                (words_around.RESUME, words_around.DROP_IT, words_around.LATER))


def ask_about_file(parent: QWidget, name: str, neither: str = "") -> Answer:
    """Take the file's version (first), keep the window's (second), or neither where that may be chosen."""
    choices = (words_around.TAKE_THEIRS, words_around.KEEP_MINE, *([neither] if neither else []))
    return _ask(parent, words_around.OTHER_CHANGED.format(name=name), words_around.OTHER_CHANGED_MORE, choices)


def _ask(parent: QWidget, what: str, more: str, choices: tuple[str, ...]) -> Answer:
    """Which of two or three; Escape is the last of them."""
    box = QMessageBox(QMessageBox.Icon.Question, words.APP, what, parent=parent)
    box.setInformativeText(more)
    buttons = [box.addButton(choice, role) for choice, role in zip(choices, (
        QMessageBox.ButtonRole.AcceptRole, QMessageBox.ButtonRole.DestructiveRole, QMessageBox.ButtonRole.RejectRole),
        strict=False)]
    box.setDefaultButton(buttons[0])
    box.setEscapeButton(buttons[-1])
    box.exec()
    answers: tuple[Answer, ...] = ("first", "second", "neither")
    return next((answer for answer, button in zip(answers, buttons, strict=False) if box.clickedButton() is button),
                answers[len(buttons) - 1])
