"""What joins fret numbers across a system: arcs, slides, letters, ties."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.engraving import Style, SystemPlan, is_reached, set_system
from core.engraving.boxes import mark_box
from core.engraving.drawing import Arc, Line, Text
from core.engraving.faces import face
from core.engraving.measures import TAB_STEP
from core.engraving.smufl import music_font
from core.study import Bar, Event, Note, Study, parse_pitch
from tests.engraving.scenes import galley, study, system
from tests.strategies import CALM, studies

FONT = music_font("Bravura")
TAB = Style(rows=("tab",), tab_rhythm=False)
ALONE = Style(rows=("tab",))
EIGHTH = Fraction(1, 2)
LETTERED = replace(TAB, tab_letters=True)
TALL = face("sans-semibold").cap_height * TAB.fret_size / 2
"""Half a fret number's height."""


def line(*notes: tuple[str, int, int], slurs: str = "", fingers: tuple[int | None, ...] = ()) -> Bar:
    """Eighths as (pitch, string, fret); slurs: a letter an event (s start, e stop, b both, - none)."""
    words = {"s": "start", "e": "stop", "b": "both", "-": ""}
    made = []
    for index, (name, string, fret) in enumerate(notes):
        finger = fingers[index] if fingers else None
        note = Note(parse_pitch(name), string=string, fret=fret, finger=finger)
        made.append(Event(index * EIGHTH, EIGHTH, (note,), slur=words[slurs[index]] if slurs else ""))
    return Bar(tuple(made), length=len(notes) * EIGHTH)


C, D, EB = ("C4", 3, 5), ("D4", 3, 7), ("Eb4", 3, 8)


def arcs(ink) -> list[Arc]:
    """With their place in the system."""
    found = []
    for item in ink.items:
        for mark in item.drawing.marks:
            if isinstance(mark, Arc):
                points = [(x + item.x, y + item.y) for x, y in (mark.start, mark.end, *mark.near, *mark.far)]
                found.append(mark._replace(start=points[0], end=points[1], near=tuple(points[2:4]),
                                           far=tuple(points[4:])))
    return sorted(found, key=lambda one: one.start)


def centres(ink) -> list[tuple[float, float]]:
    """Of the fret numbers, in the order they are played."""
    found = []
    for item in ink.items:
        for mark in item.drawing.marks:
            if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab":
                found.append((item.x + mark.x + face(mark.face).width(mark.text, mark.size) / 2,
                              item.y + mark.y - face(mark.face).cap_height * mark.size / 2))
    return sorted(found)


def slides(ink) -> list[Line]:
    return [mark._replace(x1=mark.x1 + item.x, x2=mark.x2 + item.x) for item in ink.items for mark in item.drawing.marks
            if isinstance(mark, Line) and mark.tag and mark.tag.kind == "note" and mark.y1 != mark.y2
            and mark.x1 != mark.x2]


def letters(ink) -> list[tuple[str, float, float]]:
    """Text, x of its centre, baseline."""
    return sorted(((mark.text, item.x + mark.x + face(mark.face).width(mark.text, mark.size) / 2, item.y + mark.y)
                   for item in ink.items for mark in item.drawing.marks
                   if isinstance(mark, Text) and mark.text in "HP"), key=lambda one: one[1])


def test_one_arc_over_what_one_stroke_sounds():
    """T1: MusicXML 4.0 tutorial, "Tablature": 5 7 8 7 5, one slur on the hammer-on, one over both pull-offs."""
    ink = system(study(line(C, D, EB, D, C, slurs="ses-e")), style=TAB)
    first, second = arcs(ink)
    xs = [x for x, _ in centres(ink)]
    assert (first.start[0], first.end[0]) == pytest.approx((xs[0], xs[1]), abs=0.2)
    assert (second.start[0], second.end[0]) == pytest.approx((xs[2], xs[4]), abs=0.2)


def test_a_slur_over_strings_that_are_struck_is_no_arc():
    assert arcs(system(study(line(C, ("E4", 2, 5), slurs="se")), style=TAB)) == []


def test_an_arc_stands_off_its_numbers_and_keeps_between_two_strings():
    ink = system(study(line(C, D, slurs="se")), style=TAB, stretch=2.9)
    (one,) = arcs(ink)
    number, string = centres(ink)[0][1], TAB_STEP * 2
    assert number == pytest.approx(string)
    box = mark_box(one, FONT)
    assert box.bottom < string - TALL
    assert box.top > string - TAB_STEP + 0.1


