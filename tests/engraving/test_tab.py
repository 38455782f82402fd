"""The tab row: which numbers, on which line, and the lines broken behind them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from core.engraving.bar import ink_bar
from core.engraving.drawing import Line, Text
from core.engraving.faces import face
from core.engraving.measures import HEAD, TAB_STEP
from core.study import Bar, Event, Instrument, Note, Study, parse_pitch
from tests.engraving.scenes import bar, glyphs, row, shape, study
from tests.strategies import CALM, bars

NAME = "sans-semibold"


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
    assert middle == pytest.approx(heads[0].x + HEAD / 2)
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
        assert width - broken - 1e-6 <= covered <= width + 1e-6
        assert here or lines == [(0.0, width)]


@settings(CALM, max_examples=20)
@given(one=bars(may_change=False))
def test_numbers_of_neighbouring_notes_never_meet(one):
    ink = ink_bar(shape(Study(bars=(one,))), 0.0).rows["tab"]
    last: dict[int, float] = {}
    for mark, string in zip(numbers(ink), strings_of(ink), strict=True):
        assert mark.x > last.get(string, -9.0)
        last[string] = mark.x + face(NAME).width(mark.text, mark.size)
