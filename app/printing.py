"""The handout on paper, through the system's own dialog: the drawings that are on screen, painted once more."""

from __future__ import annotations

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from app import words_around
from app.jobs import Told
from app.paint import PagePainter
from core.engraving.drawing import Pages
from core.errors import BarglossError


def ask_printer(parent: QWidget, pages: Pages) -> QPrinter | None:
    """The printer the person chose, set to the handout's own paper; None where they thought better of it."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(pages.title)
    set_paper(printer, pages)
    dialog = QPrintDialog(printer, parent)
    dialog.setMinMax(1, len(pages.pages))
    return printer if dialog.exec() == QDialog.DialogCode.Accepted else None


def set_paper(printer: QPrinter, pages: Pages) -> None:
    """The first page's size, edge to edge: the handout has margins of its own."""
    size = QSizeF(pages.pages[0].width, pages.pages[0].height)
    way = QPageLayout.Orientation.Landscape if size.width() > size.height() else QPageLayout.Orientation.Portrait
    if way == QPageLayout.Orientation.Landscape:
        size.transpose()
    layout = QPageLayout(QPageSize(size, QPageSize.Unit.Point), way, QMarginsF())
    layout.setMode(QPageLayout.Mode.FullPageMode)
    printer.setPageLayout(layout)
    printer.setFullPage(True)


def print_pages(printer: QPrinter, pages: Pages, told: Told) -> None:
    """Print the chosen pages, all if none were chosen. Raises BarglossError, and what `told` raises."""
    first, last = max(1, printer.fromPage()), printer.toPage() or len(pages.pages)
    chosen = pages.pages[first - 1:last]
    paint = PagePainter(pages.music_font, pages.colours)
    painter = QPainter()
    if not painter.begin(printer):
        raise BarglossError(words_around.NO_PRINTING)
    try:
        points = printer.resolution() / 72
        for done, page in enumerate(chosen):
            told(done / len(chosen))
            if done and not printer.newPage():
                raise BarglossError(words_around.NO_PRINTING)
            painter.save()
            painter.scale(points, points)
            paint.paint(painter, page)
            painter.restore()
    except BaseException:
        printer.abort()
        raise
    finally:
        painter.end()
