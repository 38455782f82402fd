"""Notes pointed at from beside the page: a wash over their ink that takes no clicks."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.document import Document
from app.page_view import PageView
from app.places import heads, note_spots, system_of
from core.study import NotePlace

Span = tuple[NotePlace, NotePlace]
_WASH, _EDGE = QColor(230, 159, 0, 70), QColor(176, 96, 0)  # orange: Okabe & Ito, Color Universal Design, 2008


class Pointer(QWidget):
    """Lies over the page, and is there only while something is pointed at."""

    def __init__(self, document: Document, page: PageView) -> None:
        super().__init__(page.viewport())
        self._document, self._page = document, page
        self.span: Span | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        page.viewport().installEventFilter(self)
        document.changed.connect(lambda: self.point(None))
        self.hide()

    def point(self, span: Span | None) -> None:
        """At the notes from one to another, both counted; None at nothing."""
        self.span = span
        self.resize(self._page.viewport().size())
        self.setVisible(span is not None)
        self.raise_()
        self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.Resize:
            self.resize(self._page.viewport().size())
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        if self.span is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(_WASH)
        painter.setPen(QPen(_EDGE, 1))
        for band in self.bands():
            painter.drawRoundedRect(band.adjusted(-4, -3, 4, 3), 4, 4)
        painter.end()

    def bands(self) -> list[QRectF]:
        """One over the staff, the tab and the degree row of each system, as wide as the notes; on the viewport."""
        if self.span is None:
            return []
        (first, last), layout = self.span, self._document.layout
        found: dict[tuple[int, str], QRectF] = {}
        for head in heads(self._document.study, range(first.bar, last.bar + 1)):
            if not first[:2] <= head[:2] <= last[:2]:
                continue
            system = layout.systems.index(system_of(layout, head.bar))
            for spot in note_spots(layout, head):
                key = system, spot.kind
                found[key] = found.get(key, QRectF()).united(self._page.on_screen(spot))
        return list(found.values())
