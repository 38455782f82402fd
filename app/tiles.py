"""Painted pages kept as tiles, so that scrolling copies pictures, and an edit repaints only what it changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, floor

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap, QRegion

from app.paint import PagePainter, reach
from core.engraving.drawing import Drawing, Page, Pages, Placed
from core.engraving.smufl import MusicFont, music_font

WIDE, HIGH = 1024, 256
"""Of a tile, in device pixels: a page at its own size is one tile wide, a system two high."""
_KEEP = 64
_DRAWINGS = 400  # some three pages' worth: a drawing's paths weigh far more than the drawing
_Key = tuple[int, int, int]  # page, column, row


class _Tile:
    """pixmap, and the part of it (in its own pixels) that has to be painted again."""

    def __init__(self) -> None:
        self.pixmap = QPixmap(WIDE, HIGH)
        self.stale = QRegion(0, 0, WIDE, HIGH)


class Tiles:
    """The pages of one handout as pictures, at one scale at a time (device pixels a point)."""

    def __init__(self, pages: Pages) -> None:
        self.pages = pages
        self._painter = PagePainter(pages.music_font, pages.colours, _DRAWINGS, stamped=True)
        self._scale = 1.0
        self._tiles: dict[_Key, _Tile] = {}

    def set_pages(self, pages: Pages) -> list[tuple[int, QRectF]]:
        """Go on with other pages. What has changed: page by index and rectangle in points."""
        before, self.pages = self.pages, _with_kept(self.pages, pages)
        if (pages.music_font, pages.colours) != (before.music_font, before.colours):
            self._painter = PagePainter(pages.music_font, pages.colours, _DRAWINGS, stamped=True)
            before = Pages((), "", "", "", "", {})
        changes = list(_changes(before, self.pages))
        for index, area in changes:
            self._spoil(index, area)
        return changes

    def _spoil(self, index: int, area: QRectF) -> None:
        rect = _device(area, self._scale)
        for (page, column, row), tile in self._tiles.items():
            part = rect.intersected(QRect(column * WIDE, row * HIGH, WIDE, HIGH))
            if page == index and not part.isEmpty():
                tile.stale += part.translated(-column * WIDE, -row * HIGH)

    def paint(self, painter: QPainter, index: int, exposed: QRect, scale: float) -> None:
        """Copy part of a page. painter: one unit a device pixel, 0, 0 the page's corner; exposed: in the same."""
        if scale != self._scale:
            self._scale = scale
            self._tiles.clear()
        for row in range(max(0, exposed.top() // HIGH), exposed.bottom() // HIGH + 1):
            for column in range(max(0, exposed.left() // WIDE), exposed.right() // WIDE + 1):
                rect = QRect(column * WIDE, row * HIGH, WIDE, HIGH).intersected(exposed)
                tile = self._fresh((index, column, row))
                painter.drawPixmap(rect, tile.pixmap, rect.translated(-column * WIDE, -row * HIGH))

    def _fresh(self, key: _Key) -> _Tile:
        """The tile, painted; the one looked at longest ago is dropped when there are too many."""
        tile = self._tiles.pop(key, None) or _Tile()
        if not tile.stale.isEmpty():
            self._repaint(tile, key)
        if len(self._tiles) >= _KEEP:
            del self._tiles[next(iter(self._tiles))]
        self._tiles[key] = tile
        return tile

    def _repaint(self, tile: _Tile, key: _Key) -> None:
        page, column, row = key
        painter = QPainter(tile.pixmap)
        painter.setClipRegion(tile.stale)
        painter.fillRect(tile.stale.boundingRect(), Qt.GlobalColor.white)
        painter.translate(-column * WIDE, -row * HIGH)
        painter.scale(self._scale, self._scale)
        self._painter.paint(painter, self.pages.pages[page], tile.stale)
        painter.end()
        tile.stale = QRegion()


def _device(area: QRectF, scale: float) -> QRect:
    corner = QPoint(floor(area.left() * scale) - 1, floor(area.top() * scale) - 1)
    return QRect(corner, QPoint(ceil(area.right() * scale) + 1, ceil(area.bottom() * scale) + 1))


def _with_kept(before: Pages, after: Pages) -> Pages:
    """The new pages, with each drawing that was there before, mark for mark, as the very same object.

    An edit sets its system anew, and most of what it sets comes out as it was.
    """
    kept = [_with_kept_drawings(old, new) for old, new in zip(before.pages, after.pages, strict=False)]
    return replace(after, pages=(*kept, *after.pages[len(kept):]))


def _with_kept_drawings(old: Page, new: Page) -> Page:
    if old is new:
        return new
    at_place: dict[tuple[float, ...], list[Drawing]] = {}
    for placed in old.placed:
        at_place.setdefault((placed.x, placed.y), []).append(placed.drawing)

    def same(placed: Placed) -> Placed:
        own = placed.drawing
        there = at_place.get((placed.x, placed.y), ())
        twin = next((one for one in there if one is own or one.marks == own.marks), own)
        return placed if twin is own else placed._replace(drawing=twin)

    return replace(new, placed=tuple(map(same, new.placed)))


def _changes(before: Pages, after: Pages) -> Iterator[tuple[int, QRectF]]:
    font = music_font(after.music_font)
    for index, page in enumerate(after.pages):
        old = before.pages[index] if index < len(before.pages) else None
        if old is page:
            continue
        if old is None or (old.width, old.height) != (page.width, page.height):
            yield index, QRectF(0, 0, page.width, page.height)
            continue
        yield from ((index, area) for area in _differences(old, page, font))


def _differences(old: Page, new: Page, font: MusicFont) -> Iterator[QRectF]:
    """Where two pages of one size differ, in bands: what lies beside or over each other is one area."""
    one = {(id(placed.drawing), *placed[1:4]): placed for placed in old.placed}
    other = {(id(placed.drawing), *placed[1:4]): placed for placed in new.placed}
    differing = [placed for key, placed in (*one.items(), *other.items()) if key not in one or key not in other]
    areas = sorted((reach(placed, font) for placed in differing if placed.drawing.marks), key=QRectF.top)
    band = QRectF()
    for area in areas:
        if band.isNull() or area.top() > band.bottom():
            if not band.isNull():
                yield band
            band = area
        else:
            band = band.united(area)
    if not band.isNull():
        yield band
