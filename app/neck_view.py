"""Drawings of the engraver's on a widget: the neck diagram and the tab of a way to play."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.paint import PagePainter
from core.engraving.drawing import Page, Placed
from core.engraving.neck import NeckDiagram
from core.handout import Template, lay_out
from core.study import Study
from core.study.passages import bars_between

_EDGE = 8.0
_LARGEST = 9.0
"""Logical pixels a staff space, at most."""


class InkView(QWidget):
    """Paper with one drawing on it, as large as there is room for."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._page: Page | None = None
        self._painter: PagePainter | None = None
        self.setAccessibleName(name)
        self.setMinimumHeight(110)

    @property
    def page(self) -> Page | None:
        """What is shown, in staff spaces."""
        return self._page

    def show_ink(self, page: Page | None, template: Template) -> None:
        """None: nothing but paper."""
        self._page, self._painter = page, PagePainter(template.style.font, template.colours, keep=60)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(Qt.GlobalColor.white))
        if self._page is not None and self._painter is not None:
            scale = min(_LARGEST, (self.width() - 2 * _EDGE) / self._page.width,
                        (self.height() - 2 * _EDGE) / self._page.height)
            painter.translate((self.width() - scale * self._page.width) / 2, _EDGE)
            painter.scale(scale, scale)
            self._painter.paint(painter, self._page)
        painter.end()


def neck_page(diagram: NeckDiagram) -> Page:
    """A page of just its size."""
    return Page(diagram.width, diagram.height, (Placed(diagram.drawing, 0, 0, 1),))


def tab_page(study: Study, first: int, last: int, template: Template) -> Page:
    """The tab of these bars, systems one under the other, on a page of just their size."""
    style = replace(template.style, rows=("tab",), tab_rhythm=False)
    layout = lay_out(bars_between(study, first, last), replace(template, style=style))
    placed: list[Placed] = []
    down = right = 0.0
    for system in layout.systems:
        ink = system.ink
        down -= ink.top
        placed += [Placed(item.drawing, item.x, item.y + down, 1) for item in ink.items]
        down += ink.bottom + 1.5
        right = max(right, ink.right)
    return Page(right, down, tuple(placed))
