"""The tab row: which numbers, on which line, and the lines broken behind them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.engraving import Style
from core.engraving.bar import ink_bar
from core.engraving.boxes import mark_box
from core.engraving.drawing import Arc, Glyph, Line, Polygon, Text
from core.engraving.faces import face
from core.engraving.measures import TAB_STEP
from core.engraving.smufl import music_font
from core.study import Bar, Event, Instrument, Note, Study, parse_pitch
from tests.engraving.scenes import bar, glyphs, row, shape, study, system
from tests.strategies import CALM, bars

NAME = "sans-semibold"
BRAVURA = music_font("Bravura")


def numbers(ink) -> list[Text]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Text)]


def strings_of(ink) -> list[int]:
    """From the line each number is centred on."""
    return [round((mark.y - face(NAME).cap_height / 2 * mark.size) / TAB_STEP) + 1 for mark in numbers(ink)]


def set_note(name: str, string: int, fret: int, **own: bool) -> Bar:
    return Bar((Event(0, 4, (Note(parse_pitch(name), string=string, fret=fret, **own),)),))


@pytest.mark.parametrize(("name", "string", "fret"), [("E4", 1, 0), ("E4", 2, 5), ("E2", 6, 0), ("D4", 3, 7)])
def test_a_number_is_centred_on_its_string_and_under_its_head(name, string, fret):
    whole = study(set_note(name, string, fret))
    ink, heads = row("tab", whole), glyphs(row("notation", whole).drawing.marks, "notehead")
    (number,) = numbers(ink)
    assert (number.text, strings_of(ink)) == (str(fret), [string])
    middle = number.x + face(NAME).width(number.text, number.size) / 2
    assert middle == pytest.approx(heads[0].x + BRAVURA.box(heads[0].name).right / 2)
    assert number.y - face(NAME).cap_height / 2 * number.size == pytest.approx(TAB_STEP * (string - 1))


@pytest.mark.parametrize(("text", "expected"), [
    ("E2~:2 E2:2", ["0"]), ("E2:2 E2:2", ["0", "0"]), ("F2?:1", ["(1)"]), ("r:1", []),
    ("E2~+G3:2 E2+A3:2", ["0", "5", "2"]),
])
def test_held_ghost_and_silent_notes(text, expected):
    assert [mark.text for mark in numbers(row("tab", text))] == expected


def test_a_note_held_over_the_barline_stands_in_brackets():
    assert [mark.text for mark in numbers(row("tab", study("E2~:1", "E2:1"), 1))] == ["(0)"]


def test_a_note_below_the_neck_is_marked_on_the_lowest_string():
    ink = row("tab", "C2:1")
    assert ([mark.text for mark in numbers(ink)], strings_of(ink)) == (["×"], [6])


def test_a_note_above_the_neck_is_marked_on_the_highest_string():
    ink = row("tab", study(bar("C7:1"), instrument=Instrument(frets=12)))
    assert ([mark.text for mark in numbers(ink)], strings_of(ink)) == (["×"], [1])


def test_a_note_no_hand_can_take_beside_another_has_a_string_of_its_own():
    ink = row("tab", "C2+D2:1")
    assert ([mark.text for mark in numbers(ink)], sorted(strings_of(ink))) == (["×", "×"], [5, 6])
    ink = row("tab", "C3+C6:1")
    assert len(set(strings_of(ink))) == 2


@settings(CALM, max_examples=20)
@given(one=bars(may_change=False))
def test_lines_run_the_bar_but_for_the_numbers_on_them(one):
    inked = ink_bar(shape(Study(bars=(one,))), 2.9)
    ink, width = inked.rows["tab"], inked.width
    found = numbers(ink)
    for string in range(1, 7):
        y = TAB_STEP * (string - 1)
        lines = [(mark.x1, mark.x2) for mark in ink.drawing.marks if isinstance(mark, Line) and mark.y1 == y]
        here = [mark for mark, on in zip(found, strings_of(ink), strict=True) if on == string]
        for mark in here:
            left, right = mark.x, mark.x + face(NAME).width(mark.text, mark.size)
            assert all(end <= left or start >= right for start, end in lines)
        covered = sum(end - start for start, end in lines)
        broken = sum(face(NAME).width(mark.text, mark.size) + 0.44 * mark.size / 1.95 for mark in here)
        crumbs = 0.25 * len(here)  # pieces of line too short to be one are left out
        assert width - broken - crumbs - 1e-6 <= covered <= width + 1e-6
        assert all(end - start > 0.25 for start, end in lines)
        assert here or lines == [(0.0, width)]


def test_no_dot_of_line_is_left_between_two_close_numbers():
    notes = Note(parse_pitch("D5"), string=1, fret=10)
    close = Bar(tuple(Event(at * Fraction(1, 4), Fraction(1, 4), (notes,)) for at in range(16)))
    ink = row("tab", study(close), stretch=0.0, style=Style(rows=("tab",)))
    top = [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.ink == "staff" and mark.y1 == 0]
    assert len(numbers(ink)) == 16
    assert len(top) == 2  # before the first and after the last


@settings(CALM, max_examples=20)
@given(one=bars(may_change=False))
def test_numbers_of_neighbouring_notes_never_meet(one):
    ink = ink_bar(shape(Study(bars=(one,))), 0.0).rows["tab"]
    last: dict[int, float] = {}
    for mark, string in zip(numbers(ink), strings_of(ink), strict=True):
        assert mark.x > last.get(string, -9.0)
        last[string] = mark.x + face(NAME).width(mark.text, mark.size)


def test_a_bend_is_an_arrow_up_from_the_right_of_its_number_and_takes_room():
    plain, bent = (study(with_marks("A4", 1, 5, *marks)) for marks in ((), ("bend",)))
    ink = row("tab", bent)
    (number,) = numbers(ink)
    right = number.x + face(NAME).width("5", number.size)
    (curve,) = [mark for mark in ink.drawing.marks if isinstance(mark, Arc)]
    (head,) = [mark for mark in ink.drawing.marks if isinstance(mark, Polygon)]
    assert curve.start[0] > right
    assert curve.start[1] == 0.0
    assert curve.end[1] < -1.0
    tip = min(head.points, key=lambda point: point[1])
    assert tip[1] < curve.end[1]
    assert tip[0] == pytest.approx(curve.end[0])
    assert ink.top <= tip[1]
    assert shape(bent).least > shape(plain).least + 1.0


def test_a_slide_into_a_note_rises_to_the_left_edge_of_its_number():
    ink = row("tab", study(with_marks("D4", 3, 7, "slide")))
    (number,) = numbers(ink)
    (line,) = [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.tag is not None]
    assert line.x1 < line.x2 < number.x
    assert line.y1 > TAB_STEP * 2 > line.y2
    assert line.y1 - line.y2 < TAB_STEP


@pytest.mark.parametrize(("before", "leans"), [("C4", 1), ("E4", -1), ("D4", 1)])
def test_a_slide_leans_the_same_way_in_tab_and_notation(before, leans):
    """From a lower note upward, from a higher one down; over the barline too, where the line before ended."""
    here, there = with_marks("D4", 3, 7, "slide"), Bar((Event(0, 4, (Note(parse_pitch(before)),)),))
    inside = Bar((replace(there.events[0], duration=Fraction(2)),
                  replace(here.events[0], onset=Fraction(2), duration=Fraction(2))))
    for whole, place in ((study(there, here), 1), (study(inside), 0), (study(there, Bar(), here), 2)):
        for name in ("tab", "notation"):
            (line,) = [mark for mark in row(name, whole, place).drawing.marks
                       if isinstance(mark, Line) and mark.tag and mark.x1 != mark.x2 and mark.y1 != mark.y2]
            assert (line.y1 - line.y2) * leans > 0


ALONE = Style(rows=("tab",))


@pytest.mark.parametrize(("name", "right", "down"), [("fall", True, True), ("doit", True, False),
                                                    ("scoop", False, True)])
@pytest.mark.parametrize("string", [1, 3, 6])
def test_how_a_note_begins_and_ends_is_in_the_tab_where_there_is_no_notation(name, right, down, string):
    """Forms: common practice, no source. Beside the number, on the side and in the direction of the notation's."""
    pitch = {1: "A4", 3: "C4", 6: "A2"}[string]
    ink = row("tab", study(with_marks(pitch, string, 5, name)), style=ALONE)
    (number,) = numbers(ink)
    (curve,) = [mark for mark in ink.drawing.marks if isinstance(mark, Arc)]
    outer = curve.end if right else curve.start
    if right:
        assert 0.1 < curve.start[0] - number.x - face(NAME).width("5", number.size) < 0.3 < outer[0] - curve.start[0]
    else:
        assert 0.1 < number.x - curve.end[0] < 0.3 < curve.end[0] - outer[0]
    assert (outer[1] > TAB_STEP * (string - 1) + 0.5) is down
    box = mark_box(curve, music_font("Bravura"))
    assert ink.top <= box.top
    assert box.bottom <= ink.bottom
    plain, marked = (shape(study(with_marks(pitch, string, 5, *marks)), style=ALONE) for marks in ((), (name,)))
    assert marked.least > plain.least + 1.0
    beside = row("tab", study(with_marks(pitch, string, 5, name)))
    assert not any(isinstance(mark, Arc) for mark in beside.drawing.marks)  # the notation row has it


def test_a_fall_leaves_the_lowest_number_and_a_doit_the_highest():
    stop = Event(0, 4, (Note(parse_pitch("D3"), string=5, fret=5), Note(parse_pitch("A4"), string=1, fret=5)),
                 articulations=("fall", "doit"))
    fall, doit = (mark for mark in row("tab", study(Bar((stop,))), style=ALONE).drawing.marks if isinstance(mark, Arc))
    assert fall.start[1] == pytest.approx(TAB_STEP * 4, abs=0.5)
    assert doit.start[1] == pytest.approx(0.0, abs=0.5)


def test_a_turn_stands_over_a_tab_without_notation():
    ink = system(study(with_marks("D4", 3, 7, "turn", "accent")), style=ALONE)
    marks = [(mark.name, item.y + mark.y) for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name.startswith(("ornament", "artic"))]
    (accent, low), (turn, high) = sorted(marks)
    assert (accent, turn) == ("articAccentAbove", "ornamentTurn")
    assert high < low < 0


def with_marks(name: str, string: int, fret: int, *marks: str) -> Bar:
    return Bar((Event(0, 4, (Note(parse_pitch(name), string=string, fret=fret),), articulations=marks),))
