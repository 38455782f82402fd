"""Which rows the page shows, ticked and moved by mouse and keys; and the page as one long strip."""

from __future__ import annotations

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QCoreApplication, QLocale, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMenuBar, QStyle, QStyleOptionViewItem

from app import dialogs, printing, words, words_rows
from app.document import Look
from app.folders import settings_file
from app.look_work import kept_look
from app.row_choice import as_text, from_text, rows_of, shown
from app.rows_view import RowsView
from app.settings import Settings
from app.surroundings import surround_with
from app.window import Window, first_document
from core.engraving import check_rows
from core.handout import load_template, template_names
from tests.app.test_looks import contrast
from tests.app.test_manners import nameless
from tests.app.windows import Person, demo, keys_told

Key = Qt.Key
NAMES = words_rows.NAMES
LESSON = load_template("lesson").style.rows


@pytest.fixture
def person(qtbot):
    yield Person(qtbot, demo())
    surround_with(QApplication.instance(), "system")


def entry(person, name) -> QAction:
    view = next(one.menu() for one in person.window.menuBar().actions() if one.text() == words.VIEW)
    return next(one for one in view.actions() if one.text() == name)


def choose(person, name) -> None:
    """From the menu View, by the mouse."""
    bar, action = person.window.menuBar(), entry(person, name)
    view = next(one for one in bar.actions() if one.text() == words.VIEW)
    person.qtbot.mouseClick(bar, Qt.MouseButton.LeftButton, pos=bar.actionGeometry(view).center())
    menu = view.menu()
    person.qtbot.waitUntil(menu.isVisible)
    person.qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
    QCoreApplication.processEvents()


def opened(person) -> RowsView:
    choose(person, words_rows.ROWS_MENU)
    view = person.window.findChild(RowsView)
    view.activateWindow()
    person.qtbot.waitUntil(view.isActiveWindow)
    return view


def told(view) -> list[tuple[str, bool]]:
    items = [view.list.item(at) for at in range(view.list.count())]
    return [(item.text(), item.checkState() == Qt.CheckState.Checked) for item in items]


def go_to(person, view, name) -> None:
    """By the arrow keys."""
    view.list.setFocus()
    person.qtbot.keyClick(view.list, Key.Key_Home)
    for _ in range([row for row, _ in told(view)].index(NAMES[name])):
        person.qtbot.keyClick(view.list, Key.Key_Down)
    assert view.list.currentItem().text() == NAMES[name]


def tick(person, view, name) -> None:
    go_to(person, view, name)
    person.qtbot.keyClick(view.list, Key.Key_Space)


def press(person, view, key) -> None:
    """A button by its letter: Qt shows it going down, and it is clicked as it comes up."""
    button = {Key.Key_U: view.up, Key.Key_D: view.down, Key.Key_A: view.back}[key]
    with person.qtbot.waitSignal(button.clicked):
        person.qtbot.keyClick(view, key, Qt.KeyboardModifier.AltModifier)


def kinds(layout) -> set[str]:
    return {mark.tag.kind for page in layout.pages.pages for placed in page.placed for mark in placed.drawing.marks
            if mark.tag is not None}


def rows(person) -> tuple[str, ...]:
    return person.window.document.layout.template.style.rows


# Rows

def test_the_list_has_every_row_in_the_templates_order(person):
    view = opened(person)
    assert [name for name, is_shown in told(view) if is_shown] == [NAMES[row] for row in LESSON]
    assert {name for name, _ in told(view)} == set(NAMES.values())
    assert not view.back.isEnabled()
    assert list(nameless(view)) == []


def test_a_row_is_hidden_and_shown_by_the_space_bar_at_once(person):
    view = opened(person)
    tick(person, view, "degrees")
    assert "degree" not in kinds(person.window.document.layout)
    assert rows(person) == tuple(row for row in LESSON if row != "degrees")
    tick(person, view, "degrees")
    assert "degree" in kinds(person.window.document.layout)
    tick(person, view, "positions")
    assert "hand" in kinds(person.window.document.layout)


def box_of(view, name):
    """Where its box to tick is in the list."""
    item = next(view.list.item(at) for at, row in enumerate(told(view)) if row[0] == NAMES[name])
    option = QStyleOptionViewItem()
    view.list.initViewItemOption(option)
    option.rect = view.list.visualItemRect(item)
    option.features |= QStyleOptionViewItem.ViewItemFeature.HasCheckIndicator
    return view.list.style().subElementRect(QStyle.SubElement.SE_ItemViewItemCheckIndicator, option, view.list)


