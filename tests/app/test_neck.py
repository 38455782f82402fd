"""The neck under the page, by real keys and clicks. Where pitches lie is core.guitar's own `places`, checked in
tests/guitar; how the window behaves is ours: there is no source."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible

from app import words_fingering as words
from app.pen import Caret
from core.guitar import TUNINGS, Place, places
from core.study import Bar, Event, Guitarist, Instrument, Note, NotePlace, Study, edits, parse_pitch
from tests.app.windows import Person

Key, Held = Qt.Key, Qt.KeyboardModifier
QUARTER = Fraction(1)


def note(name: str, at: int, **rest) -> Event:
    return Event(at * QUARTER, QUARTER, (Note(parse_pitch(name), **rest),))


def four_notes(**rest) -> Study:
    return Study(bars=(Bar(tuple(note(name, at) for at, name in enumerate(("C4", "D4", "E4", "D4")))), Bar()), **rest)


@pytest.fixture
def person(qtbot):
    return at_the_neck(Person(qtbot, four_notes()))


def at_the_neck(person: Person) -> Person:
    person.press_keys(words.NECK_KEY)
    assert board(person).hasFocus()
    return person


def board(person: Person):
    return person.window.neck.board


def click(person: Person, place: Place, held=Held.NoModifier) -> None:
    where = board(person).neck.middle(place).toPoint()
    person.qtbot.mouseClick(board(person), Qt.MouseButton.LeftButton, held, where)


def locks(study: Study, bar: int = 0) -> list[tuple[int | None, int | None]]:
    return [(one.string, one.fret) for event in study.bars[bar].events for one in event.notes]


def names(study: Study, bar: int = 0) -> list[str]:
    return ["+".join(one.pitch.name for one in event.notes) for event in study.bars[bar].events]


# Not writing

@pytest.mark.parametrize("place", places(parse_pitch("C4").midi, Instrument()))
def test_a_place_of_the_selected_note_is_set_by_a_click(person, place):
    person.window.page.setFocus()
    click(person, place)
    assert locks(person.study) == [place, (None, None), (None, None), (None, None)]
    assert person.window.document.undo_name == "string, bar 1"
    grip = person.window.document.layout.fingering.bars[0].events[0].notes[0]
    assert (grip.string, grip.fret) == place
    assert person.window.page.hasFocus()  # a click leaves the keyboard where it was
    person.press_keys("Ctrl+Z")
    assert locks(person.study) == [(None, None)] * 4


def test_a_place_of_another_pitch_changes_nothing_and_says_so(person):
    before = person.study
    click(person, Place(3, 7))
    assert person.study is before
    assert not person.window.document.undo_name
    line = person.window.statusBar().currentMessage()
    assert line == words.NECK_OTHER.format(string=3, fret=7, pitch="D4", selected="C4")
    assert board(person).accessibleDescription() == line


def test_without_a_note_selected_a_click_says_what_to_do(person):
    person.press_keys("Ctrl+Right")
    click(person, Place(1, 3))
    assert person.window.statusBar().currentMessage() == words.NECK_NOTHING.format(string=1, fret=3, pitch="G4")
    assert person.study.bars[1].events == ()


def test_of_a_passage_every_note_of_that_pitch_is_set(person):
    person.click_page(person.spot_of(NotePlace(0, 0), "note"))
    person.click_page(person.spot_of(NotePlace(0, 3), "note"), Held.ShiftModifier)
    click(person, Place(4, 12))
    assert locks(person.study) == [(None, None), (4, 12), (None, None), (4, 12)]
    click(person, Place(4, 13))
    assert "no selected note" in person.window.statusBar().currentMessage()


def test_a_held_note_is_set_as_a_whole(qtbot):
    tied = Bar((note("C4", 0, tie=True), note("C4", 1), note("D4", 2), note("D4", 3)))
    person = at_the_neck(Person(qtbot, Study(bars=(tied,))))
    click(person, Place(4, 10))
    assert locks(person.study) == [(4, 10), (4, 10), (None, None), (None, None)]


def test_the_keys_move_the_cross_and_return_picks(person):
    grip = person.window.document.layout.fingering.bars[0].events[0].notes[0]
    assert board(person).cross == Place(grip.string, grip.fret) == Place(3, 5)
    person.press_keys("Home")
    assert board(person).cross == Place(3, 0)
    for key in (Key.Key_Down, *[Key.Key_Right] * 10):
        person.press(key)
    assert board(person).cross == Place(4, 10)
    assert person.window.neck.here.text().startswith(words.NECK_HERE.format(string=4, fret=10, pitch="C4"))
    assert board(person).accessibleDescription() == person.window.neck.here.text()
    person.press(Key.Key_Return)
    assert locks(person.study)[0] == (4, 10)
    assert board(person).hasFocus()
    for key in (Key.Key_Up,) * 9 + (Key.Key_End,) + (Key.Key_Right,) * 3:
        person.press(key)
    assert board(person).cross == Place(1, 22)


def test_the_key_brings_the_neck_and_from_in_there_puts_it_away(person):
    person.press_keys("Esc")
    assert person.window.page.hasFocus()
    assert board(person).isVisible()
    person.press_keys(words.NECK_KEY)
    assert board(person).hasFocus()
    person.press_keys(words.NECK_KEY)
    assert not board(person).isVisible()
    assert person.window.page.hasFocus()
    at_the_neck(person)
    person.click(person.window.neck.close_button)
    assert not board(person).isVisible()


def test_the_window_opens_with_the_neck_as_it_was_left(person, qtbot):
    person.window.close()
    again = Person(qtbot, four_notes())
    again.window.around.start()
    assert board(again).isVisible()
    assert again.window.page.hasFocus()
    again.click(again.window.neck.close_button)
    again.window.close()
    once_more = Person(qtbot, four_notes())
    once_more.window.around.start()
    assert not board(once_more).isVisible()


def test_it_has_a_name_and_says_where_it_points(person):
    seen = QAccessible.queryAccessibleInterface(board(person))
    assert seen.text(QAccessible.Text.Name) == words.NECK_BOARD
    assert seen.text(QAccessible.Text.Description).startswith("String 3, fret 5: C4")


# Writing

def test_while_writing_a_click_is_the_next_note_with_the_pens_value(person):
    """Sounding pitches of the standard tuning (common practice, no source)."""
    person.press_keys("Esc")
    for key in ("Ctrl+Right", "W", "2"):
        person.press_keys(key)
    click(person, Place(3, 5))
    click(person, Place(1, 0))
    assert names(person.study, 1) == ["C4", "E4"]
    assert locks(person.study, 1) == [(3, 5), (1, 0)]
    assert [event.duration for event in person.study.bars[1].events] == [2, 2]
    assert person.window.document.undo_name == "write E4, bar 2"
    assert person.window.pen.caret == Caret(1, Fraction(4))


def test_with_shift_it_is_a_double_stop_and_on_its_string_another_pitch(person):
    for key in ("Esc", "Ctrl+Right", "W", "4"):
        person.press_keys(key)
    click(person, Place(2, 3))
    click(person, Place(3, 2), Held.ShiftModifier)
    assert names(person.study, 1)[0] == "A3+D4"
    assert person.at.note == NotePlace(1, 0, 0)
    click(person, Place(3, 4), Held.ShiftModifier)
    assert names(person.study, 1)[0] == "B3+D4"
    assert person.window.pen.caret == Caret(1, QUARTER)


def test_a_bar_is_written_from_the_neck_by_keys_alone(person):
    """The writing keys hold with the keyboard on the neck: values, rests, taking back, double stops."""
    person.press_keys("Ctrl+Right")
    for key in ("W", "4", "Home", "Return", "Right", "Right", "Return", "R", "8", "Down", "Return", "Shift+Return",
                "Up", "Shift+Return", "Backspace", "Return"):
        person.press_keys(key)
    assert board(person).hasFocus()
    assert names(person.study, 1)[:2] == ["G3", "A3"]
    assert [event.duration for event in person.study.bars[1].events[:4]] == [1, 1, 1, Fraction(1, 2)]
    assert person.study.bars[1].events[2].is_rest


def test_a_grace_note_comes_from_the_neck_too(person):
    for key in ("Esc", "W", "O"):
        person.press_keys(key)
    click(person, Place(2, 0))
    grace = person.study.bars[0].events[0]
    assert (grace.grace, grace.notes[0].pitch.name, grace.notes[0].string) == (True, "B3", 2)


def test_notes_are_spelled_by_the_chord(qtbot):
    """Over Abm the fret between A and B is Cb's neighbour Bb or A#: the chord has Cb, so fret 0 of string 2 is Cb."""
    study = Study(bars=(Bar(),))
    study = edits.set_change(study, 0, Fraction(0), "Abm")
    person = at_the_neck(Person(qtbot, study))
    person.press_keys("W")
    click(person, Place(2, 0))
    assert names(person.study)[0] == "Cb4"


