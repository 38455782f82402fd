"""What is painted over the paper: washes behind what is selected, its own ink in blue, a line under each fret that is
set in its bars, and the writing caret."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.paint import PagePainter
from app.pen import Pen
from app.places import Selected, Spot, heads, ink_of, note_spots, rows_spot, set_frets, system_of, words_spots
from app.staff_hits import StaffHit, caret_spot, height_y, staves_of
from core.engraving.boxes import Box
from core.engraving.drawing import Drawing, Page, Placed
from core.handout import Layout
from core.study import NotePlace

BLUE = QColor("#0072B2")  # Okabe & Ito, Color Universal Design, 2008
_BAR_WASH = QColor("#EAF3FA")
_NOTE_WASH = QColor("#BFDDF0")
_CARET = QColor("#D55E00")  # vermilion of the same palette: apart from the selection's blue
_HALF_HEAD = (0.62, 0.46)  # staff spaces across and down


class Sight(NamedTuple):
    """Where each page lies on the viewport, in logical pixels, and how many of those a point takes."""

    pages: list[QRect]
    pixels: float

    def box(self, spot: Spot) -> QRectF:
        left, top, right, bottom = (edge * self.pixels for edge in spot.box)
        return QRectF(left, top, right - left, bottom - top).translated(QPointF(self.pages[spot.page].topLeft()))


def paint_selection(painter: QPainter, sight: Sight, layout: Layout, at: Selected, framed: bool) -> None:
    """Washes are multiplied in, so ink stays ink; then the selected notes' own ink again, in blue.

    framed: whether a line is drawn round the bar.
    """
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Multiply)
    bar = sight.box(rows_spot(layout, at.bar)).adjusted(0, -3, 0, 3)
    painter.fillRect(bar, _BAR_WASH)
    for spot in words_spots(layout, at.bar):
        painter.fillRect(sight.box(spot).adjusted(-3, -3, 3, 3), _BAR_WASH)
    span = at.span
    chosen = [] if span is None else [
        head for head in heads(layout.study, range(span[0].bar, span[1].bar + 1)) if span[0] <= head <= span[1]]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_NOTE_WASH)
    for head in chosen:
        for spot in note_spots(layout, head):
            painter.drawRoundedRect(sight.box(spot).adjusted(-4, -3, 4, 3), 4, 4)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
    if framed:
        painter.setPen(QPen(BLUE, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(bar, 3, 3)
    _tint(painter, sight, layout, chosen)
    _underline(painter, sight, layout, range(span[0].bar, span[1].bar + 1) if span else [at.bar])


def _underline(painter: QPainter, sight: Sight, layout: Layout, bars: Iterable[int]) -> None:
    """What is set apart from what is proposed."""
    painter.setPen(QPen(BLUE, 1.4))
    for box in map(sight.box, set_frets(layout, bars)):
        painter.drawLine(QPointF(box.left(), box.bottom() + 2), QPointF(box.right(), box.bottom() + 2))


def paint_pen(painter: QPainter, sight: Sight, layout: Layout, pen: Pen, under: StaffHit | None) -> None:
    """The caret, thicker on the string that frets are typed for; and a head where a click would write one.

    under: what the mouse is over.
    """
    spot, space = caret_spot(layout, pen.caret), layout.template.space
    line = sight.box(spot)
    painter.setPen(QPen(_CARET, 2))
    painter.drawLine(line.topLeft(), line.bottomLeft())
    for y, way in ((line.top(), 1), (line.bottom(), -1)):
        painter.drawLine(QPointF(line.left() - 4, y - 4 * way), QPointF(line.left(), y))
        painter.drawLine(QPointF(line.left() + 4, y - 4 * way), QPointF(line.left(), y))
    tab = staves_of(layout, pen.caret.bar).tab
    if pen.string is not None and pen.string <= len(tab):
        y = tab[pen.string - 1]
        around = Box(spot.box.left + 0.2 * space, y - 0.75 * space, spot.box.left + 1.9 * space, y + 0.75 * space)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(sight.box(Spot(spot.page, around)), 3, 3)
    if under is not None and under.diatonic is not None:
        place = caret_spot(layout, under.caret)
        x, y = place.box.left + (0.45 + _HALF_HEAD[0]) * space, height_y(layout, under.caret.bar, under.diatonic)
        head = Box(x - _HALF_HEAD[0] * space, y - _HALF_HEAD[1] * space, x + _HALF_HEAD[0] * space,
                   y + _HALF_HEAD[1] * space)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(_CARET.red(), _CARET.green(), _CARET.blue(), 170))
        painter.drawEllipse(sight.box(Spot(place.page, head)))


def _tint(painter: QPainter, sight: Sight, layout: Layout, chosen: list[NotePlace]) -> None:
    pages = layout.pages
    blue = _blue(pages.music_font, tuple(pages.colours))
    wanted = {(head.bar, head.event, head.note) for head in chosen}
    for index in sorted({system_of(layout, head.bar).page for head in chosen}):
        page = pages.pages[index]
        own = [one for bar in sorted({head.bar for head in chosen}) if system_of(layout, bar).page == index
               for one in ink_of(layout, bar)]
        placed = [one._replace(drawing=_only(one, wanted)) for one in own]
        painter.save()
        painter.translate(sight.pages[index].topLeft())
        painter.scale(sight.pixels, sight.pixels)
        blue.paint(painter, Page(page.width, page.height, tuple(one for one in placed if one.drawing.marks)))
        painter.restore()


@lru_cache(maxsize=4)
def _blue(font: str, inks: tuple[str, ...]) -> PagePainter:
    return PagePainter(font, dict.fromkeys(inks, BLUE.name()), keep=60)


def _only(placed: Placed, wanted: set[tuple[int, int, int]]) -> Drawing:
    """The marks of these notes alone."""
    return Drawing(tuple(
        mark for mark in placed.drawing.marks
        if mark.tag is not None and mark.tag.kind in ("note", "tab", "degree")
        and (placed.bar, mark.tag.event, mark.tag.note) in wanted))
