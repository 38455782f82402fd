"""The mark that moves over the page with the sound."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.document import Document
from app.page_view import PageView
from app.places import note_spots, rows_spot
from core.sound import Reached
from core.study import NotePlace

_COLOUR = QColor("#D55E00")  # vermilion, Okabe & Ito, Color Universal Design, 2008
_ROUND = 5  # logical pixels left and right of a head


class MovingMark(QWidget):
    """Lies over the page's viewport, and lets the mouse through."""

    def __init__(self, page: PageView, document: Document) -> None:
        super().__init__(page.viewport())
        self._page, self._document = page, document
        self._at: Reached | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        page.verticalScrollBar().valueChanged.connect(self._place)
        page.horizontalScrollBar().valueChanged.connect(self._place)
        page.zoomed.connect(self._place)
        document.changed.connect(self._place)
        self.hide()

    @property
    def at(self) -> Reached | None:
        """What it lies on."""
        return self._at

    def go(self, to: Reached | None) -> None:
        """Lie on a note or a bar, brought into view; nowhere for None."""
        self._at = to
        rect = self._rect()
        if rect is not None:
            view, bar = self._page.viewport().rect(), self._page.verticalScrollBar()
            if rect.top() < 0 or rect.bottom() > view.height():
                bar.setValue(bar.value() + rect.top() - view.height() // 8)
        self._place()

    def _place(self) -> None:
        rect = self._rect()
        if rect is not None:
            self.setGeometry(rect)
        self.setVisible(rect is not None)

    def _rect(self) -> QRect | None:
        """On the viewport; None where there is nothing to lie on, the study having changed perhaps."""
        at, layout = self._at, self._document.layout
        if at is None or at.bar >= len(layout.study.bars):
            return None
        rows = self._page.on_screen(rows_spot(layout, at.bar)).toAlignedRect()
        if at.place is None:
            return rows
        if not _is_there(self._document, at.place):
            return None
        head = self._page.on_screen(note_spots(layout, at.place)[0]).toAlignedRect()
        return QRect(head.left() - _ROUND, rows.top(), head.width() + 2 * _ROUND, rows.height())

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        wash = QColor(_COLOUR)
        wash.setAlpha(48)
        painter.fillRect(self.rect(), wash)
        painter.fillRect(QRect(0, self.height() - 3, self.width(), 3), _COLOUR)
        painter.end()


def _is_there(document: Document, place: NotePlace) -> bool:
    events = document.study.bars[place.bar].events
    return place.event < len(events) and place.note < len(events[place.event].notes)
