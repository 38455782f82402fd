"""Writing music in the window, by real keys and real clicks."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QInputDialog

from app import words_writing as words
from app.pen import Caret, Value
from app.places import bar_spot, note_spots
from app.staff_hits import caret_spot, height_y, staves_of
from core.study import Bar, Meter, NotePlace, Study, parse_key, parse_pitch
from tests.app.scores import EIGHTH, QUARTER, Held, Key, at_page, bar, four_notes, select, told, type_keys
from tests.app.windows import Person


@pytest.fixture
def person(qtbot):
    return Person(qtbot, four_notes())


@pytest.fixture
def blank(qtbot):
    """At an empty study, the pen out."""
    one = Person(qtbot, Study(key=parse_key("Bb major"), bars=(Bar(), Bar())))
    one.press_keys("W")
    return one


# Notes

def test_letters_write_notes_nearest_to_the_last_as_the_key_has_them(blank):
    type_keys(blank, *"DFABDE")
    assert told(blank.study)[0] == "D4 1/2 | F4 1/2 | A4 1/2 | Bb4 1/2 | D5 1/2 | Eb5 1/2 | - 1"
    assert blank.window.document.undo_name == "write E♭5, bar 1"
    assert blank.at.note == NotePlace(0, 5)
    assert blank.window.pen.caret == Caret(0, Fraction(3))


@pytest.mark.parametrize(("keys", "shown"), [
    ("1 C", "C4 4"), ("2 C", "C4 2 | - 2"), ("4 C", "C4 1 | - 3"), ("8 C", "C4 1/2 | - 7/2"),
    ("6 C", "C4 1/4 | - 15/4"), ("3 C", "C4 1/8 | - 31/8"), ("4 . C", "C4 3/2 | - 5/2"), ("4 . . C", "C4 7/4 | - 9/4"),
    ("8 L C", "C4 1 | - 3"), ("8 Q C", "C4 1/4 | - 15/4"),
    ("8 U C D E", "C4 1/3 | D4 1/3 | E4 1/3 | - 3"), ("6 Shift+U C", "C4 1/5 | - 19/5"),
    ("4 R C", "- 1 | C4 1 | - 2"), ("4 C +,E", "C4+E4 1 | - 3"),
    ("4 C +,C", "C4+C5 1 | - 3"), ("4 C D Backspace", "C4 1 | - 3"), ("4 Space D", "- 1 | D4 1 | - 2"),
    ("4 C Left O B O", "B3 * | C4 1 | - 3"), ("4 C Alt+Up", "C#4 1 | - 3"), ("4 C Shift+Up", "D4 1 | - 3"),
    ("4 C Ctrl+Shift+Down D", "C3 1 | D3 1 | - 2"), ("4 C Left 2 V", "C4 2 | - 2"), ("4 C Left D", "D4 1 | - 3"),
    ("4 C # D", "C#4 1 | D4 1 | - 2"), ("4 D Shift+B E", "Db4 1 | E4 1 | - 2"), ("4 C # # Shift+B", "C#4 1 | - 3"),
    ("4 E # F", "E#4 1 | F4 1 | - 2"), ("4 C R #", "C4 1 | - 3"), ("4 C +,E Shift+B D", "C4+Eb4 1 | D4 1 | - 2"),
    ("4 C # N", "Db4 1 | - 3"), ("4 C T C #", "C#4~ 1 | C#4 1 | - 2"),
    ("4 C T C", "C4~ 1 | C4 1 | - 2"), ("8 C T 4 C D", "C4~ 1/2 | C4 1 | D4 1 | - 3/2"),
    ("4 C T D", "C4 1 | D4 1 | - 2"),
    ("4 F # T F", "F#3~ 1 | F#3 1 | - 2"), ("4 C T T C", "C4 1 | C4 1 | - 2"), ("4 C T R C", "C4 1 | - 1 | C4 1 | - 1"),
    ("4 C +,E T C", "C4~+E4 1 | C4 1 | - 2"), ("4 C D Left Left T D", "D4 1 | D4 1 | - 2"),
])
def test_what_is_typed_is_written(qtbot, keys, shown):
    person = Person(qtbot, Study(bars=(Bar(), Bar())))
    type_keys(person, "W", *keys.split())
    assert told(person.study) == [shown, ""]


def test_writing_past_the_end_makes_bars(blank):
    type_keys(blank, "1", "C", "D", "E", "2", "F")
    assert told(blank.study) == ["C4 4", "D4 4", "Eb4 4", "F4 2 | - 2"]


def test_a_note_longer_than_the_bar_is_tied_over_and_held_together(blank):
    type_keys(blank, "2", ".", "C", "D", "Alt+Down")
    assert told(blank.study) == ["C4 3 | Db4~ 1", "Db4 2 | - 2"]


def test_out_of_the_writing_mode_letters_write_nothing(person):
    before = person.study
    type_keys(person, *"ABCDEFG12R", "Backspace", "Space")
    assert person.study is before
    type_keys(person, "W", "D", "Esc")
    assert told(person.study)[0].startswith("D4 1")
    after = person.study
    person.press_keys("D")
    assert person.study is after


@pytest.mark.parametrize(("length", "keys", "shown"), [
    (Fraction(1), "A", "A3 1 | D4 1 | E4 1"), (Fraction(1), "Right A", "C4 1 | A3 1 | E4 1"),
    (Fraction(3, 4), "2 Right Right A", "C4 3/4 | D4 3/4 | A3 3/4 | F4"),
    (Fraction(1), "Right 8 A", "C4 1 | A3 1/2 | - 1/2 | E4 1"),
    (Fraction(3, 4), "Right A B", "C4 3/4 | A3 3/4 | B3 3/4 | F4")])
def test_a_letter_over_a_note_takes_its_value(qtbot, length, keys, shown):
    """The pen has the value of the note it is led to; what was chosen after that holds."""
    notes = bar("C4 D4 E4 F4" if length < 1 else "C4 D4 E4", length)
    person = Person(qtbot, Study(bars=(notes,), meter=Meter((3,), 4)))
    person.press_keys("W")
    type_keys(person, *keys.split())
    assert told(person.study)[0].startswith(shown)


def test_letters_typed_into_a_field_stay_there(blank):
    before = [each.events for each in blank.study.bars]
    blank.write(blank.window.bar_panel.comment, "a bad cab, 1 2 4")
    assert blank.study.bars[0].comment == "a bad cab, 1 2 4"
    assert [each.events for each in blank.study.bars] == before


def test_the_caret_walks_over_rests_and_to_the_end(qtbot):
    person = Person(qtbot, Study(bars=(bar("C4 - E4 -"), Bar())))
    person.press_keys("W")
    seen = [person.window.pen.caret]
    for _ in range(7):
        person.press(Key.Key_Right)
        seen.append(person.window.pen.caret)
    assert seen == [Caret(0, Fraction(at)) for at in range(4)] + [Caret(1, Fraction(0))] + [Caret(1, Fraction(4))] * 3
    assert person.window.writing.where.text() == "Writing at the end"
    for _ in range(9):
        person.press(Key.Key_Left)
    assert person.window.pen.caret == Caret(0, Fraction(0))
    assert person.window.writing.where.text() == "Writing at beat 1 of bar 1"


def test_one_step_is_one_undo_and_redo(blank):
    states = [blank.study]
    for key in ("C", "#", "+,E", "Alt+Up", "X", "J", "I"):
        blank.press_keys(key)
        assert blank.study is not states[-1], key
        states.append(blank.study)
    for state in reversed(states[:-1]):
        blank.press_keys("Ctrl+Z")
        assert blank.study is state
    for state in states[1:]:
        blank.press_keys("Ctrl+Shift+Z")
        assert blank.study is state


def test_undo_and_redo_take_the_caret_with_them(blank):
    type_keys(blank, "4", "C", "D", "Ctrl+Z", "E")
    assert told(blank.study)[0] == "C4 1 | Eb4 1 | - 2"
    type_keys(blank, "Ctrl+Z", "Ctrl+Shift+Z", "F")
    assert told(blank.study)[0] == "C4 1 | Eb4 1 | F4 1 | - 1"
    type_keys(blank, "Backspace", "Ctrl+Z", "G")
    assert told(blank.study)[0] == "C4 1 | Eb4 1 | F4 1 | G4 1"
    type_keys(blank, "Ctrl+Z", "Ctrl+Z", "#")
    assert told(blank.study)[0] == "C4 1 | E4 1 | - 2"


# The mouse

def on_staff(person, caret, pitch) -> QPoint:
    """Where a note of this pitch would stand."""
    layout = person.window.document.layout
    spot = caret_spot(layout, caret)
    y = height_y(layout, caret.bar, pitch.diatonic)
    return at_page(person, spot.page, spot.box.left + layout.template.space, y)


@pytest.mark.parametrize("name", ["E3", "B3", "F4", "A4", "D5"])
def test_a_click_writes_the_note_of_its_height(blank, name):
    pitch = parse_pitch(name)
    blank.click_page(on_staff(blank, Caret(0, Fraction(0)), pitch))
    written = blank.study.bars[0].events[0].notes[0].pitch
    assert (written.step, written.octave) == (pitch.step, pitch.octave)
    assert written.alter == blank.study.key.alter_of(pitch.step)
    box = next(spot.box for spot in note_spots(blank.window.document.layout, NotePlace(0, 0)) if spot.kind == "note")
    y = height_y(blank.window.document.layout, 0, pitch.diatonic)
    assert box.top <= y <= box.bottom


def test_clicks_along_a_bar_land_on_its_beats(blank):
    """A bar of rest is cut into the pen's value from left to right."""
    blank.press_keys("4")
    layout = blank.window.document.layout
    box = bar_spot(layout, 1).box
    seen = []
    for part in range(1, 20):
        x = box.left + (box.right - box.left) * part / 20
        hit = blank.window.page._hit(at_page(blank, 0, x, staves_of(layout, 1).notation[2]).toPointF())
        seen.append(hit.caret)
    assert seen == sorted(seen)
    assert {caret.onset for caret in seen} == {Fraction(at) for at in range(4)}


