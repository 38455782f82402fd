"""Selecting on the page, by mouse and by keys."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QWheelEvent
from PySide6.QtWidgets import QApplication

from app.page_view import LARGEST, SMALLEST
from app.places import Selected, bar_spot, heads, note_spots, still_there, words_spots
from core.study import NotePlace
from tests.app.windows import Person, demo
from tests.handout import pictures

Key, Held = Qt.Key, Qt.KeyboardModifier


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


@pytest.mark.parametrize("kind", ["note", "tab", "degree"])
@pytest.mark.parametrize("place", [NotePlace(1, 2), NotePlace(4, 5), NotePlace(3, 3)])
def test_click_on_any_of_its_inks_selects_the_note(person, kind, place):
    person.click_page(person.spot_of(place, kind))
    assert person.at.note == place
    assert person.at.bar == place.bar


@pytest.mark.parametrize("name", ["cellar-stairs", "ferry-timetable", "ask-the-baker"])
def test_arrow_walks_every_note_in_order_and_back(qtbot, name):
    person = Person(qtbot, demo(name))
    everything = [NotePlace(bar, event, note) for bar, what in enumerate(person.study.bars)
                  for event, sounding in enumerate(what.events) for note in range(len(sounding.notes))]
    walked = [person.at.note]
    for _ in everything[1:]:
        person.press(Key.Key_Right)
        walked.append(person.at.note)
    assert walked == everything
    person.press(Key.Key_Right)
    assert person.at.note == everything[-1]
    back = [person.at.note]
    for _ in everything[1:]:
        person.press(Key.Key_Left)
        back.append(person.at.note)
    assert back == everything[::-1]


def test_selection_stays_in_view_while_walking(person):
    view = person.window.page.viewport().rect()
    for _ in range(60):
        person.press(Key.Key_Right)
        assert view.contains(person.spot_of(person.at.note, "note"))


def test_control_arrows_go_bar_by_bar(person):
    visited = [person.at.bar]
    for _ in person.study.bars[1:]:
        person.press(Key.Key_Right, Held.ControlModifier)
        visited.append(person.at.bar)
    assert visited == list(range(len(person.study.bars)))
    person.press(Key.Key_Left, Held.ControlModifier)
    assert person.at.bar == len(person.study.bars) - 2


def test_up_and_down_go_system_by_system(person):
    systems = person.window.document.layout.systems
    visited = [person.at.bar]
    for _ in systems[1:]:
        person.press(Key.Key_Down)
        visited.append(person.at.bar)
    assert [next(s for s in systems if s.bars.first <= bar < s.bars.end) for bar in visited] == list(systems)
    for _ in systems:
        person.press(Key.Key_Up)
    assert person.at.bar in range(systems[0].bars.first, systems[0].bars.end)


def test_down_stays_near_the_same_place_across(person):
    """No note of the system below lies nearer, within the bar that is below."""
    layout = person.window.document.layout
    person.click_page(person.spot_of(NotePlace(3, 0), "note"))

    def across(place):
        box = note_spots(layout, place)[0].box
        return (box.left + box.right) / 2

    x = across(person.at.note)
    person.press(Key.Key_Down)
    assert abs(across(person.at.note) - x) == min(
        abs(across(head) - x) for head in heads(person.study, [person.at.bar]))


def test_home_and_end(person):
    first, end = person.window.document.layout.systems[0].bars
    person.press(Key.Key_End)
    assert person.at.note == list(heads(person.study, [end - 1]))[-1]
    person.press(Key.Key_Home)
    assert person.at.note == next(heads(person.study, [first]))
    person.press(Key.Key_End, Held.ControlModifier)
    assert person.at.note == list(heads(person.study, range(len(person.study.bars))))[-1]
    person.press(Key.Key_Home, Held.ControlModifier)
    assert person.at.note == next(heads(person.study, range(len(person.study.bars))))


def test_click_beside_ink_selects_the_bar_alone(person):
    """Between the systems' rows of bar 2 (index 2): under its number there is white left of the first chord symbol."""
    spot = bar_spot(person.window.document.layout, 2)
    corner = person.window.page.on_screen(spot).topLeft().toPoint() + QPoint(6, 4)
    person.click_page(corner)
    assert person.at == (2, None, None)


def test_click_on_words_selects_their_bar(person):
    words = {spot.kind: spot for spot in words_spots(person.window.document.layout, 2)}
    for kind in ("callout", "comment"):
        person.click_page(person.spot_of(NotePlace(0, 0), "note"))
        box = person.window.page.on_screen(words[kind])
        person.click_page((box.topLeft() + QPointF(box.width() / 5, 8)).toPoint())
        assert person.at.bar == 2


def test_click_on_the_surround_changes_nothing(person):
    before = person.at
    person.click_page(QPoint(3, 3))
    assert person.at == before


@given(st.builds(Selected, st.integers(-3, 40), *[st.none() | st.builds(
    NotePlace, st.integers(-1, 40), st.integers(-1, 12), st.integers(-1, 3))] * 2))
def test_what_is_not_there_is_never_selected(at):
    study = demo()
    kept = still_there(study, at)
    assert 0 <= kept.bar < len(study.bars)
    everything = set(heads(study, range(len(study.bars))))
    assert {kept.note, kept.until} <= everything | {None}
    assert kept.until is None or kept.note is not None
    if at.bar == kept.bar and {at.note, at.until} <= everything:
        assert kept == at


