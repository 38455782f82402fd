"""Who plays, other ways, range and difficulty in the window. How it must behave is ours: there is no source."""

from __future__ import annotations

from threading import Event

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QComboBox, QLineEdit

from app import ways_view
from app import words_fingering as words
from app.places import Selected, Spot, bar_spot
from app.range_view import RangeView
from app.staff_hits import staves_of
from app.ways_view import MOST_BARS
from core.engraving.boxes import Box
from core.engraving.drawing import Text
from core.errors import BarglossError
from core.files import load_study, save_study
from core.guitar import TUNINGS, difficulty, finger, load_preset, moved_by, out_of_range, practice_plan, ways
from core.study import Instrument, NotePlace, Study, edits
from tests.app.windows import Person, demo

FIRST, LAST = NotePlace(5, 0), NotePlace(6, 7)


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


def opened(person: Person, name: str):
    """By its key, as somebody at the page would."""
    person.press_keys(words.KEYS[name])
    view = person.window.fingering.views[name]
    person.qtbot.waitUntil(lambda: view.isVisible() and view.isActiveWindow())
    return view


def ways_shown(person: Person):
    """The ways of what is selected, once they are found."""
    view = opened(person, "ways")
    person.qtbot.waitUntil(lambda: view.list.count() > 0, timeout=30_000)
    return view


def pick(box: QComboBox, value: str) -> None:
    """As the list does when somebody takes a line of it."""
    index = box.findData(value)
    box.setCurrentIndex(index)
    box.activated.emit(index)
    assert box.currentData() == value


def fill(person: Person, field: QLineEdit, text: str) -> None:
    person.click(field)
    field.selectAll()
    person.qtbot.keyClicks(field, text)
    person.qtbot.keyClick(field, Qt.Key.Key_Return)


def test_a_way_of_playing_is_chosen_undone_and_saved(person, tmp_path):
    before = person.study
    view = opened(person, "guitarist")
    pick(view.preset, "legato")
    assert person.study.guitarist == load_preset("legato").guitarist
    assert (view.picking.currentData(), view.span.currentData()) == ("legato", "wide")
    pick(view.picking, "economy")
    assert person.study.guitarist.picking == "economy"
    assert person.study.guitarist.span == "wide"
    save_study(person.study, tmp_path / "a.study")
    assert load_study(tmp_path / "a.study").guitarist == person.study.guitarist
    person.window.undo()
    person.window.undo()
    assert person.study is before
    assert view.picking.currentData() == "alternate"


def test_the_page_is_fingered_anew_for_another_guitarist(person):
    view = opened(person, "guitarist")
    before = person.window.document.layout.fingering
    pick(view.picking, "legato")
    after = person.window.document.layout.fingering
    slurred = [sum(bool(event.technique) for bar in one.bars for event in bar.events) for one in (before, after)]
    assert slurred[1] > slurred[0]


def test_position_strings_hand_and_instrument_are_kept(person):
    view = opened(person, "guitarist")
    view.position.setFocus()
    view.position.selectAll()
    person.qtbot.keyClicks(view.position, "7\r")
    fill(person, view.strings, "3 1 2 4")
    person.click(view.left_handed)
    pick(view.tuning, "half step down")
    who = person.study.guitarist
    assert (who.position, who.strings, who.left_handed) == (7, (1, 2, 3, 4), True)
    assert person.study.instrument == Instrument(tuning=TUNINGS["half step down"])
    fill(person, view.strings, "high ones")
    assert "names no strings" in view.fault.text()
    assert person.study.guitarist.strings == (1, 2, 3, 4)


def test_a_preset_leaves_the_hands_as_they_are(person):
    view = opened(person, "guitarist")
    person.click(view.left_handed)
    pick(view.preset, "legato")
    assert person.study.guitarist.left_handed
    assert view.preset.currentData() == "legato"


def select_passage(person: Person) -> None:
    """From the first note to the last, by the mouse."""
    person.click_page(person.spot_of(FIRST, "note"))
    person.click_page(person.spot_of(LAST, "tab"), Qt.KeyboardModifier.ShiftModifier)


