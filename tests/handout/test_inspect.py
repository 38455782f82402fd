"""The proof-reader: each flaw planted in a clean page is found, and nothing else is."""

from __future__ import annotations

import pytest

from core.engraving.drawing import Drawing, Frame, Glyph, Mark, Page, Pages, Placed, Tag, Text
from core.handout.inspect import flaws
from core.handout.template import MM
from tests.handout.sample import COLOURS

WIDTH, HEIGHT, SPACE = 595.0, 842.0, 5.0


def found(*marks: Mark, x: float = 100.0, y: float = 300.0) -> list[str]:
    """Of a page with a clean bar and these marks, each a drawing of its own."""
    drawings = (*CLEAN, *(Drawing((mark,)) for mark in marks))
    return [flaw.what for flaw in flaws(pages(*(Placed(drawing, x, y, SPACE, 0) for drawing in drawings)))]


def pages(*placed: Placed) -> Pages:
    return Pages((Page(WIDTH, HEIGHT, placed),), "", "", "", "Bravura", COLOURS)


def degree(x: float, text: str = "b9", note: int = 0, y: float = 14.0) -> Text:
    return Text(x, y, text, "sans", 1.7, "ink", Tag("degree", note))


def box(left: float, right: float, place: int, top: float = 16.0) -> Frame:
    return Frame(left, top, right, top + 5, 0.13, "rule", Tag("callout", place))


CLEAN = tuple(Drawing(marks) for marks in (
    (Text(10, -2, "C7", "sans-semibold", 2.6, "ink", Tag("chord", 0)),),
    (Text(20, -2, "F7", "sans-semibold", 2.6, "ink", Tag("chord", 1)),),
    (Glyph(10, 1.5, "noteheadBlack", 1.0, "ink", Tag("note", 0)),),
    (Glyph(20, 2.5, "noteheadBlack", 1.0, "ink", Tag("note", 1)),),
    (Text(10, 8, "5", "sans-semibold", 1.9, "ink", Tag("tab", 0)),),
    (Text(20, 8, "7", "sans-semibold", 1.9, "ink", Tag("tab", 1)),),
    (degree(10),), (degree(20, "3", 1),),
    (box(0, 15, 0), Text(1, 18, "Words inside", "serif", 1.7, "ink", Tag("callout", 0))), (box(17, 30, 1),),
))


def test_a_clean_page_has_no_flaw():
    assert found() == []


@pytest.mark.parametrize(("planted", "what"), [
    (degree(10.5, "13", 2), "degree over degree"),
    (Text(10.5, 2, "G7", "sans-semibold", 2.6, "ink", Tag("chord", 2)), "chord"),
    (Text(21, -2, "G7", "sans-semibold", 2.6, "ink", Tag("chord", 2)), "chord over chord"),
    (box(14, 22, 2), "callout over callout"),
    (Text(20.2, 8, "12", "sans-semibold", 1.9, "ink", Tag("tab", 2)), "tab over tab"),
    (Text(2, 17.8, "A comment in the way", "serif", 1.7, "ink", Tag("comment")), "comm"),
    (Glyph(10, 14, "noteheadBlack", 1.0, "ink", Tag("note", 2)), "note"),
    (Text(10, 14.5, "5", "sans-italic", 1.7, "ink", Tag("reading", 2)), "reading"),
], ids=["degree", "chord-note", "chords", "callouts", "tab", "comment", "low-note", "reading"])
def test_what_stands_in_the_way_is_found(planted, what):
    found_here = found(planted)
    assert found_here
    assert all(what in one for one in found_here)


def test_two_noteheads_may_touch():
    assert found(Glyph(10.9, 1.5, "noteheadBlack", 1.0, "ink", Tag("note", 0, 1))) == []


def test_the_pieces_of_one_symbol_may_touch():
    assert found(Glyph(10.2, -2, "accidentalFlat", 0.7, "ink", Tag("chord", 0)),) != []  # another drawing: in the way
    one = Drawing((*CLEAN[0].marks, Glyph(10.2, -2, "accidentalFlat", 0.7, "ink", Tag("chord", 0))))
    assert flaws(pages(Placed(one, 100.0, 300.0, SPACE, 0))) == ()


@pytest.mark.parametrize(("x", "y"), [(-1.0, 300.0), (WIDTH, 300.0), (300.0, 5.0), (300.0, HEIGHT)])
def test_ink_in_the_outer_ten_millimetres_is_found(x, y):
    mark = Text(0, 0, "Bar", "serif", 1.7, "ink", Tag("comment"))
    (flaw,) = flaws(pages(Placed(Drawing((mark,)), x, y, SPACE, 4)))
    assert flaw == (1, 4, "comment stands off the page")


@pytest.mark.parametrize("inside", [True, False])
def test_the_edge_is_ten_millimetres(inside):
    x = 10 * MM + (0.5 if inside else -1.0)
    mark = Text(0, 0, "Bar", "serif", 1.7, "ink", Tag("comment"))
    assert bool(flaws(pages(Placed(Drawing((mark,)), x, 300.0, SPACE)))) is not inside


def test_flaws_name_their_page_and_bar():
    clean = Page(WIDTH, HEIGHT, tuple(Placed(one, 100.0, 300.0, SPACE, 0) for one in CLEAN))
    bad = Page(WIDTH, HEIGHT, (*clean.placed, Placed(Drawing((degree(10.4, "5", 3),)), 100.0, 300.0, SPACE, 7)))
    (flaw,) = flaws(Pages((clean, bad), "", "", "", "Bravura", COLOURS))
    assert flaw == (2, 7, "degree over degree")
