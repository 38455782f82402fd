"""The whole neck as a picture to work on: strings and frets, what is played on it, and a place to point at.

Frets are numbered from the capo; the dots are the inlays of most guitars (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPalette, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from app.neck_marks import Mark
from app.neck_shape import RADIUS, Neck
from app.selection_ink import BLUE
from app.spoken import pretty
from core.guitar import Place
from core.study import Instrument

_INLAY = 4.0
_SINGLE, _DOUBLE = (3, 5, 7, 9, 15, 17, 19, 21), (12, 24)
_CROSS = QColor("#D55E00")  # vermilion, Okabe & Ito, Color Universal Design, 2008: as the writing caret
_LIGHT_BLUE = QColor("#56B4E9")  # sky blue of the same palette, where the surroundings are dark
_Key, _Shift = Qt.Key, Qt.KeyboardModifier.ShiftModifier


class NeckBoard(QWidget):
    """pointed: at another place, by mouse or keys, or at none; picked: a place was, and whether with Shift."""

    pointed = Signal()
    picked = Signal(Place, bool)

    def __init__(self, name: str) -> None:
        super().__init__()
        self._instrument, self._mirrored = Instrument(), False
        self._marks: Sequence[Mark] = ()
        self._others: Sequence[Place] = ()
        self._under: Place | None = None  # the mouse
        self.cross = Place(1, 0)
        self._bare, self._bare_of = QPixmap(), ()
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard with the page
        self.setMouseTracking(True)
        self.setMinimumWidth(480)

    @property
    def neck(self) -> Neck:
        instrument = self._instrument
        return Neck(len(instrument.tuning), instrument.frets, instrument.capo, self._mirrored, self.width())

    @property
    def marks(self) -> Sequence[Mark]:
        return self._marks

    @property
    def others(self) -> Sequence[Place]:
        """Where else the selected note lies."""
        return self._others

    @property
    def at(self) -> Place | None:
        """What is pointed at: by the mouse, else by the cross while the keyboard is here."""
        return self._under or (self.cross if self.hasFocus() else None)

    def show_neck(self, instrument: Instrument, mirrored: bool) -> None:
        """mirrored: for a left-handed guitarist."""
        if (instrument, mirrored) != (self._instrument, self._mirrored):
            self._under = None
        self._instrument, self._mirrored = instrument, mirrored
        self.setFixedHeight(round(self.neck.height))

    def show_marks(self, marks: Sequence[Mark], others: Sequence[Place]) -> None:
        """What is played on it. The cross goes to the selected note."""
        self._marks, self._others = marks, others
        self._point(next((mark.place for mark in marks if mark.is_selected), self.cross))

    def _point(self, place: Place) -> None:
        """Put the cross there, or as near as the neck goes."""
        neck = self.neck
        self.cross = Place(min(max(place.string, 1), neck.strings), min(max(place.fret, 0), neck.frets))
        self.update()
        self.pointed.emit()

    # Mouse and keys

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        self._hover(self.neck.place_at(event.position()))

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802
        self._hover(None)

    def _hover(self, place: Place | None) -> None:
        if place != self._under:
            self._under = place
            self.update()
            self.pointed.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        place = self.neck.place_at(event.position())
        if place is not None and event.button() == Qt.MouseButton.LeftButton:
            self._point(place)
            self.picked.emit(place, bool(event.modifiers() & _Shift))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        key, held = _Key(event.key()), event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in (_Key.Key_Return, _Key.Key_Enter) and held in (_Shift, Qt.KeyboardModifier.NoModifier):
            return self.picked.emit(self.cross, held == _Shift)
        to = None if held else self._where(key)
        if to is None:
            return super().keyPressEvent(event)
        self._under = None
        return self._point(to)

    def _where(self, key: Qt.Key) -> Place | None:
        """Where a key leads: the way it points; Home and End to the ends of the string."""
        string, fret = self.cross
        right = -1 if self._mirrored else 1
        return {
            _Key.Key_Up: Place(string - 1, fret), _Key.Key_Down: Place(string + 1, fret),
            _Key.Key_Right: Place(string, fret + right), _Key.Key_Left: Place(string, fret - right),
            _Key.Key_Home: Place(string, 0), _Key.Key_End: Place(string, self.neck.frets),
        }.get(key)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusInEvent(event)
        self._point(self.cross)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusOutEvent(event)
        self._point(self.cross)

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.drawPixmap(0, 0, self._bare_neck())
        for place in self._others:
            painter.setPen(QPen(self._blue, 1.2, Qt.PenStyle.DotLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(self.neck.middle(place), RADIUS - 2, RADIUS - 2)
        for mark in self._marks:
            self._paint_mark(painter, mark)
        if self._under is not None:
            painter.setPen(QPen(_CROSS, 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(self.neck.middle(self._under), RADIUS + 1.5, RADIUS + 1.5)
        if self.hasFocus():
            self._paint_cross(painter)
        painter.end()

    @property
    def _ink(self) -> QColor:
        return self.palette().color(QPalette.ColorRole.Text)

    @property
    def _blue(self) -> QColor:
        return _LIGHT_BLUE if self.palette().color(QPalette.ColorRole.Base).lightness() < 128 else BLUE

    def _mixed(self, share: float) -> QColor:
        """So much ink on the ground."""
        ink, ground = self._ink, self.palette().color(QPalette.ColorRole.Base)
        return QColor(*(round(one * share + other * (1 - share)) for one, other in zip(
            ink.getRgb()[:3], ground.getRgb()[:3], strict=True)))

    def _bare_neck(self) -> QPixmap:
        """Painted once for a neck, a size and a palette: a key that moves a mark has not long to wait."""
        ratio = self.devicePixelRatioF()
        of = (self._instrument, self.neck, ratio, self.palette().cacheKey())
        if of != self._bare_of:
            self._bare_of, self._bare = of, QPixmap(self.size() * ratio)
            self._bare.setDevicePixelRatio(ratio)
            self._bare.fill(self.palette().color(QPalette.ColorRole.Base))
            painter = QPainter(self._bare)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_neck(painter)
            painter.end()
        return self._bare

    def _paint_neck(self, painter: QPainter) -> None:
        neck = self.neck
        top, bottom = neck.y(1), neck.y(neck.strings)
        left, right = sorted((neck.turned(neck.wire(0)), neck.turned(neck.wire(neck.wires))))
        painter.fillRect(QRectF(left, top, right - left, bottom - top), self._mixed(0.05))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._mixed(0.16))
        for fret in (*_SINGLE, *_DOUBLE):
            x = neck.turned((neck.wire(fret - 1) + neck.wire(fret)) / 2)
            away = (bottom - top) / 4 if fret in _DOUBLE else 0
            for y in {(top + bottom) / 2 - away, (top + bottom) / 2 + away} if fret <= neck.wires else ():
                painter.drawEllipse(QPointF(x, y), _INLAY, _INLAY)
        for fret in range(neck.wires + 1):
            painter.setPen(QPen(self._mixed(0.4 if fret else 0.8), 1.2 if fret else 4))
            painter.drawLine(QPointF(neck.turned(neck.wire(fret)), top), QPointF(neck.turned(neck.wire(fret)), bottom))
        for string in range(1, neck.strings + 1):
            painter.setPen(QPen(self._mixed(0.55), 0.8 + 0.25 * string))
            painter.drawLine(QPointF(left, neck.y(string)), QPointF(right, neck.y(string)))
        if neck.capo:
            painter.setPen(QPen(self._mixed(0.7), 7, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
            x = neck.middle(Place(1, 0)).x()
            painter.drawLine(QPointF(x, top - 5), QPointF(x, bottom + 5))
            behind = QRectF(QPointF(neck.turned(neck.wire(0)), top - 6), QPointF(x, bottom + 6)).normalized()
            veil = self.palette().color(QPalette.ColorRole.Base)
            veil.setAlpha(150)
            painter.fillRect(behind, veil)
        self._paint_words(painter, neck)

    def _paint_words(self, painter: QPainter, neck: Neck) -> None:
        """Names of the strings as they are tuned, and numbers of the frets."""
        small = self.font()
        small.setPixelSize(11)
        painter.setFont(small)
        painter.setPen(self._mixed(0.75))
        for string in range(1, neck.strings + 1):
            pitch = self._instrument.tuning[-string]
            name = pretty(pitch.name).rstrip("-0123456789")
            painter.drawText(QRectF(neck.names_x - 15, neck.y(string) - 10, 30, 20), Qt.AlignmentFlag.AlignCenter, name)
        for fret in range(1, neck.frets + 1):
            wire, x = fret + neck.capo, neck.middle(Place(1, fret)).x()
            painter.setPen(self._mixed(0.85 if wire in (*_SINGLE, *_DOUBLE) else 0.5))
            painter.drawText(QRectF(x - 15, neck.y(neck.strings) + 11, 30, 18), Qt.AlignmentFlag.AlignCenter, str(fret))

    def _paint_mark(self, painter: QPainter, mark: Mark) -> None:
        """Full where the teacher set it, hollow where it is proposed; blue for the selected note."""
        font = self.font()
        font.setPixelSize(11)
        font.setBold(True)
        painter.setFont(font)
        text, ground = " ".join(mark.names), self.palette().color(QPalette.ColorRole.Base)
        half = max(RADIUS, painter.fontMetrics().horizontalAdvance(text) / 2 + 4)
        colour = self._blue if mark.is_selected else self._ink
        middle = self.neck.middle(mark.place)
        box = QRectF(middle.x() - half, middle.y() - RADIUS, 2 * half, 2 * RADIUS)
        painter.setPen(QPen(colour, 1.8))
        painter.setBrush(colour if mark.is_set else ground)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        painter.setPen(ground if mark.is_set else colour)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_cross(self, painter: QPainter) -> None:
        middle = self.neck.middle(self.cross)
        painter.setPen(QPen(_CROSS, 2.5))
        for x, y in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            way = QPointF(x, y)
            painter.drawLine(middle + way * (RADIUS + 1), middle + way * (RADIUS + 7))
        painter.setPen(QPen(self._blue, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3, 3)
