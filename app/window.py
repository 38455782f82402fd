"""The window: the handout on the left, the words about its bars on the right, and what joins them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QFrame, QLabel, QMainWindow, QPushButton, QSplitter, QVBoxLayout, QWidget

from app import actions, dialogs, words, words_around
from app.annotating import Annotating
from app.around import Around, recent_studies
from app.bar_panel import BarPanel
from app.cursor import Cursor
from app.document import Document, open_document
from app.fingering_panel import FingeringPanel
from app.jobs import Told
from app.last_resort import catch_all
from app.line_work import LineWork
from app.message_bar import MessageBar
from app.new_study import ask_new
from app.note_panel import NotePanel
from app.notices import notices_of, on_the_page
from app.outputs import write_as, write_pdf
from app.page_view import PageView
from app.pen import Pen
from app.places import first_of_bar
from app.setup import FIRST_DEMO
from app.side import Side
from app.status import status_words
from app.style import style_sheet
from app.writing import Writing
from core.errors import BarglossError
from core.exchange import ChoiceNeeded, bring
from core.files import SUFFIX, load_study
from core.guitar import advice
from core.study import Study

ASSETS = Path(__file__).resolve().parents[1] / "assets"



class Window(QMainWindow):
    """Shows one document. Each public method is what an action of the menus does."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        document.setParent(self)
        self.selection = Cursor(document)
        self.message = MessageBar()
        self.pen = Pen(document, self.selection)
        self.page = PageView(document, self.selection, self.pen)
        self.line = LineWork(document)
        self.bar_panel = BarPanel(document, self.selection, self.line)
        self.side = Side(document, self.selection, self.line, self.bar_panel)
        self.note_panel = NotePanel(document, self.selection)
        self.status, self.zoom_label = QLabel(), QLabel()
        self.notices_button = QPushButton()
        self._arrange()
        self._actions = actions.build(self, self, demo_titles())
        self.writing = Writing(self, self._telling)
        self.annotating = Annotating(self, self)
        self.fingering = FingeringPanel(self, document, self.selection, self.message)
        self.bar_panel.lost.connect(self.message.fault)
        self.page.zoomed.connect(self._show_zoom)
        self.page.entered.connect(self.bar_panel.enter)
        self.notices_button.clicked.connect(self.show_notices)
        document.changed.connect(self._refresh)
        document.opened.connect(set_garbage_aside)
        self.selection.moved.connect(self._refresh)
        self._refresh()
        self._show_zoom(self.page.zoom)
        self.around = Around(self)
        self.page.setFocus()

    def _arrange(self) -> None:
        self.setStyleSheet(style_sheet(self.palette()))
        side = QSplitter(Qt.Orientation.Vertical, objectName="side")
        side.addWidget(self.side)
        note = QFrame(objectName="notepanel")
        inside = QVBoxLayout(note)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self.note_panel)
        side.addWidget(note)
        side.setStretchFactor(0, 1)
        side.setChildrenCollapsible(False)
        side.setMinimumWidth(330)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(self.page)
        split.addWidget(side)
        split.setStretchFactor(0, 1)
        split.setCollapsible(0, False)
        split.setSizes([900, 372])
        centre = QWidget()
        rows = QVBoxLayout(centre)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addWidget(split, 1)
        rows.addWidget(self.message)  # below, so that nothing on the page moves when it comes
        self.setCentralWidget(centre)
        self.notices_button.setFlat(True)
        self.statusBar().setSizeGripEnabled(False)
        self.statusBar().addWidget(self.status, 1)
        self.statusBar().addPermanentWidget(self.notices_button)
        self.statusBar().addPermanentWidget(self.zoom_label)
        self.setMinimumSize(760, 520)
        self.resize(1280, 800)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        if event.type() == QEvent.Type.PaletteChange:
            sheet = style_sheet(self.palette())
            if sheet != self.styleSheet():
                self.setStyleSheet(sheet)
        super().changeEvent(event)

    def _refresh(self) -> None:
        document = self.document
        self.setWindowTitle(f"{self.name}[*] – {words.APP}")
        self.setWindowModified(not document.is_clean)
        for action, name, plain, named in (
            (self._actions.undo, document.undo_name, words.UNDO, words.UNDO_NAMED),
            (self._actions.redo, document.redo_name, words.REDO, words.REDO_NAMED),
        ):
            icon_text = action.iconText()
            action.setText(named.format(name=name) if name else plain)
            action.setIconText(icon_text)
            action.setEnabled(bool(name))
        self.status.setText(status_words(document.layout, self.selection.at))
        count = len(notices_of(document.layout))
        self.notices_button.setText(words.NOTICES.get(count, words.NOTICES[2]).format(count=count))
        self.notices_button.setEnabled(bool(count))

    def _show_zoom(self, zoom: float) -> None:
        self.zoom_label.setText(f"{round(zoom * 100)} %")

    @property
    def name(self) -> str:
        """Of the study, for the person."""
        path = self.document.path
        title = study_title(self.document.study) or words.UNTITLED
        return path.name if path else f"{title} ({words.UNSAVED})"

    @contextmanager
    def _telling(self) -> Iterator[None]:
        """Whatever the person can put right inside is told in the message bar."""
        QApplication.setOverrideCursor(Qt.CursorShape.BusyCursor)
        try:
            yield
        except BarglossError as error:
            self.message.fault("\n".join(error.lines()))
        finally:
            QApplication.restoreOverrideCursor()

    def _settle(self) -> None:
        """Keep what is being typed."""
        self.bar_panel.settle()
        self.note_panel.settle()
        self.side.notes.settle()

    # File

    def _may_leave(self) -> bool:
        """Whether this study may be left: nothing is unsaved, or the person has decided."""
        self._settle()
        if self.document.is_clean:
            return True
        answer = dialogs.ask_about_changes(self, self.name)
        return self.save() if answer == "save" else answer == "discard"

    def new(self) -> None:
        study = ask_new(self)
        if study is not None and self._may_leave():
            with self._telling():
                self.document.start(study)
                self.message.hide()
            self.page.setFocus()

    def open(self) -> None:
        path = dialogs.ask_open(self, words.OPEN_TITLE, words.STUDIES)
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        if self._may_leave():
            with self._telling():
                self.message.hide()
                self.document.open(path)

    def open_demo(self, name: str) -> None:
        if self._may_leave():
            with self._telling():
                self.document.start(load_study(ASSETS / f"{name}{SUFFIX}"), saved=True)
                self.message.hide()

    def save(self) -> bool:
        """Save in its place, or ask for one; whether it is saved now."""
        return self.save_as() if self.document.path is None else self._save_at(self.document.path)

    def save_as(self) -> bool:
        path = dialogs.ask_save(self, words.SAVE_TITLE, self._beside(SUFFIX), {SUFFIX: words.STUDIES})
        return path is not None and self._save_at(path)

    def _save_at(self, path: Path) -> bool:
        self._settle()
        if not self.around.safety.may_save(path):
            return False
        with self._telling():
            self.document.save(path)
            self.message.news(words.SAVED.format(path=path))
            return True
        return False

    def _beside(self, ending: str) -> Path:
        """A name to offer: the study's own with another ending."""
        path = self.document.path
        return path.with_suffix(ending) if path else Path.home() / f"{file_stem(self.document.study)}{ending}"

    def bring(self) -> None:
        path = dialogs.ask_open(self, words.BRING_TITLE, words.BROUGHT)
        if path is not None:
            self.bring_path(path)

    def bring_path(self, path: Path) -> None:
        if self._may_leave():
            with self._telling():
                self._bring(path)

    def _bring(self, path: Path) -> None:
        try:
            brought = bring(path)
        except ChoiceNeeded as choice:
            part = dialogs.ask_part(self, choice.what.partition("; ")[0])
            if part is None:
                return
            brought = bring(path, part)
        self.document.start(brought.study)
        self.message.hide()
        notices = [*advice(brought.study), *brought.notices]
        if notices:
            dialogs.NoticeList(self, words.BROUGHT_TITLE, notices).show()

    def export_handout(self) -> None:
        self._settle()
        to = dialogs.ask_save(self, words.HANDOUT_TITLE, self._beside(".pdf"), {".pdf": words.PDF})
        layout = self.document.layout
        self._write(to, lambda path, told: write_pdf(layout, path, told))

    def export_as(self) -> None:
        self._settle()
        to = dialogs.ask_save(self, words.EXPORT_TITLE, self._beside(".musicxml"), words.EXPORTS)
        study = self.document.study
        self._write(to, lambda path, told: write_as(study, path, told))

    def _write(self, to: Path | None, write: Callable[[Path, Told], list[Path]]) -> None:
        if to is None:
            return
        self.around.jobs.start(words_around.WRITING.format(name=to.name), lambda told: words.WROTE.format(
            path=", ".join(map(str, write(to, told)))))

    def print_handout(self) -> None:
        self._settle()
        self.around.print_pages(self.document.layout.pages)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        event.setAccepted(self._may_leave())
        if event.isAccepted():
            self.around.close()

    # Edit

    def undo(self) -> None:
        self._settle()
        with self._telling():
            self.document.undo()

    def redo(self) -> None:
        self._settle()
        with self._telling():
            self.document.redo()

    def write_about(self) -> None:
        self.bar_panel.enter("", 0)

    def back_to_page(self) -> None:
        self.writing.leave()

    # View

    def zoom_in(self) -> None:
        self.page.zoom_by(1)

    def zoom_out(self) -> None:
        self.page.zoom_by(-1)

    def own_size(self) -> None:
        self.page.set_zoom(1)

    def fit_width(self) -> None:
        self.page.fit_width()

    def choose_template(self, name: str) -> None:
        with self._telling():
            self.document.look(name, self.document.paper)

    def choose_paper(self, name: str) -> None:
        with self._telling():
            self.document.look(self.document.template, name)

    def show_notices(self) -> None:
        study, layout = self.document.study, self.document.layout
        notices = [*notices_of(layout), *on_the_page(layout)]
        told = [f"{words.BAR.format(number=study.in_force[notice.bar].number)}: {notice.what}" for notice in notices]
        shown = dialogs.NoticeList(self, words.NOTICES_TITLE, told)
        shown.chosen.connect(lambda index: self._go_to_bar(notices[index].bar))
        shown.show()

    # Go

    def next_bar(self) -> None:
        self._go_to_bar(self.selection.at.bar + 1)

    def previous_bar(self) -> None:
        self._go_to_bar(self.selection.at.bar - 1)

    def _go_to_bar(self, bar: int) -> None:
        if 0 <= bar < len(self.document.study.bars):
            self.selection.go(first_of_bar(self.document.study, bar))