def test_shift_click_makes_a_double_stop(person):
    person.press_keys("W")
    person.click_page(on_staff(person, Caret(0, Fraction(1)), parse_pitch("A4")), Held.ShiftModifier)
    assert told(person.study)[0] == "C4 1 | D4+A4 1 | E4 1 | F4 1"


def test_a_click_on_a_head_selects_it_even_while_writing(person):
    person.press_keys("W")
    before = person.study
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    assert person.study is before
    assert person.at.note == NotePlace(1, 2)
    assert person.window.pen.caret == Caret(1, Fraction(2))


def on_string(person, caret, string) -> QPoint:
    layout = person.window.document.layout
    spot = caret_spot(layout, caret)
    return at_page(person, spot.page, spot.box.left + layout.template.space,
                   staves_of(layout, caret.bar).tab[string - 1])


@pytest.mark.parametrize(("string", "frets", "name"), [
    (1, "5", "A4"), (2, "12", "B4"), (3, "0", "G3"), (6, "3", "G2"), (5, "10", "G3"), (4, "2", "E3")])
def test_frets_are_typed_on_a_string(blank, string, frets, name):
    """Sounding pitches of the standard tuning E2 A2 D3 G3 B3 E4 (common practice, no source)."""
    blank.press_keys("4")
    blank.click_page(on_string(blank, Caret(0, Fraction(0)), string))
    type_keys(blank, *frets)
    note = blank.study.bars[0].events[0].notes[0]
    assert (note.pitch.name, note.string, note.fret) == (name, string, int(frets))
    grip = blank.window.document.layout.fingering.bars[0].events[0].notes[0]
    assert (grip.string, grip.fret) == (string, int(frets))


