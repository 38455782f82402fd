"""Pages on a QPainter, from the outlines the PDF is made of, so that screen and print agree."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen, QRegion, QTransform

from app.stamps import LARGEST, Sign, Signs, Stamps
from core.engraving.boxes import ARC_PEN, drawing_box
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Ink, Line, Page, Placed, Polygon, Text
from core.engraving.faces import face
from core.engraving.outline import Outline
from core.engraving.smufl import MusicFont, music_font


class _Shape(NamedTuple):
    """A path to fill, in staff spaces; and, if edged, to stroke as arcs are."""

    ink: Ink
    path: QPainterPath
    edged: bool = False


class _Bar(NamedTuple):
    """A rectangle to fill, as most lines are: made and filled in a fraction of the time that a path takes."""

    ink: Ink
    box: QRectF


_Part = _Shape | _Bar | Signs
_Run = tuple[_Shape, ...] | tuple[_Bar, ...] | tuple[Signs, ...]
"""A drawing is taken apart into runs of one kind, in their order. Each sign has a path: the time to fill one grows with
the square of what lies side by side in it (measured: a line of text in one path takes three times as long)."""
_TEXTS = 5000
"""So many are kept taken apart into their characters."""
_BEYOND = 1.5  # staff spaces round a drawing's box: what a text's leaves out, and antialiasing


class PagePainter:
    """Paints pages of one look, and keeps what it made of the drawings it painted last."""

    def __init__(self, font: str, colours: dict[str, str], keep: int = 2000, *, stamped: bool = False) -> None:
        """font: a SMuFL font's name; colours: hex for each ink; keep: how many drawings.

        stamped: for pictures, one unit of whose painter is a pixel before it is scaled and moved: small signs are
        copied, up to an eighth of a pixel off their place.
        """
        self._font = music_font(font)
        self._colours = {ink: QColor(colour) for ink, colour in colours.items()}
        self._edges = {ink: _pen(colour) for ink, colour in self._colours.items()}
        self._keep = keep
        self._stamps = Stamps(self._colours) if stamped else None
        self._ready: dict[Drawing, tuple[_Run, ...]] = {}
        self._outlines: dict[tuple[str, str], QPainterPath] = {}
        self._texts: dict[tuple[str, str], tuple[Sign, ...]] = {}
        self._make: dict[type[Any], Callable[[Any], Iterator[_Part]]] = {
            Glyph: self._glyph, Line: _line, Polygon: _polygon, Arc: _arc, Text: self._text, Frame: _frame,
        }

    def paint(self, painter: QPainter, page: Page, exposed: QRegion | None = None) -> None:
        """Paint a page, one unit of the painter a point, from the page's top left corner.

        The painter's own transform sets zoom and place. exposed: the part to paint, in the units that the painter has
        beneath that transform; all if None.
        """
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        base = painter.transform()
        for placed in page.placed:
            if exposed is None or exposed.intersects(base.mapRect(reach(placed, self._font)).toAlignedRect()):
                place = QTransform(placed.scale, 0, 0, placed.scale, placed.x, placed.y) * base
                for run in self._made(placed.drawing):
                    kind = type(run[0])
                    if kind is Signs:
                        self._stand(painter, run, place)
                        continue
                    painter.setTransform(place)
                    if kind is _Bar:
                        for ink, box in run:
                            painter.fillRect(box, self._colours[ink])
                    else:
                        self._fill(painter, run)
        painter.restore()

    def _fill(self, painter: QPainter, shapes: tuple[_Shape, ...]) -> None:
        look = None
        for ink, path, edged in shapes:
            if look != (ink, edged):
                look = ink, edged
                painter.setBrush(self._colours[ink])
                painter.setPen(self._edges[ink] if edged else Qt.PenStyle.NoPen)
            painter.drawPath(path)

    def _stand(self, painter: QPainter, lines: tuple[Signs, ...], place: QTransform) -> None:
        scale = place.m11()
        if self._stamps is not None and max([line.size for line in lines]) * scale <= LARGEST:
            painter.resetTransform()
            self._stamps.put(painter, lines, scale, place.dx(), place.dy())
            return
        painter.setPen(Qt.PenStyle.NoPen)
        for ink, size, x, y, signs in lines:
            painter.setBrush(self._colours[ink])
            for sign in signs:
                painter.setTransform(QTransform(size, 0, 0, size, x + sign.x * size, y) * place)
                painter.drawPath(sign.path)

    def _made(self, drawing: Drawing) -> tuple[_Run, ...]:
        """The drawing as runs; the one painted longest ago is dropped when there are too many."""
        ready = self._ready.pop(drawing, None)
        if ready is None:
            parts = [part for mark in drawing.marks for part in self._make[type(mark)](mark)]
            ready = tuple([tuple(run) for _, run in groupby(parts, type)])
            if len(self._ready) >= self._keep:
                del self._ready[next(iter(self._ready))]
        self._ready[drawing] = ready
        return ready

    def _glyph(self, mark: Glyph) -> Iterator[Signs]:
        yield Signs(mark.ink, mark.scale, mark.x, mark.y, self._taken_apart("", mark.name))

    def _text(self, mark: Text) -> Iterator[Signs]:
        yield Signs(mark.ink, mark.size, mark.x, mark.y, self._taken_apart(mark.face, mark.text))

    def _taken_apart(self, name: str, text: str) -> tuple[Sign, ...]:
        """name: of a text's face; "" for a glyph, whose own name `text` is."""
        signs = self._texts.get((name, text))
        if signs is None:
            found, x = [], 0.0
            for sign in text if name else (text,):
                path = self._outline(name, sign)
                if not path.isEmpty():
                    found.append(Sign((name, sign), path, x))
                x += face(name).width(sign, 1.0) if name else 0.0
            if len(self._texts) > _TEXTS:
                self._texts.clear()
            signs = self._texts[name, text] = tuple(found)
        return signs

    def _outline(self, name: str, sign: str) -> QPainterPath:
        path = self._outlines.get((name, sign))
        if path is None:
            outline = face(name).outline(sign) if name else self._font.outline(sign)
            path = self._outlines[name, sign] = _path(outline)
        return path


