"""Which bars leave the window, and what is said of a rights line that is empty. The dialog is Qt's, worked by keys."""

from __future__ import annotations

from dataclasses import replace

import pytest
from music21 import converter
from pypdf import PdfReader
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QPageLayout
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app import dialogs, printing, which_bars, words_sheet
from app.which_bars import WhichBars, ask_bars
from core.handout import Excerpt, lay_out_excerpt, load_template
from tests.app.test_manners import nameless
from tests.app.windows import Person, demo

Key = Qt.Key


@pytest.fixture
def person(qtbot, monkeypatch):
    """Somebody who is asked which bars."""
    monkeypatch.setattr(which_bars, "ask_bars", ask_bars)
    return Person(qtbot, demo())


def answered(monkeypatch, tmp_path):
    """Where the file dialog says to write: what is offered, in the test's folder."""
    asked = []

    def instead(_parent, _title, beside, _kinds):
        asked.append(beside.name)
        return tmp_path / beside.name
    monkeypatch.setattr(dialogs, "ask_save", instead)
    return asked


def export(person, keys, fill) -> None:
    """By its keys, with the question filled in, until it is done."""
    def work():
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, WhichBars)
        try:
            fill(dialog)
        finally:  # whatever went wrong, the test goes on
            if dialog.isVisible():
                dialog.reject()
    with person.qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        QTimer.singleShot(50, work)
        person.press_keys(keys)


def pdf_text(path) -> str:
    return " ".join("".join(page.extract_text() for page in PdfReader(path).pages).split())


def return_key(dialog) -> None:
    QTest.keyClick(dialog.focusWidget() or dialog, Key.Key_Return)


def type_bars(first, last):
    def fill(dialog):
        for field, text in ((dialog.first, first), (dialog.last, last)):
            field.setFocus()
            field.selectAll()
            QTest.keyClicks(field, text)
        assert dialog.some.isChecked()
        return_key(dialog)
    return fill


def test_return_alone_exports_all(person, monkeypatch, tmp_path):
    answered(monkeypatch, tmp_path)
    export(person, "Ctrl+H", return_key)
    assert len(PdfReader(tmp_path / "two-choruses-in-g-minor.pdf").pages) == len(person.drawing.pages)


def test_some_bars_as_a_handout(person, monkeypatch, tmp_path):
    """The same pages as the command line's --bars."""
    asked = answered(monkeypatch, tmp_path)
    export(person, "Ctrl+H", type_bars("3", "4"))
    assert asked == ["two-choruses-in-g-minor-3-4.pdf"]
    expected = lay_out_excerpt(Excerpt(person.study, 3, 4), load_template("lesson"))
    pages = PdfReader(tmp_path / asked[0]).pages
    assert len(pages) == len(expected.pages.pages) == 1
    assert "Bar 3" in pdf_text(tmp_path / asked[0])
    assert "Bar 5" not in pdf_text(tmp_path / asked[0])


def test_a_chorus_as_musicxml(person, monkeypatch, tmp_path):
    """music21 reads as many bars as the chorus has, from its number on."""
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "part.musicxml")

    def second(dialog):
        dialog.one.setFocus()
        QTest.keyClick(dialog.one, Key.Key_Space)
        dialog.chorus.setFocus()
        QTest.keyClick(dialog.chorus, Key.Key_Down)
        return_key(dialog)
    export(person, "Ctrl+E", second)
    measures = converter.parse(tmp_path / "part.musicxml").parts[0].getElementsByClass("Measure")
    assert [measure.number for measure in measures] == list(range(17, 33))


def test_selected_bars_are_offered_and_a_wrong_order_is_told(person, monkeypatch, tmp_path):
    person.press_keys("Ctrl+Right")
    for _ in range(9):
        person.press_keys("Shift+Right")
    asked, told = answered(monkeypatch, tmp_path), []

    def fill(dialog):
        told.append((dialog.first.value(), dialog.last.value(), dialog.all.isChecked()))
        type_bars("9", "2")(dialog)
        told.append(dialog.fault.text())
        type_bars("1", "2")(dialog)
    export(person, "Ctrl+H", fill)
    assert told == [(1, 2, True), words_sheet.BACKWARD.format(first=9, last=2)]
    assert asked == ["two-choruses-in-g-minor-1-2.pdf"]


def test_leaving_the_question_writes_nothing(person, monkeypatch, tmp_path):
    asked = answered(monkeypatch, tmp_path)
    QTimer.singleShot(50, lambda: QTest.keyClick(QApplication.activeModalWidget(), Key.Key_Escape))
    person.press_keys("Ctrl+E")
    assert not asked


def test_no_chorus_is_offered_where_none_is_marked(qtbot, person):
    dialog = WhichBars(person.window, replace(demo(), choruses=()), (0, 0))
    qtbot.addWidget(dialog)
    dialog.show()
    assert not dialog.one.isVisible()
    assert not dialog.chorus.isVisible()
    assert list(nameless(dialog)) == []


@pytest.mark.parametrize(("rights", "is_told"), [("", True), ("  ", True), ("(c) An Owner", False)])
def test_an_empty_rights_line_is_told_where_a_handout_leaves(qtbot, monkeypatch, tmp_path, rights, is_told):
    person = Person(qtbot, replace(demo(), rights=rights))
    answered(monkeypatch, tmp_path)

    def said() -> bool:
        text = person.window.message.label.text()
        return words_sheet.RIGHTS_EMPTY in text and "File > Study sheet" in text
    with qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        person.press_keys("Ctrl+H")
    assert "Wrote" in person.window.message.label.text()
    assert said() == is_told
    person.window.message.hide()
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setPageOrientation(QPageLayout.Orientation.Portrait)
    monkeypatch.setattr(printing, "ask_printer", lambda *_: printer)
    with qtbot.waitSignal(person.window.around.jobs.idle, timeout=60_000):
        person.press_keys("Ctrl+P")
    assert "printed.pdf" in person.window.message.label.text()
    assert said() == is_told