@pytest.mark.parametrize(("keys", "frets"), [
    ("8 1 0 3", "3:8 3:10 3:3"), ("1 Space 2 Space 0", "3:1 3:2 3:0"), ("1 Right 2 Right 1 2", "3:1 3:2 3:12"),
    ("2 9 5", "3:2 3:9 3:5"), ("2 2 2 2", "3:22 3:22"), ("0 7 Down 5 Up 2 Up 1 5", "3:0 3:7 4:5 3:2 2:15"),
    ("1 Down 9", "3:1 4:9"), ("1 L 5", "3:1 3:5"), ("7 Down +,5", "3:7+4:5"), ("7 Down +,1 0 9", "3:7+4:10 4:9"),
    ("1 Up +,1 Space 4", "2:1+3:1 2:4"), ("7 +,9", "3:9"), ("7 Left 5", "3:5"), ("7 1 Left 9", "3:9 3:1"),
])
def test_frets_typed_one_after_another_go_on_by_themselves(blank, keys, frets):
    """One figure is a fret, but a 1 or 2 waits for a second; any other key ends that. With a + it is a double stop."""
    type_keys(blank, "8", "M", *keys.split())
    events = [event for each in blank.study.bars for event in each.events if event.notes]
    found = ["+".join(f"{note.string}:{note.fret}" for note in reversed(event.notes)) for event in events]
    assert sorted(" ".join(found).replace("+", " ").split()) == sorted(frets.replace("+", " ").split())
    assert [len(event.notes) for event in events] == [1 + each.count("+") for each in frets.split()]


