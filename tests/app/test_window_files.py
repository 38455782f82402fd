"""Opening, saving, bringing in, exporting, leaving. The system's own file dialogs are answered in their stead."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from lxml import etree
from music21 import converter
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QLineEdit, QMessageBox

from app import dialogs, outputs, window, words
from app.commands.export import PICTURES, WRITERS
from app.last_resort import catch_all
from core.errors import BarglossError
from core.files import load_study, save_study
from core.handout import all_of
from tests.app.windows import Person, demo

Key = Qt.Key


@pytest.fixture
def saved(qtbot, tmp_path):
    """A person at a study with a file of its own."""
    path = tmp_path / "mine.study"
    save_study(demo(), path)
    return Person(qtbot, load_study(path), path)


def answer(monkeypatch, name, result):
    asked = []

    def instead(*args):
        asked.append(args)
        return result
    monkeypatch.setattr(dialogs, name, instead)
    return asked


def menu(person, *names):
    """Choose from the menus as a mouse does: the entry must be there and enabled."""
    actions = person.window.menuBar().actions()
    for name in names:
        action = next(one for one in actions if one.text() == name)
        assert action.isEnabled()
        actions = action.menu().actions() if action.menu() else []
    action.trigger()


def export(person, keys):
    """By its keys, until it is done."""
    with person.qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        person.press_keys(keys)


def test_save_then_reopen_equals(saved, monkeypatch):
    saved.write(saved.window.bar_panel.comment, "Something kept")
    assert saved.window.isWindowModified()
    saved.press_keys("Ctrl+S")
    assert not saved.window.isWindowModified()
    assert load_study(saved.window.document.path) == saved.study
    assert load_study(saved.window.document.path).bars[0].comment == "Something kept"
    kept = saved.study
    saved.write(saved.window.bar_panel.comment, "Something dropped")
    answer(monkeypatch, "ask_about_changes", "discard")
    answer(monkeypatch, "ask_open", saved.window.document.path)
    saved.press_keys("Ctrl+O")
    assert saved.study == kept
    assert not saved.window._actions.undo.isEnabled()
    assert saved.window.bar_panel.comment.toPlainText() == "Something kept"


def test_undoing_back_to_what_was_saved_is_clean(saved):
    saved.write(saved.window.bar_panel.comment, "Something")
    saved.press_keys("Ctrl+Z")
    assert not saved.window.isWindowModified()


def test_a_chord_still_being_typed_is_saved(saved):
    saved.press(Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    saved.write(saved.window.bar_panel.chords._rows[0].symbol, "Bb13")
    saved.press_keys("Ctrl+S")
    assert load_study(saved.window.document.path).bars[1].changes[0].symbol == "Bb13"


def test_a_failed_save_says_so_and_loses_nothing(saved, monkeypatch, tmp_path):
    saved.write(saved.window.bar_panel.comment, "Precious")
    answer(monkeypatch, "ask_save", tmp_path / "no such folder" / "mine.study")
    saved.press_keys("Ctrl+Shift+S")
    told = saved.window.message.label.text()
    assert saved.window.message.isVisible()
    assert "there is no such file or folder; check the name" in told
    assert "\n" not in told
    assert saved.window.isWindowModified()
    assert saved.window.document.path == tmp_path / "mine.study"
    assert load_study(tmp_path / "mine.study") == demo()


def test_a_demo_asks_for_a_place(qtbot, monkeypatch, tmp_path):
    person = Person(qtbot, demo())
    asked = answer(monkeypatch, "ask_save", tmp_path / "own.study")
    person.write(person.window.bar_panel.comment, "Mine now")
    person.press_keys("Ctrl+S")
    assert len(asked) == 1
    assert load_study(tmp_path / "own.study") == person.study
    assert demo().bars[0].comment != "Mine now"
    person.press_keys("Ctrl+S")
    assert len(asked) == 1


def test_opening_a_broken_file_says_so_and_keeps_the_study(saved, monkeypatch, tmp_path):
    broken = tmp_path / "broken.study"
    broken.write_text("<study>", encoding="utf-8")
    answer(monkeypatch, "ask_open", broken)
    before = saved.study
    saved.press_keys("Ctrl+O")
    assert saved.window.message.isVisible()
    assert "broken.study" in saved.window.message.label.text()
    assert saved.study is before


@pytest.mark.parametrize(("answered", "stays_open", "is_kept"), [
    ("save", False, True), ("discard", False, False), ("stay", True, False)])
def test_closing_with_changes_asks(saved, monkeypatch, answered, stays_open, is_kept):
    saved.write(saved.window.bar_panel.comment, "Unsaved")
    asked = answer(monkeypatch, "ask_about_changes", answered)
    saved.window.close()
    assert len(asked) == 1
    assert saved.window.isVisible() == stays_open
    assert (load_study(saved.window.document.path).bars[0].comment == "Unsaved") == is_kept


def test_closing_without_changes_does_not_ask(saved, monkeypatch):
    asked = answer(monkeypatch, "ask_about_changes", "stay")
    saved.press(Key.Key_Right)
    saved.window.close()
    assert not asked
    assert not saved.window.isVisible()


@pytest.mark.parametrize(("label", "expected"), [
    (words.SAVE, "save"), (words.DISCARD, "discard"), (words.STAY, "stay")])
def test_the_question_is_answered_by_its_buttons(saved, monkeypatch, label, expected):
    def press(box):
        next(one for one in box.buttons() if one.text() == label).click()
        return 0
    monkeypatch.setattr(QMessageBox, "exec", press)
    assert dialogs.ask_about_changes(saved.window, "mine.study") == expected


@pytest.mark.parametrize(("typed", "written"), [("plain", "plain.mid"), ("named.txt", "named.txt")])
def test_the_save_dialog_adds_the_ending(saved, monkeypatch, tmp_path, typed, written):
    """Qt's own dialog, answered by the name typed into it."""
    def answered(dialog):
        dialog.findChild(QLineEdit, "fileNameEdit").setText(typed)
        dialog.accept()
        return dialog.result()
    monkeypatch.setattr(QFileDialog, "exec", answered)
    monkeypatch.setattr(QFileDialog, "__init__", _not_native(QFileDialog.__init__))
    kinds = {".mid": "MIDI (*.mid)", ".txt": "Text (*.txt)"}
    assert dialogs.ask_save(saved.window, "Where to?", tmp_path / "offered.mid", kinds) == tmp_path / written


