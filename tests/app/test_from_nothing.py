"""From nothing to a handout, by real keys and real clicks alone."""

from __future__ import annotations

from pypdf import PdfReader
from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.new_study import NewStudy
from core.files import load_study
from core.study import NotePlace
from tests.app.scores import Key, select, type_keys, type_line
from tests.app.test_window_files import answer, export
from tests.app.windows import Person, demo


def begin(person, title: str, keys: str) -> None:
    """Fill in the dialog for a new study: keys go to the form's list."""
    def fill():
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, NewStudy)
        QTest.keyClicks(dialog.title, title)
        QTest.keyClicks(dialog.form, keys)
        QTest.keyClicks(dialog.key.tonic, "B")
        QTest.keyClick(dialog.title, Key.Key_Return)

    QTimer.singleShot(100, fill)
    person.press_keys("Ctrl+N")
    person.window.activateWindow()  # no window manager does it here
    person.qtbot.waitUntil(person.window.page.hasFocus)


def test_a_study_from_nothing_by_keys_and_mouse_alone(qtbot, tmp_path, monkeypatch):
    """Four bars with changes, fingering, a callout and a remark: written, saved, opened again, and read in the PDF."""
    person = Person(qtbot, demo())
    begin(person, "From nothing", "8")
    assert person.study.title == "From nothing"
    assert person.window.writing.hint.isVisible()
    for _ in range(4):
        person.press_keys("Ctrl+Backspace")
    assert len(person.study.bars) == 4
    type_line(person, "H", "Cm7 | F7 | Bbmaj7 G7b9 | Cm7")
    type_keys(person, "W", *"DEFGABCD", "4", *"CAFE", "2", "D", "F", "1", "C")
    assert not person.window.writing.hint.isVisible()
    person.press_keys("Esc")
    assert [len(each.events) for each in person.study.bars] == [8, 4, 2, 1]
    person.click_page(person.spot_of(NotePlace(1, 0), "tab"))
    person.window.note_panel.finger.setFocus()
    for _ in range(4):
        person.press(Key.Key_Down)
    person.write(person.window.note_panel.remark, "lean on it")
    select(person, NotePlace(0, 0), NotePlace(0, 3))
    person.click(person.window.bar_panel.callouts.add)
    card = person.window.bar_panel.callouts._cards[0]
    person.write(card.heading, "Up the scale")
    person.write(card.text, "Even and light")
    person.press(Key.Key_Escape)
    study_file, handout = tmp_path / "new.study", tmp_path / "new.pdf"
    answer(monkeypatch, "ask_save", study_file)
    person.press_keys("Ctrl+S")
    written = person.study
    answer(monkeypatch, "ask_open", study_file)
    person.press_keys("Ctrl+O")
    assert person.study == written == load_study(study_file)
    note = person.study.bars[1].events[0]
    assert (note.notes[0].finger, note.remark) == (3, "lean on it")
    answer(monkeypatch, "ask_save", handout)
    export(person, "Ctrl+H")
    text = " ".join(page.extract_text() for page in PdfReader(handout).pages).replace("\n", " ")
    for said in ("From nothing", "Up the scale", "Even and light", "lean on it"):
        assert said.replace(" ", "") in text.replace(" ", "")
    shown = [mark for page in person.drawing.pages for placed in page.placed for mark in placed.drawing.marks]
    heads = [mark for mark in shown if mark.tag and mark.tag.kind == "note" and getattr(mark, "name", "").startswith(
        "notehead")]
    assert len(heads) == 15
    for kind in ("tab", "degree", "chord", "callout"):
        assert any(mark.tag and mark.tag.kind == kind for mark in shown), kind
