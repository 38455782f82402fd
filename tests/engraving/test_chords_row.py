"""The chord row of a bar and the shape of its symbols."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.bar import ink_bar
from core.engraving.boxes import mark_box
from core.engraving.chords import chord_marks
from core.engraving.drawing import Glyph, Text
from core.engraving.smufl import music_font
from core.engraving.style import Style
from core.study import Change
from tests.engraving.scenes import bar, glyphs, shape, study
from tests.strategies import CALM, SYMBOLS

FONT = music_font("Bravura")
STYLE = Style()


def spelled(symbol: str) -> list[str]:
    """The marks from left to right, accidentals by their last word."""
    marks, _ = chord_marks(symbol, 0.0, 0.0, STYLE.chord_size, STYLE)
    return [mark.text if isinstance(mark, Text) else mark.name.removeprefix("accidental") for mark in marks]


@pytest.mark.parametrize(("symbol", "expected"), [
    ("C", ["C"]), ("Bb7", ["B", "Flat", "7"]), ("F#ø7", ["F", "Sharp", "ø", "7"]), ("C-7", ["C", "–", "7"]),
    ("Ab7/Gb", ["A", "Flat", "7", "/", "G", "Flat"]), ("N.C.", ["N.C."]),
    ("Gibberish!", ["Gibberish!"]),
])
def test_symbols_by_hand(symbol, expected):
    assert spelled(symbol) == expected


def test_alterations_are_stacked_apart():
    marks, _ = chord_marks("A7(b9,#11)", 0.0, 0.0, STYLE.chord_size, STYLE)
    nine, eleven = (next(mark for mark in marks if getattr(mark, "text", "") == text) for text in ("9", "11"))
    assert abs(nine.y - eleven.y) >= 0.7 * nine.size
    flat, sharp = (glyphs(tuple(marks), name)[0] for name in ("Flat", "Sharp"))
    assert flat.x < nine.x
    assert sharp.x < eleven.x


@pytest.mark.parametrize("symbol", [symbol for symbol in SYMBOLS if symbol != "%"])
def test_a_symbols_width_is_the_width_of_its_ink(symbol):
    marks, width = chord_marks(symbol, 0.0, 0.0, STYLE.chord_size, STYLE)
    boxes = [mark_box(mark, FONT) for mark in marks]
    assert width == pytest.approx(max(box.right for box in boxes), abs=0.25)
    assert min(box.left for box in boxes) >= -0.01


def with_chords(text: str, *changes: tuple[object, str]):
    return study(bar(text, changes=tuple(Change(*change) for change in changes)))


def test_the_root_stands_at_the_left_edge_of_its_head():
    """SMuFL 4.74; Brandt & Roemer 1976 (from memory)."""
    one = shape(with_chords("C4:2 E4:2", (0, "C7"), (2, "F#-7")))
    ink = ink_bar(one, 2.9)
    heads = [mark.x for mark in glyphs(ink.rows["notation"].drawing.marks, "notehead")]
    roots = [mark.x for mark in ink.rows["chords"].drawing.marks if isinstance(mark, Text) and mark.text in "CF"]
    assert roots == heads


def test_a_change_under_a_held_note_has_a_place_of_its_own():
    one = shape(with_chords("C4:1", (0, "C7"), (2, "F7")))
    ink = ink_bar(one, 2.9)
    assert [column.event for column in one.columns] == [0, None]
    roots = [mark.x for mark in ink.rows["chords"].drawing.marks if isinstance(mark, Text) and mark.text in "CF"]
    assert roots == list(ink.xs)


def test_a_change_on_a_grace_notes_onset_stands_over_the_main_note():
    ink = ink_bar(shape(with_chords("^B3 C4:1", (0, "C7"))), 2.9)
    assert ink.rows["chords"].drawing.marks[0].x == ink.xs[1]


@settings(CALM, max_examples=30)
@given(symbols=st.lists(st.sampled_from(SYMBOLS), min_size=4, max_size=4), stretch=st.floats(0, 4))
def test_neighbouring_symbols_never_meet_and_none_passes_the_barline(symbols, stretch):
    one = shape(with_chords("C4:4 D4:4 E4:4 F4:4", *((beat, symbol) for beat, symbol in enumerate(symbols))))
    ink = ink_bar(one, stretch)
    reaches = {}
    for mark in ink.rows["chords"].drawing.marks:
        box = mark_box(mark, FONT)
        left, right = reaches.get(mark.tag.event, (99.0, 0.0))
        reaches[mark.tag.event] = min(left, box.left), max(right, box.right)
    for (_, right), (left, _) in pairwise(reaches[index] for index in range(4)):
        assert left - right >= 0.5
    assert reaches[3][1] <= ink.width + 0.25


def test_accidentals_are_music_glyphs():
    marks, _ = chord_marks("Bb7", 0.0, 0.0, STYLE.chord_size, STYLE)
    assert [type(mark) for mark in marks] == [Text, Glyph, Text]
