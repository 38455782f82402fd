"""The window's painter against pdfium's picture of the PDF of the same pages."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.paint import PagePainter
from core.engraving.drawing import Drawing, Line, Page, Placed
from core.files import load_study
from core.handout import lay_out, load_template, pdf_bytes, svg_pages
from tests.handout import pictures, sample


def painted(page: Page, zoom: float, exposed: QRectF | None = None, with_: PagePainter | None = None):
    image = pictures.blank(page, zoom)
    painter = QPainter(image)
    painter.scale(zoom, zoom)
    (with_ or PagePainter("Bravura", sample.COLOURS)).paint(painter, page, exposed)
    painter.end()
    return pictures.of_image(image)


@pytest.mark.parametrize("zoom", [3, 4, 6])
@pytest.mark.parametrize("number", [0, 1])
def test_screen_and_print_agree(number, zoom):
    """They differ by antialiasing only."""
    pages = sample.pages()
    by_pdf = pictures.of_pdf(pdf_bytes(pages), number, zoom)
    assert pictures.farthest(by_pdf, painted(pages.pages[number], zoom)) < pictures.AGREE


def test_the_comparison_sees_a_shift_of_half_a_staff_space():
    """The check above can fail: one bar moved by 2.5 points, and one missing."""
    page = sample.pages().pages[0]
    first, second = page.placed
    right = painted(page, 4)
    assert pictures.farthest(right, painted(Page(420, 300, (first._replace(y=first.y + 2.5), second)), 4)) > 100
    assert pictures.farthest(right, painted(Page(420, 300, (first,)), 4)) > 200


def test_handwritten_font_too():
    page = sample.pages().pages[0]
    hand = PagePainter("Petaluma", sample.COLOURS)
    data = pdf_bytes(replace(sample.pages(), music_font="Petaluma"))
    assert pictures.farthest(pictures.of_pdf(data, 0, 4), painted(page, 4, with_=hand)) < pictures.AGREE


def test_paints_what_is_exposed_and_no_less():
    """The first bar's ink lies left of and above 200, 130 points; the second's elsewhere."""
    page = sample.pages().pages[0]
    whole = painted(page, 2)
    part = painted(page, 2, QRectF(0, 0, 100, 100))
    assert np.array_equal(part[:200, :200], whole[:200, :200])
    assert part[340:].min() == 255


def test_leaves_the_painter_as_it_was():
    page = sample.pages().pages[0]
    image = pictures.blank(page, 1)
    painter = QPainter(image)
    before = painter.transform(), painter.pen(), painter.brush()
    PagePainter("Bravura", sample.COLOURS).paint(painter, page)
    after = painter.transform(), painter.pen(), painter.brush()
    while painter.isActive():
        painter.end()
    assert after == before


def test_makes_a_drawing_ready_once():
    """Two pages with the same drawing, three repaints: its marks are gone through once."""
    times = []

    class Counted(tuple):
        def __iter__(self):
            times.append(1)
            return super().__iter__()

    drawing = Drawing(Counted(sample.bar().marks))
    painter = PagePainter("Bravura", sample.COLOURS)
    for x in (10, 20, 30):
        painted(Page(200, 100, (Placed(drawing, x, 50, 5), Placed(drawing, x, 60, 5))), 1, with_=painter)
    assert times == [1]


def test_repaints_alike_when_it_has_had_to_forget():
    """Room for two drawings, three painted in turn."""
    drawings = [Drawing((Line(0, row, 5, row, 0.5),)) for row in range(3)]
    page = Page(60, 60, tuple(Placed(drawing, 10, 10, 8) for drawing in drawings))
    small = PagePainter("Bravura", sample.COLOURS, keep=2)
    first = painted(page, 2, with_=small)
    assert np.array_equal(first, painted(page, 2, with_=small))
    assert np.array_equal(first, painted(page, 2))


@pytest.mark.parametrize("name", ["cellar-stairs", "ferry-timetable"])
def test_a_demo_page_agrees_on_screen_in_print_and_as_svg(name):
    """The same drawing everywhere: the painters differ by antialiasing alone. Looked at so near that the
    thinnest line covers whole pixels, which pdfium snaps to and Qt does not; the upper part of page two.
    """
    pages = lay_out(load_study(Path(f"assets/{name}.study")), load_template("lesson")).pages
    page, zoom = pages.pages[1], 6
    printed, drawn = pictures.of_pdf(pdf_bytes(pages), 1, zoom), pictures.of_svg(svg_pages(pages)[1], page, zoom)
    screen = painted(page, zoom, with_=PagePainter(pages.music_font, pages.colours))
    near = np.s_[200:1700, 300:3500]
    assert printed[near].min() == 0
    assert pictures.farthest(screen[near], printed[near]) < pictures.AGREE
    assert pictures.farthest(drawn[near], printed[near]) < pictures.AGREE
