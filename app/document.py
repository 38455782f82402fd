"""The study being worked on: its undo and redo, where it is saved, and its pages, kept up with every edit."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, Signal

from core.errors import BarglossError
from core.files import NewerVersion, load_study, load_what_is_known, save_study
from core.handout import Layout, Template, lay_out, load_template, with_rows
from core.study import Study

Edit = Callable[[Study], Study]


class Step(NamedTuple):
    """A study as it was, and the name of the edit that left it."""

    name: str
    study: Study


class Look(NamedTuple):
    """How a study is laid out. template: by name; rows: top to bottom, () as the template has them; strip: on screen
    its systems stand on one long page. Paper is what it is exported and printed on."""

    template: str = "lesson"
    paper: str = "a4"
    rows: tuple[str, ...] = ()
    strip: bool = False


_LESSON = Look()


class Document(QObject):
    """One study, its history as a list of studies, and its layout.

    changed: study, layout, path or cleanness may be others than before. opened: it is another study altogether.
    path: None until it has a place of its own. Every method that raises has then changed nothing.
    """

    changed = Signal()
    opened = Signal()

    def __init__(self, study: Study, path: Path | None = None, look: Look = _LESSON) -> None:
        super().__init__()
        self.look, self._template = look, _template_of(look)
        self._begin(study, path, self._laid_out(study), study)

    def _begin(self, study: Study, path: Path | None, layout: Layout, saved: Study | None) -> None:
        self.study, self.path, self.layout, self._saved = study, path, layout, saved
        self.read_only = ""
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self._typing: Hashable = None

    def open(self, path: Path) -> None:
        """Go on with the study of a file; a newer Bargloss's is for reading only. Raises BarglossError."""
        study, newer = _read(path)
        self._begin(study, path, self._laid_out(study), study)
        self.read_only = newer
        self.opened.emit()
        self.changed.emit()

    def start(self, study: Study, *, saved: bool = False) -> None:
        """Go on with a study that has no file yet. saved: nothing would be lost without saving it. Raises."""
        self._begin(study, None, self._laid_out(study), study if saved else None)
        self.opened.emit()
        self.changed.emit()

    def resume(self, study: Study, path: Path | None) -> None:
        """Go on with work on a file's study, or on one never saved, that was broken off. Raises BarglossError."""
        self._begin(study, path, self._laid_out(study), None)
        self.opened.emit()
        self.changed.emit()

    def take_over(self, name: str, study: Study) -> None:
        """Go on with what its file holds now, as an edit that can be undone. Raises BarglossError."""
        self.edit(name, lambda _: study)
        self._saved = self.study
        self.changed.emit()

    def forget_saved(self) -> None:
        """The file no longer holds what was saved."""
        self._saved = None
        self.changed.emit()

    def _laid_out(self, study: Study, before: Layout | None = None) -> Layout:
        return lay_out(study, self._template, self.look.paper, before, strip=self.look.strip)

    def edit(self, name: str, change: Edit, typing: Hashable = None) -> None:
        """Make an edit under a name that can be undone by it. Raises BarglossError.

        typing: edits in a row with the same mark are one step, until `rest` is called.
        """
        study = change(self.study)
        if study is self.study:
            return
        self._refuse_if_read_only()
        layout = self._laid_out(study, self.layout)
        if typing is None or typing != self._typing:
            self._undo.append(Step(name, self.study))
        self._typing = typing
        self._redo.clear()
        self.study, self.layout = study, layout
        self.changed.emit()

    def rest(self) -> None:
        """What is typed from now on is a step of its own."""
        self._typing = None

    @property
    def undo_name(self) -> str:
        """Of the edit that `undo` takes back; "" where there is none."""
        return self._undo[-1].name if self._undo else ""

    @property
    def redo_name(self) -> str:
        return self._redo[-1].name if self._redo else ""

    def undo(self) -> None:
        self._step(self._undo, self._redo)

    def redo(self) -> None:
        self._step(self._redo, self._undo)

    def _step(self, back: list[Step], onto: list[Step]) -> None:
        self.rest()
        if not back:
            return
        step = back[-1]
        layout = self._laid_out(step.study, self.layout)
        back.pop()
        onto.append(Step(step.name, self.study))
        self.study, self.layout = step.study, layout
        self.changed.emit()

    @property
    def steps(self) -> int:
        """How many edits `undo` can take back."""
        return len(self._undo)

    @property
    def saved(self) -> Study | None:
        """What its file holds, as far as is known here; None for nothing of ours."""
        return self._saved

    @property
    def is_clean(self) -> bool:
        """Whether what is on disk is what is here."""
        return self.study is self._saved

    def save(self, path: Path) -> None:
        """Write the study, whole or not at all, and call that its place. Raises BarglossError."""
        self._refuse_if_read_only()
        save_study(self.study, path, self._saved)
        self.path, self._saved = path, self.study
        self.rest()
        self.changed.emit()

    def _refuse_if_read_only(self) -> None:
        """read_only: why it is; "" for a study that may be changed."""
        if self.read_only:
            raise BarglossError(self.read_only)

    def show_as(self, look: Look) -> None:
        """Lay it out another way. Raises BarglossError."""
        if look == self.look:
            return
        same = look.template == self.look.template and look.rows == self.look.rows
        template = self._template if same else _template_of(look)
        layout = lay_out(self.study, template, look.paper, self.layout, strip=look.strip)
        self.look, self._template, self.layout = look, template, layout
        self.changed.emit()

    @property
    def on_paper(self) -> Layout:
        """Its pages, as they are exported and printed."""
        return lay_out(self.study, self._template, self.look.paper, self.layout) if self.look.strip else self.layout


def _template_of(look: Look) -> Template:
    template = load_template(look.template)
    return with_rows(template, look.rows) if look.rows else template


def open_document(path: Path, look: Look = _LESSON) -> Document:
    """A document of a file's study. Raises BarglossError."""
    study, newer = _read(path)
    document = Document(study, path, look)
    document.read_only = newer
    return document


def _read(path: Path) -> tuple[Study, str]:
    """The study, and why it may not be changed, if so."""
    try:
        return load_study(path), ""
    except NewerVersion as error:
        return load_what_is_known(path), error.what
