"""Pages on a QPainter, from the outlines the PDF is made of, so that screen and print agree."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen, QTransform

from core.engraving.boxes import ARC_PEN
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Ink, Line, Page, Polygon, Text
from core.engraving.faces import face
from core.engraving.outline import Outline
from core.engraving.smufl import music_font


class _Shape(NamedTuple):
    """A path to fill, in staff spaces; and, if edged, to stroke as arcs are.

    A shape is no more than a character or a glyph: the time to paint a path grows with the square of
    what lies side by side in it (measured: a line of text in one path takes three times as long).
    """

    ink: Ink
    path: QPainterPath
    edged: bool = False


class _Ready(NamedTuple):
    shapes: tuple[_Shape, ...]
    box: QRectF


class PagePainter:
    """Paints pages of one look, and keeps what it made of the drawings it painted last."""

    def __init__(self, font: str, colours: dict[str, str], keep: int = 2000) -> None:
        """font: a SMuFL font's name; colours: hex for each ink; keep: how many drawings."""
        self._font = music_font(font)
        self._colours = {ink: QColor(colour) for ink, colour in colours.items()}
        self._edges = {ink: _pen(colour) for ink, colour in self._colours.items()}
        self._keep = keep
        self._ready: dict[Drawing, _Ready] = {}
        self._glyphs: dict[str, QPainterPath] = {}
        self._characters: dict[tuple[str, str], QPainterPath] = {}
        self._make: dict[type[Any], Callable[[Any], Iterator[_Shape]]] = {
            Glyph: self._glyph, Line: _line, Polygon: _polygon, Arc: _arc, Text: self._text, Frame: _frame,
        }

    def paint(self, painter: QPainter, page: Page, exposed: QRectF | None = None) -> None:
        """Paint a page, one unit of the painter a point, from the page's top left corner.

        The painter's own transform sets zoom and place. exposed: the part to paint, in points; all if None.
        """
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        base = painter.transform()
        for placed in page.placed:
            ready = self._made(placed.drawing)
            place = QTransform(placed.scale, 0, 0, placed.scale, placed.x, placed.y)
            if exposed is None or place.mapRect(ready.box).intersects(exposed):
                painter.setTransform(place * base)
                self._fill(painter, ready.shapes)
        painter.restore()

    def _fill(self, painter: QPainter, shapes: tuple[_Shape, ...]) -> None:
        look = None
        for ink, path, edged in shapes:
            if look != (ink, edged):
                look = ink, edged
                painter.setBrush(self._colours[ink])
                painter.setPen(self._edges[ink] if edged else Qt.PenStyle.NoPen)
            painter.drawPath(path)

    def _made(self, drawing: Drawing) -> _Ready:
        """The drawing as shapes; the one painted longest ago is dropped when there are too many."""
        ready = self._ready.pop(drawing, None)
        if ready is None:
            shapes = tuple(shape for mark in drawing.marks for shape in self._make[type(mark)](mark))
            box = QRectF()
            for shape in shapes:
                box = box.united(shape.path.controlPointRect())
            ready = _Ready(shapes, box.adjusted(-ARC_PEN, -ARC_PEN, ARC_PEN, ARC_PEN))
            if len(self._ready) >= self._keep:
                del self._ready[next(iter(self._ready))]
        self._ready[drawing] = ready
        return ready

    def _glyph(self, mark: Glyph) -> Iterator[_Shape]:
        path = self._glyphs.get(mark.name)
        if path is None:
            path = self._glyphs[mark.name] = _path(self._font.outline(mark.name))
        yield _Shape(mark.ink, QTransform(mark.scale, 0, 0, mark.scale, mark.x, mark.y).map(path))

    def _text(self, mark: Text) -> Iterator[_Shape]:
        font, x = face(mark.face), mark.x
        for character in mark.text:
            path = self._characters.get((mark.face, character))
            if path is None:
                path = self._characters[mark.face, character] = _path(font.outline(character))
            if not path.isEmpty():
                yield _Shape(mark.ink, QTransform(mark.size, 0, 0, mark.size, x, mark.y).map(path))
            x += font.width(character, mark.size)


def _line(mark: Line) -> Iterator[_Shape]:
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
