"""Painted systems kept as tiles: an edit paints the systems it changed, and copies those it only moved."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import NamedTuple

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap, QRegion

from app.paint import PagePainter
from core.engraving import SystemInk
from core.engraving.boxes import drawing_box
from core.engraving.drawing import Page, Placed
from core.handout import Layout

WIDE, HIGH = 2048, 512
"""Of a tile at most, in device pixels: a system is one, unless it is shown large."""
_KEEP = 12_000_000  # pixels: a large screen's more than twice over
_DRAWINGS = 400  # some three pages' worth: a drawing's paths weigh far more than the drawing
_BEYOND = 1.5  # staff spaces over and under a box: what a text's leaves out, and antialiasing


class _Band(NamedTuple):
    """What stands together on a page, and is as wide as that: a system, or a drawing beside them put at y 0.

    y: in points; top, bottom: from there.
    """

    ink: SystemInk | Placed
    y: float
    top: float
    bottom: float


class Tiles:
    """The pages of one handout as pictures, at one scale at a time (device pixels a point).

    A band stands on the next whole pixel down its page, up to half a pixel off its place: so it can be copied.
    """

    def __init__(self, layout: Layout) -> None:
        self._begin(layout)
        self._scale = 1.0

    def _begin(self, layout: Layout) -> None:
        self.layout, self._bands = layout, _bands(layout)
        self._painter = PagePainter(layout.pages.music_font, layout.pages.colours, _DRAWINGS, stamped=True)
        self._tiles: dict[tuple[SystemInk | Placed, int, int], QPixmap] = {}
        self._kept = 0

    def set_layout(self, layout: Layout) -> list[tuple[int, QRectF]]:
        """Go on with another layout. What has changed: page by index and rectangle in points."""
        width, old = layout.pages.pages[0].width, self._bands
        if layout.template is not self.layout.template or width != self.layout.pages.pages[0].width:
            self._begin(layout)
            return [(index, QRectF(0, 0, page.width, page.height)) for index, page in enumerate(layout.pages.pages)]
        self.layout, self._bands = layout, _bands(layout)
        return [(index, QRectF(0, band.y + band.top, width, band.bottom - band.top))
                for index, bands in enumerate(self._bands)
                for band in {*bands} ^ {*(old[index] if index < len(old) else ())}]

    def paint(self, painter: QPainter, index: int, exposed: QRect, scale: float) -> None:
        """Copy part of a page. painter: one unit a device pixel, 0, 0 the page's corner; exposed: in the same."""
        if scale != self._scale:
            self._scale = scale
            self._tiles.clear()
            self._kept = 0
        painter.fillRect(exposed, Qt.GlobalColor.white)
        wide = ceil(self.layout.pages.pages[index].width * scale)
        for band in self._bands[index]:
            top = round(band.y * scale) + floor(band.top * scale)
            area = QRect(0, top, wide, ceil((band.bottom - band.top) * scale) + 1)
            seen = area.intersected(exposed).translated(0, -top)
            if not seen.isEmpty():
                for row in range(seen.top() // HIGH, seen.bottom() // HIGH + 1):
                    for column in range(seen.left() // WIDE, seen.right() // WIDE + 1):
                        painter.drawPixmap(column * WIDE, top + row * HIGH, self._tile(band, area, column, row))

    def _tile(self, band: _Band, area: QRect, column: int, row: int) -> QPixmap:
        """The tile, painted; the ones looked at longest ago are dropped when there are too many."""
        key = band.ink, column, row
        tile = self._tiles.pop(key, None)
        if tile is None:
            tile = self._painted(band, area, column, row)
            self._kept += tile.width() * tile.height()
        self._tiles[key] = tile
        while self._kept > _KEEP and len(self._tiles) > 1:
            last = self._tiles.pop(next(iter(self._tiles)))
            self._kept -= last.width() * last.height()
        return tile

    def _painted(self, band: _Band, area: QRect, column: int, row: int) -> QPixmap:
        left, top = column * WIDE, row * HIGH
        tile = QPixmap(min(WIDE, area.width() - left), min(HIGH, area.height() - top))
        tile.fill(Qt.GlobalColor.transparent)  # a band's edges lie over its neighbours'
        part = tile.rect()
        painter = QPainter(tile)
        painter.translate(-left, -top - floor(band.top * self._scale))
        painter.scale(self._scale, self._scale)
        whole = part.size() == area.size()
        self._painter.paint(painter, Page(0, 0, tuple(self._placed(band.ink))), None if whole else QRegion(part))
        painter.end()
        return tile

    def _placed(self, ink: SystemInk | Placed) -> Iterator[Placed]:
        """Its drawings, y from the band's own."""
        if isinstance(ink, Placed):
            yield ink
            return
        left, space = self.layout.template.left, self.layout.template.space
        for item in ink.items:
            yield Placed(item.drawing, left + item.x * space, item.y * space, space)


def _bands(layout: Layout) -> list[list[_Band]]:
    """Page by page."""
    space, font = layout.template.space, layout.template.style.music
    found: list[list[_Band]] = [[] for _ in layout.pages.pages]
    for system in layout.systems:
        top, bottom = (system.ink.top - _BEYOND) * space, (system.ink.bottom + _BEYOND) * space
        found[system.page].append(_Band(system.ink, system.y, top, bottom))
    for bands, beside in zip(found, layout.furniture, strict=True):
        for placed in beside:
            if placed.drawing.marks:
                box = drawing_box(placed.drawing, font).grown(_BEYOND)
                bands.append(_Band(placed._replace(y=0.0), placed.y, box.top * placed.scale,
                                   box.bottom * placed.scale))
    return found