def test_a_fret_of_two_figures_is_one_step(blank):
    type_keys(blank, "M", "7")
    before = blank.study
    type_keys(blank, "1", "2")
    assert blank.window.document.undo_name == "fret 12 on string 3, bar 1"
    blank.press_keys("Ctrl+Z")
    assert blank.study is before
    type_keys(blank, "1")
    blank.press_keys("Ctrl+Z")
    assert blank.study is before
    type_keys(blank, "5")
    assert [note.fret for event in blank.study.bars[0].events for note in event.notes] == [7, 5]


def test_a_waiting_fret_is_gone_on_from_by_letters_too(blank):
    type_keys(blank, "4", "M", "1", "M", "C", "D")
    assert told(blank.study)[0] == "Ab3 1 | C4 1 | D4 1 | - 1"


def test_a_tie_waits_for_both_figures_of_a_fret(blank):
    type_keys(blank, "4", "M", "1", "2", "T", "1", "2", "M")
    assert told(blank.study)[0] == "G4~ 1 | G4 1 | - 2"


def test_a_sign_leaves_the_caret_and_a_tie_is_seen_to_wait(blank):
    where = blank.window.writing.where
    type_keys(blank, "4", "C", "#")
    assert blank.window.pen.caret == Caret(0, Fraction(1))
    assert blank.window.document.undo_name == "sharper, bar 1"
    before = blank.study
    type_keys(blank, "T")
    assert blank.study is before
    assert where.text().endswith("tied on")
    assert blank.window.writing.bar.tie.isChecked()
    type_keys(blank, "D")
    assert not where.text().endswith("tied on")
    assert "D4 was not there before" in blank.window.message.label.text()


def test_no_sign_beyond_a_double_sharp(blank):
    type_keys(blank, "4", "C", "#", "#", "#")
    assert blank.study.bars[0].events[0].notes[0].pitch.name == "C##4"
    assert "no more room for a sign" in blank.window.message.label.text()


def test_a_chosen_passage_is_raised_and_nothing_where_nothing_is_chosen(person):
    type_keys(person, "Shift+Right", "#")
    assert told(person.study)[0] == "C#4 1 | D#4 1 | E4 1 | F4 1"
    type_keys(person, "Ctrl+Z", "Ctrl+Right", "Ctrl+Right", "#")
    assert person.study is not None
    assert told(person.study) == told(four_notes())
    assert "choose one first" in person.window.message.label.text()