def test_shift_selects_several_notes(person):
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    person.press(Key.Key_Right, Held.ShiftModifier)
    person.press(Key.Key_Right, Held.ShiftModifier)
    assert person.at.span == (NotePlace(1, 2), NotePlace(1, 4))
    person.click_page(person.spot_of(NotePlace(2, 1), "tab"), Held.ShiftModifier)
    assert person.at.span == (NotePlace(1, 2), NotePlace(2, 1))
    assert person.at.bar == 1


def _spots_by_colour(person, place, kind):
    """How many pixels of the note's ink are blue, and how many are black."""
    image = person.window.page.viewport().grab().toImage()
    ratio = image.devicePixelRatio()
    box = person.window.page.on_screen(next(s for s in note_spots(person.window.document.layout, place)
                                            if s.kind == kind)).toAlignedRect()
    blue = QColor("#0072B2")
    colours = [image.pixelColor(round(x * ratio), round(y * ratio))
               for x in range(box.left(), box.right()) for y in range(box.top(), box.bottom())]
    return (sum(one == blue for one in colours), sum(one.lightness() < 30 for one in colours))


@pytest.mark.parametrize("kind", ["note", "tab", "degree"])
def test_selected_note_is_blue_on_every_row(person, kind):
    person.window.page.set_zoom(2.0)
    place = NotePlace(1, 4)
    person.click_page(person.spot_of(place, "note"))
    blue, black = _spots_by_colour(person, place, kind)
    assert blue > 5
    assert black < blue
    person.press(Key.Key_Right)
    blue, black = _spots_by_colour(person, place, kind)
    assert blue == 0
    assert black > 5


def test_a_note_is_spoken(person):
    """The wording is fixed by the window's own brief."""
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    spoken = person.window.page.accessibleDescription()
    grip = person.window.document.layout.fingering.bars[1].events[2].notes[0]
    assert spoken == f"bar 1, third note, B flat 3, degree flat 3, string {grip.string} fret {grip.fret}"
    assert person.window.page.accessibleName() == "Handout"


def test_status_line_tells_the_note(person):
    person.click_page(person.spot_of(NotePlace(1, 2), "note"))
    told = person.window.status.text()
    for part in ("Bar 1", "Note 3: B♭3", "♭3 of Gm6", "string ", "fret "):
        assert part in told


def _wheel(person, notches, held):
    page = person.window.page
    where = QPointF(page.viewport().rect().center())
    event = QWheelEvent(where, page.viewport().mapToGlobal(where), QPoint(), QPoint(0, 120 * notches),
                        Qt.MouseButton.NoButton, held, Qt.ScrollPhase.NoScrollPhase, False)
    QApplication.sendEvent(page.viewport(), event)


def test_wheel_scrolls_and_with_control_zooms_about_the_mouse(person):
    page = person.window.page
    _wheel(person, -2, Held.NoModifier)
    assert page.verticalScrollBar().value() > 0
    middle = QPointF(page.viewport().rect().center())
    before, zoom = page._point_of(middle), page.zoom
    _wheel(person, 1, Held.ControlModifier)
    assert page.zoom == pytest.approx(zoom * 1.2)
    after = page._point_of(middle)
    assert after[0] == before[0]
    assert after[1:] == pytest.approx(before[1:], abs=1.5)


def test_zoom_keeps_within_bounds_and_fits(person):
    page = person.window.page
    for keys, limit in (("Ctrl++", LARGEST), ("Ctrl+-", SMALLEST)):
        for _ in range(20):
            person.press_keys(keys)
        assert page.zoom == limit
    person.press_keys("Ctrl+1")
    assert page.zoom == 1
    person.press_keys("Ctrl+0")
    rects = page._page_rects()
    assert page.viewport().width() - 40 <= rects[0].width() <= page.viewport().width() - 30


def test_a_whole_page_is_seen_and_stays_so(person):
    window, page = person.window, person.window.page
    person.press_keys("Ctrl+Shift+P")
    for key, index in ((Key.Key_Home, 0), (Key.Key_End, -1), (Key.Key_Home, 0)):
        person.press(key, Held.ControlModifier)
        seen, whole = page.viewport().rect(), page._page_rects()[index]
        assert seen.contains(whole)
        assert seen.height() - 40 <= whole.height()
        window.resize(window.width(), window.height() - 50)
        QCoreApplication.processEvents()
    person.press_keys("Ctrl+1")
    window.resize(1280, 800)
    QCoreApplication.processEvents()
    assert page.zoom == 1


def test_a_strip_has_no_whole_page_and_fits_the_width(person):
    page = person.window.page
    person.window.turn_strip()
    person.press_keys("Ctrl+Shift+P")
    assert page.viewport().width() - 40 <= page._page_rects()[0].width() <= page.viewport().width() - 30


def test_scrolling_and_editing_paint_what_painting_anew_would(person):
    """The tiles kept from before against a second window that has none; but for what clipping does to antialiasing,
    which is a few parts in 255."""
    page = person.window.page
    person.write(person.window.bar_panel.comment, "Other words.")
    person.press(Key.Key_Escape)
    person.press(Key.Key_Down)
    other = Person(person.qtbot, person.study)
    other.window.selection.go(person.at)
    other.window.page.verticalScrollBar().setValue(page.verticalScrollBar().value())
    person.window.activateWindow()
    seen = []
    for each in (person, other):
        each.window.bar_panel.setFocus()
        each.window.page.clearFocus()
        seen.append(pictures.of_image(each.window.page.viewport().grab().toImage()))
    assert np.abs(seen[0] - seen[1]).max() <= 3