def test_an_arc_over_the_barline_joins_the_numbers_on_either_side():
    ink = system(study(line(C, slurs="s"), line(D, slurs="e")), style=TAB)
    (one,) = arcs(ink)
    assert ink.bars[0].left < one.start[0] < ink.bars[0].right < one.end[0] < ink.bars[1].right


def test_a_double_stops_arcs_curve_away_from_each_other():
    def stop(*notes: tuple[str, int, int], slur: str) -> Event:
        return Event(0, 4, tuple(Note(parse_pitch(name), string=string, fret=fret) for name, string, fret in notes),
                     slur=slur)
    ink = system(study(Bar((stop(("E3", 4, 2), ("B3", 3, 4), slur="start"),)),
                       Bar((stop(("F#3", 4, 4), ("C#4", 3, 6), slur="stop"),))), style=TAB)
    upper, lower = sorted(arcs(ink), key=lambda one: one.start[1])
    assert mark_box(upper, FONT).bottom < TAB_STEP * 2 - TALL
    assert mark_box(lower, FONT).top > TAB_STEP * 3 + TALL


def triple(*notes: tuple[str, int, int], at: int, slur: str = "", tied: bool = False) -> Event:
    """A half note from onset `at` on, as (pitch, string, fret)."""
    return Event(at, 2, tuple(Note(parse_pitch(name), string=string, fret=fret, tie=tied)
                              for name, string, fret in notes), slur=slur)


LOW = ("D3", 4, 0), ("G3", 3, 0), ("C4", 2, 1)
HIGH = ("E3", 4, 2), ("A3", 3, 2), ("D4", 2, 3)


def test_the_middle_note_of_a_triple_stop_has_its_arc_between_its_numbers():
    ink = system(study(Bar((triple(*LOW, at=0, slur="start"), triple(*HIGH, at=2, slur="stop")))), style=TAB)
    upper, middle, lower = sorted(arcs(ink), key=lambda one: one.start[1])
    half = face("sans-semibold").width("0", TAB.fret_size) / 2
    (first, _), (second, _) = centres(ink)[0], centres(ink)[-1]
    assert first + half < middle.start[0] < middle.end[0] < second - half
    box, string = mark_box(middle, FONT), TAB_STEP * 2
    assert string - TAB_STEP + 0.3 < box.top < box.bottom < string
    assert upper.start[0] < middle.start[0]
    assert lower.start[1] > string + TAB_STEP


def test_a_triple_stops_ties_are_three_also_over_a_system_break():
    held, after = triple(*LOW, at=0, tied=True), triple(*LOW, at=2)
    assert len(arcs(system(study(Bar((held, after))), style=ALONE))) == 3
    whole = study(Bar((replace(held, duration=Fraction(4)),)), Bar((replace(after, onset=Fraction(0)),
                                                                   replace(after, onset=Fraction(2)))))
    first, second = galley(whole, ALONE).bars
    one, other = system_of(first, after=second), system_of(second, last=first)
    assert len(arcs(one)) == len(arcs(other)) == 3
    half = face("sans-semibold").width("(0)", ALONE.fret_size) / 2
    assert all(one.end[0] <= centres(other)[0][0] for one in arcs(other))
    assert min(one.end[0] for one in arcs(other)) < centres(other)[0][0] - half / 2


@pytest.mark.parametrize(("first", "second", "rises"), [(5, 9, True), (9, 5, False)])
def test_a_slide_is_a_line_between_two_numbers_that_leans_as_the_hand_goes(first, second, rises):
    names = {5: "C4", 9: "E4"}
    one = line((names[first], 3, first), (names[second], 3, second), slurs="se", fingers=(1, 1))
    ink = system(study(one), style=TAB)
    (one,) = slides(ink)
    (left, _), (right, _) = centres(ink)
    half = face("sans-semibold").width("5", TAB.fret_size) / 2
    assert left + half < one.x1 < one.x2 < right - half
    assert (one.y1 > one.y2) is rises
    assert len(arcs(ink)) == 1


def test_a_slide_has_room_for_its_line_however_tight_the_bar():
    ink = system(study(line(C, ("E4", 3, 9), slurs="se", fingers=(1, 1))), style=TAB, stretch=0.0)
    (one,) = slides(ink)
    assert one.x2 - one.x1 >= 0.8