def test_a_step_from_a_note_outside_the_key_has_a_name_of_the_key(qtbot):
    person = Person(qtbot, Study(key=parse_key("Eb major"), bars=(bar("A4 A4 F#4 C4"),)))
    type_keys(person, "Shift+Down", "Right", "Shift+Up")
    assert told(person.study) == ["Ab4 1 | B4 1 | F#4 1 | C4 1"]


def test_the_keys_are_named_while_writing_and_how_to_begin_before(person):
    writing = person.window.writing
    before = person.study
    assert not writing.where.isVisible()
    assert not writing.reminder.isVisible()
    for key in ("C", "4", "R"):
        person.press_keys(key)
        assert writing.where.text() == "W begins writing: then A–G are notes, 1 2 4 8 their values"
        assert writing.where.isVisible()
    person.press_keys("Right")
    assert not writing.where.isVisible()
    assert person.study is before
    person.press_keys("W")
    assert writing.where.text() == "Writing at beat 2 of bar 1"
    assert writing.reminder.isVisible()
    assert "# sharper · Shift+B flatter" in writing.reminder.text()
    person.press_keys("M")
    assert "Space goes on" in writing.reminder.text()
    type_keys(person, "Esc")
    assert not writing.reminder.isVisible()
    person.window.resize(person.window.minimumSize())
    person.press_keys("W")
    assert person.window.width() == person.window.minimumWidth()


def test_dragging_over_notes_selects_them(person):
    view = person.window.page.viewport()
    start, end = (person.spot_of(NotePlace(0, at), "note") for at in (1, 3))
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Held.NoModifier, start)
    QTest.mouseMove(view, (start + end) / 2)
    QTest.mouseMove(view, end)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Held.NoModifier, end)
    assert person.at.span == (NotePlace(0, 1), NotePlace(0, 3))





def _bar_counts(study: Study) -> list[Fraction]:
    return [here.length for here in study.in_force]


