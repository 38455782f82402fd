"""The tool bar of the writing mode: the pen's value as notes to press, and what else it has in hand."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QAction, QColor, QIcon, QPainter, QPalette, QPixmap, QShowEvent
from PySide6.QtWidgets import QToolBar, QToolButton, QWidget

from app import words_writing as words
from app.own_keys import shown_keys
from app.paint import PagePainter
from app.pen import Pen
from app.writer import BASES, Writer
from core.engraving.drawing import Drawing, Glyph, Page, Placed

_GLYPHS = {1: "metNoteWhole", 2: "metNoteHalfUp", 4: "metNoteQuarterUp", 8: "metNote8thUp", 6: "metNote16thUp",
           3: "metNote32ndUp"}
_SIDE = 22  # logical pixels
_SPACE = 5.0  # of them, a staff space
_FONT = "Bravura"


class WriteBar(QToolBar):
    """Shown while writing. Its buttons show what the pen has, and change it.

    commands: the menus' own for what the buttons do, whose keys they tell.
    """

    def __init__(self, pen: Pen, writer: Writer, commands: dict[str, QAction], parent: QWidget) -> None:
        super().__init__(words.WRITING_BAR, parent)
        self._pen, self._commands = pen, commands
        self.setMovable(False)
        self.toggleViewAction().setEnabled(False)
        self.setIconSize(QSize(_SIDE, _SIDE))
        self.values = {figure: self._button(name, str(figure), lambda figure=figure: writer.base(figure))
                       for figure, name in words.VALUES.items()}
        self.addSeparator()
        self.dot = self._button(words.SHORT["dot"], "dot", writer.dot)
        self.triplet = self._button(words.SHORT["3"], "tuplet 3", lambda: writer.tuplet(3))
        self.grace = self._button(words.SHORT["grace"], "grace", writer.grace)
        self.tab = self._button(words.SHORT["tab"], "tab", writer.switch)
        self.addSeparator()
        self._button(words.SHORT["rest"], "rest", writer.rest).setCheckable(False)
        self.tie = self._button(words.SHORT["tie"], "tie", writer.tie)
        pen.changed.connect(self._show_pen)
        self._show_pen()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self._draw_notes()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.isVisible():
            self._draw_notes()

    def _draw_notes(self) -> None:
        for figure, button in self.values.items():
            button.setIcon(note_icon(_GLYPHS[figure], self.palette()))

    def _button(self, name: str, told: str, do: Callable[[], object]) -> QToolButton:
        button, command = QToolButton(text=name, checkable=True, accessibleName=name), self._commands[told]

        def tell() -> None:
            button.setToolTip(words.VALUE_TIP.format(name=name, key=shown_keys(command.shortcuts())))

        command.changed.connect(tell)
        tell()
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard with the page
        button.clicked.connect(lambda _: (do(), self._show_pen()))
        self.addWidget(button)
        return button

    def _show_pen(self) -> None:
        pen = self._pen
        self.setVisible(pen.writing)
        for figure, button in self.values.items():
            button.setChecked(BASES[figure] == pen.value.base)
        self.dot.setChecked(pen.value.dots > 0)
        self.dot.setText(words.SHORT["dot"] + " ·" * pen.value.dots)
        tuplet = pen.value.tuplet
        self.triplet.setChecked(tuplet is not None)
        self.triplet.setText(words.SHORT["3"] if tuplet in (None, (3, 2)) else "{}:{}".format(*tuplet or ()))
        self.grace.setChecked(pen.grace)
        self.tie.setChecked(pen.tie)
        self.tab.setChecked(pen.string is not None)


def note_icon(glyph: str, palette: QPalette) -> QIcon:
    """A note of the music font, in the colour of the window's text."""
    colour = palette.color(QPalette.ColorRole.ButtonText)
    picture = QPixmap(2 * _SIDE, 2 * _SIDE)  # also sharp where a pixel is two
    picture.setDevicePixelRatio(2)
    picture.fill(QColor(0, 0, 0, 0))
    painter = QPainter(picture)
    page = Page(_SIDE, _SIDE, (Placed(Drawing((Glyph(0.0, 0.0, glyph),)), _SIDE * 0.36, _SIDE * 0.86, _SPACE),))
    PagePainter(_FONT, {"ink": colour.name()}).paint(painter, page)
    painter.end()
    return QIcon(picture)
