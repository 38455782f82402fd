"""Ways to play the selected notes: each looked at on the neck and in the tab before it is taken."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QListWidget, QPushButton, QVBoxLayout

from app import words_fingering as words
from app.cursor import Cursor
from app.document import Document
from app.neck_view import InkView, neck_page, tab_page
from app.places import span_of
from app.pointer import Span
from app.seen_view import SeenView
from app.sign_fields import choice
from core.engraving.neck import neck_diagram
from core.errors import BarglossError
from core.guitar import Way, taken, ways
from core.study import Study, note_name

MOST_BARS = 8
"""Of a passage: its ways are looked for while the person waits, and its tab has to be seen whole."""


class WaysView(SeenView):
    """lost: why a way could not be taken."""

    lost = Signal(str)

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self._ways: tuple[Way, ...] = ()
        self._of: tuple[Study, Span] | None = None
        self.title = QLabel(wordWrap=True)
        self.list = QListWidget(wordWrap=True, accessibleName=words.WAYS_LIST)
        self.neck, self.tab = InkView(words.NECK), InkView(words.TAB_PREVIEW)
        self.shows = choice(words.SHOWS, words.SHOW)
        self.take = QPushButton(words.TAKE, toolTip=words.TAKE_TIP, autoDefault=False)
        self.setFocusProxy(self.list)
        column = QVBoxLayout(self)
        column.addWidget(self.title)
        column.addWidget(self.list, 2)
        column.addWidget(self.shows)
        column.addWidget(self.neck, 3)
        column.addWidget(self.tab, 2)
        column.addWidget(self.take)
        self.list.currentRowChanged.connect(lambda _: self._preview())
        self.shows.activated.connect(lambda _: self._preview())
        self.take.clicked.connect(self._take)
        cursor.moved.connect(self.refresh_soon)
        document.changed.connect(self.refresh_soon)

    def refresh_soon(self) -> None:
        self.take.setEnabled(False)  # what is listed may not be there any more
        super().refresh_soon()

    def refresh(self) -> None:
        """Look for the ways of what is selected, if that was not done."""
        study = self._document.study
        span = span_of(study, self._cursor.at)
        if self._of is None or self._of[0] is not study or self._of[1] != span:
            is_short = span[1].bar - span[0].bar < MOST_BARS
            self._ways = ways(study, self._document.layout.fingering, *span) if is_short else ()
            self._of = study, span
            self.list.clear()
            self.list.addItems([_told(way, at == 0) for at, way in enumerate(self._ways)])
        if self._ways:
            first, last = (note_name(study, place) for place in (self._ways[0].first, self._ways[0].last))
            name = words.WAYS_OF if len(self._ways) > 1 else words.ONE_WAY
            self.title.setText(name.format(count=len(self._ways), first=first, last=last))
            self.list.setCurrentRow(max(0, self.list.currentRow()))
        else:
            self.title.setText(words.NO_NOTES.format(bars=MOST_BARS))
        self._preview()

    @property
    def way(self) -> Way | None:
        """The one looked at."""
        row = self.list.currentRow()
        return self._ways[row] if 0 <= row < len(self._ways) else None

    def _preview(self) -> None:
        layout = self._document.layout
        way = self.way if self._of is not None and self._of[0] is layout.study else None
        self.take.setEnabled(way is not None and self.list.currentRow() > 0)
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
        way, study = self.way, self._document.study
        if way is None:
            return
        number = study.in_force[way.first.bar].number
        try:
            self._document.edit(words.WAY_EDIT.format(bar=number), lambda one: taken(one, way))
        except BarglossError as error:
            self.lost.emit("\n".join(error.lines()))


def _told(way: Way, is_now: bool) -> str:
    low, high = way.positions
    where = (words.WHERE if low == high else words.WHERE_MOVES).format(low=low, high=high)
    return (words.AS_NOW if is_now else words.WAY).format(where=where, cost=way.cost, hard=way.hard)