def reach(placed: Placed, font: MusicFont) -> QRectF:
    """The area of a drawing on its page, in points; empty if it has no marks."""
    if not placed.drawing.marks:
        return QRectF()
    left, top, right, bottom = drawing_box(placed.drawing, font).grown(_BEYOND)
    return QRectF(placed.x + left * placed.scale, placed.y + top * placed.scale,
                  (right - left) * placed.scale, (bottom - top) * placed.scale)


def _line(mark: Line) -> Iterator[_Shape | _Bar]:
    x1, y1, x2, y2, width, ink, _, dash = mark
    if dash is None and x1 == x2:
        yield _Bar(ink, QRectF(x1 - width / 2, y1, width, y2 - y1))
        return
    if dash is None and y1 == y2:
        yield _Bar(ink, QRectF(x1, y1 - width / 2, x2 - x1, width))
        return
    path = QPainterPath(QPointF(mark.x1, mark.y1))
    path.lineTo(mark.x2, mark.y2)
    stroker = QPainterPathStroker()
    stroker.setWidth(mark.width)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    if mark.dash is not None:
        stroker.setDashPattern([length / mark.width for length in mark.dash])
    yield _Shape(mark.ink, stroker.createStroke(path))


def _polygon(mark: Polygon) -> Iterator[_Shape]:
    path = QPainterPath(QPointF(*mark.points[0]))
    for point in mark.points[1:]:
        path.lineTo(*point)
    path.setFillRule(Qt.FillRule.WindingFill)
    yield _Shape(mark.ink, path)


def _arc(mark: Arc) -> Iterator[_Shape]:
    path = QPainterPath(QPointF(*mark.start))
    path.cubicTo(*mark.near[0], *mark.near[1], *mark.end)
    path.cubicTo(*mark.far[1], *mark.far[0], *mark.start)
    path.closeSubpath()
    path.setFillRule(Qt.FillRule.WindingFill)
    yield _Shape(mark.ink, path, edged=True)


def _frame(mark: Frame) -> Iterator[_Shape]:
    half, path = mark.width / 2, QPainterPath()  # filled odd-even: what lies between two rectangles
    for edge in (half, -half):
        path.addRect(QRectF(QPointF(mark.left - edge, mark.top - edge), QPointF(mark.right + edge, mark.bottom + edge)))
    yield _Shape(mark.ink, path)


def _pen(colour: QColor) -> QPen:
    return QPen(colour, ARC_PEN, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin)


def _path(outline: Outline) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for verb, points in outline:
        ends = [value for point in points for value in point]
        if verb == "move":
            path.moveTo(*ends)
        elif verb == "line":
            path.lineTo(*ends)
        elif verb == "curve":
            path.cubicTo(*ends)
        else:
            path.closeSubpath()
    return path