def _not_native(made):
    def make(self, *args):
        made(self, *args)
        self.setOption(QFileDialog.Option.DontUseNativeDialog)
    return make


def test_handout_holds_the_comment(saved, monkeypatch, tmp_path):
    saved.write(saved.window.bar_panel.comment, "Marmalade before breakfast")
    answer(monkeypatch, "ask_save", tmp_path / "out.pdf")
    export(saved, "Ctrl+H")
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "out.pdf").pages)
    assert "Marmaladebeforebreakfast" in "".join(text.split())
    assert str(tmp_path / "out.pdf") in saved.window.message.label.text()


def test_export_as_musicxml_and_pictures(saved, monkeypatch, tmp_path):
    """music21 reads as many bars as the study has."""
    answer(monkeypatch, "ask_save", tmp_path / "out.musicxml")
    export(saved, "Ctrl+E")
    part = converter.parse(tmp_path / "out.musicxml").parts[0]
    assert len(part.getElementsByClass("Measure")) == len(saved.study.bars)
    answer(monkeypatch, "ask_save", tmp_path / "page.svg")
    export(saved, "Ctrl+E")
    assert len(list(tmp_path.glob("page-*.svg"))) == len(saved.drawing.pages)


def test_pictures_of_pages_look_as_the_pages_do(saved, monkeypatch, tmp_path):
    saved.window.choose_template("tablet")
    answer(monkeypatch, "ask_save", tmp_path / "page.svg")
    export(saved, "Ctrl+E")
    first, page = etree.parse(tmp_path / "page-1.svg").getroot(), saved.drawing.pages[0]
    *_, width, height = map(float, first.get("viewBox").split())
    assert (width, height) == pytest.approx((page.width, page.height), abs=0.01)
    assert len(list(tmp_path.glob("page-*.svg"))) == len(saved.drawing.pages)


@pytest.mark.parametrize("write", [
    lambda to: outputs.write_as(all_of(demo()), lambda: None, to, lambda share: None),
    lambda to: outputs.write_pdf(window.Document(demo()).layout, to, lambda share: None)])
def test_an_unknown_ending_is_refused(tmp_path, write):
    with pytest.raises(BarglossError, match=r"out\.doc does not end in one of \."):
        write(tmp_path / "out.doc")
    assert not list(tmp_path.iterdir())


def test_every_ending_offered_can_be_written():
    assert set(words.EXPORTS) == {*WRITERS, *PICTURES}


ABC = "X:1\nT:First\nL:1/4\nM:4/4\nK:C\n\"C\"CDEF|GABc|\n\nX:2\nT:Second\nL:1/4\nM:4/4\nK:G\n\"G\"GABc|d4|\n"


