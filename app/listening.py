"""Listening: what the menu and the tool bar for it hold, and what they do."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QLabel, QMainWindow, QMenu, QSpinBox, QToolBar

from app import words_around
from app.cursor import Cursor
from app.document import Document
from app.moving_mark import MovingMark
from app.page_view import PageView
from app.player import Player
from app.settings import Settings
from core.sound import Reached, Take
from core.study import NotePlace

SLOWEST, FASTEST = 30, 120
"""Per cent of the study's tempo."""
_ON, _OFF = "yes", "no"


class Listening(QObject):
    """fault, news: what to tell the person."""

    fault, news = Signal(str), Signal(str)

    def __init__(self, window: QMainWindow, document: Document, cursor: Cursor, page: PageView,
                 settings: Settings) -> None:
        super().__init__(window)
        self._document, self._cursor, self._settings = document, cursor, settings
        self.player = Player(self)
        self.mark = MovingMark(page, document)
        self.menu = QMenu(words_around.LISTEN, window)
        self.play_action = self.menu.addAction(words_around.PLAY)
        self.play_action.setShortcut(QKeySequence("Ctrl+L"))
        self.play_action.triggered.connect(lambda _checked: self.play_or_stop())
        self.menu.addSeparator()
        self.again = self._option(words_around.LOOP, False)
        self.count_in = self._kept(words_around.COUNT_IN, True, "count-in")
        self.click = self._kept(words_around.CLICK, False, "click")
        self.chords = self._kept(words_around.CHORDS, True, "chords")
        self.tempo = QSpinBox(minimum=SLOWEST, maximum=FASTEST, value=100, singleStep=5, suffix=" %",
                              accessibleName=words_around.TEMPO, toolTip=words_around.TEMPO_TIP)
        self.tempo.setKeyboardTracking(False)
        self.tempo_now = QLabel()
        self.tempo.valueChanged.connect(self._go_on)
        window.addToolBar(self._tool_bar(window))
        self._begun = NotePlace(0, 0)
        self._ends: NotePlace | None = None
        self.player.reached.connect(self.mark.go)
        self.player.ended.connect(self._show_state)
        self.player.fault.connect(self.fault)
        self.player.news.connect(self.news)
        document.opened.connect(self.player.stop)
        document.changed.connect(self._show_state)
        self._show_state()

    def _option(self, name: str, is_on: bool) -> QAction:
        action = self.menu.addAction(name)
        action.setCheckable(True)
        action.setChecked(is_on)
        action.toggled.connect(self._go_on)
        return action

    def _kept(self, name: str, is_on: bool, key: str) -> QAction:
        """One that is as it was left the last time. is_on: at first."""
        kept = f"listen/{key}"
        action = self._option(name, self._settings.text(kept, _ON if is_on else _OFF) == _ON)
        action.toggled.connect(lambda on: self._settings.keep(kept, _ON if on else _OFF))
        return action

    def _tool_bar(self, window: QMainWindow) -> QToolBar:
        bar = QToolBar(words_around.TOOLBAR, window)
        bar.setObjectName("listening")
        bar.setMovable(False)
        bar.toggleViewAction().setEnabled(False)
        bar.addAction(self.play_action)
        bar.addWidget(self.tempo)
        bar.addWidget(self.tempo_now)
        return bar

    def play_or_stop(self) -> None:
        """Play the selected notes, or from the selected one on; stop while it plays."""
        if self.player.is_playing:
            self.player.stop()
            return
        at, study = self._cursor.at, self._document.study
        span = at.span or (NotePlace(at.bar, 0), NotePlace(at.bar, 0))
        self._begun, self._ends = span[0], span[1] if at.until else None
        if self.again.isChecked() and self._ends is None:  # a single note: its bar
            self._begun = NotePlace(at.bar, 0)
            self._ends = NotePlace(at.bar, max(0, len(study.bars[at.bar].events) - 1))
        self._play(self.count_in.isChecked())

    def _play(self, count_in: bool) -> None:
        take = Take(self.tempo.value(), None, count_in, self.click.isChecked(), self.chords.isChecked())
        self.player.play(self._document.study, take, self._begun, self._ends,
                         self.again.isChecked() and self._ends is not None)
        self._show_state()

    def _go_on(self) -> None:
        """The choices have changed: while it plays, go on by them from where it is."""
        self._show_state()
        if self.player.is_playing:
            reached = self.mark.at
            if isinstance(reached, Reached) and self._ends is None:
                self._begun = reached.place or NotePlace(reached.bar, 0)
            self._play(False)

    def _show_state(self) -> None:
        is_playing = self.player.is_playing
        self.play_action.setText(words_around.STOP if is_playing else words_around.PLAY)
        self.play_action.setIconText(words_around.TOOL_STOP if is_playing else words_around.TOOL_PLAY)
        self.tempo_now.setText(words_around.TEMPO_NOW.format(
            tempo=round(self._document.study.tempo * self.tempo.value() / 100)))
        if not is_playing:
            self.mark.go(None)
