"""The window: the handout on the left, the words about its bars on the right, and what joins them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QFrame, QLabel, QMainWindow, QPushButton, QSplitter, QVBoxLayout, QWidget

from app import actions, dialogs, words
from app.annotating import Annotating
from app.around import Around
from app.bar_panel import BarPanel
from app.cursor import Cursor
from app.document import Document, open_document
from app.filing import ASSETS, Filing, demo_titles, study_title
from app.fingering_panel import FingeringPanel
from app.folders import settings_file
from app.freeing import Freeing
from app.last_resort import catch_all
from app.line_work import REST_MS, LineWork
from app.look_work import kept_look
from app.message_bar import MessageBar
from app.neck_strip import NeckStrip
from app.note_panel import NotePanel
from app.notices import notices_of, on_the_page
from app.page_view import PageView
from app.pen import Pen
from app.places import first_of_bar
from app.rows_view import RowsView
from app.settings import Settings
from app.setup import FIRST_DEMO
from app.side import Side
from app.spoken import bar_title
from app.status import status_words
from app.study_sheet import ON_SHEET
from app.style import style_sheet
from app.writing import Writing
from core.errors import BarglossError
from core.files import SUFFIX, load_study


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
        self._demos = demo_titles()
        self.filing = Filing(self, self._telling, self._settle)
        self._actions = actions.build(self, self, self.filing, self._demos)
        self.writing = Writing(self, self._refusing)
        self.annotating = Annotating(self, self)
        self.fingering = FingeringPanel(self, document, self.selection, self.page, self.message)
        self.freeing = Freeing(self, self._refusing)
        self.neck = NeckStrip(self, self._refusing)
        self.bar_panel.lost.connect(self.message.refusal)
        self.page.zoomed.connect(self._show_zoom)
        self.page.entered.connect(self._enter)
        self.side.sheet.news.connect(self.message.news)
        self.notices_button.clicked.connect(self.show_notices)
        self._soon = QTimer(self, singleShot=True, interval=0)  # the page is painted first
        self._soon.timeout.connect(self._tell_state)
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)  # counting goes through every bar
        self._rest.timeout.connect(self._count_notices)
        document.changed.connect(self._refresh)
        document.changed.connect(self.message.settle)
        document.opened.connect(set_garbage_aside)
        self.selection.moved.connect(self._soon.start)
        self._refresh()
        self._count_notices()
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
        self._actions.show_look(document.look)
        self._soon.start()
        self._rest.start()

    def _tell_state(self) -> None:
        self.status.setText(status_words(self.document.layout, self.selection.at))

    def _count_notices(self) -> None:
        count = len(notices_of(self.document.layout))
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

    @property
    def has_demo(self) -> bool:
        """Whether the study is a demo study, opened from the menu or as `bargloss demo` writes it."""
        path, title = self.document.path, study_title(self.document.study)
        return any(title == own and (path is None or path.stem == name) for name, own in self._demos)

    def _telling(self) -> AbstractContextManager[None]:
        """Whatever the person can put right inside is told in the message bar, and stays there."""
        return self._told_by(self.message.fault)

    def _refusing(self) -> AbstractContextManager[None]:
        """As above, until the next thing is done."""
        return self._told_by(self.message.refusal)

    @contextmanager
    def _told_by(self, say: Callable[[str], None]) -> Iterator[None]:
        QApplication.setOverrideCursor(Qt.CursorShape.BusyCursor)
        try:
            yield
        except BarglossError as error:
            say("\n".join(error.lines()))
        finally:
            QApplication.restoreOverrideCursor()

    def _settle(self) -> None:
        """Keep what is being typed."""
        self.bar_panel.settle()
        self.note_panel.settle()
        self.side.notes.settle()
        self.side.sheet.settle()

    def _enter(self, kind: str, index: int) -> None:
        """Go to where that ink of the page is written."""
        (self.side.enter_sheet if kind in ON_SHEET else self.bar_panel.enter)(kind, index)

    # File

    def study_sheet(self) -> None:
        self.side.enter_sheet()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        event.setAccepted(self.filing.may_leave())
        if event.isAccepted():
            self.around.close()

    # Edit

    def undo(self) -> None:
        self._settle()
        with self._refusing():
            self.document.undo()

    def redo(self) -> None:
        self._settle()
        with self._refusing():
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

    def fit_page(self) -> None:
        self.page.fit_page()

    def choose_template(self, name: str) -> None:
        with self._refusing():
            self.around.look.choose_template(name)

    def choose_paper(self, name: str) -> None:
        with self._refusing():
            self.around.look.choose_paper(name)

    def show_rows(self) -> None:
        RowsView(self, self.document, self.around.look).show()

    def turn_strip(self) -> None:
        with self._refusing():
            self.around.look.turn_strip()

    def show_notices(self) -> None:
        study, layout = self.document.study, self.document.layout
        notices = [*notices_of(layout), *on_the_page(self.document.on_paper)]
        if not notices:
            self.message.news(words.NOTHING_TO_TELL)
            return
        told = [f"{bar_title(study, notice.bar)}: {notice.what}" for notice in notices]
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
    gc.enable()


def first_document(path: Path | None) -> Document:
    """The study asked for; else the one worked on last, if it can still be read; else a demo. Raises BarglossError."""
    settings = Settings(settings_file())
    look = kept_look(settings)
    if path is not None:
        return open_document(path, look)
    for last in settings.recent[:1]:
        with suppress(BarglossError):
            return open_document(last, look)
    return Document(load_study(ASSETS / f"{FIRST_DEMO}{SUFFIX}"), look=look)


def run(path: Path | None) -> int:
    """Open the window on a study until it is closed; the exit code. Raises BarglossError."""
    application = QApplication.instance() or QApplication([words.APP])
    application.setApplicationName(words.APP)
    window = stand(path)  # held here as long as it is open
    code = application.exec()
    del window
    return int(code)


def stand(path: Path | None) -> Window:
    """A window on a study, shown. Raises BarglossError."""
    window = Window(first_document(path))
    catch_all(window.message.fault)
    window.show()
    window.around.start()
    QTimer.singleShot(REST_MS, set_garbage_aside)  # once the first picture is there
    return window
