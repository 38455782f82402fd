"""Music tokens complete as they are typed, and stand as real signs outside the page."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocumentFragment
from PySide6.QtWidgets import QApplication

from app.shown_words import plain_words, rich
from app.token_completer import tokens_of
from core.handout import lay_out, load_template
from core.harmony import ChordStyle
from core.study import NotePlace
from tests.app.windows import Person, demo

Key = Qt.Key
BAR = 4  # of cellar-stairs: Db7


@pytest.fixture
def person(qtbot):
    one = Person(qtbot, demo())
    one.click_page(one.spot_of(NotePlace(BAR, 1), "tab"))
    return one


def press(person, key):
    """On the list that is offered, which has the keyboard while it is there; else on the field."""
    person.qtbot.keyClick(QApplication.activePopupWidget() or person.window.focusWidget(), key)


def type_in(person, text):
    for letter in text:
        person.qtbot.keyClicks(QApplication.activePopupWidget() or person.window.focusWidget(), letter)


def popup(field):
    return field.popup


def offered(field):
    model = popup(field).model()
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def test_a_brace_offers_what_the_bar_holds(person):
    """Its chord first, then its degrees and notes, then the rest of the study's chords."""
    field = person.window.bar_panel.comment
    person.write(field, "")
    type_in(person, "over {")
    assert popup(field).isVisible()
    tokens = offered(field)
    assert tokens[0] == "Db7"
    assert tokens.index("b7") < tokens.index("Ab") < tokens.index("Am7b5")
    assert len(set(tokens)) == len(tokens)


@pytest.mark.parametrize("part", ["comment", "heading", "text", "remark"])
def test_taken_with_enter(person, part):
    panel = person.window.bar_panel
    field = {"comment": panel.comment, "heading": panel.callouts._cards[0].heading,
             "text": panel.callouts._cards[0].text, "remark": person.window.note_panel.remark}[part]
    person.write(field, "")
    type_in(person, "see {D")
    assert offered(field)[0] == "Db7"
    press(person, Key.Key_Return)
    assert field.typing.text == "see {Db7}"
    assert field.hasFocus()
    type_in(person, " here")
    bar = person.study.bars[BAR]
    kept = {"comment": bar.comment, "heading": bar.callouts[0].heading, "text": bar.callouts[0].text,
            "remark": bar.events[1].remark}[part]
    assert kept == "see {Db7} here"


def test_narrowed_as_one_types_and_chosen_with_the_arrows(person):
    field = person.window.bar_panel.comment
    person.write(field, "")
    type_in(person, "{b")
    assert all(token.startswith("b") for token in offered(field))  # no B: a flat is no note
    second = offered(field)[1]
    press(person, Key.Key_Down)
    press(person, Key.Key_Return)
    assert field.toPlainText() == f"{{{second}}}"


def test_escape_leaves_the_offer_and_not_the_field(person):
    field = person.window.bar_panel.comment
    person.write(field, "")
    type_in(person, "{")
    press(person, Key.Key_Escape)
    assert not popup(field).isVisible()
    assert field.hasFocus()
    assert field.toPlainText() == "{"


def test_what_is_not_offered_can_be_typed(person):
    field = person.window.bar_panel.comment
    person.write(field, "")
    type_in(person, "{F# half step} up")
    assert not popup(field).isVisible()
    assert person.study.bars[BAR].comment == "{F# half step} up"


def test_inside_a_text(person):
    field = person.window.bar_panel.comment
    person.write(field, "to  and on")
    press(person, Key.Key_Home)
    for _ in range(3):
        press(person, Key.Key_Right)
    type_in(person, "{b7")
    press(person, Key.Key_Return)
    assert field.toPlainText() == "to {b7} and on"


@pytest.mark.parametrize(("text", "expected"), [
    ("{Bb7} then {b9}", "B♭7 then ♭9"), ("{F# half step}", "F♯ half step"), ("*so* be it", "so be it"),
    ("A B C", "A B C"), ("{Dm7b5}", "Dm7♭5"), ("{bb7} of {B°7}", "♭♭7 of B°7"), ("{nonsense", "{nonsense"),
])
def test_plain_words(text, expected):
    assert plain_words(text) == expected


@pytest.mark.parametrize(("text", "expected"), [
    ("{Bb7}", "B♭7"), ("{Gm6}", "G–6"), ("{Ebmaj7/Bb}", "E♭△7/B♭"), ("{D7b9}", "D7(♭9)"), ("{#11}", "♯11"),
    ("<b>{F#}</b> & *more*", "<b>F♯</b> & more"),
])
def test_rich_words_read_as_the_house_spells(text, expected):
    """The house's own spelling is checked in tests/harmony/test_house.py."""
    assert QTextDocumentFragment.fromHtml(rich(text, ChordStyle())).toPlainText() == expected


def test_every_bar_of_a_study_has_tokens():
    layout = lay_out(demo(), load_template("lesson"))
    for bar in range(len(layout.study.bars)):
        assert {"1", "b9", "Db7"} <= set(tokens_of(layout, bar))
        assert "" not in tokens_of(layout, bar)
