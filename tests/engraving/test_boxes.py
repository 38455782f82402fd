"""Boxes against the reference font's published metadata, brute force, and each other."""

from __future__ import annotations

import json
from importlib.util import find_spec
from math import cos, pi, sin
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.engraving.boxes import ARC_PEN, Box, find, mark_box
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Line, Page, Placed, Polygon, Tag, Text
from core.engraving.faces import FILES, face
from core.engraving.smufl import music_font

BRAVURA = music_font("Bravura")
METADATA = Path(find_spec("smufolib").origin).parent / "metadata"  # read as a file: the package does not import
PUBLISHED = json.loads((METADATA / "bravura_metadata.json").read_text("utf-8"))["glyphBBoxes"]
COMMON = (
    "gClef", "gClef8vb", "fClef", "6stringTabClef", "timeSig0", "timeSig1", "timeSig2", "timeSig3", "timeSig4",
    "timeSig5", "timeSig6", "timeSig7", "timeSig8", "timeSig9", "timeSigCommon", "timeSigCutCommon",
    "noteheadWhole", "noteheadHalf", "noteheadBlack", "noteheadXBlack", "flag8thUp", "flag8thDown",
    "flag16thUp", "flag16thDown", "accidentalFlat", "accidentalNatural", "accidentalSharp",
    "accidentalDoubleSharp", "accidentalDoubleFlat", "restWhole", "restHalf", "restQuarter", "rest8th",
    "rest16th", "augmentationDot", "articAccentAbove", "articStaccatoAbove", "articTenutoAbove",
    "articMarcatoAbove", "stringsDownBow", "stringsUpBow", "tuplet3", "tuplet5", "repeat1Bar", "segno", "coda",
    "noteheadParenthesisLeft", "noteheadParenthesisRight", "ornamentTurn", "tuplet7",
)


def outline_box(outline) -> Box:
    """By walking every curve in 200 steps."""
    xs, ys, at = [], [], (0.0, 0.0)
    for verb, points in outline:
        if verb == "curve":
            for step in range(201):
                t = step / 200
                weights = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t ** 3
                xs.append(sum(w * p[0] for w, p in zip(weights, (at, *points), strict=True)))
                ys.append(sum(w * p[1] for w, p in zip(weights, (at, *points), strict=True)))
        elif points:
            xs.append(points[0][0])
            ys.append(points[0][1])
        at = points[-1] if points else at
    return Box(min(xs), min(ys), max(xs), max(ys))


@pytest.mark.parametrize("name", COMMON)
def test_outline_fills_the_published_box(name):
    """Outside check: glyphBBoxes in the reference font's own metadata file, version 1.392 (SMuFL 1.4, 3.4.5)."""
    published = PUBLISHED[name]
    (left, bottom), (right, top) = published["bBoxSW"], published["bBoxNE"]
    assert list(outline_box(BRAVURA.outline(name))) == pytest.approx([left, -top, right, -bottom], abs=0.01)


def test_every_box_is_the_published_one():
    """The same file, all glyphs both carry; it gives two decimals or three."""
    both = [name for name in PUBLISHED if name in BRAVURA]
    assert len(both) > 800
    for name in both:
        (left, bottom), (right, top) = PUBLISHED[name]["bBoxSW"], PUBLISHED[name]["bBoxNE"]
        box = mark_box(Glyph(0, 0, name), BRAVURA)
        assert list(box) == pytest.approx([left, -top, right, -bottom], abs=0.011), name


@pytest.mark.parametrize(("name", "width", "height"), [
    ("noteheadBlack", 1.18, 1.0), ("accidentalSharp", 1.00, 2.79), ("accidentalFlat", 0.91, 2.46),
    ("accidentalNatural", 0.67, 2.71), ("restQuarter", 1.08, 2.99), ("gClef8vb", 2.69, 7.90),
    ("6stringTabClef", 1.64, 6.05), ("stringsDownBow", 1.25, 1.27), ("stringsUpBow", 0.99, 1.98)])
def test_sizes_of_the_text_cut(name, width, height):
    """references S6: the text-cut web font of the SMuFL specification, measured; its drawing is a trifle heavier."""
    box = mark_box(Glyph(0, 0, name), BRAVURA)
    assert (box.right - box.left, box.bottom - box.top) == pytest.approx((width, height), abs=0.03)


def test_a_glyph_scales_about_its_origin():
    box = BRAVURA.box("timeSig3")
    assert box.left != 0
    assert mark_box(Glyph(3, 5, "timeSig3", 0.5), BRAVURA) == pytest.approx(
        (3 + box.left / 2, 5 + box.top / 2, 3 + box.right / 2, 5 + box.bottom / 2))


lengths = st.floats(-20, 20)


