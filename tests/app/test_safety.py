"""Nothing is lost: journals while there is unsaved work, the offer after a crash, files that others change."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QLockFile
from PySide6.QtWidgets import QApplication, QMessageBox

from app import safety, window, words_around
from app.autosave import left_behind
from app.document import open_document
from app.folders import journal_folder
from core.errors import BarglossError
from core.files import (
    Journal,
    bar_writer,
    journals_in,
    load_study,
    read_journal,
    save_study,
    stamp_of,
    study_xml,
    write_journal,
)
from core.study import edits
from tests.app.windows import Person, demo


@pytest.fixture
def saved(qtbot, tmp_path):
    path = tmp_path / "mine.study"
    save_study(demo(), path)
    return Person(qtbot, load_study(path), path)


def answer(monkeypatch, label):
    """The next questions are answered by the button with these words; None: there must be none. What was asked."""
    asked = []

    def press(box):
        asked.append(box.text())
        next(one for one in box.buttons() if one.text() == label).click()
        return 0
    monkeypatch.setattr(QMessageBox, "exec", press)
    return asked


@pytest.fixture(autouse=True)
def unasked(monkeypatch):
    """Nobody is asked anything, unless a test answers."""
    def refuse(box):
        raise AssertionError(f"asked: {box.text()}")
    monkeypatch.setattr(QMessageBox, "exec", refuse)


def journal_of(person):
    """What is set aside by now."""
    person.window.around.safety.autosave.flush()
    (file,) = journals_in(journal_folder())
    return read_journal(file)


def test_an_edit_is_set_aside_by_itself_and_put_away_when_it_is_saved(saved, qtbot):
    saved.write(saved.window.bar_panel.comment, "Precious")
    qtbot.waitUntil(lambda: bool(journals_in(journal_folder())))
    assert journal_of(saved) == Journal(saved.study, saved.window.document.path, stamp_of(saved.window.document.path))
    assert saved.study.bars[0].comment == "Precious"
    saved.press_keys("Ctrl+S")
    assert not list(journal_folder().iterdir())


def test_what_is_opened_is_put_into_words_before_the_first_edit_needs_it(saved, qtbot, monkeypatch):
    made = []
    real = bar_writer._written
    monkeypatch.setattr(bar_writer, "_written", lambda bar, chorus: made.append(bar) or real(bar, chorus))
    saved.window.filing.open_demo("ferry-timetable")
    qtbot.waitUntil(lambda: len(made) == len(saved.study.bars))
    made.clear()
    saved.write(saved.window.bar_panel.comment, "!")
    assert journal_of(saved).study == saved.study
    assert made == [saved.study.bars[0]]


def test_undone_work_needs_no_journal_and_redone_work_does(saved):
    saved.write(saved.window.bar_panel.comment, "Precious")
    journal_of(saved)
    saved.press_keys("Ctrl+Z")
    assert journals_in(journal_folder()) == ()
    saved.press_keys("Ctrl+Shift+Z")
    assert journal_of(saved).study.bars[0].comment == "Precious"


def test_closing_puts_the_journal_away(saved, monkeypatch):
    saved.write(saved.window.bar_panel.comment, "Dropped")
    journal_of(saved)
    answer(monkeypatch, window.words.DISCARD)
    saved.window.close()
    assert not list(journal_folder().iterdir())


def test_a_folder_that_cannot_be_written_is_told_once_and_work_goes_on(saved, tmp_path):
    journal_folder().parent.mkdir(parents=True, exist_ok=True)
    journal_folder().write_text("in the way", encoding="utf-8")
    told = []
    saved.window.around.safety.fault.connect(told.append)
    saved.write(saved.window.bar_panel.comment, "On it goes")
    saved.qtbot.waitUntil(saved.window.message.isVisible)
    saved.window.around.safety.autosave.flush()
    assert told == [saved.window.message.label.text()]
    assert "could not be set aside" in told[0]
    assert saved.study.bars[0].comment == "On it goes"


def left(study, path=None, stamp=None) -> Path:
    """As a window that was killed leaves it."""
    file = journal_folder() / "0123.journal"
    write_journal(file, Journal(study, path, stamp))
    return file


def test_the_next_start_offers_it_and_goes_on_with_it(saved, monkeypatch):
    path = saved.window.document.path
    work = edits.set_comment(saved.study, 2, "Nearly lost")
    file = left(work, path, stamp_of(path))
    asked = answer(monkeypatch, words_around.RESUME)
    saved.window.around.start()
    assert asked == [words_around.LEFT_BEHIND.format(name="mine.study")]
    assert saved.study == work
    assert saved.window.document.path == path
    assert saved.window.isWindowModified()
    assert not file.exists()
    assert journal_of(saved).study == work
    answer(monkeypatch, None)
    saved.press_keys("Ctrl+S")
    assert load_study(path) == work


def test_it_can_be_thrown_away_or_left_for_later(saved, monkeypatch):
    file = left(edits.set_comment(saved.study, 2, "Perhaps"))
    before = saved.study
    answer(monkeypatch, words_around.LATER)
    saved.window.around.start()
    assert file.exists()
    answer(monkeypatch, words_around.DROP_IT)
    saved.window.around.start()
    assert not file.exists()
    assert saved.study is before


def test_nothing_is_offered_that_is_saved_or_that_another_window_has_open(saved, monkeypatch):
    answer(monkeypatch, None)
    file = left(saved.study, saved.window.document.path)
    saved.window.around.start()
    assert not file.exists()
    saved.write(saved.window.bar_panel.comment, "Open here")
    assert journal_of(saved).study == saved.study
    assert left_behind(journal_folder()) == []


def test_a_lock_whose_process_is_gone_holds_nothing(tmp_path):
    """Made by a process of its own, killed with the lock in its hands."""
    write_journal(tmp_path / "a.journal", Journal(demo()))
    script = ("import os, sys; from pathlib import Path; from app.autosave import lock_of\n"
              "lock = lock_of(Path(sys.argv[1])); print(lock.tryLock(0), flush=True); os.kill(os.getpid(), 9)\n")
    done = subprocess.run([sys.executable, "-c", script, str(tmp_path / "a.journal")], capture_output=True, text=True,
                          cwd=Path(__file__).parents[2], check=False)
    assert done.stdout == "True\n"
    assert (tmp_path / "a.lock").exists()
    assert left_behind(tmp_path) == [tmp_path / "a.journal"]
    lock = QLockFile(str(tmp_path / "a.lock"))
    assert lock.tryLock(0)
    assert left_behind(tmp_path) == []
    lock.unlock()


def activate(person):
    """The window comes to the front."""
    QApplication.sendEvent(person.window, QEvent(QEvent.Type.WindowActivate))
    QApplication.processEvents()


def changed_outside(person, comment="Theirs"):
    theirs = edits.set_comment(load_study(person.window.document.path), 1, comment)
    person.window.document.path.write_bytes(study_xml(theirs))
    return theirs


def test_a_change_by_another_program_can_be_taken_and_taken_back(saved, monkeypatch):
    saved.write(saved.window.bar_panel.comment, "Mine")
    mine, theirs = saved.study, changed_outside(saved)
    asked = answer(monkeypatch, words_around.TAKE_THEIRS)
    activate(saved)
    assert asked == [words_around.OTHER_CHANGED.format(name="mine.study")]
    assert saved.study == theirs
    assert not saved.window.isWindowModified()
    answer(monkeypatch, None)
    activate(saved)
    saved.press_keys("Ctrl+Z")
    assert saved.study == mine
    assert saved.window.isWindowModified()


def test_keeping_mine_asks_once_and_leaves_it_to_be_saved(saved, monkeypatch):
    before = saved.study
    theirs = changed_outside(saved)
    answer(monkeypatch, words_around.KEEP_MINE)
    activate(saved)
    assert saved.study is before
    assert saved.window.isWindowModified()
    answer(monkeypatch, None)
    activate(saved)
    saved.press_keys("Ctrl+S")
    path = saved.window.document.path
    assert load_study(path) == before
    kept = path.with_name("theirs.study")
    path.with_name("mine.study~").rename(kept)
    assert load_study(kept) == theirs


@pytest.mark.parametrize(("label", "written"), [
    (words_around.KEEP_MINE, "Mine"), (words_around.STAY, ""), (words_around.TAKE_THEIRS, "")])
def test_saving_over_another_program_s_change_asks_first(saved, monkeypatch, label, written):
    saved.write(saved.window.bar_panel.comment, "Mine")
    theirs = changed_outside(saved)
    answer(monkeypatch, label)
    saved.press_keys("Ctrl+S")
    now = load_study(saved.window.document.path)
    assert (now.bars[0].comment == "Mine") == bool(written)
    if not written:
        assert now == theirs
    assert saved.window.isWindowModified() == (label == words_around.STAY)


def test_a_touch_or_our_own_saving_asks_nothing(saved, monkeypatch):
    answer(monkeypatch, None)
    os.utime(saved.window.document.path, (1, 1))
    activate(saved)
    saved.write(saved.window.bar_panel.comment, "Mine")
    saved.press_keys("Ctrl+S")
    activate(saved)
    assert not saved.window.isWindowModified()


def test_a_file_taken_away_is_told_and_can_be_put_back(saved, monkeypatch):
    answer(monkeypatch, None)
    path = saved.window.document.path
    path.unlink()
    activate(saved)
    assert saved.window.message.label.text() == words_around.FILE_GONE.format(name="mine.study")
    assert saved.window.isWindowModified()
    saved.press_keys("Ctrl+S")
    assert load_study(path) == saved.study


def test_a_file_broken_by_another_program_is_told_and_mine_stays(saved, monkeypatch):
    before = saved.study
    saved.window.document.path.write_text("<study", encoding="utf-8")
    answer(monkeypatch, words_around.TAKE_THEIRS)
    activate(saved)
    assert "mine.study" in saved.window.message.label.text()
    assert saved.study is before


def test_a_newer_version_s_file_opens_for_reading_only(qtbot, tmp_path):
    path = tmp_path / "newer.study"
    text = study_xml(demo()).decode().replace('version="1"', 'version="2"').replace("study:1", "study:2")
    path.write_text(text.replace("<bar", '<bar mood="blue"', 1), encoding="utf-8")
    document = open_document(path)
    person = Person(qtbot, demo())
    person.window.filing.open_path(path)
    assert person.study == document.study == demo()
    assert "for reading only" in person.window.message.label.text()
    assert not person.window.bar_panel.comment.isEnabled()
    for refused in (lambda: document.edit("x", lambda study: edits.set_comment(study, 0, "x")),
                    lambda: document.save(tmp_path / "other.study")):
        with pytest.raises(BarglossError, match="newer Bargloss"):
            refused()
    assert not (tmp_path / "other.study").exists()
    person.window.filing.open_demo("ferry-timetable")
    assert person.window.bar_panel.comment.isEnabled()


def test_what_another_version_set_aside_is_left_alone(saved, monkeypatch):
    answer(monkeypatch, None)
    file = left(saved.study)
    head, _, body = file.read_bytes().partition(b"\n")
    file.write_bytes(json.dumps(json.loads(head) | {"mood": 1}).encode() + b"\n" + body.replace(b"study:1", b"study:9"))
    saved.window.around.start()
    assert file.exists()


def test_the_question_closed_is_no_answer(saved, monkeypatch):
    monkeypatch.setattr(QMessageBox, "exec", lambda box: box.escapeButton().click())
    assert safety.ask_about_file(saved.window, "a.study", words_around.STAY) == "neither"
    assert safety.ask_about_file(saved.window, "a.study") == "second"
