"""Writing music in the window: joins the pen, the page, the menus, the tool bar and the line to type into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QBoxLayout, QInputDialog, QLabel, QSizePolicy

from app import words, write_menu
from app import words_writing as own_words
from app.bar_work import BarWork
from app.beats import beat_text
from app.midi_keys import MidiKeys
from app.passage import Passage
from app.spoken import bar_name
from app.staff_hits import StaffHit
from app.type_line import TypeLine
from app.work import Telling
from app.write_bar import WriteBar
from app.write_menu import Asking
from app.writer import Writer

if TYPE_CHECKING:
    from app.window import Window

_WRITING_KEYS = frozenset("ABCDEFG0123456789R")


class Writing(QObject):
    """Built round a window that has its page and menus already."""

    def __init__(self, window: Window, telling: Telling) -> None:
        super().__init__(window)
        self._window, self._document, self.pen = window, window.document, window.pen
        shared = (self._document, window.selection, self.pen, telling)
        self.writer, self.passage, self.bars = Writer(*shared), Passage(*shared), BarWork(*shared)
        self.line, self.hint, self.where = TypeLine(), QLabel(wordWrap=True), QLabel()
        self.hint.setObjectName("hint")
        self.reminder = QLabel(objectName="reminder")
        self.reminder.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)  # gives way to the rest
        self.keys = MidiKeys(window, self.writer.strike, telling)
        self._actions = self._build_menus()
        self.keys.changed.connect(self._hear)
        self.keys.news.connect(window.message.news)
        self.bar = WriteBar(self.pen, self.writer, self._actions.told, window)
        window.addToolBar(self.bar)
        rows = window.centralWidget().layout()
        assert isinstance(rows, QBoxLayout)
        rows.insertWidget(0, self.hint)
        rows.addWidget(self.line)
        window.statusBar().insertWidget(0, self.where)
        window.statusBar().insertWidget(1, self.reminder, 2)
        window.page.installEventFilter(self)
        self.line.closed.connect(window.page.setFocus)
        window.page.pointed.connect(self._point)
        self.pen.changed.connect(self._refresh)
        self._document.opened.connect(lambda: self.pen.write(False))
        for action in self._actions.told.values():
            action.changed.connect(self._learn_keys)
        self._learn_keys()
        self._refresh()

    def _build_menus(self) -> write_menu.WriteActions:
        bar = self._window.menuBar()
        menus = {action.text(): action for action in bar.actions()}
        asking = Asking(self.type_notes, self.type_changes_here, self.type_changes_of_chorus, self.ask_position,
                        self.keys.choose)
        return write_menu.build(bar, menus[words.VIEW], menus[words.EDIT].menu(), self._window.page,
                                (self.writer, self.passage, self.bars), asking)

    def _point(self, hit: StaffHit, added: bool) -> None:
        self.writer.point(hit, added)

    def _hear(self, hears: bool) -> None:
        """A keyboard is heard now, and what it plays is written; or none is."""
        self._actions.keyboard.setChecked(hears)
        if hears and not self.pen.writing:
            self.pen.write(True)

    def _refresh(self) -> None:
        pen, study = self.pen, self._document.study
        self._actions.writing.setChecked(pen.writing)
        for action in self._actions.pen:
            action.setEnabled(pen.writing)
        self.hint.setVisible(not pen.writing and not any(event.notes for bar in study.bars for event in bar.events))
        for label in (self.where, self.reminder):
            label.setVisible(pen.writing)
        here = study.in_force[pen.caret.bar]
        at_end = pen.caret.onset >= here.length
        where = own_words.STATUS_END if at_end else own_words.STATUS_WRITING.format(
            beat=beat_text(pen.caret.onset, here), bar=bar_name(study, pen.caret.bar))
        self.where.setText(own_words.STATUS_TIED.format(where=where) if pen.tie else where)
        self._remind()

    def _remind(self) -> None:
        self.reminder.setText(self._hints[self.pen.string is not None])
        self.reminder.setToolTip(self.reminder.text())  # which a narrow window cuts off

    def _learn_keys(self) -> None:
        """The hints with the keys that commands have now."""
        keys = self._actions.keys()
        self.hint.setText(own_words.EMPTY.format(**keys))
        self._how_to_begin = own_words.NOT_WRITING.format(**keys)
        self._hints = own_words.NOTE_KEYS.format(**keys), own_words.FRET_KEYS.format(**keys)
        self._remind()

    def eventFilter(self, page: QObject, event: QEvent) -> bool:  # noqa: N802
        """Where the pen is not out, a key that would write says quietly how to begin, until something else is done."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and not self.pen.writing:
            would_write = event.text().upper() in _WRITING_KEYS and event.text() != ""
            self.where.setVisible(would_write)
            if would_write:
                self.where.setText(self._how_to_begin)
        return super().eventFilter(page, event)

    def leave(self) -> None:
        """Out of the line that is typed; on the page, out of the writing mode; the keyboard is the page's."""
        if self.line.isVisible():
            self.line.leave()
        elif self._window.page.hasFocus() and self.pen.writing:
            self.pen.write(False)
        self._window.page.setFocus()

    # What is asked first

    def type_notes(self) -> None:
        study, (bar, onset) = self._document.study, self.writer.abc_begins
        label = own_words.ABC_LABEL.format(beat=beat_text(onset, study.in_force[bar]), bar=bar_name(study, bar))
        self.line.ask(label, own_words.ABC_HINT, "", self.writer.abc)

    def type_changes_here(self) -> None:
        self._type_changes(*self.bars.selected_bars())

    def type_changes_of_chorus(self) -> None:
        self._type_changes(*self.bars.chorus_bars())

    def _type_changes(self, first: int, last: int) -> None:
        shown = self.bars.changes_text(first, last)
        label = own_words.CHANGES_LABEL.format(bar=bar_name(self._document.study, first))
        self.line.ask(label, own_words.CHANGES_HINT, shown, lambda text: self.bars.set_changes(text, first, shown))

    def ask_position(self) -> None:
        instrument = self._document.study.instrument
        fret, chosen = QInputDialog.getInt(self._window, own_words.POSITION_TITLE, own_words.POSITION_ASK, 5, 1,
                                           instrument.frets - instrument.capo)
        if chosen:
            self.passage.position(fret)
