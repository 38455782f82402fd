"""Writing about bars and notes through the panels, and taking it back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from app.fields import PAUSE_MS
from app.note_panel import read_degree
from app.spoken import bar_name, bar_title
from core.engraving.pictures import is_picture
from core.guitar import places
from core.harmony import ChordSymbolError, parse_chord
from core.study import Change, NotePlace, Reading, edits
from tests.app.windows import Person, demo

Key, Held = Qt.Key, Qt.KeyboardModifier
BAR = 4  # of cellar-stairs: chord symbol, comment and two callouts
NOTE = NotePlace(BAR, 5)


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, demo())
    one.click_page(one.spot_of(NOTE, "tab"))
    return one


def texts(person):
    """Every run of text on the page, joined without spaces: words wrap where they like."""
    return "".join(mark.text for page in person.drawing.pages for placed in page.placed
                   for mark in placed.drawing.marks if type(mark).__name__ == "Text").replace(" ", "")


def ink(person):
    """Every mark and where it is."""
    return [(placed.x, placed.y, placed.drawing.marks) for page in person.drawing.pages for placed in page.placed]


def comment(person):
    person.write(person.window.bar_panel.comment, "Quite another thought")


def heading(person):
    person.write(person.window.bar_panel.callouts._cards[0].heading, "Sixth sense")


def callout(person):
    person.write(person.window.bar_panel.callouts._cards[1].text, "Elsewhere altogether")


def remark(person):
    person.write(person.window.note_panel.remark, "lean on it")


def chord(person):
    person.enter(person.window.bar_panel.chords._rows[0].symbol, "G7sus4")


def degree(person):
    person.enter(person.window.note_panel.degree, "#9")


def stroke(person):
    person.window.note_panel.stroke.setFocus()
    person.press(Key.Key_Down)


def finger(person):
    person.window.note_panel.finger.setFocus()
    person.press(Key.Key_Down)
    person.press(Key.Key_Down)


@pytest.mark.parametrize(("write", "read", "expected"), [
    (comment, lambda bar: bar.comment, "Quite another thought"),
    (heading, lambda bar: bar.callouts[0].heading, "Sixth sense"),
    (callout, lambda bar: bar.callouts[1].text, "Elsewhere altogether"),
    (remark, lambda bar: bar.events[NOTE.event].remark, "lean on it"),
    (chord, lambda bar: bar.changes, (Change(Fraction(0), "G7sus4"),)),
    (degree, lambda bar: bar.events[NOTE.event].notes[0].degree, "#9"),
    (stroke, lambda bar: bar.events[NOTE.event].stroke, "down"),
])
def test_written_then_undone_then_redone(person, write, read, expected):
    """Study and drawing change; one undo brings back the identical study, one redo the edited one."""
    before, drawing, old = person.study, person.drawing, ink(person)
    write(person)
    after, new = person.study, ink(person)
    assert read(after.bars[BAR]) == expected
    assert person.drawing is not drawing
    assert all(one is other for at, (one, other) in enumerate(zip(before.bars, after.bars, strict=True)) if at != BAR)
    person.press(Key.Key_Escape)
    person.press_keys("Ctrl+Z")
    assert person.study is before
    assert ink(person) == old
    assert new != old
    person.press_keys("Ctrl+Shift+Z")
    assert person.study is after
    assert ink(person) == new


def test_an_edit_of_the_pickup_is_named_so(person):
    """Its bar is numbered 0, which nobody says."""
    person.click_page(person.spot_of(NotePlace(0, 1), "tab"))
    comment(person)
    assert person.window._actions.undo.text() == "&Undo: comment, pickup"
    assert bar_name(person.study, 0) == "pickup"
    assert bar_title(person.study, 4) == "Bar 4"


def test_a_whole_text_is_one_step_with_a_name(person):
    before = person.study
    comment(person)
    assert person.window._actions.undo.text() == "&Undo: comment, bar 4"
    person.press_keys("Ctrl+Z")  # from within the field: the window's undo, not the field's
    assert person.study is before
    assert person.window.bar_panel.comment.toPlainText() == before.bars[BAR].comment
    assert person.window._actions.redo.text() == "&Redo: comment, bar 4"
    assert not person.window._actions.undo.isEnabled()


def test_after_a_pause_typing_is_a_new_step(person, qtbot):
    field = person.window.bar_panel.comment
    person.write(field, "One")
    with qtbot.waitSignal(field.typing.settled, timeout=PAUSE_MS * 3):
        pass
    first = person.study
    qtbot.keyClicks(field, " two")
    assert person.study.bars[BAR].comment == "One two"
    person.press_keys("Ctrl+Z")
    assert person.study is first


def test_caret_stays_while_the_page_follows(person, qtbot):
    """Typing into the middle of a comment, with the drawing renewed at each key."""
    field = person.window.bar_panel.comment
    person.write(field, "ad")
    person.press(Key.Key_Left)
    drawings = []
    for letter in "bc":
        qtbot.keyClicks(field, letter)
        drawings.append(person.drawing)
    assert person.study.bars[BAR].comment == "abcd"
    assert drawings[0] is not drawings[1]
    assert field.textCursor().position() == 3


def test_caret_stays_where_it_can_after_an_undo(person, qtbot):
    field = person.window.bar_panel.comment
    old = person.study.bars[BAR].comment
    person.click(field.viewport())
    person.press(Key.Key_Home, Held.ControlModifier)
    qtbot.keyClicks(field, "abc")
    person.press_keys("Ctrl+Z")
    assert field.toPlainText() == old
    assert field.textCursor().position() == 3


@pytest.mark.parametrize("typed", ["H7", "Cm7x", "C7(b9"])
def test_wrong_chord_symbol_is_told_under_the_field_and_changes_nothing(person, typed):
    """The sentence is the one core.harmony makes, which names the character."""
    with pytest.raises(ChordSymbolError) as fault:
        parse_chord(typed)
    before, drawing = person.study, person.drawing
    row = person.window.bar_panel.chords._rows[0]
    person.enter(row.symbol, typed)
    assert row.fault.isVisible()
    assert row.fault.text() == fault.value.what
    assert person.study is before
    assert person.drawing is drawing
    assert row.symbol.text() == typed  # left standing, to be mended
    person.enter(row.symbol, "C7")
    assert not row.fault.isVisible()
    assert person.study.bars[BAR].changes == (Change(Fraction(0), "C7"),)


def test_wrong_chord_symbol_left_behind_is_told_in_the_window(person):
    before = person.study
    person.write(person.window.bar_panel.chords._rows[0].symbol, "H7")
    person.click_page(person.spot_of(NotePlace(1, 2), "tab"))
    assert person.study is before
    assert person.window.message.isVisible()
    assert person.window.message.label.text().startswith("Bar 4: what you typed was not kept: ")
    person.click(person.window.message.close_button)
    assert not person.window.message.isVisible()


def test_going_to_another_bar_keeps_a_chord_being_typed(person):
    person.write(person.window.bar_panel.chords._rows[0].symbol, "Ab13")
    person.press_keys("Ctrl+PgDown")
    assert person.at.bar == BAR + 1
    assert person.study.bars[BAR].changes == (Change(Fraction(0), "Ab13"),)
    assert person.window.bar_panel.chords._rows[0].symbol.text() == person.study.bars[BAR + 1].changes[0].symbol


def test_chord_symbols_added_moved_and_removed(person):
    chords = person.window.bar_panel.chords
    person.click(chords.add)
    person.qtbot.keyClicks(chords._rows[1].symbol, "Gm7")
    person.press(Key.Key_Return)
    assert person.study.bars[BAR].changes == (Change(Fraction(0), "Db7"), Change(Fraction(1), "Gm7"))
    person.enter(chords._rows[1].beat, "3 1/2")
    assert person.study.bars[BAR].changes[1] == Change(Fraction(5, 2), "Gm7")
    kept = person.study
    person.enter(chords._rows[1].beat, "1")
    assert chords._rows[1].fault.text() == "something begins on beat 1 already; choose another beat"
    person.enter(chords._rows[1].beat, "6")
    assert "beat 6 is not in this bar" in chords._rows[1].fault.text()
    assert person.study is kept
    person.click(chords._rows[1].remove)
    assert person.study.bars[BAR].changes == (Change(Fraction(0), "Db7"),)
    for _ in range(3):
        person.press_keys("Ctrl+Z")
    assert person.study.bars[BAR] == demo().bars[BAR]


def test_a_new_chord_symbol_left_empty_is_no_edit(person):
    before, chords = person.study, person.window.bar_panel.chords
    person.click(chords.add)
    person.click(chords._rows[1].remove)
    assert not chords._rows[1].isVisible()
    assert person.study is before


def test_readings_added_mended_and_removed(person):
    readings = person.window.bar_panel.readings
    person.click(readings.add)
    person.qtbot.keyClicks(readings._rows[0].symbol, "key of Hb")
    person.press(Key.Key_Return)
    assert readings._rows[0].fault.isVisible()
    assert person.study.bars[BAR].readings == ()
    person.enter(readings._rows[0].symbol, "key of Ab minor")
    assert person.study.bars[BAR].readings == (Reading(Fraction(0), "key of Ab minor"),)
    assert "in the reading" in person.window.note_panel.found.text()
    person.click(readings._rows[0].remove)
    assert person.study.bars[BAR].readings == ()


def test_callout_added_over_the_selected_notes(person):
    person.press(Key.Key_Escape)
    for _ in range(3):
        person.press(Key.Key_Right, Held.ShiftModifier)
    callouts = person.window.bar_panel.callouts
    person.click(callouts.add)
    person.qtbot.keyClicks(callouts._cards[2].heading, "Into the next bar")
    made = person.study.bars[BAR].callouts[2]
    bar, following = person.study.bars[BAR], person.study.bars[BAR + 1]
    sounding = [(0, event.onset) for event in bar.events if event.notes and event.onset >= bar.events[5].onset]
    sounding += [(1, event.onset) for event in following.events if event.notes]
    assert (made.heading, made.start) == ("Into the next bar", bar.events[5].onset)
    assert (made.bars_on, made.stop) == sounding[3]
    assert "Intothenextbar" in texts(person)
    person.click(callouts._cards[2].remove)
    assert len(person.study.bars[BAR].callouts) == 2


def test_callout_stretched_by_stepping_over_notes(person):
    card = person.window.bar_panel.callouts._cards[0]
    bar = person.study.bars[BAR]
    onsets = sorted(bar.onsets)
    old = bar.callouts[0]
    card.last.setFocus()
    person.press(Key.Key_Up)
    assert person.study.bars[BAR].callouts[0].stop == onsets[onsets.index(old.stop) + 1]
    card.first.setFocus()
    person.press(Key.Key_Up)
    assert person.study.bars[BAR].callouts[0].start == onsets[onsets.index(old.start) + 1]
    assert card.last.text().startswith("bar 4, note ")
    told = card.last.text()
    person.press_keys("Ctrl+Z")
    person.press_keys("Ctrl+Z")
    assert person.study.bars[BAR].callouts[0] == old
    assert card.last.text() != told


def test_callout_stretched_within_the_next_bar(person):
    """The second callout ends on the first onset of bar 5; a step up takes it to the second."""
    card = person.window.bar_panel.callouts._cards[1]
    card.last.setFocus()
    person.press(Key.Key_Up)
    changed = person.study.bars[BAR].callouts[1]
    assert (changed.bars_on, changed.stop) == (1, sorted(person.study.bars[BAR + 1].onsets)[1])


def test_a_chord_symbol_nobody_can_read_is_a_notice(qtbot):
    """Such a study loads (a file may hold any text); the window says what is wrong where."""
    study = edits.set_change(demo(), BAR, Fraction(0), "H7")
    person = Person(qtbot, study)
    qtbot.waitUntil(lambda: person.window.notices_button.text() == "1 notice")
    person.press_keys("Esc")
    for _ in range(BAR):
        person.press(Key.Key_Right, Held.ControlModifier)
    person.enter(person.window.bar_panel.chords._rows[0].symbol, "C7")
    qtbot.waitUntil(lambda: person.window.notices_button.text() == "No notices")


def test_one_goes_on_writing_behind_what_is_written(person):
    before = person.study.bars[person.at.bar].comment
    assert before
    person.press(Key.Key_Return)
    person.qtbot.keyClicks(person.window.focusWidget(), " Slowly.")
    assert person.study.bars[person.at.bar].comment == f"{before} Slowly."


def test_callout_moved_to_the_selected_note(person):
    card = person.window.bar_panel.callouts._cards[0]
    person.click_page(person.spot_of(NotePlace(BAR, 2), "tab"))
    person.click(card.use)
    onset = person.study.bars[BAR].events[2].onset
    moved = person.study.bars[BAR].callouts[0]
    assert (moved.start, moved.stop, moved.bars_on) == (onset, onset, 0)


def test_new_callouts_have_names_of_their_own_and_one_just_like_another_is_refused(person):
    callouts = person.window.bar_panel.callouts
    for _ in range(3):
        person.click(callouts.add)
    assert [one.heading for one in person.study.bars[BAR].callouts[2:]] == [
        "New callout", "New callout 2", "New callout 3"]
    before, last = person.study, callouts._cards[4]
    assert last.heading.hasFocus()
    for _ in range(2):
        person.press(Key.Key_End)
        person.press(Key.Key_Backspace)
    assert person.study.bars[BAR].callouts[-1].heading == "New callout "
    assert person.study is not before
    person.write(last.heading, "New callout")
    assert "stands twice in one bar" in last.fault.text()


def test_the_words_of_a_callout_are_typed_one_after_another(person):
    """Tab goes from heading to text, and comes to the button that takes it away at the very end."""
    person.press_keys("Ctrl+Shift+C")
    card = person.window.bar_panel.callouts._cards[2]
    person.qtbot.keyClicks(person.window.focusWidget(), "Up there")
    person.press(Key.Key_Tab)
    person.qtbot.keyClicks(person.window.focusWidget(), "Two words")
    made = person.study.bars[BAR].callouts[2]
    assert (made.heading, made.text) == ("Up there", "Two words")
    way = []
    while person.window.focusWidget() is not card.remove:
        way.append(person.window.focusWidget())
        person.press(Key.Key_Tab)
    assert way == [card.text, card.first, card.use, card.last, card.neck]


def test_return_goes_into_what_was_clicked_until_something_else_is_selected(person):
    where = person.spot_of_callout(BAR)
    person.click_page(where)
    person.press(Key.Key_Return)
    assert person.window.bar_panel.callouts._cards[0].text.hasFocus()
    person.press(Key.Key_Escape)
    person.click_page(where)
    person.press(Key.Key_Right)
    person.press(Key.Key_Return)
    assert person.window.bar_panel.comment.hasFocus()


def test_a_refusal_is_over_once_something_else_is_done(person):
    person.window.bar_panel.lost.emit("bar 1: cannot be")
    assert person.window.message.isVisible()
    person.press_keys("Ctrl+Shift+C")
    assert not person.window.message.isVisible()
    person.window.message.fault("the disk is full")
    person.press_keys("Ctrl+Z")
    assert person.window.message.isVisible()  # an edit does not mend that


def wheel(widget) -> QWheelEvent:
    """Turned down by a notch over it."""
    where = QPointF(widget.rect().center())
    turn = QWheelEvent(where, widget.mapToGlobal(where), QPoint(), QPoint(0, -120), Qt.MouseButton.NoButton,
                       Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False)
    QApplication.sendEvent(widget, turn)
    return turn


@pytest.mark.parametrize("name", ["finger", "string", "stroke"])
def test_the_wheel_chooses_nothing_where_it_only_passes_by(person, name):
    box, before = getattr(person.window.note_panel, name), person.study
    assert not wheel(box).isAccepted()
    assert person.study is before
    assert not box.hasFocus()


def test_the_wheel_over_a_callout_s_notes_is_left_to_the_panel(person):
    spin = person.window.bar_panel.callouts._cards[0].last
    before = person.study
    assert not wheel(spin).isAccepted()
    assert person.study is before
    spin.setFocus()
    assert wheel(spin).isAccepted()
    assert person.study is not before


def test_string_locked_and_freed(person):
    panel, pitch = person.window.note_panel, person.study.note_at(NOTE).pitch
    spots = places(pitch.midi, person.study.instrument)
    panel.string.setFocus()
    for _ in spots:
        person.press(Key.Key_Down)
    note = person.study.note_at(NOTE)
    assert (note.string, note.fret) == spots[-1]
    assert person.window.document.layout.fingering.bars[BAR].events[NOTE.event].notes[0][:2] == spots[-1]
    for _ in spots:
        person.press(Key.Key_Up)
    note = person.study.note_at(NOTE)
    assert (note.string, note.fret) == (None, None)


def test_finger_is_the_teachers(person):
    finger(person)
    assert person.study.note_at(NOTE).finger == 1


def test_wrong_degree_is_told_and_changes_nothing(person):
    before = person.study
    person.enter(person.window.note_panel.degree, "b15")
    assert person.window.note_panel.fault.isVisible()
    assert person.window.note_panel.fault.text().startswith("'b15' is no degree; ")
    assert person.study is before


def test_real_accidentals_are_taken_as_well():
    assert read_degree(" ♯9 ") == "#9"
    assert read_degree("♭♭7") == "bb7"
    assert read_degree("") == ""


def test_undo_goes_to_where_something_changed(person):
    comment(person)
    person.press(Key.Key_Escape)
    person.press(Key.Key_End, Held.ControlModifier)
    assert person.at.bar == len(person.study.bars) - 1
    person.press_keys("Ctrl+Z")
    assert person.at.bar == BAR


def test_a_rest_bar_can_be_written_about(person):
    """A bar without a selected note: the note's fields are off, the bar's are on."""
    bar = next(at for at, one in enumerate(person.study.bars) if any(event.is_rest for event in one.events))
    person.press_keys("Esc")
    person.window.page.setFocus()
    while person.at.bar != bar:
        person.press(Key.Key_Right, Held.ControlModifier) if person.at.bar < bar else person.press(
            Key.Key_Left, Held.ControlModifier)
    person.write(person.window.bar_panel.comment, "Breathe.")
    assert person.study.bars[bar].comment == "Breathe."


def test_return_and_escape_go_between_page_and_panel(person):
    person.press(Key.Key_Escape)
    assert person.window.page.hasFocus()
    person.press(Key.Key_Return)
    assert person.window.bar_panel.comment.hasFocus()
    person.press(Key.Key_Escape)
    assert person.window.page.hasFocus()


def test_double_click_on_a_chord_symbol_writes_it(person):
    where = person.spot_of(NotePlace(2, 1), "chord")
    person.click_page(where)
    person.qtbot.mouseDClick(person.window.page.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert person.window.bar_panel.chords._rows[1].symbol.hasFocus()


def pictures(person) -> int:
    """Callouts that have a picture of the neck on the pages."""
    return len({(placed.bar, mark.tag) for page in person.drawing.pages for placed in page.placed
                for mark in placed.drawing.marks if is_picture(mark.tag)})


def test_a_neck_picture_by_keys_alone_and_undone(person):
    card = person.window.bar_panel.callouts._cards[1]
    assert card.neck.accessibleName() == "Callout 2: Neck picture"
    card.use.setFocus()
    for _ in range(4):
        if not card.neck.hasFocus():
            person.press(Key.Key_Tab)
    assert card.neck.hasFocus()
    before = pictures(person)
    person.press(Key.Key_Space)
    assert [callout.neck for callout in person.study.bars[BAR].callouts] == [False, True]
    assert pictures(person) == before + 1
    assert person.window.document.undo_name == "neck picture of callout, bar 4"
    person.press_keys("Ctrl+Z")
    assert not any(callout.neck for callout in person.study.bars[BAR].callouts)
    assert not card.neck.isChecked()
    assert pictures(person) == before


def test_a_neck_picture_is_shown_as_set_and_kept_when_words_change(person):
    card = person.window.bar_panel.callouts._cards[0]
    person.click(card.neck)
    person.write(card.heading, "Where it lies")
    card.last.setFocus()
    person.press(Key.Key_Up)
    assert person.study.bars[BAR].callouts[0].neck
    person.window.page.setFocus()
    for _ in range(2):  # to the next bar with a callout
        person.press(Key.Key_Right, Held.ControlModifier)
    assert card.heading.text() == person.study.bars[BAR + 2].callouts[0].heading
    assert not card.neck.isChecked()
    for _ in range(2):
        person.press(Key.Key_Left, Held.ControlModifier)
    assert card.neck.isChecked()


def test_a_neck_picture_that_would_make_two_callouts_one_is_refused(qtbot):
    study = demo()
    callout = replace(study.bars[BAR].callouts[0], neck=True)
    person = Person(qtbot, edits.add_callout(study, BAR, callout))
    for _ in range(BAR):
        person.press(Key.Key_Right, Held.ControlModifier)
    card, before = person.window.bar_panel.callouts._cards[0], person.study
    person.click(card.neck)
    assert person.study is before
    assert not card.neck.isChecked()
    assert "twice" in card.fault.text()
