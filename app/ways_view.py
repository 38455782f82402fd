"""Ways to play the selected notes: each looked at on the neck, in the tab and on the page before it is taken.

They are looked for beside the window: on 720 bars that takes seconds.
"""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout

from app import words_fingering as words
from app.beside import Beside
from app.cursor import Cursor
from app.document import Document, Edit
from app.neck_view import InkView, neck_page, tab_page
from app.passage import selected_heads
from app.places import span_of
from app.pointer import Span
from app.seen_view import SeenView
from app.sign_fields import choice
from app.spoken import bar_name
from core.engraving.neck import neck_diagram
from core.errors import BarglossError
from core.guitar import Way, taken, ways
from core.study import Study, freed, is_set, notes_named

MOST_BARS = 8
"""Of a passage: its tab has to be seen whole."""


class WaysView(SeenView):
    """lost: why a way could not be taken. looked: at another way than the page has, or at none (None)."""

    lost, looked = Signal(str), Signal(object)

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self._ways: tuple[Way, ...] = ()
        self._of: tuple[Study, Span] | None = None  # what was asked about
        self.beside = Beside()
        self.title = QLabel(wordWrap=True)
        self.list = QListWidget(wordWrap=True, accessibleName=words.WAYS_LIST)
        self.neck, self.tab = InkView(words.NECK), InkView(words.TAB_PREVIEW)
        self.shows = choice(words.SHOWS, words.SHOW)
        self.take = QPushButton(words.TAKE, toolTip=words.TAKE_TIP, autoDefault=False)
        self.free = QPushButton(words.FREE_THESE, toolTip=words.FREE_THESE_TIP, autoDefault=False)
        self.setFocusProxy(self.list)
        column = QVBoxLayout(self)
        column.addWidget(self.title)
        column.addWidget(self.list, 2)
        column.addWidget(self.shows)
        column.addWidget(self.neck, 3)
        column.addWidget(self.tab, 2)
        line = QHBoxLayout()
        line.addWidget(self.take)
        line.addWidget(self.free)
        column.addLayout(line)
        self.list.currentRowChanged.connect(lambda _: self._preview())
        self.shows.activated.connect(lambda _: self._preview())
        self.take.clicked.connect(self._take)
        self.free.clicked.connect(self._free)
        self.beside.answered.connect(self._show)
        self.beside.fault.connect(self.lost)
        cursor.moved.connect(self.refresh_soon)
        document.changed.connect(self.refresh_soon)

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        super().hideEvent(event)
        self.looked.emit(None)

    def refresh_soon(self) -> None:
        self.take.setEnabled(False)  # what is listed may not be there any more
        if self._of is not None and self._of[0] is not self._document.study:
            self.beside.forget()  # what comes is no answer any more
            self._of = None
        super().refresh_soon()

    def refresh(self) -> None:
        """Look for the ways of what is selected, if that was not done."""
        study, fingering = self._document.study, self._document.layout.fingering
        self.free.setEnabled(is_set(study, selected_heads(study, self._cursor.at)))
        span = span_of(study, self._cursor.at)
        if self._of is not None and self._of[0] is study and self._of[1] == span:
            self._preview()
            return
        self._of = study, span
        if span[1].bar - span[0].bar < MOST_BARS:
            self._list((), words.LOOKING)
            self.beside.ask(lambda: ways(study, fingering, *span))
        else:
            self.beside.forget()
            self._show(())

    def _show(self, found: tuple[Way, ...]) -> None:
        if found:
            study = self._document.study
            where = notes_named(study, found[0].first, found[0].last)
            name = words.WAYS_OF if len(found) > 1 else words.ONE_WAY
            told = name.format(count=len(found), where=where)
            self._list(found, words.ONLY_YOURS.format(told=told) if len(found) == 1 and self.free.isEnabled() else told)
        else:
            self._list((), words.NO_NOTES.format(bars=MOST_BARS))

    def _list(self, found: tuple[Way, ...], title: str) -> None:
        self._ways = found
        self.title.setText(title)
        self.list.clear()
        for at, way in enumerate(found):
            item = QListWidgetItem(_told(way, at == 0), self.list)
            item.setToolTip("" if at == 0 else words.WAY_TIP.format(cost=way.cost, each=f"{_each(way):.1f}"))
        self.list.setCurrentRow(0)
        self._preview()

    @property
    def way(self) -> Way | None:
        """The one looked at."""
        row = self.list.currentRow()
        return self._ways[row] if 0 <= row < len(self._ways) else None

    def _preview(self) -> None:
        layout = self._document.layout
        way = self.way if self._of is not None else None
        is_other = way is not None and self.list.currentRow() > 0
        self.take.setEnabled(is_other)
        self.looked.emit(way if is_other and self.isVisible() else None)
        if way is None:
            self.neck.show_ink(None, layout.template)
            self.tab.show_ink(None, layout.template)
            return
        diagram = neck_diagram(layout.study, way.fingering, layout.analysis, (way.first, way.last),
                               self.shows.currentData(), layout.template.style)
        self.neck.show_ink(neck_page(diagram), layout.template)
        page = tab_page(taken(layout.study, way), way.first.bar, way.last.bar, layout.template)
        self.tab.show_ink(page, layout.template)

    def _take(self) -> None:
        way = self.way
        if way is not None:
            self._edit(words.WAY_EDIT, way.first.bar, lambda study: taken(study, way))

    def _free(self) -> None:
        chosen = selected_heads(self._document.study, self._cursor.at)
        self._edit(words.FREE_EDIT, chosen[0].bar, lambda study: freed(study, chosen))

    def _edit(self, name: str, bar: int, change: Edit) -> None:
        try:
            self._document.edit(name.format(bar=bar_name(self._document.study, bar)), change)
        except BarglossError as error:
            self.lost.emit("\n".join(error.lines()))


def _told(way: Way, is_now: bool) -> str:
    low, high = way.positions
    where = (words.WHERE if low == high else words.WHERE_MOVES).format(low=low, high=high)
    ease = next(name for least, name in reversed(words.EASES.items()) if _each(way) >= least or not least)
    return (words.AS_NOW if is_now else words.WAY).format(where=where, ease=ease, hard=way.hard)


def _each(way: Way) -> float:
    """What a note of the passage costs above what it does now: the same move weighs less in a long passage."""
    first, last = way.first[:2], way.last[:2]
    count = sum(any(played.notes) for bar in range(first[0], last[0] + 1)
                for event, played in enumerate(way.fingering.bars[bar].events) if first <= (bar, event) <= last)
    return way.cost / max(1, count)