# What it shows

def test_it_shows_what_is_set_apart_from_what_is_proposed(person):
    person.press_keys("Ctrl+A")
    person.window.document.edit("x", lambda study: edits.set_string(study, NotePlace(0, 1), 3, 7))
    shown = {mark.place: (mark.is_set, mark.is_selected) for mark in board(person).marks}
    grips = [event.notes[0] for event in person.window.document.layout.fingering.bars[0].events]
    assert set(shown) == {Place(grip.string, grip.fret) for grip in grips}
    assert shown[Place(3, 7)][0] is True
    assert sum(is_set for is_set, _ in shown.values()) == 1
    last = Place(grips[3].string, grips[3].fret)
    assert [place for place, (_, is_selected) in shown.items() if is_selected] == [last]


def test_it_shows_where_else_the_selected_note_lies(person):
    all_places = set(places(parse_pitch("C4").midi, Instrument()))
    assert {*board(person).others, *(mark.place for mark in board(person).marks)} == all_places
    person.press_keys("W")
    assert board(person).others == []


def test_names_are_degrees_fingers_or_notes(person):
    person.window.document.edit("x", lambda study: edits.set_change(study, 0, Fraction(0), "Am7"))
    shows, seen = person.window.neck.shows, {}
    for value in ("degrees", "fingers", "notes"):
        index = shows.findData(value)
        shows.setCurrentIndex(index)
        shows.activated.emit(index)
        seen[value] = [mark.names for mark in board(person).marks]
    assert seen["degrees"] == [("♭3",)]
    assert seen["notes"] == [("C",)]
    assert seen["fingers"][0][0].isdigit()