def test_letters_only_where_asked_for_on_one_line_clear_of_the_staff():
    whole = study(line(C, D, EB, D, C, slurs="ses-e", fingers=(1, 3, 4, 3, 1)),
                  line(("G4", 1, 3), ("A4", 1, 5), slurs="se", fingers=(1, 3)))
    assert letters(system(whole, style=TAB)) == []
    ink = system(whole, style=LETTERED)
    found = letters(ink)
    xs = [x for x, _ in centres(ink)]
    assert [text for text, _, _ in found] == ["H", "P", "P", "H"]
    assert [x for _, x, _ in found] == pytest.approx(
        [(xs[a] + xs[b]) / 2 for a, b in ((0, 1), (2, 3), (3, 4), (5, 6))])
    assert len({y for _, _, y in found}) == 1
    assert found[0][2] < min(mark_box(one, FONT).top for one in arcs(ink))
    assert ink.top < found[0][2] - 0.5


def test_an_arc_goes_on_over_a_system_break_as_two_halves():
    whole = study(line(C, slurs="s"), line(D, slurs="e"))
    shapes = galley(whole, LETTERED).bars
    assert not is_reached(shapes[0])
    assert is_reached(shapes[1])
    one = system(study(line(C, slurs="s")), style=LETTERED, after=shapes[1])
    (left,) = arcs(one)
    assert left.end[0] == pytest.approx(one.right, abs=0.2)
    assert letters(one) == []
    both = galley(whole, LETTERED)
    other = system_of(both.bars[1], last=both.bars[0])
    (right,) = arcs(other)
    number = centres(other)[0][0]
    assert right.start[0] < right.end[0] == pytest.approx(number, abs=0.2)
    assert [text for text, _, _ in letters(other)] == ["H"]


def system_of(shape, **facts):
    """One bar of a longer study as a system of its own."""
    return set_system(SystemPlan(bars=(shape,), numbers=(2,), opens=False, width=60.0, stretch=None, before=None,
                                 tied_in=(), slurred_in=False, carried=(), **facts))


def test_without_rhythm_a_tie_is_told_by_brackets_alone():
    assert arcs(system(study("C4~:1", "C4:1"), style=TAB)) == []


def test_a_tab_that_stands_alone_ties_number_to_bracketed_number():
    ink = system(study("C4~:2 C4:4 D4:4", "E4~:1", "E4:1"), style=ALONE)
    first, second = arcs(ink)
    xs = [x for x, _ in centres(ink)]
    texts = [mark.text for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab"]
    assert [text.startswith("(") for text in texts] == [False, True, False, False, True]
    assert (first.start[0], first.end[0]) == pytest.approx((xs[0], xs[1]), abs=0.2)
    assert (second.start[0], second.end[0]) == pytest.approx((xs[3], xs[4]), abs=0.2)


def test_a_tie_goes_on_over_a_system_break():
    out = system(study("C4~:1"), style=ALONE)
    (one,) = arcs(out)
    assert one.end[0] == pytest.approx(out.right, abs=0.2)
    whole = galley(study("C4~:1", "C4:1"), ALONE)
    into = system_of(whole.bars[1])
    (other,) = arcs(into)
    assert other.end[0] == pytest.approx(centres(into)[0][0], abs=0.2)


def test_a_bar_of_rest_ends_what_was_tied_or_slurred():
    open_tie = study("C4~:1", Bar(), "C4:1")
    assert arcs(system(open_tie, style=ALONE)) == []
    reached = galley(study(line(C, slurs="s"), line(D, slurs="e")), TAB).bars[1]
    assert len(arcs(system(study(line(C, slurs="s")), style=TAB, after=reached))) == 1
    assert arcs(system(study(line(C, slurs="s"), Bar()), style=TAB, after=reached)) == []


@settings(CALM, max_examples=25)
@given(whole=studies(max_bars=3))
def test_no_arc_runs_through_the_numbers_it_joins(whole: Study):
    """Its tips are outside the height of every number that it begins or ends at, and it has a length."""
    for style in (TAB, ALONE):
        ink = system(whole, width=400.0, style=style)
        found = centres(ink)
        for one in arcs(ink):
            if one.tag is None or one.tag.kind != "bar":
                continue
            assert one.end[0] > one.start[0]
            near = [y for x, y in found if min(abs(x - one.start[0]), abs(x - one.end[0])) < 0.2]
            small = TALL * 0.75 - 0.01  # a grace note's number is smaller
            assert all(abs(one.start[1] - y) > small for y in near)
