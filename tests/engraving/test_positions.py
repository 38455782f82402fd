"""The positions row: numerals where the hand goes, lines as long as it stays."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings

from core.engraving import Style
from core.engraving.drawing import Line, Text
from core.engraving.faces import face
from core.engraving.positions import roman
from core.guitar import finger
from core.study import Bar, Event, Note, Study, parse_pitch
from tests.engraving.scenes import study, system
from tests.strategies import CALM, studies

STYLE = Style(rows=("positions", "tab"))
MARKED = Style(rows=("positions", "tab"), shift_marks=True)


@pytest.mark.parametrize(("number", "text"), [
    (1, "I"), (2, "II"), (3, "III"), (4, "IV"), (5, "V"), (6, "VI"), (7, "VII"), (8, "VIII"), (9, "IX"), (10, "X"),
    (12, "XII"), (14, "XIV"), (19, "XIX"), (22, "XXII"), (36, "XXXVI"),
])
def test_roman_numerals(number, text):
    """As on any clock (common practice, no source)."""
    assert roman(number) == text


def line(*notes: tuple[str, int, int, int]) -> Bar:
    """Quarters as (pitch, string, fret, finger)."""
    return Bar(tuple(Event(index, 1, (Note(parse_pitch(name), string=string, fret=fret, finger=own),))
                     for index, (name, string, fret, own) in enumerate(notes)), length=len(notes))


FIFTH = line(("C4", 3, 5, 1), ("D4", 3, 7, 3), ("Eb4", 3, 8, 4), ("D4", 3, 7, 3))
SHIFTING = line(("C4", 3, 5, 1), ("D4", 3, 7, 3), ("E4", 3, 9, 1), ("F#4", 3, 11, 3))
OPEN = line(("E4", 1, 0, 0), ("E4", 1, 0, 0))


def numerals(ink) -> list[tuple[str, float, float]]:
    return sorted(((mark.text, item.x + mark.x, item.y + mark.y) for item in ink.items for mark in item.drawing.marks
                   if isinstance(mark, Text) and mark.tag and mark.tag.kind == "hand"), key=lambda one: one[1])


def level(ink) -> list[tuple[float, float]]:
    """The position lines: from x to x."""
    return sorted((item.x + mark.x1, item.x + mark.x2) for item in ink.items for mark in item.drawing.marks
                  if isinstance(mark, Line) and mark.ink == "rule" and mark.y1 == mark.y2)


def heads(ink) -> list[float]:
    """x of each fret number."""
    return sorted(item.x + mark.x for item in ink.items for mark in item.drawing.marks
                  if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab")


def test_one_position_is_named_once_and_its_line_runs_to_the_last_note():
    ink = system(study(FIFTH, FIFTH), style=STYLE)
    assert [text for text, _, _ in numerals(ink)] == ["V"]
    ((start, end),) = level(ink)
    xs = heads(ink)
    assert numerals(ink)[0][1] == pytest.approx(xs[0], abs=0.3)
    assert xs[0] < start
    assert xs[-1] <= end <= xs[-1] + 1.4


def test_a_shift_is_named_where_the_hand_arrives():
    ink = system(study(SHIFTING), style=STYLE)
    (first, at, y), (second, to, other) = numerals(ink)
    assert (first, second) == ("V", "IX")
    assert y == other
    xs = heads(ink)
    assert (at, to) == (pytest.approx(xs[0], abs=0.3), pytest.approx(xs[2], abs=0.3))
    (one, _) = level(ink)
    assert one[1] < to


def test_a_line_ends_before_the_next_numeral_however_tight_the_bar():
    one = line(("C4", 3, 5, 1), ("D4", 3, 7, 3), ("Eb4", 3, 8, 4), ("E4", 3, 9, 1))
    ink = system(study(one), style=STYLE, width=0.0)
    ((_, end),) = level(ink)
    assert end < numerals(ink)[1][1] - 0.4


def test_every_system_begins_with_its_position():
    whole = study(FIFTH, FIFTH)
    ink = system(whole, style=STYLE, opens=False)
    assert [text for text, _, _ in numerals(ink)] == ["V"]


def test_open_strings_are_in_no_position():
    """The hand waits somewhere, but nothing is told by it; and the row takes no room."""
    ink = system(study(OPEN), style=STYLE)
    assert numerals(ink) == []
    assert ink.top == system(study(OPEN), style=Style(rows=("tab",))).top


def test_shift_marks_only_where_asked_for_and_only_at_shifts():
    def dashes(style: Style) -> int:
        ink = system(study(SHIFTING), style=style)
        return sum(isinstance(mark, Line) and mark.y1 != mark.y2 and mark.x1 != mark.x2
                   for item in ink.items for mark in item.drawing.marks)
    assert (dashes(STYLE), dashes(MARKED)) == (0, 1)


@settings(CALM, max_examples=25)
@given(whole=studies(max_bars=3))
def test_numerals_follow_the_fingering_and_never_meet(whole: Study):
    places = [place.position for one in finger(whole).bars for event in one.events
              for place in event.notes[:1] if place]
    ink = system(whole, width=0.0, style=MARKED)
    found = numerals(ink)
    assert {text for text, _, _ in found} <= {roman(number) for number in range(1, 37)}
    if len(set(places)) > 1 and len(found) > 1:
        size = STYLE.fret_size * 0.82
        ends = [(x, x + face("sans").width(text, size)) for text, x, _ in found]
        assert all(a[1] < b[0] for a, b in pairwise(ends))
    assert len({round(y, 6) for _, _, y in found}) <= 1
