"""A way to play that is looked at, on the page: its frets over the tab, where the passage stands."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.document import Document
from app.page_view import PageView
from app.places import Spot, note_spots
from app.selection_ink import BLUE
from app.staff_hits import staves_of
from core.engraving.boxes import Box
from core.guitar import Way
from core.study import NotePlace

_VEIL = QColor(255, 255, 255, 215)
"""Over the frets as they are: paper, through which they can still be read."""

_HALF = (1.3, 0.85)
"""Of the box round a fret, in staff spaces: half its width and height."""
_SIZE = 0.85
"""Of the figure, against the height of its box."""


class WayInk(QWidget):
    """Lies over the page's viewport, and lets the mouse through."""

    def __init__(self, page: PageView, document: Document) -> None:
        super().__init__(page.viewport())
        self._page, self._document = page, document
        self._way: Way | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        page.viewport().installEventFilter(self)
        page.verticalScrollBar().valueChanged.connect(self.update)
        page.horizontalScrollBar().valueChanged.connect(self.update)
        page.zoomed.connect(self.update)
        document.changed.connect(lambda: self.look_at(None))  # it is a way to play what was there before
        self.hide()

    def look_at(self, way: Way | None) -> None:
        """None: show nothing."""
        self._way = way
        self.setGeometry(self._page.viewport().rect())
        self.setVisible(way is not None)
        self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.Resize:
            self.setGeometry(self._page.viewport().rect())
        return False

    @property
    def frets(self) -> list[tuple[int, QRect]]:
        """Each fret that is shown, and where on the viewport."""
        return [(fret, box.toAlignedRect()) for fret, _, box in self._frets()]

    def _frets(self) -> Iterator[tuple[int, QRectF, QRectF]]:
        """Of each note of the passage the fret, where the page has its fret now, and where this one goes."""
        layout, way, space = self._document.layout, self._way, self._document.layout.template.space
        for bar in range(way.first.bar, way.last.bar + 1) if way else ():
            tab = staves_of(layout, bar).tab
            for event, played in enumerate(way.fingering.bars[bar].events):
                for head, grip in enumerate(played.notes if way.first[:2] <= (bar, event) <= way.last[:2] else ()):
                    spots = [spot for spot in note_spots(layout, NotePlace(bar, event, head)) if spot.kind == "tab"]
                    if grip is not None and spots:
                        there = spots[0].box
                        x, y = (there.left + there.right) / 2, tab[grip.string - 1]
                        to = Box(x - _HALF[0] * space, y - _HALF[1] * space, x + _HALF[0] * space, y + _HALF[1] * space)
                        yield grip.fret, self._page.on_screen(spots[0]), self._page.on_screen(Spot(spots[0].page, to))

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        frets = list(self._frets())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(_VEIL)
        for _, now, _ in frets:
            painter.drawRect(now.adjusted(-1, -1, 1, 1))
        font = self.font()
        font.setBold(True)
        font.setPixelSize(max(6, round(_SIZE * frets[0][2].height()) if frets else 6))
        painter.setFont(font)
        painter.setPen(QPen(BLUE, 1))
        painter.setBrush(Qt.GlobalColor.white)
        for fret, _, to in frets:
            painter.drawRoundedRect(to, to.height() / 3, to.height() / 3)
            painter.drawText(to, Qt.AlignmentFlag.AlignCenter, str(fret))
        painter.end()
