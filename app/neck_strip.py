"""The neck under the page: shown and put away by a command, kept up with the music, and worked on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QAccessible, QAccessibleEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QHBoxLayout, QLabel, QSplitter, QToolButton, QVBoxLayout

from app import words_fingering as words
from app.actions import add_action
from app.neck_board import NeckBoard
from app.neck_marks import Shows, elsewhere, marks_of, pitch_words
from app.neck_work import NeckWork
from app.pen import Caret
from app.places import Selected
from app.sign_fields import choice
from app.work import Telling
from core.guitar import Place
from core.handout import Layout

if TYPE_CHECKING:
    from app.window import Window

LINE_MS = 8000
"""So long a line stays in the status."""


class NeckStrip(QFrame):
    """Built into a window that has its page, its writing and its fingering already."""

    def __init__(self, window: Window, telling: Telling) -> None:
        super().__init__(objectName="neck")
        self._window, self._document, self._cursor, self._pen = window, window.document, window.selection, window.pen
        self._shown: tuple[Layout, Selected, bool, Shows] | None = None
        self.board = NeckBoard(words.NECK_BOARD)
        self.here, self.legend = QLabel(), QLabel(words.NECK_LEGEND, objectName="quiet")
        self.shows = choice(words.NECK_SHOWS, words.NECK_SHOW)
        self.close_button = QToolButton(text="×", toolTip=words.NECK_CLOSE, accessibleName=words.NECK_CLOSE)
        self.close_button.setAutoRaise(True)
        self.work = NeckWork(self._document, self._cursor, self._pen, telling, window.writing.writer, self.say)
        self._arrange()
        self.close_button.clicked.connect(self.put_away)
        self.shows.activated.connect(lambda _: self.refresh())
        self.board.pointed.connect(self._tell)
        self.board.picked.connect(self._pick)
        for changed in (self._document.changed, self._cursor.moved, self._pen.changed):
            changed.connect(self.refresh)
        self.board.addActions(window.page.actions())  # values, rests, the pen: with the keyboard here as well
        add_action(window.fingering.menu, words.NECK_MENU, self.bring, [words.NECK_KEY])
        self.hide()

    def _arrange(self) -> None:
        line = QHBoxLayout()
        line.addWidget(self.here, 1)
        line.addWidget(self.legend)
        line.addSpacing(12)
        line.addWidget(self.shows)
        line.addWidget(self.close_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 4, 8, 0)
        column.setSpacing(2)
        column.addLayout(line)
        column.addWidget(self.board)
        rows = self._window.centralWidget().layout()
        assert isinstance(rows, QBoxLayout)
        rows.insertWidget(rows.indexOf(self._window.findChild(QSplitter)) + 1, self)

    def bring(self) -> None:
        """Show it, with the keyboard in it; from in there, put it away."""
        if self.board.hasFocus():
            self.put_away()
        else:
            self.show()
            self.board.setFocus()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)  # the page gives way now
            self._window.page.show_selection()

    def put_away(self) -> None:
        self.hide()
        self._window.page.setFocus()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Show what is selected; while writing, the whole bar it is in."""
        if not self.isVisible():
            return
        layout, at, writing = self._document.layout, self._cursor.at, self._pen.writing
        of = (layout, at, writing, self.shows.currentData())
        if self._shown is None or self._shown[0] is not layout or self._shown[1:] != of[1:]:
            self._shown = of
            self.board.show_neck(layout.study.instrument, layout.study.guitarist.left_handed)
            self.board.show_marks(marks_of(layout, at, self.shows.currentData(), whole_bar=writing),
                                  [] if writing else elsewhere(layout, at))
        else:
            self._tell()  # the pen may be elsewhere

    def _pick(self, place: Place, added: bool) -> None:
        """What is typed is kept first; the keyboard goes to the page, unless it is on the neck."""
        if not self.board.hasFocus():
            self._window.page.setFocus()
        self.work.pick(place, added)

    def _tell(self) -> None:
        """What is pointed at, in words."""
        place = self.board.at or next((mark.place for mark in self.board.marks if mark.is_selected), None)
        text = "" if place is None else self._words(place)
        self.here.setText(text)
        if self.board.hasFocus() and text != self.board.accessibleDescription():
            self.board.setAccessibleDescription(text)
            QAccessible.updateAccessibility(QAccessibleEvent(self.board, QAccessible.Event.DescriptionChanged))

    def _words(self, place: Place) -> str:
        """Against the chord of the selected note; while writing, what is not that note against the caret's."""
        head, caret = self._cursor.at.moving, self._pen.caret
        mark = next((mark for mark in self.board.marks if mark.place == place), None)
        is_next = self._pen.writing and not (mark and mark.is_selected)
        if head is not None and not is_next:
            caret = Caret(head.bar, self._document.study.event_at(head).onset)
        how = "" if mark is None else words.NECK_SET if mark.is_set else words.NECK_PROPOSED
        told = words.NECK_HERE.format(string=place.string, fret=place.fret,
                                      pitch=pitch_words(self._document.layout, caret, place))
        return f"{told} · {how}" if how else told

    def say(self, line: str) -> None:
        """A line in the status, and to a screen reader."""
        self._window.statusBar().showMessage(line, LINE_MS)
        self.board.setAccessibleDescription(line)
        QAccessible.updateAccessibility(QAccessibleEvent(self.board, QAccessible.Event.Alert))
