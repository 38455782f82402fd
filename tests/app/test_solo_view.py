"""What the whole solo does: the summary, and every draft to be kept or reworded."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app import words_about
from app.shown_words import plain_words
from core.line import analyse
from core.line.drafts import drafts
from core.line.summary import summarise, summary_lines
from core.line.telling import told
from tests.app.windows import Person, demo

Key = Qt.Key


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, demo())
    one.press_keys("Alt+4")
    assert view(one).hasFocus()
    return one


def view(person):
    return person.window.side.solo


def text(person):
    return " ".join(view(person).toPlainText().split())


def follow(person, link):
    """By the keyboard: from link to link, then Enter."""
    for _ in range(400):
        person.press(Key.Key_Tab)
        if view(person).textCursor().charFormat().anchorHref() == link:
            person.press(Key.Key_Return)
            return
    raise AssertionError(f"no link {link}")


def test_it_tells_the_summary_and_all_drafts(person):
    study = person.study
    found = told(study, analyse(study))
    for sentence in summary_lines(summarise(study, found.tones.bars, found.noticed, found.chosen), study):
        assert plain_words(sentence).replace("Gm6", "G–6").replace("D7♭9", "D7(♭9)") in text(person)
    assert "Range: D3 to F5, 27 half steps." in text(person)
    there = [draft for draft in drafts(study, found.chosen) if draft]
    for draft in there:
        assert f"Bar {study.in_force[draft.bar].number} " in text(person)
    assert view(person).toPlainText().count(words_about.ACCEPT) == len(there) > 20
    assert "{" not in text(person)


def test_a_draft_is_kept_from_here(person):
    before, draft = person.study, person.window.line.drafts[4]
    follow(person, "accept:4")
    assert person.study.bars[4].callouts[-1].text == draft.text
    assert person.at.span == (draft.first, draft.last)
    assert view(person).hasFocus()
    assert "accept:4" not in view(person).toHtml()
    assert person.window.document.undo_name == "accept draft, bar 4"
    person.press_keys("Ctrl+Z")
    assert person.study is before
    person.qtbot.waitUntil(lambda: "accept:4" in view(person).toHtml())


def test_reworded_it_opens_in_the_bar(person):
    follow(person, "reword:1")
    field = person.window.bar_panel.callouts._cards[len(person.study.bars[1].callouts) - 1].text
    assert field.hasFocus()
    assert field.toPlainText() == person.study.bars[1].callouts[-1].text


def test_a_bar_s_name_leads_to_its_notes(person):
    draft = person.window.line.drafts[8]
    follow(person, "go:8")
    assert person.at.bar == 8
    assert person.at.span == (draft.first, draft.last)