Check = Callable[[Study], object]
"""A command by the words of its menu: the keys that lead to it from a study of two bars with the first note selected,
the pen out, and what the study then is."""
COMMANDS: dict[str, tuple[str, Check, object]] = {
    words.WRITING: ("W W D", lambda study: told(study)[0], "D4 1 | D4 1 | E4 1 | F4 1"),
    words.PUT_REST: ("R", lambda study: told(study)[0], "- 1 | D4 1 | E4 1 | F4 1"),
    words.BACK: ("Right Backspace", lambda study: told(study)[0], "C4 1 | - 1 | E4 1 | F4 1"),
    words.GO_ON: ("8 Space 4 A", lambda study: told(study)[0], "C4 1/2 | A3 1 | - 1/2 | E4 1 | F4 1"),
    words.DOT: ("8 . G", lambda study: told(study)[0], "G3 3/4 | - 1/4 | D4 1 | E4 1 | F4 1"),
    words.LONGER: ("8 L G", lambda study: told(study)[0], "G3 1 | D4 1 | E4 1 | F4 1"),
    words.QUICKER: ("8 L Q Q Q G", lambda study: study.bars[0].events[0].duration, Fraction(1, 8)),
    words.GRACE: ("O B", lambda study: told(study)[0], "B3 * | C4 1 | D4 1 | E4 1 | F4 1"),
    words.TO_TAB: ("M 7", lambda study: study.bars[0].events[0].notes[0].fret, 7),
    words.SHARPER: ("#", lambda study: told(study)[0], "C#4 1 | D4 1 | E4 1 | F4 1"),
    words.FLATTER: ("Shift+B", lambda study: told(study)[0], "Cb4 1 | D4 1 | E4 1 | F4 1"),
    words.TIE: ("Shift+Up T", lambda study: told(study)[0], "D4~ 1 | D4 1 | E4 1 | F4 1"),
    words.GIVE_VALUE: ("2 V", lambda study: told(study)[0], "C4 2 | E4 1 | F4 1"),
    words.TUPLETS[3]: ("8 U G A B", lambda study: told(study)[0][:26], "G3 1/3 | A3 1/3 | B3 1/3 |"),
    words.TUPLETS[5]: ("8 Shift+U G", lambda study: study.bars[0].events[0].duration, Fraction(2, 5)),
    words.TUPLETS[6]: ("8 Ctrl+U G", lambda study: study.bars[0].events[0].duration, Fraction(1, 3)),
    words.TUPLETS[7]: ("8 Ctrl+Shift+U G", lambda study: study.bars[0].events[0].duration, Fraction(2, 7)),
    words.HALF_UP: ("Alt+Up", lambda study: told(study)[0], "C#4 1 | D4 1 | E4 1 | F4 1"),
    words.HALF_DOWN: ("Alt+Down", lambda study: told(study)[0], "B3 1 | D4 1 | E4 1 | F4 1"),
    words.STEP_UP: ("Shift+Up", lambda study: told(study)[0], "D4 1 | D4 1 | E4 1 | F4 1"),
    words.STEP_DOWN: ("Shift+Right Shift+Down", lambda study: told(study)[0], "B3 1 | C4 1 | E4 1 | F4 1"),
    words.OCTAVE_UP: ("Ctrl+Shift+Up", lambda study: told(study)[0], "C5 1 | D4 1 | E4 1 | F4 1"),
    words.OCTAVE_DOWN: ("Ctrl+Shift+Down", lambda study: told(study)[0], "C3 1 | D4 1 | E4 1 | F4 1"),
    words.RESPELL: ("Alt+Up N", lambda study: told(study)[0], "Db4 1 | D4 1 | E4 1 | F4 1"),
    words.SLUR: ("Shift+Right Shift+Right S", lambda study: [one.slur for one in study.bars[0].events],
                 ["start", "", "stop", ""]),
    words.GHOST: ("Shift+Right (", lambda study: [one.notes[0].ghost for one in study.bars[0].events],
                  [True, True, False, False]),
    words.STRING_UP: ("Ctrl+Down Ctrl+Up", lambda study: study.bars[0].events[0].notes[0].string, 3),
    words.STRING_DOWN: ("Ctrl+Down", lambda study: study.bars[0].events[0].notes[0].string, 4),
    words.DELETE: ("Del", lambda study: told(study)[0], "- 1 | D4 1 | E4 1 | F4 1"),
    words.CUT: ("Ctrl+X", lambda study: told(study)[0], "- 1 | D4 1 | E4 1 | F4 1"),
    words.COPY: ("Ctrl+C Right Ctrl+V", lambda study: told(study)[0], "C4 1 | C4 1 | E4 1 | F4 1"),
    words.PASTE: ("Ctrl+C End Ctrl+V", lambda study: told(study)[1], "G4 1 | A4 1 | B4 1 | C5 1"),
    words.PASTE_NOTES: ("Ctrl+C End Ctrl+Shift+V", lambda study: told(study)[1], "G4 1 | A4 1 | B4 1 | C5 1"),
    words.SELECT_ALL: ("Ctrl+A Del", told, ["", "", ""]),
    words.INSERT_BEFORE: ("I", lambda study: [bool(one.events) for one in study.bars], [False, True, True, False]),
    words.INSERT_AFTER: ("Shift+I", lambda study: [bool(one.events) for one in study.bars], [True, False, True, False]),
    words.DELETE_BARS: ("Ctrl+Backspace", told, ["G4 1 | A4 1 | B4 1 | C5 1", ""]),
    words.SPLIT: ("Right X", _bar_counts, [1, 3, 4, 4]),
    words.JOIN: ("J", _bar_counts, [8, 4]),
    words.REPEAT: ("Ctrl+R", lambda study: told(study)[:2], ["C4 1 | D4 1 | E4 1 | F4 1"] * 2),
    words.REPEAT_SIGNS: ("Shift+R", lambda study: (study.bars[0].repeat_start, study.bars[0].repeat_end), (True, 2)),
    "Staccato": ("'", lambda study: study.bars[0].events[0].articulations, ("staccato",)),
    "Tenuto": ("_", lambda study: study.bars[0].events[0].articulations, ("tenuto",)),
    "Accent": ("Shift+Right >", lambda study: [one.articulations for one in study.bars[0].events[:3]],
               [("accent",), ("accent",), ()]),
    "Marcato": ("^", lambda study: study.bars[0].events[0].articulations, ("marcato",)),
    "Slide": ("/", lambda study: study.bars[0].events[0].articulations, ("slide",)),
    "Fall": ("\\", lambda study: study.bars[0].events[0].articulations, ("fall",)),
    "Turn": ("~", lambda study: study.bars[0].events[0].articulations, ("turn",)),
}
TYPED = {words.TYPE_NOTES, words.CHANGES_HERE, words.CHANGES_CHORUS, words.POSITION,  # tests of their own, below
         words.MIDI_KEYBOARD}  # and in test_midi_keys.py
