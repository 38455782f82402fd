"""First start, recent studies, dropping, what is remembered, the help sheet, names for screen readers, surroundings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QAccessible, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QTabBar,
    QTextEdit,
)

from app import dialogs, window, words, words_around, words_fingering, words_keys
from app.help_sheet import HelpSheet
from app.surroundings import surround_with
from core.files import save_study
from core.study import Study
from tests.app.windows import Person, demo, keys_told

Key = Qt.Key


@pytest.fixture
def person(qtbot):
    yield Person(qtbot, demo())
    surround_with(QApplication.instance(), "system")


def started(qtbot, study=None, path=None):
    """As `run` does it."""
    at = Person(qtbot, study or demo(), path)
    at.window.around.start()
    return at


def test_a_first_start_says_three_things_to_try_until_it_is_told_not_to(qtbot):
    person = started(qtbot)
    welcome = person.window.around.welcome
    assert welcome.isVisible()
    assert len(welcome.buttons) == 3
    person.click(welcome.buttons[0])
    assert person.window.bar_panel.comment.hasFocus()
    qtbot.keyClicks(person.window.bar_panel.comment, "Mine")
    assert person.study.bars[1].comment.endswith("Mine")  # the first full bar: it begins with a pickup
    person.click(welcome.close_button)
    assert not welcome.isVisible()
    assert not started(qtbot).window.around.welcome.isVisible()


def test_the_other_two_things_listen_and_export(qtbot, monkeypatch, tmp_path):
    person = started(qtbot)
    buttons, around = person.window.around.welcome.buttons, person.window.around
    person.click(buttons[1])
    assert around.listening.player.is_playing
    around.listening.player.stop()
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "try.pdf")
    with qtbot.waitSignal(around.jobs.idle, timeout=60_000):
        person.click(buttons[2])
    assert (tmp_path / "try.pdf").read_bytes().startswith(b"%PDF")


def test_a_study_of_one_s_own_needs_no_welcome(qtbot, tmp_path):
    save_study(demo(), tmp_path / "mine.study")
    assert not started(qtbot, demo(), tmp_path / "mine.study").window.around.welcome.isVisible()


def test_a_demo_opened_by_its_path_says_what_to_try_as_the_readme_s_command_opens_it(qtbot, tmp_path):
    save_study(demo(), tmp_path / "cellar-stairs.study")
    person = started(qtbot, demo(), tmp_path / "cellar-stairs.study")
    assert person.window.around.welcome.isVisible()
    assert person.window.around.welcome.about.text() == words_around.WELCOME


def test_what_to_try_goes_with_the_demo_study(qtbot, tmp_path):
    save_study(replace(demo(), title="Mine"), tmp_path / "mine.study")
    person = started(qtbot)
    welcome = person.window.around.welcome
    person.window.filing.open_demo("ferry-timetable")
    assert welcome.isVisible()
    person.window.filing.open_path(tmp_path / "mine.study")
    assert not welcome.isVisible()
    person.window.filing.open_demo("ferry-timetable")
    assert welcome.isVisible()
    person.window.document.start(Study(), saved=True)
    assert not welcome.isVisible()
    again = next(action for menu in person.window.findChildren(QMenu) for action in menu.actions()
                 if action.text() == words_around.TRY_AGAIN)
    again.trigger()
    assert welcome.isVisible()
    assert "demo" not in welcome.about.text()
    person.click(welcome.close_button)
    person.window.filing.open_demo("ferry-timetable")
    assert not welcome.isVisible()


def recents(person):
    """The entries of the menu, without what numbers them."""
    menu = next(one for one in person.window.findChildren(QMenu) if one.title() == words_around.RECENT)
    return [action for action in menu.actions() if not action.isSeparator()]


def test_studies_opened_and_saved_are_the_recent_ones(person, tmp_path, monkeypatch):
    assert [action.isEnabled() for action in recents(person)] == [False]
    paths = [tmp_path / f"{name}.study" for name in ("one", "two")]
    for path in paths:
        save_study(demo("ferry-timetable"), path)
        person.window.filing.open_path(path)
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "three & four.study")
    person.press_keys("Ctrl+Shift+S")
    shown = [action.text().split("  ")[1] for action in recents(person)[:-1]]
    assert shown == ["three && four.study", "two.study", "one.study"]
    recents(person)[2].trigger()
    assert person.window.document.path == paths[0]
    paths[1].unlink()
    recents(person)[2].trigger()
    assert "two.study" in person.window.message.label.text()
    assert [action.text().split("  ")[1] for action in recents(person)[:-1]] == ["one.study", "three && four.study"]
    assert window.first_document(None).path == paths[0]
    recents(person)[-1].trigger()
    assert window.first_document(None).path is None


def drop(person, *files):
    """What the system sends when files are dragged in and let go."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
    where, actions = QPoint(300, 300), Qt.DropAction.CopyAction
    buttons, held = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(where, actions, data, buttons, held)
    entering.ignore()
    QApplication.sendEvent(person.window, entering)
    if entering.isAccepted():
        QApplication.sendEvent(person.window, QDropEvent(where, actions, data, buttons, held))
    return entering.isAccepted()