def test_a_way_is_looked_at_then_taken_and_undone(person):
    select_passage(person)
    view = ways_shown(person)
    assert view.list.count() >= 3
    before = person.study
    assert not view.take.isEnabled()  # it is played the first way already
    person.qtbot.keyClick(view.list, Qt.Key.Key_Down)
    way = view.way
    grips = [grip for bar in way.fingering.bars[FIRST.bar:LAST.bar + 1] for event in bar.events for grip in event.notes]
    frets = [mark.text.strip("()") for placed in view.tab.page.placed for mark in placed.drawing.marks
             if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab"]
    assert sorted(frets) == sorted(str(grip.fret) for grip in grips if grip)
    fingers = {mark.text for placed in view.neck.page.placed for mark in placed.drawing.marks
               if isinstance(mark, Text) and mark.ink == "ink"}
    assert {str(grip.finger) for grip in grips if grip} <= fingers
    assert person.study is before  # looking changes nothing
    person.click(view.take)
    taken = [(note.string, note.fret) for bar in person.study.bars[FIRST.bar:LAST.bar + 1] for event in bar.events
             for note in event.notes]
    assert taken == [(grip.string, grip.fret) for grip in grips]
    assert person.study.bars[LAST.bar + 1:] == before.bars[LAST.bar + 1:]
    assert person.window.document.undo_name == words.WAY_EDIT.format(bar="bar 5")
    person.window.undo()
    assert person.study is before


def test_a_way_that_is_looked_at_stands_on_the_page_until_one_looks_away(person):
    """Each fret on the line of its string, where the engraver draws that; only while it is looked at."""
    select_passage(person)
    view, ink, layout = ways_shown(person), person.window.fingering.way_ink, person.window.document.layout
    assert not ink.isVisible()  # the first way is what the page has
    person.qtbot.keyClick(view.list, Qt.Key.Key_Down)
    assert ink.isVisible()
    grips = [(bar, grip) for bar in (FIRST.bar, LAST.bar) for event in view.way.fingering.bars[bar].events
             for grip in event.notes]
    assert [fret for fret, _ in ink.frets] == [grip.fret for _, grip in grips]
    for (bar, grip), (_, box) in zip(grips, ink.frets, strict=True):
        y = staves_of(layout, bar).tab[grip.string - 1]
        on_screen = person.window.page.on_screen(Spot(bar_spot(layout, bar).page, Box(0, y, 0, y))).y()
        assert abs(box.center().y() - on_screen) <= 2
    person.qtbot.keyClick(view.list, Qt.Key.Key_Up)
    assert not ink.isVisible()
    person.qtbot.keyClick(view.list, Qt.Key.Key_Down)
    assert ink.isVisible()
    view.window().close()
    assert not ink.isVisible()


def held_up(monkeypatch) -> tuple[Event, Event]:
    """From now on ways are kept back: set once they are found, and to be set for them to be told."""
    found, goes_on = Event(), Event()

    def slowly(*args):
        answer = ways(*args)
        found.set()
        assert goes_on.wait(30)
        return answer
    monkeypatch.setattr(ways_view, "ways", slowly)
    return found, goes_on


def test_the_window_does_not_wait_for_the_ways(person, monkeypatch):
    _, goes_on = held_up(monkeypatch)
    select_passage(person)
    view = opened(person, "ways")
    assert view.title.text() == words.LOOKING
    person.window.activateWindow()
    person.qtbot.waitUntil(person.window.isActiveWindow)
    person.write(person.window.bar_panel.comment, "Meanwhile")
    assert person.study.bars[FIRST.bar].comment == "Meanwhile"
    goes_on.set()
    person.qtbot.waitUntil(lambda: view.list.count() > 0, timeout=30_000)
    assert view.way.fingering is person.window.document.layout.fingering  # those of the study as it is now


def test_ways_of_a_study_that_has_changed_since_are_dropped(person, monkeypatch):
    """The answer to what was asked before the edit is never shown, and undoing the edit asks anew."""
    found, goes_on = held_up(monkeypatch)
    select_passage(person)
    view = opened(person, "ways")
    person.qtbot.waitUntil(found.is_set, timeout=30_000)
    shown = []
    view.list.model().rowsInserted.connect(lambda *_: shown.append(person.study))
    person.window.document.edit("x", lambda study: edits.set_string(study, FIRST, 5, 10))
    changed = person.study
    goes_on.set()
    person.qtbot.waitUntil(lambda: view.list.count() > 0, timeout=30_000)
    assert set(map(id, shown)) == {id(changed)}
    assert view.way.fingering is person.window.document.layout.fingering
    person.window.undo()
    person.qtbot.waitUntil(lambda: id(person.study) in map(id, shown), timeout=30_000)


def test_a_fault_while_ways_are_looked_for_is_told(person, monkeypatch):
    def faulty(*_):
        raise BarglossError("no neck today; try tomorrow")
    monkeypatch.setattr(ways_view, "ways", faulty)
    opened(person, "ways")
    person.qtbot.waitUntil(lambda: "no neck today" in person.window.message.label.text())


def test_ways_follow_the_selection(person):
    select_passage(person)
    view = ways_shown(person)
    person.window.selection.go(Selected(1, NotePlace(1, 0), NotePlace(1, 3)))
    person.qtbot.waitUntil(lambda: view.title.text().endswith("bar 1, notes 1 to 4"), timeout=30_000)
    assert view.way.first == NotePlace(1, 0)


def test_where_nothing_sounds_there_are_no_ways(qtbot):
    person = Person(qtbot, Study())
    view = opened(person, "ways")
    person.qtbot.waitUntil(lambda: view.title.text() == words.NO_NOTES.format(bars=MOST_BARS))
    assert not view.take.isEnabled()


def test_of_a_long_passage_no_ways_are_looked_for(person):
    person.window.selection.go(Selected(1, NotePlace(1, 0), NotePlace(1 + MOST_BARS, 0)))
    view = opened(person, "ways")
    assert view.list.count() == 0
    assert view.tab.page is None


def test_a_high_solo_is_moved_down_at_one_click(qtbot):
    person = Person(qtbot, moved_by(demo(), 1))
    view: RangeView = opened(person, "range")
    assert "octave" in view.move_all.text()
    pitches = [note.pitch.midi for bar in person.study.bars for event in bar.events for note in event.notes]
    person.click(view.move_all)
    assert [note.pitch.midi for bar in person.study.bars for event in bar.events for note in event.notes] == [
        midi - 12 for midi in pitches]
    assert view.told.text() == words.FITS
    assert not view.move_all.isVisible()


def test_a_phrase_off_the_neck_is_folded_at_one_click(qtbot):
    low = moved_by(demo(), -1)
    person = Person(qtbot, low)
    view = opened(person, "range")
    lost, count = len(out_of_range(low)), view.list.count()
    assert lost
    assert count
    person.click(view.fold)
    assert len(out_of_range(person.study)) < lost
    person.window.undo()
    assert person.study is low
    person.qtbot.waitUntil(lambda: view.list.count() == count)


def test_how_hard_tells_spots_and_a_plan_and_leads_to_the_bar(person):
    view = opened(person, "hard")
    hard = difficulty(person.study, finger(person.study))
    text = view.text.toPlainText()
    for spot in hard.hardest:
        assert spot.why in text
    assert practice_plan(person.study, hard).caution in text
    view.minutes.setValue(60)
    assert practice_plan(person.study, hard, 60).rungs[-1].words in view.text.toPlainText()
    assert f"{practice_plan(person.study, hard, 60).rungs[-1].minutes} min." in view.text.toPlainText()
    view.text.anchorClicked.emit(QUrl(f"go:{hard.hardest[0].place.bar}"))
    assert person.at.bar == hard.hardest[0].place.bar


def test_a_study_for_reading_only_keeps_its_guitarist_and_says_why(person):
    person.window.document.read_only = "made by a newer version; save it under another name"
    view = opened(person, "guitarist")
    index = view.picking.findData("legato")
    view.picking.setCurrentIndex(index)
    view.picking.activated.emit(index)
    assert "newer version" in view.fault.text()
    assert view.picking.currentData() == "alternate"
