"""What lies round a window's page and is not the study: safety, listening, printing, help, and what is remembered."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QApplication, QBoxLayout, QMenu, QSplitter, QWidget

from app import words, words_around
from app.dropping import Dropping
from app.folders import journal_folder, settings_file
from app.help_sheet import HelpSheet
from app.jobs import JobBar, Told
from app.listening import Listening
from app.look_work import LookWork
from app.own_keys import OwnKeys
from app.places import first_of_bar
from app.recent import recent_menu
from app.safety import Safety
from app.settings import Settings
from app.surroundings import surround_with
from app.welcome import Trial, Welcome
from core.engraving.drawing import Pages

if TYPE_CHECKING:
    from app.window import Window

_SEEN, _SCHEME, _NECK = "welcome/seen", "surroundings", "neck"


class Around(QObject):
    """Built round a window that has all of its own already, and joined to it here."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        document, message = window.document, window.message
        self.settings = Settings(settings_file(), self)
        self.look = LookWork(document, self.settings)
        self._greets = False  # a window says nothing before it is shown
        self.safety = Safety(window, document, journal_folder())
        self.jobs = JobBar()
        self.listening = Listening(window, document, window.selection, window.page, self.settings)
        self.welcome = Welcome((
            Trial(words_around.TRY_WRITE, words_around.TRY_WRITE_TIP, self._try_write),
            Trial(words_around.TRY_LISTEN, words_around.TRY_LISTEN_TIP, self._try_listen),
            Trial(words_around.TRY_PRINT, words_around.TRY_PRINT_TIP, window.filing.export_handout)))
        self.welcome.closed.connect(lambda: self.settings.keep(_SEEN, "yes"))
        Dropping(window, window.filing.open_path, window.filing.bring_path, message.fault)
        for part in (self.safety, self.jobs, self.listening):
            part.fault.connect(message.fault)
            part.news.connect(message.news)
        rows = window.centralWidget().layout()
        if isinstance(rows, QBoxLayout):
            rows.insertWidget(0, self.welcome)
            rows.addWidget(self.jobs)
        self._add_to_menus()
        self.keys = OwnKeys(window.menuBar(), self.settings)
        document.changed.connect(self._follow)
        document.opened.connect(self._follow_opened)
        self._follow()
        self._follow_opened()

    # Menus

    def _add_to_menus(self) -> None:
        bar = self._window.menuBar()
        file, view = self._menu(words.FILE), self._menu(words.VIEW)
        saving = next(action for action in file.actions() if action.text() == words.SAVE)
        file.insertMenu(saving, recent_menu(file, self.settings, self._open_recent))
        file.insertSeparator(saving)
        leaving = file.actions()[-1]
        file.insertAction(leaving, self._action(words_around.PRINT, self._window.filing.print_handout,
                                                QKeySequence.StandardKey.Print))
        file.insertSeparator(leaving)
        view.addMenu(self._surroundings())
        bar.addMenu(self.listening.menu)
        helping = bar.addMenu(words_around.HELP)
        helping.addAction(self._action(words_around.KEYS, self.show_keys, QKeySequence.StandardKey.HelpContents))
        helping.addAction(self._action(words_around.TRY_AGAIN, lambda: self.welcome.greet(self._window.has_demo)))

    def _menu(self, name: str) -> QMenu:
        found = next(action.menu() for action in self._window.menuBar().actions() if action.text() == name)
        assert isinstance(found, QMenu)
        return found

    def _action(self, name: str, do: Callable[[], object], key: QKeySequence.StandardKey | None = None) -> QAction:
        action = QAction(name, self)
        action.triggered.connect(lambda _checked: do())
        if key is not None:
            action.setShortcuts(key)
        return action

    def _open_recent(self, path: Path) -> None:
        self._window.filing.open_path(path)
        if not path.exists():
            self.settings.forget(path)

    def _surroundings(self) -> QMenu:
        menu = QMenu(words_around.SURROUNDINGS, self._window)
        group = QActionGroup(menu)
        for scheme, name in words_around.SCHEMES.items():
            action = menu.addAction(name)
            action.setCheckable(True)
            action.setChecked(scheme == self.settings.text(_SCHEME, "system"))
            action.triggered.connect(lambda _checked, scheme=scheme: self.surround(scheme))
            group.addAction(action)
        return menu

    def surround(self, scheme: str) -> None:
        """Light or dark round the page, now and from now on."""
        self.settings.keep(_SCHEME, scheme)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            surround_with(application, scheme)

    def print_pages(self, pages: Pages, reminder: str = "") -> None:
        """Ask for a printer, and print. reminder: what is said once it is sent."""
        from app import printing  # noqa: PLC0415  (Qt's printing is a library of its own, seldom wanted)

        printer = printing.ask_printer(self._window, pages)
        if printer is None:
            return

        def work(told: Told) -> str:
            printing.print_pages(printer, pages, told)
            return words_around.PRINTED.format(name=pages.title,
                                               printer=printer.printerName() or printer.outputFileName()) + reminder
        self.jobs.start(words_around.PRINTING.format(name=pages.title), work)

    def show_keys(self) -> None:
        HelpSheet(self._window, self.keys).show()

    # The first start

    def _try_write(self) -> None:
        study = self._window.document.study
        full = (here.index for here in study.in_force if here.length >= here.meter.length)  # it may begin with a pickup
        self._window.selection.go(first_of_bar(study, next(full, 0)))
        self._window.write_about()

    def _try_listen(self) -> None:
        self._window.selection.go(first_of_bar(self._window.document.study, 0))
        self.listening.play_or_stop()

    # From day to day

    def _follow(self) -> None:
        path = self._window.document.path
        if path is not None and self._window.document.is_clean:
            self.settings.remember(path)

    def _follow_opened(self) -> None:
        """A study for reading only can be looked at, heard, printed, and not written in."""
        document, side = self._window.document, self._window.findChild(QWidget, "side")
        side.setEnabled(not document.read_only)
        if document.read_only and document.path is not None:
            self._window.message.fault(
                words_around.READ_ONLY.format(name=document.path.name, what=document.read_only))
        self._greet()

    def _greet(self) -> None:
        """What to try, with a demo study, until the person has seen enough of it; with no other."""
        if self._window.has_demo and self._greets and self.settings.text(_SEEN) != "yes":
            self.welcome.greet(with_demo=True)
        else:
            self.welcome.hide()

    def start(self) -> None:
        """As it was left the last time; and what a first start, or one after a crash, has to say."""
        window, settings = self._window, self.settings
        self.surround(settings.text(_SCHEME, "system"))
        window.restoreGeometry(settings.state("window/geometry"))
        window.findChild(QSplitter).restoreState(settings.state("window/split"))
        window.neck.setVisible(settings.text(_NECK) == "yes")
        self._greets = True
        self._greet()
        self.safety.offer_left_behind()

    def close(self) -> None:
        """The window is being left, with all decided."""
        self._window.fingering.close_down()
        self.listening.player.close_down()
        self._window.writing.keys.close()
        self.jobs.close_down()
        self.safety.close()
        self.settings.keep(_NECK, "" if self._window.neck.isHidden() else "yes")
        self.settings.keep("window/geometry", self._window.saveGeometry())
        self.settings.keep("window/split", self._window.findChild(QSplitter).saveState())
        self.settings.write()
