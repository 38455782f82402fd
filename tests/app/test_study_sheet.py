"""The study sheet: what the study says of itself, written by keys and mouse, live on the page, undone step by step."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app import dialogs, words, words_sheet
from app.details import read_time, show_time
from app.places import Spot
from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Tag, Text
from core.files import load_study, save_study
from core.study import MODES, Bar, Change, Chorus, Event, Key, Meter, Note, Study, parse_key, parse_pitch
from tests.app.test_manners import nameless
from tests.app.windows import Person, demo, keys_told

Key_ = Qt.Key
F = Fraction


def song(**details) -> Study:
    """Three bars of quarters under a chord each."""
    names = ("C4", "D4", "E4", "F4"), ("G4", "A4", "B4", "C5"), ("C5", "B4", "A4", "G4")
    bars = [Bar(tuple(Event(F(at), F(1), (Note(parse_pitch(name)),)) for at, name in enumerate(row)),
                changes=(Change(F(0), "C7"),)) for row in names]
    return Study(**({"title": "Old", "bars": tuple(bars), "choruses": (Chorus("One", 0),)} | details))


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, song())
    one.press_keys("Alt+5")
    assert sheet(one).fields["title"].hasFocus()
    return one


def sheet(person):
    return person.window.side.sheet


def printed(person) -> str:
    return " ".join(mark.text for page in person.drawing.pages for placed in page.placed
                    for mark in placed.drawing.marks if isinstance(mark, Text))


def pitches(study) -> list[str]:
    return [note.pitch.name for bar in study.bars for event in bar.events for note in event.notes]


def undone(person, before) -> None:
    """One step takes it back."""
    person.press_keys("Ctrl+Z")
    assert person.study == before


def test_it_is_in_the_file_menu_and_on_the_help_sheet(qtbot):
    person = Person(qtbot, song())
    file = person.window.menuBar().actions()[0].menu()
    next(one for one in file.actions() if one.text() == words_sheet.SHEET_MENU).trigger()
    assert sheet(person).fields["title"].hasFocus()
    assert ("Study sheet", "Alt+5") in keys_told(person.window, "File")


def test_a_title_is_on_the_page_as_it_is_typed_and_one_step(person):
    before = person.study
    QTest.keyClicks(sheet(person).fields["title"], "A new name ")
    assert "A new name" in printed(person)
    assert person.window.document.undo_name == "title"
    person.press(Key_.Key_Return)
    assert person.study.title == "A new name"
    undone(person, before)
    assert sheet(person).fields["title"].text() == "Old"
    person.press_keys("Ctrl+Shift+Z")
    assert person.study.title == "A new name"


FIELDS = {
    "tune": ("Some changes", "Some changes", "Some changes"), "player": ("A. Player", "A. Player", "A. Player"),
    "transcriber": ("T. Scribe", "T. Scribe", "T. Scribe"), "recording": ("Take 2, 1961", "Take 2, 1961", "Take 2"),
    "rights": ("(c) 2020 An Owner", "(c) 2020 An Owner", "(c) 2020 An Owner"), "tempo": ("212", 212, "= 212"),
    "first_number": ("17", 17, "17"), "starts_at": ("1:23.5", 83.5, ""),
}


@pytest.mark.parametrize("name", FIELDS)
def test_every_line_is_kept_shown_and_undone(person, name):
    text, value, shown = FIELDS[name]
    before = person.study
    person.enter(sheet(person).fields[name], text)
    assert getattr(person.study, name) == value
    assert replace(person.study, **{name: getattr(before, name)}) == before
    assert shown in printed(person)
    assert sheet(person).fields[name].text() == text
    assert person.window.document.undo_name == words_sheet.EDITS[name]
    undone(person, before)


@pytest.mark.parametrize(("name", "text", "told"), [
    ("tempo", "5", "no tempo; write quarter notes a minute, from 10 to 500"),
    ("tempo", "", "no tempo"), ("starts_at", "1:75", "no time; write minutes and seconds, as in 1:23.5"),
    ("starts_at", "soon", "no time"), ("first_number", "minus", "no bar number; write one from 0 up")])
def test_what_cannot_be_kept_is_told_in_a_line_and_changes_nothing(person, name, text, told):
    before = person.study
    field, fault = sheet(person).fields[name], sheet(person).faults[name]
    person.write(field, "x")
    person.press_keys("Ctrl+A")
    QTest.keyClick(field, Key_.Key_Backspace)
    QTest.keyClicks(field, text)
    person.press(Key_.Key_Return)
    assert fault.isVisible()
    assert told in fault.text()
    assert "\n" not in fault.text()
    assert person.study == before


def test_what_is_still_wrong_is_told_where_it_is_saved(qtbot, tmp_path):
    path = tmp_path / "mine.study"
    save_study(song(), path)
    person = Person(qtbot, load_study(path), path)
    person.press_keys("Alt+5")
    person.write(sheet(person).fields["tempo"], "5")
    with qtbot.waitSignal(person.window.side.lost) as lost:
        person.press_keys("Ctrl+S")
    assert "'5' is no tempo" in lost.args[0]
    assert load_study(path).tempo == 120
    assert sheet(person).fields["tempo"].text() == "120"  # told once
    with qtbot.assertNotEmitted(person.window.side.lost):
        person.press_keys("Ctrl+S")


@given(st.one_of(st.none(), st.integers(0, 10**6).map(float), st.decimals(0, 10**5, places=3).map(float)))
def test_a_time_is_shown_as_it_is_read(seconds):
    assert read_time(show_time(seconds)) == seconds


@pytest.mark.parametrize(("text", "seconds"), [("83.5", 83.5), ("1:23,5", 83.5), ("0:07", 7.0), (" ", None)])
def test_times_are_read_in_the_usual_ways(text, seconds):
    assert read_time(text) == seconds


def test_tab_goes_down_the_sheet_as_it_is_read(person):
    choose_key(person, "E")
    parts = sheet(person)
    answered = parts.key
    person.qtbot.waitUntil(lambda: answered.drop.height() > 10)
    parts.fields["title"].setFocus()
    reached = [parts.fields["title"]]
    while reached[-1] is not parts.choruses.rows[0].number:
        person.press(Key_.Key_Tab)
        reached.append(person.window.focusWidget())
    fields = parts.fields
    assert reached == [
        *(fields[name] for name in ("title", "tune", "player", "recording", "transcriber", "rights", "tempo")),
        parts.feel, answered.fields.tonic, answered.fields.mode, answered.stay, answered.drop, answered.up,
        answered.down, parts.meter, fields["first_number"], fields["starts_at"], parts.choruses.add,
        parts.choruses.rows[0].label, parts.choruses.rows[0].number]


def test_every_control_has_a_name(person):
    assert [type(one).__name__ for one in nameless(person.window) if sheet(person).isAncestorOf(one)] == []


def test_feel_is_chosen(person):
    before = person.study
    sheet(person).feel.setFocus()
    QTest.keyClick(sheet(person).feel, Key_.Key_Down)
    assert person.study.feel == "straight"
    assert "Straight" in printed(person)
    undone(person, before)


def test_what_is_still_being_typed_is_saved(qtbot, tmp_path):
    path = tmp_path / "mine.study"
    save_study(song(), path)
    person = Person(qtbot, load_study(path), path)
    person.press_keys("Alt+5")
    person.write(sheet(person).meter, "2/2")
    person.press_keys("Ctrl+S")
    assert load_study(path).meter.text == "2/2"


# Key

def choose_key(person, key) -> None:
    """By the keyboard: a letter picks the next tonic that begins so, an arrow the one before or after."""
    box = sheet(person).key.fields.tonic
    box.setFocus()
    QTest.keyClick(box, key)


def answer(person, button) -> None:
    """With a click, once the question has its place."""
    person.qtbot.waitUntil(lambda: button.height() > 10)
    person.click(button)


def test_another_key_asks_and_the_notes_may_stay(person):
    before = person.study
    choose_key(person, "E")
    question = sheet(person).key
    assert question.question.isVisible()
    assert question.about.text() == "E♭ major instead of C major: what becomes of the music?"
    assert person.study is before
    answer(person, question.stay)
    assert person.study == replace(before, key=parse_key("Eb major"))
    assert not question.question.isVisible()
    assert person.window.document.undo_name == "key signature"
    undone(person, before)
    assert question.fields.tonic.currentText() == "C"


@pytest.mark.parametrize(("button", "first", "octave_shift"), [("up", "Eb4", 0), ("down", "Eb3", -1)])
def test_or_all_of_it_moves_up_or_down(person, button, first, octave_shift):
    before = person.study
    choose_key(person, "E")
    answer(person, getattr(sheet(person).key, button))
    assert person.study.key == parse_key("Eb major")
    assert pitches(person.study)[:4] == [first, f"F{4 + octave_shift}", f"G{4 + octave_shift}", f"Ab{4 + octave_shift}"]
    assert {bar.changes[0].symbol for bar in person.study.bars} == {"Eb7"}
    assert "Moved to E♭ major" in person.window.message.label.text()
    undone(person, before)


def test_it_can_be_left_and_an_enharmonic_key_only_renames(qtbot):
    person = Person(qtbot, song(key=Key(6), bars=(Bar((Event(F(0), F(4), (Note(parse_pitch("F#4"), finger=1),)),)),)))
    before = person.study
    person.press_keys("Alt+5")
    choose_key(person, Key_.Key_Up)
    question = sheet(person).key
    assert question.fields.key == parse_key("Gb major")
    assert question.rename.isVisible()
    assert not question.up.isVisible()
    answer(person, question.drop)
    assert person.study is before
    assert question.fields.key == Key(6)
    choose_key(person, Key_.Key_Up)
    answer(person, question.rename)
    note = person.study.bars[0].events[0].notes[0]
    assert (note.pitch.name, note.finger, person.study.key) == ("Gb4", 1, Key(-6))


def test_nothing_is_asked_where_there_is_no_music(qtbot):
    person = Person(qtbot, Study())
    person.press_keys("Alt+5")
    choose_key(person, "A")
    assert person.study.key == parse_key("Ab major")
    assert not sheet(person).key.question.isVisible()


def test_keys_offered_have_seven_signs_at_most_in_every_mode(person):
    """Fifteen signatures: from seven flats to seven sharps (common practice, no source)."""
    fields = sheet(person).key.fields
    for mode in MODES:
        fields.show_key(Key(0, mode))
        offered = [fields.tonic.itemData(row) for row in range(fields.tonic.count())]
        assert sorted(offered) == list(range(-7, 8))
    fields.show_key(parse_key("A# minor"))
    fields.mode.setFocus()
    QTest.keyClick(fields.mode, Key_.Key_Up)
    assert fields.key == parse_key("Bb major")


# Meter

def test_another_meter_bars_the_notes_anew(person):
    before = person.study
    person.enter(sheet(person).meter, "3/4")
    assert (person.study.meter.text, len(person.study.bars)) == ("3/4", 4)
    assert pitches(person.study) == pitches(before)
    assert person.window.message.label.text() == "Barred anew in 3/4: 4 bars for 3"
    undone(person, before)
    assert sheet(person).meter.text() == "4/4"


def test_a_meter_that_would_run_over_a_label_is_refused_in_a_line(qtbot):
    person = Person(qtbot, song(choruses=(Chorus("One", 0), Chorus("Two", 1))))
    before = person.study
    person.press_keys("Alt+5")
    person.enter(sheet(person).meter, "3/4")
    told = sheet(person).faults["meter"]
    assert told.isVisible()
    assert told.text().startswith("bar 2: a bar of 3/4 would run over the start of this bar")
    assert "\n" not in told.text()
    assert person.study is before
    person.enter(sheet(person).meter, "c|")
    assert person.study.meter == Meter((2,), 2, "cut")
    assert sheet(person).meter.text() == "C|"
    assert not told.isVisible()


# Labels

def test_chorus_labels_are_added_named_moved_and_removed(person):
    before, rows = person.study, sheet(person).choruses
    person.click(rows.rows[0].label)
    person.press_keys("Ctrl+A")
    QTest.keyClicks(person.window.focusWidget(), "First")
    assert person.study.choruses == (Chorus("First", 0),)
    assert "First" in printed(person)
    undone(person, before)
    person.window.page.setFocus()
    person.press_keys("Ctrl+Right")
    person.press_keys("Alt+5")
    assert rows.add.text() == "Add at bar 2"
    person.click(rows.add)
    assert person.study.choruses == (Chorus("One", 0), Chorus("Chorus 2", 1))
    assert rows.rows[1].label.hasFocus()
    QTest.keyClicks(rows.rows[1].label, "Out")
    person.enter(rows.rows[1].number, "3")
    assert person.study.choruses == (Chorus("One", 0), Chorus("Out", 2))
    person.enter(rows.rows[1].number, "1")
    assert rows.rows[1].fault.text() == "another one stands at bar 1 already; choose another bar"
    person.enter(rows.rows[1].number, "40")
    assert "there is no bar 40" in rows.rows[1].fault.text()
    person.click(rows.rows[0].remove)
    assert person.study.choruses == (Chorus("Out", 2),)
    assert len(rows.shown) == 1
    person.enter(rows.rows[0].label, "x")
    person.press_keys("Ctrl+A")
    person.press(Key_.Key_Backspace)
    assert person.study.choruses == (Chorus("x", 2),)
    person.press(Key_.Key_Return)
    assert person.study.choruses == ()
    names = []
    while person.window.document.undo_name:
        names.append(person.window.document.undo_name)
        person.press_keys("Ctrl+Z")
    assert names == ["remove chorus, bar 3", "chorus label, bar 3", "remove chorus, bar 1", "chorus label, bar 2",
                     "chorus label, bar 2", "new chorus, bar 2"]
    assert person.study == before


def test_rehearsal_letters_go_on_from_the_last(person):
    rows = sheet(person).letters
    for letter, keys in (("A", ""), ("B", "Ctrl+Right")):
        if keys:
            person.window.page.setFocus()
            person.press_keys(keys)
            person.press_keys("Alt+5")
        person.click(rows.add)
        assert person.study.bars[person.at.bar].rehearsal == letter
    person.click(rows.add)
    assert rows.rows[1].label.hasFocus()
    assert [bar.rehearsal for bar in person.study.bars] == ["A", "B", ""]


# From the page

def ink_at(person, tag: Tag, bar: int | None = None) -> QPoint:
    font = person.window.document.layout.template.style.music
    for index, page in enumerate(person.drawing.pages):
        for placed in page.placed:
            for mark in placed.drawing.marks if placed.bar == bar else ():
                if mark.tag == tag and isinstance(mark, Text):
                    box = mark_box(mark, font)
                    x, y = (placed.x + (box.left + box.right) / 2 * placed.scale,
                            placed.y + (box.top + box.bottom) / 2 * placed.scale)
                    return person.window.page.on_screen(Spot(index, Box(x, y, x, y))).topLeft().toPoint()
    raise AssertionError(tag)


def double_click(person, where: QPoint) -> None:
    view = person.window.page.viewport()
    assert view.rect().contains(where)
    person.qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=where)
    person.qtbot.mouseDClick(view, Qt.MouseButton.LeftButton, pos=where)


@pytest.mark.parametrize(("tag", "field"), [
    (Tag("title"), "title"), (Tag("title", 1), "tune"), (Tag("title", 2), "tempo"), (Tag("foot"), "rights")])
def test_a_double_click_on_the_page_goes_to_what_prints_there(qtbot, tag, field):
    person = Person(qtbot, song(tune="A tune"))
    if tag.kind == "foot":
        bar = person.window.page.verticalScrollBar()
        bar.setValue(bar.maximum())
    before = person.at
    double_click(person, ink_at(person, tag))
    assert sheet(person).fields[field].hasFocus()
    assert sheet(person).fields[field].hasSelectedText() or not sheet(person).fields[field].text()
    assert person.at == before


def test_a_double_click_on_a_label_goes_to_it(qtbot):
    person = Person(qtbot, song(bars=tuple(replace(bar, rehearsal="Q" if at == 1 else "")
                                           for at, bar in enumerate(song().bars))))
    double_click(person, ink_at(person, Tag("label", 0), 0))
    assert sheet(person).choruses.rows[0].label.hasFocus()
    double_click(person, ink_at(person, Tag("label", 1), 1))
    assert sheet(person).letters.rows[0].label.hasFocus()


def test_a_double_click_elsewhere_goes_where_it_went(qtbot):
    person = Person(qtbot, song())
    double_click(person, ink_at(person, Tag("chord", 0), 1))
    assert person.window.bar_panel.chords._rows[0].symbol.hasFocus()
    assert person.window.side.currentWidget() is person.window.bar_panel


def test_another_study_shows_its_own(person, monkeypatch):
    person.write(sheet(person).fields["tempo"], "7")
    monkeypatch.setattr(dialogs, "ask_about_changes", lambda *_: "discard")
    person.window.filing.open_demo("ferry-timetable")
    assert sheet(person).fields["title"].text() == demo("ferry-timetable").title
    assert sheet(person).fields["tempo"].text() == str(demo("ferry-timetable").tempo)
    assert not sheet(person).faults["tempo"].isVisible()
    assert person.window.windowTitle().startswith(demo("ferry-timetable").title)
    assert words.APP in person.window.windowTitle()