def set_garbage_aside() -> None:
    """Let the collector pass over what is there now: it is here to stay, and holds next to no cycles.

    Measured on the 72-bar study: at its worst a key waited 310 ms for a full collection, and then 90.
    """
    gc.collect()
    gc.freeze()


def file_stem(study: Study) -> str:
    """A file name made of the study's title."""
    kept = [sign if sign.isalnum() else " " for sign in study_title(study) or words.UNTITLED]
    return "-".join("".join(kept).lower().split())


def study_title(study: Study) -> str:
    return study.title or study.tune


def demo_titles() -> list[tuple[str, str]]:
    """File name and title of every demo study."""
    return [(path.stem, study_title(load_study(path))) for path in sorted(ASSETS.glob(f"*{SUFFIX}"))]


def first_document(path: Path | None) -> Document:
    """The study asked for; else the one worked on last, if it can still be read; else a demo. Raises BarglossError."""
    if path is not None:
        return open_document(path)
    for last in recent_studies()[:1]:
        with suppress(BarglossError):
            return open_document(last)
    return Document(load_study(ASSETS / f"{FIRST_DEMO}{SUFFIX}"))


def run(path: Path | None) -> int:
    """Open the window on a study until it is closed; the exit code. Raises BarglossError."""
    application = QApplication.instance() or QApplication([words.APP])
    application.setApplicationName(words.APP)
    window = Window(first_document(path))
    catch_all(window.message.fault)
    window.show()
    window.around.start()
    set_garbage_aside()
    return int(application.exec())