def test_a_row_is_ticked_by_the_mouse(person):
    view = opened(person)
    person.qtbot.mouseClick(view.list.viewport(), Qt.MouseButton.LeftButton, pos=box_of(view, "chords").center())
    assert "chord" not in kinds(person.window.document.layout)


def test_a_box_without_a_tick_is_seen_by_night(person):
    """WCAG 2.2, success criterion 1.4.11: 3 to 1."""
    view = opened(person)
    person.window.around.surround("dark")
    QCoreApplication.processEvents()
    seen, box = view.list.viewport().grab().toImage(), box_of(view, "fingers")
    row = [seen.pixelColor(x, box.center().y()) for x in range(box.left() - 4, box.right() + 5)]
    assert max(contrast(one, seen.pixelColor(1, box.center().y())) for one in row) >= 3


def test_a_row_is_moved_by_keys_and_by_mouse(person):
    view = opened(person)
    go_to(person, view, "degrees")
    press(person, view, Key.Key_U)
    assert rows(person).index("degrees") == LESSON.index("tab")
    assert view.list.currentItem().text() == NAMES["degrees"]
    person.qtbot.mouseClick(view.down, Qt.MouseButton.LeftButton)
    assert rows(person) == LESSON


def test_what_cannot_be_is_refused_in_a_line_and_nothing_changes(person):
    view = opened(person)
    tick(person, view, "notation")
    tick(person, view, "tab")
    assert view.told.isVisible()
    assert "needs notation or tab" in view.told.text()
    assert "tab" in rows(person)
    assert (NAMES["tab"], True) in told(view)
    tick(person, view, "notation")
    assert not view.told.isVisible()
    go_to(person, view, "readings")
    press(person, view, Key.Key_U)
    press(person, view, Key.Key_U)
    assert "readings stand below" in view.told.text()
    assert rows(person).index("readings") == rows(person).index("tab") + 1


def test_where_there_is_no_place_to_go_the_button_is_grey(person):
    view = opened(person)
    for name, up, down in (("chords", False, True), ("notation", True, True), ("readings", True, False),
                           ("callouts", False, False)):
        go_to(person, view, name)
        assert (view.up.isEnabled(), view.down.isEnabled()) == (up, down), name


def test_they_are_kept_for_the_template_and_given_back(qtbot, person):
    view = opened(person)
    tick(person, view, "strokes")
    mine = rows(person)
    assert mine == tuple(row for row in LESSON if row != "strokes")
    person.window.choose_template("sans")
    assert rows(person) == LESSON
    assert not view.back.isEnabled()
    person.window.choose_template("lesson")
    assert rows(person) == mine
    person.window.around.settings.write()
    assert rows(Person(qtbot, demo())) == mine
    view.activateWindow()
    person.qtbot.waitUntil(view.isActiveWindow)
    press(person, view, Key.Key_A)
    assert rows(person) == LESSON
    assert person.window.document.layout.template is load_template("lesson")


def test_an_edit_builds_on_the_layout_before_and_keeps_the_rows(person):
    view = opened(person)
    tick(person, view, "readings")
    before = person.window.document.layout
    view.close()
    person.window.activateWindow()
    person.qtbot.waitUntil(person.window.isActiveWindow)
    person.write(person.window.bar_panel.comment, "Other words")
    after = person.window.document.layout
    assert after.template is before.template
    assert "readings" not in rows(person)
    assert after.systems[-1].ink is before.systems[-1].ink


def test_the_pdf_and_the_printout_show_the_same_rows(person, monkeypatch, tmp_path):
    chords = [change.symbol for bar in person.study.bars for change in bar.changes]
    assert chords
    tick(person, opened(person), "callouts")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "rows.pdf")
    with person.qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        person.window.filing.export_handout()
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(tmp_path / "rows.pdf").pages).split())
    assert person.study.title in text
    headings = [callout.heading for bar in person.study.bars for callout in bar.callouts if callout.heading]
    assert headings
    assert [heading for heading in headings if heading in text] == []
    printed = []
    monkeypatch.setattr(printing, "ask_printer", lambda _window, pages: printed.append(pages))
    person.window.filing.print_handout()
    assert printed == [person.window.document.layout.pages]


@pytest.mark.parametrize("text", ["", "nonsense", "chords", "-notation -tab", "notation notation",
                                  as_text(rows_of(load_template("lesson"))).replace("notation", "-notation").replace(
                                      " tab", " -tab")])
def test_what_was_kept_and_cannot_be_shown_is_passed_over(qtbot, text):
    settings = Settings(settings_file())
    settings.keep("rows/lesson", text)
    settings.write()
    assert rows(Person(qtbot, demo())) == LESSON


