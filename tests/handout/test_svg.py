"""The SVG pages, read by lxml and painted by QtSvg."""

from __future__ import annotations

import pytest
from lxml import etree

from core.handout.pdf import pdf_bytes
from core.handout.svg import SVG, svg_pages
from tests.handout import pictures, sample

NAMES = {"s": SVG}


@pytest.fixture(scope="module")
def roots() -> list[etree._Element]:
    return [etree.fromstring(page) for page in svg_pages(sample.pages())]


@pytest.mark.parametrize("number", [0, 1])
def test_paints_as_the_pdf_does(number):
    """QtSvg's picture of the SVG and pdfium's of the PDF differ by antialiasing only."""
    pages = sample.pages()
    by_pdf = pictures.of_pdf(pdf_bytes(pages), number, 4)
    by_svg = pictures.of_svg(svg_pages(pages)[number], pages.pages[number], 4)
    assert pictures.farthest(by_pdf, by_svg) < pictures.AGREE


def test_sized_in_points(roots):
    assert [(root.get("width"), root.get("height"), root.get("viewBox")) for root in roots] == [
        ("420pt", "300pt", "0 0 420 300"), ("420pt", "260pt", "0 0 420 260")]


def test_says_what_it_is(roots):
    """SVG 1.1, section 5.4: title and desc, the first children of what they name."""
    assert [child.text for child in roots[1][:2]] == [
        "A Study in B♭, page 2 of 2", "Lesson sheet. A. Teacher"]


def test_ink_is_tagged_with_its_thing(roots):
    bars = [group.get("data-bar") for group in roots[0].xpath("s:g", namespaces=NAMES)]
    assert bars == ["0", "1"]
    notes = roots[0].xpath("s:g[1]/s:g[@class='note']/@data-event", namespaces=NAMES)
    assert sorted(set(notes)) == ["0", "1", "2", "3"]
    heads = roots[0].xpath("s:g[1]/s:g[@class='note'][@data-event='3']/s:use/@xlink:href",
                           namespaces={**NAMES, "xlink": "http://www.w3.org/1999/xlink"})
    assert heads == ["#noteheadWhole"]


def test_words_are_there_for_those_who_hear_them(roots):
    assert roots[1].xpath("//s:g[@class='callout']/s:g/@aria-label", namespaces=NAMES) == ["Ça △ größer (a\\b)"]


def test_needs_no_font_and_nothing_from_outside(roots):
    for root in roots:
        assert root.xpath("//s:text | //s:image | //s:style", namespaces=NAMES) == []
        targets = root.xpath("//s:use/@xlink:href", namespaces={**NAMES, "xlink": "http://www.w3.org/1999/xlink"})
        shapes = root.xpath("s:defs/s:path/@id", namespaces=NAMES)
        assert set(targets) == {f"#{shape}" for shape in shapes}
        assert len(shapes) == len(set(shapes))


def test_same_pages_same_bytes():
    assert svg_pages(sample.pages()) == svg_pages(sample.pages())
