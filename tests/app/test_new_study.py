"""The dialog that begins a study, filled in by keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.new_study import NewStudy
from core.study import Meter, parse_key
from tests.app.test_manners import nameless
from tests.app.windows import Person, demo

Key = Qt.Key


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


def begin(person, fill) -> None:
    def work():
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, NewStudy)
        try:
            fill(dialog)
        finally:  # whatever went wrong, the test goes on
            if dialog.isVisible():
                dialog.reject()
    QTimer.singleShot(100, work)
    person.press_keys("Ctrl+N")


def test_player_and_rights_line_may_be_told_at_once(person):
    def fill(dialog):
        for field, text in ((dialog.title, "Begun"), (dialog.player, "A. Player"), (dialog.rights, "(c) An Owner")):
            QTest.keyClicks(field, text)
        QTest.keyClicks(dialog.key.tonic, "E")
        dialog.meter.setFocus()
        dialog.meter.selectAll()
        QTest.keyClicks(dialog.meter, "C|")
        QTest.keyClick(dialog.title, Key.Key_Return)
    begin(person, fill)
    study = person.study
    assert (study.title, study.player, study.rights) == ("Begun", "A. Player", "(c) An Owner")
    assert (study.key, study.meter) == (parse_key("Eb major"), Meter((2,), 2, "cut"))


def test_they_may_be_left_empty(person):
    begin(person, lambda dialog: QTest.keyClick(dialog.title, Key.Key_Return))
    assert (person.study.player, person.study.rights, person.study.bars[0].events) == ("", "", ())


@pytest.mark.parametrize("filled", [True, False])
def test_a_form_comes_with_its_chords_or_without(person, filled):
    def fill(dialog):
        QTest.keyClicks(dialog.form, "16")
        if not filled:
            QTest.keyClick(dialog.filled, Key.Key_Space)
        QTest.keyClick(dialog.title, Key.Key_Return)
    begin(person, fill)
    assert len(person.study.bars) == 16
    assert [bar.rehearsal for bar in person.study.bars if bar.rehearsal] == ["A", "B"]
    assert all(bool(bar.changes) is filled for bar in person.study.bars)


def test_no_key_of_more_than_seven_signs_is_offered(qtbot, person):
    """A form in minor offers minor keys; each of the fifteen signatures once."""
    dialog = NewStudy(person.window)
    qtbot.addWidget(dialog)
    dialog.show()
    assert list(nameless(dialog)) == []
    for row in range(dialog.form.count()):
        dialog.form.setCurrentIndex(row)
        names = [dialog.key.tonic.itemText(at) for at in range(dialog.key.tonic.count())]
        assert len(names) == len(set(names)) == 15
        assert ("A♯" in names) == (dialog.key.key.mode == "minor")
        assert "D♯" in names or dialog.key.key.mode == "major"


@pytest.mark.parametrize(("meter", "what"), [("four", "is not a meter"), ("4/5", "a meter cannot count 5ths")])
def test_a_fault_is_told_in_the_dialog_and_nothing_begins(person, meter, what):
    before, told = person.study, []

    def fill(dialog):
        dialog.meter.selectAll()
        QTest.keyClicks(dialog.meter, meter)
        QTest.keyClick(dialog.title, Key.Key_Return)
        told.append(dialog.fault.text())
        assert dialog.fault.height() >= dialog.fault.heightForWidth(dialog.fault.width())  # seen whole
        QTest.keyClick(dialog, Key.Key_Escape)
    begin(person, fill)
    assert what in told[0]
    assert person.study is before