@given(lengths, lengths, lengths, lengths, st.floats(0.05, 1))
def test_a_line_reaches_its_four_corners(x1, y1, x2, y2, width):
    """The corners by turning a flat bar of the same length (rotation by its angle)."""
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    if length < 0.01:
        return
    turn_x, turn_y = (x2 - x1) / length, (y2 - y1) / length
    corners = [(x1 + along * turn_x - side * turn_y, y1 + along * turn_y + side * turn_x)
               for along in (0, length) for side in (-width / 2, width / 2)]
    xs, ys = zip(*corners, strict=True)
    assert list(mark_box(Line(x1, y1, x2, y2, width), BRAVURA)) == pytest.approx(
        [min(xs), min(ys), max(xs), max(ys)], abs=1e-6)


points = st.tuples(lengths, lengths)


@given(points, points, st.tuples(points, points), st.tuples(points, points))
def test_an_arc_reaches_as_far_as_its_curves(start, end, near, far):
    """Brute force: 200 steps along both curves, which stay inside and come within a hair of every side."""
    outline = [("move", (start,)), ("curve", (*near, end)), ("move", (start,)), ("curve", (*far, end))]
    walked = outline_box(outline).grown(ARC_PEN / 2)
    assert list(mark_box(Arc(start, end, near, far), BRAVURA)) == pytest.approx(list(walked), abs=0.01)


def test_polygon_and_frame():
    assert mark_box(Polygon(((1, 2), (5, 0), (4, 3))), BRAVURA) == (1, 0, 5, 3)
    assert mark_box(Frame(1, 2, 5, 6, 0.5), BRAVURA) == (0.75, 1.75, 5.25, 6.25)


@pytest.mark.parametrize("name", list(FILES))
def test_capitals_fill_the_box_of_text(name):
    """Letters without overshoot, by their outlines: H stands on the line and reaches cap height, p stays above the
    descender, and side by side they are as wide as the sum of their advances."""
    box = mark_box(Text(2, 10, "Hp", name, 3), BRAVURA)
    letter, tail = outline_box(face(name).outline("H")), outline_box(face(name).outline("p"))
    assert box.top == pytest.approx(10 + 3 * letter.top, abs=0.07)  # a lettering hand's H falls short of its capitals
    assert letter.bottom == pytest.approx(0, abs=0.025)
    assert 10 + 3 * tail.bottom < box.bottom
    assert box.right - box.left == pytest.approx(3 * (face(name).width("H", 1) + face(name).width("p", 1)))


def page_of(*placed: Placed) -> Page:
    return Page(200, 200, placed)


NOTE, CHORD, BAR = Tag("note", 2), Tag("chord", 1), Tag("bar")
ONE = Drawing((Glyph(4, 2, "noteheadBlack", tag=NOTE), Frame(-2, -5, 20, 10, 0.1, tag=BAR),
               Text(4, -2, "B", "sans", 2, tag=CHORD), Line(0, 6, 20, 6, 0.13)))


@pytest.mark.parametrize(("across", "down", "tag"), [
    (4.6, 2, NOTE), (4.6, 2.7, NOTE), (4.3, -2.5, CHORD), (15, 6, BAR), (15, 8, BAR), (30, 30, None)])
def test_finds_the_smallest_thing_near(across, down, tag):
    """In staff spaces of 5 points from (50, 60): a tolerance of 2 points is 0.4 of one. A line has no tag here."""
    other = Placed(Drawing((Glyph(0, 0, "noteheadBlack", tag=NOTE),)), 10, 190, 5, 3)
    placed = Placed(ONE, 50, 60, 5, 7)
    hit = find(page_of(other, placed), 50 + 5 * across, 60 + 5 * down, BRAVURA)
    assert (hit and hit.tag) == tag
    assert hit is None or hit.placed is placed


def test_of_two_alike_the_one_on_top():
    below, above = Placed(ONE, 50, 60, 5, 1), Placed(ONE, 50, 60, 5, 2)
    hit = find(page_of(below, above), 73, 70, BRAVURA)
    assert hit is not None
    assert hit.placed is above


@given(st.floats(0, 2 * pi), st.floats(0, 3))
def test_tolerance_is_in_points_whatever_the_scale(angle, distance):
    """Left of the box by less than the tolerance, or more, for a drawing at two sizes."""
    for scale in (3.0, 12.0):
        page = page_of(Placed(Drawing((Polygon(((0, 0), (1, 0), (1, 1), (0, 1)), tag=NOTE),)), 100, 100, scale))
        x, y = 100 - abs(distance * cos(angle)), 100 - abs(distance * sin(angle))
        near = 100 - x <= 2 and 100 - y <= 2
        assert (find(page, x, y, BRAVURA) is not None) == near