def test_bringing_in_asks_which_tune(saved, monkeypatch, tmp_path):
    source = tmp_path / "two.abc"
    source.write_text(ABC, encoding="utf-8")
    answer(monkeypatch, "ask_open", source)
    asked = answer(monkeypatch, "ask_part", 2)
    saved.press_keys("Ctrl+B")
    assert "2 tunes" in asked[0][1]
    assert "--part" not in asked[0][1]
    assert saved.study.key.name == "G major"
    assert saved.window.isWindowModified()
    assert saved.window.document.path is None


def test_what_was_left_out_or_lies_off_the_neck_is_listed(saved, monkeypatch, tmp_path):
    source = tmp_path / "low.abc"
    source.write_text("X:1\nT:Low\nL:1/4\nM:4/4\nK:C\n\"C\"C,,D,,E,,F,,|C,,4|\nw:la la la la la\n", encoding="utf-8")
    answer(monkeypatch, "ask_open", source)
    saved.press_keys("Ctrl+B")
    shown = saved.window.findChild(dialogs.NoticeList)
    sentences = [shown.list.item(row).text() for row in range(shown.list.count())]
    assert "octave" in sentences[0]
    saved.qtbot.waitUntil(saved.window.notices_button.isEnabled)
    saved.qtbot.mouseClick(saved.window.notices_button, Qt.MouseButton.LeftButton)
    listed = saved.window.findChildren(dialogs.NoticeList)[-1]
    lowest = "C2, D2"  # ABC's C,, is two octaves below middle C; the lowest string is E2
    assert [listed.list.item(row).text().partition(" cannot")[0] for row in range(listed.list.count())] == [
        f"Bar 1: {lowest}", "Bar 2: C2"]
    listed.list.setFocus()
    listed.list.setCurrentRow(listed.list.count() - 1)
    saved.qtbot.keyClick(listed.list, Key.Key_Return)
    assert saved.at.bar == 1


def test_bringing_in_nonsense_says_so(saved, monkeypatch, tmp_path):
    source = tmp_path / "bad.musicxml"
    source.write_text("<score", encoding="utf-8")
    answer(monkeypatch, "ask_open", source)
    before = saved.study
    saved.press_keys("Ctrl+B")
    assert "bad.musicxml" in saved.window.message.label.text()
    assert saved.study is before


def test_demo_from_the_menu(saved):
    menu(saved, words.FILE, words.OPEN_DEMO, demo("ferry-timetable").title)
    assert saved.study == demo("ferry-timetable")
    assert not saved.window.isWindowModified()
    assert saved.window.document.path is None


def test_paper_from_the_menu(saved):
    menu(saved, words.VIEW, words.PAPER, "Letter")
    assert (saved.drawing.pages[0].width, saved.drawing.pages[0].height) == (612, 792)  # ANSI A in points
    assert saved.window.page._tiles.layout.pages.pages[0].width == 612


def test_a_fault_inside_is_told_in_one_line_and_kept_in_the_log(saved, monkeypatch, tmp_path):
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path / "log")
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    catch_all(saved.window.message.fault)
    try:
        raise ZeroDivisionError("a test")
    except ZeroDivisionError as error:
        sys.excepthook(type(error), error, error.__traceback__)
    told = saved.window.message.label.text()
    assert told.startswith("Something went wrong inside Bargloss (ZeroDivisionError: a test)")
    assert "Traceback" in (tmp_path / "log" / "faults.log").read_text(encoding="utf-8")


@pytest.mark.parametrize("argument", [None, "ferry-timetable"])
def test_run_opens_and_closes(argument):
    """The real thing in a process of its own, closed by a timer; nothing on stderr."""
    path = None if argument is None else str(window.ASSETS / f"{argument}.study")
    script = (
        "import sys; from pathlib import Path; from PySide6.QtCore import QTimer; from PySide6.QtWidgets import *\n"
        "import app.window as w\n"
        "class Closing(w.Window):\n"
        "    def showEvent(self, event):\n"
        "        print(self.windowTitle()); QTimer.singleShot(50, self.close)\n"
        "w.Window = Closing\n"
        f"sys.exit(w.run({'None' if path is None else f'Path({path!r})'}))\n")
    done = subprocess.run([sys.executable, "-c", script], cwd=Path(__file__).parents[2], capture_output=True, text=True,
                          check=False, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("ferry-timetable.study" if argument else demo().title)
