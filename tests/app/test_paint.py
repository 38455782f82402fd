"""The window's painter against pdfium's picture of the PDF of the same pages.

Hand-made pages with every kind of mark, demo pages, and a study with something in every row, in every template.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import ceil
from pathlib import Path
from typing import get_args, get_type_hints

import numpy as np
import pytest
from PySide6.QtGui import QPainter, QRegion

from app.paint import PagePainter
from core.engraving import ROWS
from core.engraving.boxes import mark_box
from core.engraving.drawing import Drawing, Glyph, Ink, Line, Mark, Page, Pages, Placed, Tag, Text
from core.engraving.smufl import music_font
from core.files import load_study
from core.handout import lay_out, load_template, template_names
from core.handout.pdf import pdf_bytes
from core.handout.svg import svg_pages
from tests.app.everything import everything
from tests.handout import pictures, sample


def painted(page: Page, zoom: float, exposed: QRegion | None = None, with_: PagePainter | None = None):
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
    part = painted(page, 2, QRegion(0, 0, 200, 200))
    assert np.array_equal(part[:200, :200], whole[:200, :200])
    assert part[340:].min() == 255


STAMPED = 80
"""An eighth of a pixel across and down: of a stem a pixel wide that is a quarter of what it covers at most."""


@pytest.mark.parametrize("zoom", [96 / 72, 1.1 * 96 / 72, 2 * 96 / 72])
def test_stamped_signs_are_where_filled_ones_are(zoom):
    """On a screen's own resolution, at odd places; the stamps are seen to have been used."""
    pages = lay_out(load_study(Path("assets/cellar-stairs.study")), load_template("lesson")).pages
    page = pages.pages[0]
    filled = painted(page, zoom, with_=PagePainter(pages.music_font, pages.colours))
    stamped = painted(page, zoom, with_=PagePainter(pages.music_font, pages.colours, stamped=True))
    off = np.abs(filled.astype(int) - stamped.astype(int))
    assert 0 < off.max() < STAMPED
    moved = replace(page, placed=tuple(placed._replace(x=placed.x + 0.5 / zoom) for placed in page.placed))
    wrong = painted(moved, zoom, with_=PagePainter(pages.music_font, pages.colours, stamped=True))
    assert np.abs(filled.astype(int) - wrong.astype(int)).max() > STAMPED


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


RING = 64
"""Where the two halves of a neck picture's ring meet, each is antialiased by itself: more than pictures.AGREE."""


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
    assert pictures.farthest(screen[near], printed[near]) < RING
    assert pictures.farthest(drawn[near], printed[near]) < RING


# Everything, in every template

ZOOM = 4
SAME = 104
"""At this zoom a hairline is under three pixels wide; pdfium sets it on whole ones and Qt does not."""
HALF_PIXEL = 72 / 96 / 2
"""Of a screen with 96 pixels an inch, in points."""


@cache
def in_colour(template: str) -> Pages:
    """Everything on paper of whole points, so that pictures of it have whole pixels."""
    made = lay_out(everything(), load_template(template)).pages
    return replace(made, pages=tuple(replace(page, width=ceil(page.width), height=ceil(page.height))
                                     for page in made.pages))


@cache
def in_black(template: str) -> tuple[Pages, tuple[pictures.Picture, ...]]:
    """The same with every ink black, so that light ones are compared as strictly, and what pdfium makes of the PDF."""
    made = in_colour(template)
    made = replace(made, colours=dict.fromkeys(made.colours, "#000000"))
    data = pdf_bytes(made)
    return made, tuple(pictures.of_pdf(data, number, ZOOM) for number in range(len(made.pages)))


def marks_of(pages: Pages) -> list[Mark]:
    return [mark for page in pages.pages for placed in page.placed for mark in placed.drawing.marks]


@pytest.mark.parametrize("template", template_names())
def test_everything_is_on_the_page(template):
    """Whatever the test below compares: every kind of mark and of thing, every row, every ink, the page's own words."""
    style, marks = load_template(template).style, marks_of(in_colour(template))
    assert {type(mark) for mark in marks} == set(get_args(Mark))
    assert any(isinstance(mark, Line) and mark.dash for mark in marks)
    kinds = {mark.tag.kind for mark in marks if mark.tag is not None}
    alone = "notation" not in style.rows
    assert kinds == set(get_args(get_type_hints(Tag)["kind"])) - (set() if alone else {"hand"})
    assert {mark.ink for mark in marks} == set(get_args(Ink))
    assert set(style.rows) <= {*ROWS, "callouts"}
    glyphs = {mark.name for mark in marks if isinstance(mark, Glyph)}
    assert {"segno", "coda", "dynamicForte", "augmentationDot", "restQuarter", "tuplet3"} <= glyphs
    words = " ".join(mark.text for mark in marks if isinstance(mark, Text))
    assert all(word in words for word in ("Everything", "To Coda", "D.S. al Coda", "First", "Second", "Bar 2"))


