"""The fingers row: whose numbers, where."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from core.engraving import Style
from core.engraving.bar import ink_bar
from core.engraving.drawing import Text
from core.engraving.faces import face
from core.guitar import finger
from core.study import Bar, Event, Note, Study, parse_pitch
from tests.engraving.scenes import row, shape, study, system
from tests.strategies import CALM, bars

ROWS = ("tab", "fingers")
TEACHER, ALL = Style(rows=ROWS), Style(rows=ROWS, fingers="all")


def digits(ink) -> list[Text]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Text)]


def texts(whole: Study | str, style: Style, place: int = 0) -> list[str]:
    return [mark.text for mark in digits(row("fingers", whole, place, style=style))]


def notes(*made: Note) -> Bar:
    return Bar((Event(0, 4, made),))


def test_the_teachers_fingers_alone_or_every_one():
    """C4 D4 on the third string in fifth position: index and ring finger, one finger a fret (G10)."""
    c, d = Note(parse_pitch("C4"), string=3, fret=5, finger=1), Note(parse_pitch("D4"), string=3, fret=7)
    whole = study(Bar((Event(0, 2, (c,)), Event(2, 2, (d,)))))
    assert texts(whole, TEACHER) == ["1"]
    assert texts(whole, ALL) == ["1", "3"]


def test_an_open_string_is_0():
    assert texts(study(notes(Note(parse_pitch("E4"), string=1, fret=0))), ALL) == ["0"]
    assert texts(study(notes(Note(parse_pitch("E4"), string=1, fret=0))), TEACHER) == []


@pytest.mark.parametrize(("place", "expected"), [(0, 1), (1, 0)])
def test_a_note_held_on_has_no_finger_of_its_own(place, expected):
    assert len(texts(study("C4~:2 C4~:2", "C4:1"), ALL, place)) == expected


def test_a_note_off_the_neck_has_none():
    assert texts("C2:1", ALL) == []


def test_a_double_stops_fingers_stack_with_the_low_note_lowest():
    low, high = Note(parse_pitch("E3"), string=4, fret=2, finger=1), Note(parse_pitch("B3"), string=3, fret=4, finger=3)
    first, second = digits(row("fingers", study(notes(low, high)), style=TEACHER))
    assert (first.text, second.text) == ("1", "3")
    assert second.y < first.y - face("sans").cap_height * first.size


def test_a_finger_is_smaller_than_a_fret_and_centred_on_it():
    ink = ink_bar(shape("C4 D4 E4 F4", style=ALL), 2.9)
    for digit, number in zip(digits(ink.rows["fingers"]), digits(ink.rows["tab"]), strict=True):
        assert digit.size < 0.8 * number.size
        centres = [mark.x + face(mark.face).width(mark.text, mark.size) / 2 for mark in (digit, number)]
        assert centres[0] == pytest.approx(centres[1])


def test_a_system_without_fingers_gives_the_row_no_room():
    with_row, without = (system(study("C4:1"), style=Style(rows=rows)) for rows in (ROWS, ("tab",)))
    assert with_row.bottom == without.bottom


@settings(CALM, max_examples=20)
@given(one=bars(may_change=False))
def test_all_are_those_of_the_fingering_and_none_is_lost(one):
    whole = Study(bars=(one,))
    played = finger(whole).bars[0].events
    for mark in digits(row("fingers", whole, style=ALL)):
        place = played[mark.tag.event].notes[mark.tag.note]
        assert mark.text == str(place.finger)
    struck = {index for index, event in enumerate(one.events) if event.notes and not any(
        note.tie for before in one.events[:index] for note in before.notes) and any(played[index].notes)}
    assert struck <= {mark.tag.event for mark in digits(row("fingers", whole, style=ALL))}
