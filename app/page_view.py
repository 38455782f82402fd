"""The handout on screen: its own ink, page under page, with the selection marked on it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QRegion,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea

from app.cursor import Cursor
from app.document import Document
from app.pen import Pen
from app.places import (
    Selected,
    Spot,
    a_system_on,
    at_point,
    bar_spot,
    first_of_bar,
    last_of_bar,
    note_after,
    note_before,
    note_spots,
    system_of,
    tag_at,
    writes_at,
)
from app.selection_ink import Sight, paint_pen, paint_selection
from app.spoken import bar_name, spoken_note
from app.staff_hits import StaffHit, staff_hit
from app.tiles import Tiles
from app.words import PAGE_VIEW
from core.engraving.drawing import Tag
from core.study import NotePlace

SMALLEST, LARGEST = 0.25, 4.0
"""Zoom; 1 shows paper at its own size on a screen that tells its resolution rightly."""
_POINT = 96 / 72  # logical pixels a point, at zoom 1
_GAP = 18  # logical pixels round and between pages
_AROUND = 12  # logical pixels over and under a system that its washes, frame and caret may take
_Key = Qt.Key
_Held = Qt.KeyboardModifier


class PageView(QAbstractScrollArea):
    """Shows a document's pages and moves its cursor. zoomed: with the new zoom."""

    zoomed = Signal(float)
    entered = Signal(str, int)
    """The person wants to write about what is selected: the kind of ink gone into ("" for none), and its place in
    the bar's list of such."""

    pointed = Signal(StaffHit, bool)
    """While writing, a place on a staff or the tab was clicked; and whether with Shift."""

    def __init__(self, document: Document, cursor: Cursor, pen: Pen) -> None:
        super().__init__()
        self._document, self._cursor, self._pen = document, cursor, pen
        self._under: StaffHit | None = None  # the mouse, while writing
        self._clicked: Tag | None = None  # what Return goes into, until something else is selected or done
        self._tiles = Tiles(document.layout)
        self._zoom = 1.0
        self._fit: Callable[[], None] | None = self.fit_width  # what holds when window or paper change
        self._marked = QRegion()  # of the viewport: where the selection and the caret are painted
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(PAGE_VIEW)
        self.setMinimumSize(320, 240)
        self.setFrameShape(QAbstractScrollArea.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)  # or its coming would change the fit
        document.changed.connect(self._renew)
        document.opened.connect(lambda: self.verticalScrollBar().setValue(0))
        cursor.moved.connect(self._moved)
        pen.changed.connect(self._pen_changed)
        self._moved()

    # Where pages lie: everything here is in logical pixels of the viewport, but for points on a page.

    @property
    def zoom(self) -> float:
        return self._zoom

    @property
    def _pixels(self) -> float:
        """Logical pixels a point."""
        return self._zoom * _POINT

    def _page_rects(self) -> list[QRect]:
        """Each page, as scrolled to."""
        rects, top = [], _GAP - self.verticalScrollBar().value()
        width = max(self.viewport().width(), self._content_width())
        for page in self._document.layout.pages.pages:
            across, down = round(page.width * self._pixels), round(page.height * self._pixels)
            left = (width - across) // 2 - self.horizontalScrollBar().value()
            rects.append(QRect(left, top, across, down))
            top += down + _GAP
        return rects

    def _content_width(self) -> int:
        widest = max(page.width for page in self._document.layout.pages.pages)
        return round(widest * self._pixels) + 2 * _GAP

    def _content_height(self) -> int:
        pages = self._document.layout.pages.pages
        return sum(round(page.height * self._pixels) + _GAP for page in pages) + _GAP

    def on_screen(self, spot: Spot) -> QRectF:
        """Where a spot of a page is on the viewport."""
        return self._sight.box(spot)

    @property
    def _sight(self) -> Sight:
        return Sight(self._page_rects(), self._pixels)

    def _point_of(self, where: QPointF) -> tuple[int, float, float] | None:
        """Page by index, and the point of it in points, that lies there on the viewport."""
        for page, rect in enumerate(self._page_rects()):
            if rect.contains(where.toPoint()):
                return page, (where.x() - rect.x()) / self._pixels, (where.y() - rect.y()) / self._pixels
        return None

    def selected_at(self, where: QPointF) -> Selected | None:
        """What a click there would select."""
        point = self._point_of(where)
        return None if point is None else at_point(self._document.layout, *point)

    # Zooming and scrolling

    def set_zoom(self, zoom: float, around: QPointF | None = None) -> None:
        """Zoom, keeping what lies under `around` (the middle, if None) where it is."""
        self._fit = None
        self._zoom_to(zoom, QPointF(self.viewport().rect().center()) if around is None else around)

    def zoom_by(self, steps: float) -> None:
        self.set_zoom(self._zoom * 1.2 ** steps)

    def fit_width(self) -> None:
        """Pages as wide as the window, and so from now on."""
        self._fit = self.fit_width
        self._zoom_to(self._width_zoom, QPointF(0, 0))

    @property
    def _width_zoom(self) -> float:
        widest = max(page.width for page in self._document.layout.pages.pages)
        return (self.viewport().width() - 2 * _GAP) / (widest * _POINT)

    def fit_page(self) -> None:
        """The page of the selection seen whole, and so from now on; a strip as wide as the window."""
        if self._document.look.strip:
            self.fit_width()
            return
        self._fit = self.fit_page
        height = max(page.height for page in self._document.layout.pages.pages)
        whole = (self.viewport().height() - 2 * _GAP) / (height * _POINT)
        self._zoom_to(min(whole, self._width_zoom), QPointF(0, 0))
        self.show_selection()

    def _page_at(self, y: float) -> int:
        """By index: the first that reaches so far down the viewport, or the last."""
        rects = self._page_rects()
        return next((index for index, rect in enumerate(rects) if rect.bottom() >= y), len(rects) - 1)

    def _zoom_to(self, zoom: float, around: QPointF) -> None:
        zoom = min(max(zoom, SMALLEST), LARGEST)
        index = self._page_at(around.y())
        point = (around - QPointF(self._page_rects()[index].topLeft())) / self._pixels
        self._zoom = zoom
        self._set_ranges()
        corner = QPointF(self._page_rects()[index].topLeft()) + point * self._pixels - around
        for bar, by in ((self.horizontalScrollBar(), corner.x()), (self.verticalScrollBar(), corner.y())):
            bar.setValue(bar.value() + round(by))
        self._paint_all()
        self.zoomed.emit(zoom)

    def _set_ranges(self) -> None:
        size = self.viewport().size()
        for bar, content, shown in ((self.horizontalScrollBar(), self._content_width(), size.width()),
                                    (self.verticalScrollBar(), self._content_height(), size.height())):
            bar.setRange(0, max(0, content - shown))
            bar.setPageStep(shown)
            bar.setSingleStep(40)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        super().resizeEvent(event)
        if self._fit is not None:
            self._fit()
        self._set_ranges()

    def scrollContentsBy(self, across: int, down: int) -> None:  # noqa: N802
        self._paint_all()

    def _paint_all(self) -> None:
        self.viewport().update()
        self._marked = self._marked_systems()

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        if event.modifiers() & _Held.ControlModifier:
            self.set_zoom(self._zoom * 1.2 ** (event.angleDelta().y() / 120), event.position())
            event.accept()
        else:
            super().wheelEvent(event)

    def show_selection(self) -> None:
        """Scroll as little as brings the selection, and its whole system if there is room, into view; or to its page
        where pages are seen whole."""
        layout, at = self._document.layout, self._cursor.at
        sight = self._sight
        here = bar_spot(layout, at.bar)
        if self._fit == self.fit_page:
            top = self._page_rects()[here.page].top()
            self.verticalScrollBar().setValue(self.verticalScrollBar().value() + top - _GAP)
            return
        whole = sight.box(here)
        spots = [sight.box(spot) for spot in note_spots(layout, at.moving)] if at.moving else []
        part = spots[0] if spots else whole
        for spot in spots[1:]:
            part = part.united(spot)
        view = QRectF(self.viewport().rect()).adjusted(_GAP, _GAP, -_GAP, -_GAP)
        down = whole if whole.height() <= view.height() else part
        self.horizontalScrollBar().setValue(
            self.horizontalScrollBar().value() + round(_nudge(part.left(), part.right(), view.left(), view.right())))
        self.verticalScrollBar().setValue(
            self.verticalScrollBar().value() + round(_nudge(down.top(), down.bottom(), view.top(), view.bottom())))

    # The document and the cursor

    def _renew(self) -> None:
        self._clicked = None
        before = [(page.width, page.height) for page in self._tiles.layout.pages.pages]
        changes = self._tiles.set_layout(self._document.layout)
        if before != [(page.width, page.height) for page in self._document.layout.pages.pages]:
            self._set_ranges()
            if self._fit is not None:
                self._fit()
            self._paint_all()
        rects = self._page_rects()
        for index, area in changes:
            shown = QRectF(area.topLeft() * self._pixels, area.bottomRight() * self._pixels)
            around = shown.toAlignedRect().translated(rects[index].topLeft()).adjusted(-2, -2, 2, 2)
            self.viewport().update(around.intersected(rects[index]))
        self._mark_anew()
        self._speak()

    def _pen_changed(self) -> None:
        self.viewport().setMouseTracking(self._pen.writing)
        self._under = None
        self._mark_anew()

    def _moved(self) -> None:
        self._clicked = None
        self.show_selection()
        self._speak()
        self._mark_anew()

    def _mark_anew(self) -> None:
        """Have what lies over the paper painted again, where it was and where it is."""
        marked = self._marked_systems()
        self.viewport().update(self._marked.united(marked))
        self._marked = marked

    def _marked_systems(self) -> QRegion:
        """The systems that the selection and the caret are in."""
        at, carets = self._cursor.at, (self._pen.caret, *((self._under.caret,) if self._under else ()))
        bars = {*range(*_ends(at)), *(caret.bar for caret in carets if self._pen.writing)}
        sight, layout = self._sight, self._document.layout
        region = QRegion()
        for system in layout.systems:
            if any(system.bars.first <= bar < system.bars.end for bar in bars):
                page, space = sight.pages[system.page], layout.template.space * self._pixels
                top = round(page.y() + system.y * self._pixels + system.ink.top * space) - _AROUND
                height = round((system.ink.bottom - system.ink.top) * space) + 2 * _AROUND
                region += QRect(page.x(), top, page.width(), height)
        return region

    def _speak(self) -> None:
        layout, at = self._document.layout, self._cursor.at
        words = spoken_note(layout, at.moving) if at.moving else bar_name(layout.study, at.bar)
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self.viewport())
        sight = self._sight
        if not any(rect.contains(event.rect()) for rect in sight.pages):
            painter.fillRect(event.rect(), surround(self.palette()))
        for index, rect in enumerate(sight.pages):
            if rect.adjusted(-4, -4, 4, 4).intersects(event.rect()):
                self._paint_page(painter, index, rect, event.rect())
        paint_selection(painter, sight, self._document.layout, self._cursor.at, self.hasFocus())
        if self._pen.writing:
            paint_pen(painter, sight, self._document.layout, self._pen, self._under)
        painter.end()

    def _paint_page(self, painter: QPainter, index: int, rect: QRect, exposed: QRect) -> None:
        for grow, depth in ((3, 14), (2, 22), (1, 40)) if not rect.contains(exposed) else ():
            painter.fillRect(rect.adjusted(-grow, 1 - grow, grow, 1 + grow), QColor(0, 0, 0, depth))
        ratio = self.devicePixelRatioF()
        shown = rect.intersected(exposed).translated(-rect.topLeft())
        if shown.isEmpty():
            return
        painter.save()
        painter.setClipRect(rect)
        painter.scale(1 / ratio, 1 / ratio)
        painter.translate(round(rect.x() * ratio), round(rect.y() * ratio))  # on a whole pixel, or tiles would blur
        device = QRectF(shown.x() * ratio, shown.y() * ratio, shown.width() * ratio, shown.height() * ratio)
        self._tiles.paint(painter, index, device.toAlignedRect().adjusted(-1, -1, 1, 1), self._pixels * ratio)
        painter.restore()

    # Mouse and keys

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        if event.button() != Qt.MouseButton.LeftButton:
            return super().mousePressEvent(event)
        to, shift = self.selected_at(event.position()), bool(event.modifiers() & _Held.ShiftModifier)
        hit = self._hit(event.position()) if self._pen.writing else None
        if hit is not None and not (self._is_head(event.position()) and not shift):
            self.pointed.emit(hit, shift)
        elif shift:
            self._stretch(to.note if to else None)
        else:
            self._cursor.go(to)
            self._clicked = self._writes(event.position())
        return None

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Dragging selects up to the note under the mouse; else, while writing, the next head is shown."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            to = self.selected_at(event.position())
            self._stretch(to.note if to else None)
        elif self._pen.writing:
            hit = None if self._is_head(event.position()) else self._hit(event.position())
            if hit != self._under:
                self._under = hit
                self._mark_anew()

    def _hit(self, where: QPointF) -> StaffHit | None:
        point = self._point_of(where)
        return None if point is None else staff_hit(self._document.layout, *point, self._pen.value.duration)

    def _is_head(self, where: QPointF) -> bool:
        """Whether the ink of a note on the staff is there."""
        point = self._point_of(where)
        tag = None if point is None else tag_at(self._document.layout, *point)
        return tag is not None and tag.kind == "note"

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        tag = self._writes(event.position())
        if tag is not None:
            self.entered.emit(tag.kind, tag.event)

    def _writes(self, where: QPointF) -> Tag | None:
        """What can be gone into there."""
        point = self._point_of(where)
        return None if point is None else writes_at(self._document.layout, *point)

    def _stretch(self, until: NotePlace | None) -> None:
        at = self._cursor.at
        if at.note is not None and until is not None:
            self._cursor.go(Selected(at.bar, at.note, None if until == at.note else until))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        held = event.modifiers() & (_Held.ControlModifier | _Held.ShiftModifier | _Held.AltModifier)
        key = _Key(event.key())
        if held == _Held.ShiftModifier and key in (_Key.Key_Left, _Key.Key_Right):
            return self._stretch((note_after if key == _Key.Key_Right else note_before)(
                self._document.study, self._cursor.at))
        if key in (_Key.Key_Return, _Key.Key_Enter) and not held:
            return self.entered.emit(*((self._clicked.kind, self._clicked.event) if self._clicked else ("", 0)))
        if self._pen.writing and not held and key in (_Key.Key_Left, _Key.Key_Right):
            return self._pen.step(1 if key == _Key.Key_Right else -1)
        if self._pen.string is not None and not held and key in (_Key.Key_Up, _Key.Key_Down):
            strings = len(self._document.study.instrument.tuning)
            return self._pen.on_string(min(max(self._pen.string + (1 if key == _Key.Key_Down else -1), 1), strings))
        to = self._where(key, bool(held & _Held.ControlModifier))
        if to is None or held & ~_Held.ControlModifier:
            return super().keyPressEvent(event)
        return self._cursor.go(to)

    def _where(self, key: Qt.Key, by_control: bool) -> Selected | None:
        """Where a key leads; where it leads nowhere from here, here; None for a key that leads nowhere at all."""
        layout, study, at = self._document.layout, self._document.study, self._cursor.at
        if key in (_Key.Key_Left, _Key.Key_Right) and not by_control:
            note = (note_after if key == _Key.Key_Right else note_before)(study, at)
            return Selected(note.bar, note) if note else at
        if key in (_Key.Key_Up, _Key.Key_Down) and not by_control:
            return a_system_on(layout, at, 1 if key == _Key.Key_Down else -1) or at
        bars = system_of(layout, at.bar).bars
        if key == _Key.Key_Home:
            return first_of_bar(study, 0 if by_control else bars.first)
        if key == _Key.Key_End:
            return last_of_bar(study, (len(study.bars) if by_control else bars.end) - 1)
        return None

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusInEvent(event)
        self._mark_anew()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusOutEvent(event)
        self._mark_anew()


def surround(palette: QPalette) -> QColor:
    """Neutral, a little darker than the window, so that paper stands out by day and by night."""
    return palette.color(QPalette.ColorRole.Window).darker(118)


def _ends(at: Selected) -> tuple[int, int]:
    """The first of the selected bars, and the one after the last."""
    return (at.bar, at.bar + 1) if at.span is None else (min(at.bar, at.span[0].bar), max(at.bar, at.span[1].bar) + 1)


def _nudge(low: float, high: float, first: float, last: float) -> float:
    """How far to scroll so that low to high lies between first and last; low wins where it cannot."""
    if low < first or high - low > last - first:
        return low - first
    return max(0.0, high - last)
