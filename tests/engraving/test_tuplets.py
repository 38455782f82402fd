"""Tuplets of a bar: which events, what is printed, and when a bracket is."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.engraving.drawing import Line, Polygon
from core.engraving.measures import BRACKET
from core.engraving.tuplets import TupletGroup, label_of, tuplet_groups
from core.study import Tuplet
from tests.engraving.scenes import events, glyphs, row
from tests.strategies import CALM, lines


def spans(text: str) -> list[tuple[int, int, int]]:
    return [(group.level, group.first, group.last) for group in tuplet_groups(events(text))]


@pytest.mark.parametrize(("text", "expected"), [
    ("C4 D4", []),
    ("[3:2 C4 D4 E4 ] C4:4", [(0, 0, 2)]),
    ("[3:2 C4 D4 E4 ] [3:2 C4 D4 E4 ]", [(0, 0, 2), (0, 3, 5)]),
    ("[3:2 C4:4 D4 ] [3:2 r C4:4 ] C4:2", [(0, 0, 1), (0, 2, 3)]),
    ("[3:2 C4 D4 [3:2 E4:16 F4:16 G4:16 ] ]", [(0, 0, 4), (1, 2, 4)]),
    ("[3:2 C4 ^D4 D4 E4 ] C4:4", [(0, 0, 3)]),
])
def test_groups_by_hand(text, expected):
    assert spans(text) == expected


@settings(CALM, max_examples=40)
@given(line=lines(Fraction(4)))
def test_every_tuplet_note_is_in_one_group_a_level(line):
    groups = tuplet_groups(line)
    assert [group.level for group in groups] == sorted(group.level for group in groups)
    for index, event in enumerate(line):
        if event.grace:
            continue
        mine = [group for group in groups if group.first <= index <= group.last]
        assert [group.tuplet[:2] for group in mine] == [tuplet[:2] for tuplet in event.tuplets]
        assert [group.first == index for group in mine] == [tuplet.starts for tuplet in event.tuplets]


@settings(CALM, max_examples=40)
@given(line=lines(Fraction(4)))
def test_inner_groups_lie_within_outer_ones(line):
    groups = tuplet_groups(line)
    for inner in groups:
        assert inner.level == 0 or any(isinstance(outer, TupletGroup) and outer.level == inner.level - 1
                                       and outer.first <= inner.first and inner.last <= outer.last for outer in groups)


@pytest.mark.parametrize(("ratio", "label"), [
    ((3, 2), "3"), ((5, 4), "5"), ((6, 4), "6"), ((7, 4), "7"), ((9, 8), "9"), ((13, 8), "13"), ((7, 8), "7:8"),
    ((3, 4), "3:4"), ((4, 3), "4:3"), ((2, 3), "2:3"), ((5, 3), "5:3"),
])
def test_a_ratio_is_spelled_out_only_where_the_number_would_mean_another(ratio, label):
    assert label_of(Tuplet(*ratio)) == label


def brackets(ink) -> list[Line]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.tag is None and mark.width == BRACKET]


@pytest.mark.parametrize(
    "text", ["[3:2 C4:4 D4:4 E4:4 ]", "[3:2 r C4 D4 ] C4:4", "[3:2 C4:4 D4 ] C4:4", "[3:2 C4 r D4 ]"])
def test_a_bracket_where_no_beam_spans_the_tuplet(text):
    """Gould ch. 7 (from memory); two pieces either side of the number, each with its hook (SMuFL 4.75)."""
    ink = row("notation", text)
    strokes = brackets(ink)
    assert len(strokes) == 4
    (number,) = glyphs(ink.drawing.marks, "tuplet")
    level = [stroke for stroke in strokes if stroke.y1 == stroke.y2]
    assert level[0].x2 < number.x < level[1].x2 < level[1].x1


def test_the_number_stands_at_the_middle_outside_the_beam():
    ink = row("notation", "[3:2 C4 D4 C4 ]")
    (number,), (beam,) = glyphs(ink.drawing.marks, "tuplet"), [m for m in ink.drawing.marks if isinstance(m, Polygon)]
    assert not brackets(ink)
    xs, ys = zip(*beam.points, strict=True)
    assert number.x + 0.8 * 0.6 == pytest.approx((min(xs) + max(xs)) / 2, abs=0.1)
    assert number.y - 1.2 > max(ys)  # stems down: below, clear of the beam
    assert ink.bottom >= number.y


def test_a_tuplet_of_rests_alone_is_still_told():
    ink = row("notation", "[3:2 r:8 r:8 r:8 ] C4:4")
    assert [mark.name for mark in glyphs(ink.drawing.marks, "tuplet")] == ["tuplet3"]


def test_nested_numbers_do_not_meet():
    ink = row("notation", "[3:2 C4 D4 [5:4 E4:16 F4:16 G4:16 A4:16 B4:16 ] ]")
    outer, inner = (glyphs(ink.drawing.marks, f"tuplet{figure}")[0] for figure in (3, 5))
    assert abs(outer.y - inner.y) > 1.2