@pytest.mark.parametrize("template", template_names())
def test_window_and_print_agree_on_everything(template):
    """Every page of it: they differ by antialiasing only."""
    pages, by_pdf = in_black(template)
    painter = PagePainter(pages.music_font, pages.colours)
    for page, picture in zip(pages.pages, by_pdf, strict=True):
        assert pictures.farthest(picture, painted(page, ZOOM, with_=painter)) < SAME


@pytest.mark.parametrize("template", sorted(set(template_names()) - {"mono"}))
def test_window_and_print_agree_on_colours(template):
    """On the first page, which has every ink; and a wrong one is seen."""
    pages = in_colour(template)
    page = pages.pages[0]
    by_pdf = pictures.of_pdf(pdf_bytes(pages), 0, ZOOM)
    assert pictures.farthest(by_pdf, painted(page, ZOOM, with_=PagePainter(pages.music_font, pages.colours))) < SAME
    wrong = PagePainter(pages.music_font, pages.colours | {"altered": "#D55E00"})
    assert pictures.farthest(by_pdf, painted(page, ZOOM, with_=wrong)) > SAME


def kind_of(mark: Mark) -> tuple[str, str, str]:
    return type(mark).__name__, mark.tag.kind if mark.tag else "", mark.ink


def one_of_each(page: Page) -> list[tuple[int, int]]:
    """For each kind of mark, thing and ink on a page the first of it: the index of its drawing, and its own in that."""
    found: dict[tuple[str, str, str], tuple[int, int]] = {}
    for at, placed in enumerate(page.placed):
        for index, mark in enumerate(placed.drawing.marks):
            found.setdefault(kind_of(mark), (at, index))
    return list(found.values())


def part(page: Page, box: tuple[int, int, int, int], painter: PagePainter) -> pictures.Picture:
    """Left, top, right and bottom of the page in pixels, as the window paints them."""
    left, top, right, bottom = box
    image = pictures.blank(Page((right - left) / ZOOM, (bottom - top) / ZOOM, ()), ZOOM)
    brush = QPainter(image)
    brush.translate(-left, -top)
    brush.scale(ZOOM, ZOOM)
    painter.paint(brush, page)
    brush.end()
    return pictures.of_image(image)


def seen(one: pictures.Picture, other: pictures.Picture) -> int:
    """The greatest difference of two cut-outs, their outermost pixels apart, whose neighbours are not in them."""
    return int(pictures.differences(one, other)[1:-1, 1:-1].max())


def without(page: Page, at: int, index: int, *moved: Placed) -> Page:
    """The page without one mark of a drawing, and with what else is to be on it."""
    placed = page.placed[at]
    rest = Drawing(placed.drawing.marks[:index] + placed.drawing.marks[index + 1:])
    return replace(page, placed=(*page.placed[:at], placed._replace(drawing=rest), *page.placed[at + 1:], *moved))


@pytest.mark.parametrize("template", ["lesson", "handwritten", "tab"])
def test_the_comparison_sees_one_missing_mark_and_half_a_pixels_shift(template):
    """One mark of each kind is taken away, or moved by half a pixel of a screen across and down: each is seen."""
    pages, by_pdf = in_black(template)
    page, picture = pages.pages[0], by_pdf[0]
    painter, font = PagePainter(pages.music_font, pages.colours), music_font(pages.music_font)
    kinds = one_of_each(page)
    assert len(kinds) > 20
    for at, index in kinds:
        placed = page.placed[at]
        mark = placed.drawing.marks[index]
        box = mark_box(mark, font)
        left, right = (round((placed.x + x * placed.scale) * ZOOM) for x in (box.left, box.right))
        top, bottom = (round((placed.y + y * placed.scale) * ZOOM) for y in (box.top, box.bottom))
        around = max(left - 6, 0), max(top - 6, 0), min(right + 6, picture.shape[1]), min(bottom + 6, picture.shape[0])
        here = picture[around[1]:around[3], around[0]:around[2]]
        assert seen(here, part(page, around, painter)) < SAME
        alone = placed._replace(drawing=Drawing((mark,)), x=placed.x + HALF_PIXEL, y=placed.y + HALF_PIXEL)
        assert seen(here, part(without(page, at, index), around, painter)) > SAME, kind_of(mark)
        assert seen(here, part(without(page, at, index, alone), around, painter)) > SAME, kind_of(mark)