NECKS = [Instrument(), Instrument(tuning=TUNINGS["seven-string"], frets=24), Instrument(capo=3),
         Instrument(tuning=TUNINGS["bass"], frets=20), Instrument(frets=19, capo=5)]


@pytest.mark.parametrize("instrument", NECKS, ids=lambda one: f"{len(one.tuning)} strings, capo {one.capo}")
@pytest.mark.parametrize("left_handed", [False, True])
def test_every_place_of_every_neck_is_found_by_a_click(qtbot, instrument, left_handed):
    """The whole neck is there, each place once, under the string and fret that the tab names it by."""
    low = Study(instrument=instrument, guitarist=Guitarist(left_handed=left_handed), bars=(Bar(),))
    person = at_the_neck(Person(qtbot, low))
    window, neck, picked = person.window, board(person).neck, []
    corner = board(person).rect().bottomRight()
    person.qtbot.waitUntil(lambda: window.rect().contains(board(person).mapTo(window, corner)))
    board(person).picked.connect(lambda place, _: picked.append(place))
    every = [Place(string, fret) for string in range(1, len(instrument.tuning) + 1)
             for fret in range(instrument.frets - instrument.capo + 1)]
    for place in every:
        click(person, place)
        assert board(person).rect().contains(neck.middle(place).toPoint())
    assert picked == every
    xs = [neck.middle(Place(1, fret)).x() for fret in range(neck.frets + 1)]
    assert xs == sorted(xs, reverse=left_handed)
    assert [neck.place_at(QPointF(neck.middle(Place(1, 1)).x(), y)) for y in (-5.0, neck.height)] == [None, None]


def test_the_neck_follows_the_study_to_another_instrument(person):
    before = board(person).height()
    seven = Instrument(tuning=TUNINGS["seven-string"])
    person.window.document.edit("x", lambda study: replace(study, instrument=seven))
    assert board(person).height() > before
    person.window.document.edit("y", lambda study: edits.set_details(study, guitarist=Guitarist(left_handed=True)))
    assert board(person).neck.mirrored
    cross = board(person).cross
    person.press(Key.Key_Left)  # the way it points: turned round, that is up the neck
    assert board(person).cross == Place(cross.string, cross.fret + 1)


def test_a_study_for_reading_only_stays_as_it_is(person):
    before = person.study
    person.window.document.read_only = "made by a newer version; save it under another name"
    click(person, Place(4, 10))
    assert person.study is before
    assert "newer version" in person.window.message.label.text()