def test_a_study_or_a_score_is_dropped_in(person, tmp_path):
    save_study(demo("ferry-timetable"), tmp_path / "a.study")
    assert drop(person, tmp_path / "a.study")
    assert person.window.document.path == tmp_path / "a.study"
    (tmp_path / "b.abc").write_text("X:1\nT:Dropped\nL:1/4\nM:4/4\nK:G\nGABc|\n", encoding="utf-8")
    assert drop(person, tmp_path / "b.abc")
    assert person.study.title == "Dropped" or person.study.tune == "Dropped"
    before = person.study
    assert drop(person, tmp_path / "c.doc")
    assert "c.doc" in person.window.message.label.text()
    assert not drop(person, tmp_path / "a.study", tmp_path / "b.abc")
    assert person.study is before


def test_dropping_on_unsaved_work_asks_first(person, monkeypatch, tmp_path):
    save_study(demo("ferry-timetable"), tmp_path / "a.study")
    person.write(person.window.bar_panel.comment, "Mine")
    asked = []
    monkeypatch.setattr(dialogs, "ask_about_changes", lambda *told: asked.append(told) or "stay")
    drop(person, tmp_path / "a.study")
    assert len(asked) == 1
    assert person.study.bars[0].comment == "Mine"


def test_size_and_surroundings_are_kept(qtbot):
    first = started(qtbot)
    first.window.resize(780, 640)  # Qt's offscreen screen is 800 wide
    first.window.around.surround("dark")
    first.window.close()
    surround_with(QApplication.instance(), "system")
    second = started(qtbot)
    assert (second.window.width(), second.window.height()) == (780, 640)
    QApplication.sendPostedEvents()
    assert second.window.palette().window().color().lightness() < 100
    surround_with(QApplication.instance(), "system")


def test_paper_stays_paper_in_the_dark(person):
    person.window.around.surround("dark")
    QApplication.sendPostedEvents()
    page = person.window.page
    seen = page.viewport().grab().toImage()
    paper = page._page_rects()[0]
    assert seen.pixelColor(paper.left() // 2, 200).lightness() < 90
    assert seen.pixelColor(paper.left() + 8, paper.top() + 8).name() == "#ffffff"
    assert person.window.bar_panel.comment.palette().base().color().lightness() < 90
    person.window.around.surround("light")
    QApplication.sendPostedEvents()
    assert page.viewport().grab().toImage().pixelColor(paper.left() // 2, 200).lightness() > 150


def test_the_help_sheet_is_what_the_menus_say(person):
    person.press_keys("F1")
    sheet = person.window.findChild(HelpSheet)
    assert sheet.isVisible()
    shown = {}
    for place in range(sheet.tree.topLevelItemCount()):
        top = sheet.tree.topLevelItem(place)
        for row in range(top.childCount()):
            shown[top.text(0), top.child(row).text(0)] = top.child(row).text(1)
    assert shown["File", "Save"] == "Ctrl+S"
    assert shown["Listen", "Listen from here"] == "Ctrl+L"
    expected = {action.text() for menu in person.window.findChildren(QMenu) for action in menu.actions()
                if action.shortcuts()}
    fixed = [words_keys.FIXED.format(section=one) for one in (words_around.ON_THE_PAGE, words_fingering.ON_THE_NECK)]
    assert len([one for one in shown if one[0] not in fixed]) >= len(expected) > 15
    assert shown["Fingering", "Neck under the page"] == words_fingering.NECK_KEY
    assert {one[1] for one in shown if one[0] == fixed[1]} == {what for what, _ in words_fingering.NECK_KEYS}
    assert shown[words_keys.SIGNS, "A degree in your words"] == "{b9}"


def test_a_key_that_is_changed_is_changed_on_the_sheet(person):
    action = next(one for one in person.window.menuBar().actions()[0].menu().actions() if one.text() == words.BRING)
    action.setShortcut("Ctrl+Alt+9")
    assert ("Bring in", "Ctrl+Alt+9") in keys_told(person.window, "File")


def test_no_two_commands_share_a_key(person):
    keys = [keys.toString() for action in person.window.findChildren(window.actions.QAction)
            for keys in action.shortcuts() if action.shortcutContext() != Qt.ShortcutContext.WidgetShortcut]
    assert sorted(keys) == sorted(set(keys))


CONTROLS = (QAbstractButton, QAbstractItemView, QAbstractSpinBox, QComboBox, QLineEdit, QPlainTextEdit, QTabBar,
            QTextEdit)


def nameless(top):
    """Controls a person can reach that a screen reader has no name for. Qt's own parts of a control are its affair."""
    inner = (QAbstractSpinBox, QComboBox, QAbstractItemView)
    for widget in [top, *top.findChildren(object)]:
        if isinstance(widget, CONTROLS) and not isinstance(widget.parent(), inner):
            is_inner = widget.objectName().startswith("qt_") or widget.window() is not top
            if is_inner or widget.isHidden() or widget.focusPolicy() == Qt.FocusPolicy.NoFocus:
                continue
            name = QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)
            if not name.strip() or name.strip() == "×":
                yield widget


def test_every_control_has_a_name(person):
    person.window.around.welcome.show()
    person.window.around.jobs.show()
    dialogs.NoticeList(person.window, words.NOTICES_TITLE, ["a notice"]).show()
    person.press_keys("F1")
    tops = [person.window, *person.window.findChildren(dialogs.QDialog)]
    assert len(tops) > 2
    assert [f"{type(one).__name__} in {type(one.parent()).__name__}" for top in tops for one in nameless(top)] == []