@pytest.mark.parametrize("name", template_names())
def test_what_a_template_leaves_out_can_be_shown_where_it_is_offered(name):
    template = load_template(name)
    there = rows_of(template)
    assert shown(there) == template.style.rows
    check_rows(tuple(row.name for row in there))
    assert from_text(as_text(there), template) == there


# From day to day

def ticked(person) -> set[str]:
    """In the View menu and its own."""
    view = person.window.findChild(QMenuBar).actions()
    (menu,) = [action.menu() for action in view if action.text() == words.VIEW]
    inside = [*menu.actions(), *(one for action in menu.actions() if action.menu() for one in action.menu().actions())]
    return {action.text() for action in inside if action.isChecked()}


def test_template_paper_and_strip_are_as_they_were_left(qtbot, person):
    assert {"Lesson", words.PAPERS["a4"]} < ticked(person)
    person.window.choose_template("sans")
    person.window.choose_paper("letter")
    person.window.turn_strip()
    assert {"Sans", words.PAPERS["letter"], words_rows.STRIP} < ticked(person)
    person.window.around.settings.write()
    document = first_document(None)
    assert document.look == Look("sans", "letter", (), strip=True)
    laid_out = document.layout
    again = Window(document)
    qtbot.addWidget(again)
    assert again.document.layout is laid_out  # once
    assert {"Sans", words.PAPERS["letter"], words_rows.STRIP} < ticked(Person(qtbot, demo()))


def test_a_template_or_paper_there_is_not_any_more_is_passed_over():
    settings = Settings(settings_file())
    settings.keep("look/template", "gone")
    settings.keep("look/paper", "a9")
    assert kept_look(settings) == Look()


@pytest.mark.parametrize(("where", "paper"), [("en_US", "letter"), ("en_CA", "letter"), ("de_DE", "a4"),
                                              ("en_GB", "a4")])
def test_the_first_paper_is_the_one_usual_where_the_person_lives(where, paper):
    """Unicode CLDR, supplemental measurementData: paperSize US-Letter for US and CA, A4 for 001 (from memory)."""
    QLocale.setDefault(QLocale(where))
    assert kept_look(Settings(settings_file())).paper == paper


# The strip

def turn(person) -> None:
    choose(person, words_rows.STRIP)
    person.window.activateWindow()
    person.qtbot.waitUntil(person.window.isActiveWindow)


def test_the_page_is_one_strip_and_pages_again(person):
    pages = person.window.document.layout
    assert len(pages.pages.pages) > 1
    turn(person)
    assert len(person.window.document.layout.pages.pages) == 1
    assert entry(person, words_rows.STRIP).isChecked()
    turn(person)
    assert len(person.window.document.layout.pages.pages) == len(pages.pages.pages)
    assert not entry(person, words_rows.STRIP).isChecked()


def test_on_the_strip_one_writes_clicks_and_walks_as_on_pages(person):
    turn(person)
    last = len(person.study.bars) - 1
    person.press_keys("Ctrl+End")
    assert person.at.bar == last
    spot = person.spot_of(person.at.note, "tab")
    assert person.window.page.viewport().rect().contains(spot)
    person.press_keys("Home")
    person.click_page(spot)
    assert person.at.bar == last
    person.press_keys("Up")
    assert person.at.bar < last
    person.press_keys("Ctrl+Home")
    person.write(person.window.bar_panel.comment, "Written on the strip")
    assert person.study.bars[person.at.bar].comment == "Written on the strip"
    assert len(person.window.document.layout.pages.pages) == 1
    person.window.page.setFocus()
    person.press_keys("Ctrl+Z")
    assert len(person.window.document.layout.pages.pages) == 1


def test_what_leaves_the_window_is_pages_on_the_paper_chosen(person, monkeypatch, tmp_path):
    """Letter: 8.5 by 11 inches (ANSI/ASME Y14.1)."""
    person.window.choose_paper("letter")
    count = len(person.window.document.layout.pages.pages)
    turn(person)
    assert person.window.document.look == Look("lesson", "letter", strip=True)
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "strip.pdf")
    with person.qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        person.window.filing.export_handout()
    pages = PdfReader(tmp_path / "strip.pdf").pages
    assert len(pages) == count > 1
    assert {(float(page.mediabox.width), float(page.mediabox.height)) for page in pages} == {(612, 792)}
    printed = []
    monkeypatch.setattr(printing, "ask_printer", lambda _window, pages: printed.append(pages))
    person.window.filing.print_handout()
    assert len(printed[0].pages) == count


def test_both_are_on_the_help_sheet(person):
    assert {"Rows", "One long strip"} <= {name for name, _ in keys_told(person.window, "View")}
