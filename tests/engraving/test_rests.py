"""The rests that stand for a silence, in every metre; and in which columns they stand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style
from core.engraving.drawing import Tag
from core.engraving.rests import rest_parts
from core.study import Meter, parse_meter
from tests.engraving.scenes import bar, glyphs, row, shape, study
from tests.strategies import CALM

METERS = [parse_meter(text) for text in ("4/4", "3/4", "2/4", "2/2", "3/2", "4/2", "5/4", "6/8", "9/8", "12/8", "3/8",
                                         "5/8", "7/8", "2+2+3/8", "3+2/4", "6/16", "1/4")]


def lengths(start: str, length: str, metre: str) -> list[Fraction]:
    return [value * (2 - Fraction(1, 2**dots))
            for value, dots in rest_parts(Fraction(start), Fraction(length), parse_meter(metre))]


@settings(CALM, max_examples=300)
@given(meter=st.sampled_from(METERS), data=st.data())
def test_they_fill_the_silence_and_none_hides_a_beat(meter: Meter, data):
    """One that holds a beat inside begins and ends with a beat, and takes half a bar of four or is not there.

    E23: Gould ch. 6 (from memory), on any sixteenth of any of these metres.
    """
    sixteenths = int(meter.length * 4)
    start = data.draw(st.integers(0, sixteenths - 1))
    end = data.draw(st.integers(start + 1, sixteenths))
    at = Fraction(start, 4)
    for value, dots in rest_parts(at, Fraction(end - start, 4), meter):
        length = value * (2 - Fraction(1, 2**dots))
        if any(at < beat < at + length for beat in meter.beats):
            if len(meter.beats) == 4:
                assert (at, at + length) in ((0, meter.length / 2), (meter.length / 2, meter.length))
            else:  # nothing groups them: by twos from the bar's beginning
                assert meter.unit == 8
                assert length == 1
                assert at % 1 == 0
        at += length
    assert at == Fraction(end, 4)


@pytest.mark.parametrize(("start", "length", "metre", "expected"), [
    ("0", "3/4", "4/4", ["3/4"]), ("1/4", "3/4", "4/4", ["1/4", "1/2"]),  # dots where the beat begins
    ("0", "7/8", "4/4", ["1/2", "3/8"]), ("0", "3/4", "4/8", ["1/2", "1/4"]),
    ("0", "1", "3/8", ["1"]), ("1/2", "1", "3/8", ["1/2", "1/2"]), ("0", "2", "12/8", ["3/2", "1/2"]),
    ("0", "5/2", "5+3/8", ["1", "1", "1/2"]), ("1/2", "2", "5/8", ["1/2", "1", "1/2"]),
])
def test_within_a_beat(start, length, metre, expected):
    """Common practice, no source: a beat of three has its first two in one rest, not its last two."""
    assert lengths(start, length, metre) == [Fraction(one) for one in expected]


def test_what_no_rests_add_up_to_stays_as_it_is_written():
    assert rest_parts(Fraction(1, 3), Fraction(1, 2), Meter()) == ()
    ink = row("notation", study("C4:2", "[3:2 C4 D4 ] r:4. C4:4 r:8"), 1)
    assert glyphs(ink.drawing.marks, "rest")


def test_a_tuplets_rests_stay_as_they_are_written():
    whole = study(bar(""), bar("[3:2 C4:4 r:2 ] r:2"))
    assert [mark.name for mark in glyphs(row("notation", whole, 1).drawing.marks, "rest")] == ["restHalf", "restHalf"]


@pytest.mark.parametrize("rows", [Style().rows, ("tab",)])
def test_each_rest_stands_in_a_column_of_its_own_and_speaks_of_its_silence(rows):
    """The same rests, in the same columns, in the notation and in a tab that stands alone."""
    whole = study(bar(""), bar("C4:8 r:4. D4:2"))
    name = "notation" if "notation" in rows else "tab"
    one = shape(whole, 1, Style(rows=rows))
    assert [(column.onset, column.event) for column in one.columns] == [
        (0, 0), (Fraction(1, 2), 1), (1, None), (2, 2)]
    rests = glyphs(row(name, whole, 1, style=Style(rows=rows)).drawing.marks, "rest")
    assert [(mark.name, mark.tag) for mark in rests] == [("rest8th", Tag("rest", 1)), ("restQuarter", Tag("rest", 1))]
    assert rests[0].x < rests[1].x


@pytest.mark.parametrize(("metre", "text", "name"), [
    ("3/4", "r:2.", "restWhole"), ("7/8", "r:2..", "restWhole"), ("4/2", "", "restDoubleWhole")])
@pytest.mark.parametrize("row_name", ["notation", "tab"])
def test_a_silent_bar_has_one_rest_in_its_middle(metre, text, name, row_name):
    """E22: Gould ch. 6 (from memory): a whole rest in any metre but 4/2."""
    style = Style(rows=("tab",)) if row_name == "tab" else Style()
    whole = study(bar(""), bar(text), meter=parse_meter(metre))
    ink = row(row_name, whole, 1, style=style)
    (rest,) = glyphs(ink.drawing.marks, "rest")
    assert rest.name == name
    width = sum(max(gap.rod, gap.spring * 2.9) for gap in shape(whole, 1, style).gaps)
    assert rest.x + style.music.box(name).width / 2 == pytest.approx(width / 2, abs=0.1)