BY_MENU = {"Scoop": "scoop", "Doit": "doit", "Bend": "bend"}
PEN_KEYS = ({words.LETTER.format(step=step) for step in "ABCDEFG"}
            | {words.ADDED_LETTER.format(step=step) for step in "ABCDEFG"}
            | {words.ADDED_FRET.format(figure=figure) for figure in range(10)})


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_does_its_work_and_is_undone(person, name):
    keys, read, expected = COMMANDS[name]
    person.press_keys("W")
    first = person.study
    for key in keys.split():
        person.press(key) if len(key) == 1 and not key.isalnum() else person.press_keys(key)
    assert read(person.study) == expected
    assert person.window.document.undo_name
    while person.window.document.undo_name:
        person.press_keys("Ctrl+Z")
    assert person.study is first


def leaves(menu):
    for action in menu.actions():
        if action.menu():
            yield from leaves(action.menu())
        elif not action.isSeparator():
            yield action


def writing_actions(person):
    for action in person.window.menuBar().actions():
        if action.text() in (words.WRITE, words.NOTES, words.BARS):
            yield from leaves(action.menu())


def test_every_command_of_the_menus_is_reached_by_a_test(person):
    figures = {words.FIGURE.format(figure=figure, value=value) for figure, value in words.VALUES.items()}
    figures |= {words.FIGURE_FRET.format(figure=figure) for figure in range(10)}
    names = {action.text() for action in writing_actions(person)}
    assert names - figures - PEN_KEYS - TYPED - set(BY_MENU) == set(COMMANDS) - {
        words.CUT, words.COPY, words.PASTE, words.PASTE_NOTES, words.DELETE, words.SELECT_ALL}
    assert PEN_KEYS | TYPED | set(BY_MENU) < names


def test_no_key_means_two_things(person):
    """Every shortcut of the whole window is one action's, or Qt would call neither."""
    keys = [key.toString() for action in person.window.findChildren(type(person.window._actions.undo))
            for key in action.shortcuts()]
    assert sorted(keys) == sorted(set(keys))


@pytest.mark.parametrize("shown", BY_MENU)
def test_articulations_without_a_key_are_in_the_menu(person, shown):
    action = next(one for one in writing_actions(person) if one.text() == shown)
    action.trigger()
    assert person.study.bars[0].events[0].articulations == (BY_MENU[shown],)
    action.trigger()
    assert person.study.bars[0].events[0].articulations == ()


def test_a_passage_is_put_into_a_position(person, monkeypatch):
    select(person, NotePlace(0, 0), NotePlace(1, 3))
    monkeypatch.setattr(QInputDialog, "getInt", lambda *_: (7, True))
    person.press_keys("P")
    frets = [note.fret for each in person.study.bars for event in each.events for note in event.notes]
    assert min(frets) >= 6
    assert max(frets) <= 12


def test_a_value_sounds_as_it_is_written():
    """MusicXML's time-modification: 3 in the time of 2 sounds two thirds of what is written."""
    assert Value(EIGHTH, 0, (3, 2)).duration == Fraction(1, 3)
    assert Value(QUARTER, 2).written == Fraction(7, 4)
