"""The File menu: studies in and out of the window's document, and what is made of one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app import dialogs, which_bars, words, words_around
from app.jobs import Told
from app.new_study import ask_new
from app.outputs import layout_of, rights_reminder, write_as, write_pdf
from app.places import span_of
from app.which_bars import bars_in_name
from app.work import Telling
from core.files import SUFFIX, load_study, title_in
from core.guitar import advice
from core.handout import Excerpt, Layout
from core.study import Study

if TYPE_CHECKING:
    from app.window import Window

ASSETS = Path(__file__).resolve().parents[1] / "assets"


class Filing(QObject):
    """Each public method is what an action of the menu does. settle: keeps what is being typed."""

    def __init__(self, window: Window, telling: Telling, settle: Callable[[], None]) -> None:
        super().__init__(window)
        self._window, self._document = window, window.document
        self._telling, self._settle = telling, settle

    def may_leave(self) -> bool:
        """Whether this study may be left: nothing is unsaved, or the person has decided."""
        self._settle()
        if self._document.is_clean:
            return True
        answer = dialogs.ask_about_changes(self._window, self._window.name)
        return self.save() if answer == "save" else answer == "discard"

    def new(self) -> None:
        study = ask_new(self._window)
        if study is not None and self.may_leave():
            with self._telling():
                self._document.start(study)
                self._window.message.hide()
            self._window.page.setFocus()

    def open(self) -> None:
        path = dialogs.ask_open(self._window, words.OPEN_TITLE, words.STUDIES)
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        if self.may_leave():
            with self._telling():
                self._window.message.hide()
                self._document.open(path)

    def open_demo(self, name: str) -> None:
        if self.may_leave():
            with self._telling():
                self._document.start(load_study(ASSETS / f"{name}{SUFFIX}"), saved=True)
                self._window.message.hide()

    def save(self) -> bool:
        """Save in its place, or ask for one; whether it is saved now."""
        return self.save_as() if self._document.path is None else self._save_at(self._document.path)

    def save_as(self) -> bool:
        path = dialogs.ask_save(self._window, words.SAVE_TITLE, self._beside(SUFFIX), {SUFFIX: words.STUDIES})
        return path is not None and self._save_at(path)

    def _save_at(self, path: Path) -> bool:
        self._settle()
        if not self._window.around.safety.may_save(path):
            return False
        with self._telling():
            self._document.save(path)
            self._window.message.news(words.SAVED.format(path=path))
            return True
        return False

    def _beside(self, ending: str, bars: str = "") -> Path:
        """A name to offer: the study's own with another ending, and which bars of it are meant."""
        path = self._document.path or Path.home() / file_stem(self._document.study)
        return path.with_name(f"{path.stem}{bars}{ending}")

    def bring(self) -> None:
        path = dialogs.ask_open(self._window, words.BRING_TITLE, words.BROUGHT)
        if path is not None:
            self.bring_path(path)

    def bring_path(self, path: Path) -> None:
        if self.may_leave():
            with self._telling():
                self._bring(path)

    def _bring(self, path: Path) -> None:
        from core.exchange import ChoiceNeeded, bring  # noqa: PLC0415  (the window does not open with it)
        try:
            brought = bring(path)
        except ChoiceNeeded as choice:
            part = dialogs.ask_part(self._window, choice.what.partition("; ")[0])
            if part is None:
                return
            brought = bring(path, part)
        self._document.start(brought.study)
        self._window.message.hide()
        notices = [*advice(brought.study), *brought.notices]
        if notices:
            dialogs.NoticeList(self._window, words.BROUGHT_TITLE, notices).show()

    def export_handout(self) -> None:
        part = self._asked_bars()
        if part is not None:
            to = dialogs.ask_save(self._window, words.HANDOUT_TITLE, self._beside(".pdf", bars_in_name(part)),
                                  {".pdf": words.PDF})
            lay_out = self._on_paper(part)
            self._write(to, lambda path, told: write_pdf(lay_out(), path, told), rights_reminder(part.whole))

    def export_as(self) -> None:
        part = self._asked_bars()
        if part is not None:
            to = dialogs.ask_save(self._window, words.EXPORT_TITLE, self._beside(".musicxml", bars_in_name(part)),
                                  words.EXPORTS)
            lay_out = self._on_paper(part)
            self._write(to, lambda path, told: write_as(part, lay_out, path, told))

    def _on_paper(self, part: Excerpt) -> Callable[[], Layout]:
        """Lays these bars out as the pages look now."""
        layout, paper = self._document.on_paper, self._document.look.paper
        return lambda: layout_of(part, layout, paper)

    def _asked_bars(self) -> Excerpt | None:
        self._settle()
        study = self._document.study
        first, last = span_of(study, self._window.selection.at)
        return which_bars.ask_bars(self._window, study, (first.bar, last.bar))

    def _write(self, to: Path | None, write: Callable[[Path, Told], list[Path]], reminder: str = "") -> None:
        """reminder: what is said once it is written."""
        if to is not None:
            self._window.around.jobs.start(words_around.WRITING.format(name=to.name), lambda told: words.WROTE.format(
                path=", ".join(map(str, write(to, told)))) + reminder)

    def print_handout(self) -> None:
        self._settle()
        self._window.around.print_pages(self._document.on_paper.pages, rights_reminder(self._document.study))


def file_stem(study: Study) -> str:
    """A file name made of the study's title."""
    kept = [sign if sign.isalnum() else " " for sign in study_title(study) or words.UNTITLED]
    return "-".join("".join(kept).lower().split())


def study_title(study: Study) -> str:
    return study.title or study.tune


def demo_titles() -> list[tuple[str, str]]:
    """File name and title of every demo study."""
    return [(path.stem, title_in(path)) for path in sorted(ASSETS.glob(f"*{SUFFIX}"))]
