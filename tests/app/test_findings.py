"""What the line does, decided in the window: kept, reworded, dismissed, offered again; all by mouse and keys."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QTextDocumentFragment

from app import words_about
from app.line_work import LineWork
from core.files import parse_study, study_xml
from core.line import analyse
from core.line.telling import tell, told
from core.study import Bar, Change, Event, Note, NotePlace, Study, edits, parse_pitch
from tests.app.windows import Person, demo

Key = Qt.Key
BAR = 4  # of cellar-stairs: an arpeggio and a run chosen, so a draft of two sentences; two callouts


def at_bar(qtbot, study, bar):
    one = Person(qtbot, study)
    for _ in range(bar):
        one.press_keys("Ctrl+PgDown")
    qtbot.waitUntil(lambda: one.window.line.is_ready)
    return one


@pytest.fixture
def person(qtbot):
    return at_bar(qtbot, demo(), BAR)


def findings(person):
    return person.window.bar_panel.findings


def cards(person):
    """The cards that are seen, in order."""
    return [card for card in findings(person)._cards if not card.isHidden()]


def shown(card):
    return QTextDocumentFragment.fromHtml(card.label.text()).toPlainText()


def button(person, card, action):
    panel = person.window.bar_panel
    panel.ensureWidgetVisible(card.buttons[action])
    return card.buttons[action]


def chosen(study, bar=BAR):
    return told(study, analyse(study)).chosen[bar]


def kinds(person):
    return [card.kind.text() for card in cards(person)]


def test_sentences_stand_with_real_signs_the_chosen_ones_first(person):
    first, second = chosen(person.study)
    assert kinds(person) == [words_about.DRAFT, "arpeggio", "run"]
    assert [first.kind, second.kind] == ["arpeggio", "run"]
    for card in cards(person):
        assert "♭" in shown(card)
        assert not set("{}") & set(shown(card))
        assert "b7" not in shown(card)
    assert "Fø7" in shown(cards(person)[1])
    assert cards(person)[1].buttons["dismiss"].accessibleName() == f"Dismiss: {cards(person)[1].accessibleName()}"
    assert cards(person)[1].accessibleName().startswith("Fø7 going up over D♭7")


def test_a_chord_is_spelled_as_the_template_spells_it(person):
    """`Gm6` prints as G–6 in the lesson template; the raised list stands raised."""
    person.press_keys("Ctrl+PgUp")
    assert "G–" in shown(cards(person)[0])


def test_accepted_by_keys_it_is_a_callout_and_a_step(person):
    before = person.study
    finding = chosen(before)[0]
    person.press_keys("Ctrl+Shift+F")
    person.press(Key.Key_Down)  # past the draft
    assert cards(person)[1].buttons["accept"].hasFocus()
    person.press(Key.Key_Space)
    made = person.study.bars[BAR].callouts[-1]
    assert (made.text, made.source) == (tell(finding), "arpeggio")
    ends = [before.event_at(place).onset for place in (finding.first, finding.last)]
    assert [made.start, made.stop, made.bars_on] == [*ends, 0]
    assert person.window.document.undo_name == "accept arpeggio, bar 4"
    assert finding not in told(person.study, analyse(person.study)).bars[BAR]
    assert "arpeggio" not in kinds(person)
    after = person.study
    person.press(Key.Key_Escape)
    person.press_keys("Ctrl+Z")
    assert person.study is before
    person.qtbot.waitUntil(lambda: kinds(person) == [words_about.DRAFT, "arpeggio", "run"])
    person.press_keys("Ctrl+Shift+Z")
    assert person.study is after


def test_the_keyboard_stays_in_the_list(person):
    """Three decisions in a row without looking for the list again; after the last one, in what is left of it."""
    person.press_keys("Ctrl+Shift+F")
    person.press(Key.Key_Down)
    person.press(Key.Key_Right)
    person.press(Key.Key_Right)
    while cards(person) and findings(person).with_keyboard:
        assert findings(person).with_keyboard.buttons["dismiss"].hasFocus()
        person.press(Key.Key_Space)
    assert [one.kind for one in person.study.bars[BAR].dismissed] == ["arpeggio", "run"]
    assert findings(person).gone.hasFocus() or findings(person).more.hasFocus()
    assert findings(person).none.isVisible()


def test_dismissed_for_good_and_brought_back(person):
    before = person.study
    person.click(button(person, cards(person)[2], "dismiss"))
    assert person.window.document.undo_name == "dismiss run, bar 4"
    again = parse_study(study_xml(person.study), "again")
    assert "run" not in [one.kind for one in told(again, analyse(again)).bars[BAR]]
    assert "run" not in kinds(person)
    assert findings(person).gone.text() == "Show dismissed (1)"
    person.window.bar_panel.ensureWidgetVisible(findings(person).gone)
    person.click(findings(person).gone)
    assert kinds(person)[-1] == "run"
    person.click(button(person, cards(person)[-1], "restore"))
    assert person.window.document.undo_name == "offer run again, bar 4"
    assert person.study.bars[BAR] == before.bars[BAR]
    assert kinds(person) == [words_about.DRAFT, "arpeggio", "run"]


def test_reworded_in_the_callouts_own_field(person):
    finding = chosen(person.study)[1]
    person.click(button(person, cards(person)[2], "reword"))
    field = person.window.bar_panel.callouts._cards[2].text
    assert field.hasFocus()
    assert field.toPlainText() == tell(finding)
    person.press_keys("Ctrl+A")
    person.qtbot.keyClicks(field, "Straight down the scale")
    made = person.study.bars[BAR].callouts[2]
    assert (made.text, made.source) == ("Straight down the scale", "run")
    person.press(Key.Key_Escape)
    person.qtbot.waitUntil(lambda: person.window.line.is_ready)
    assert "run" not in kinds(person)  # reworded, it is still that finding


@pytest.mark.parametrize("keys", ["Ctrl+Shift+A", "Ctrl+Shift+R"])
def test_the_draft_by_its_keys(person, keys):
    draft = person.window.line.drafts[BAR]
    person.press_keys(keys)
    made = person.study.bars[BAR].callouts[-1]
    assert (made.text, made.source) == (draft.text, "arpeggio, run")
    assert person.window.document.undo_name == "accept draft, bar 4"
    assert person.window.bar_panel.callouts._cards[2].text.hasFocus() == (keys == "Ctrl+Shift+R")
    assert kinds(person) == []


def test_no_draft_is_told(qtbot):
    person = at_bar(qtbot, demo(), 0)
    before = person.study
    person.press_keys("Ctrl+Shift+A")
    assert person.study is before
    assert person.window.message.label.text() == words_about.NO_DRAFT


def substituted() -> Study:
    """Over G7 a line of the tones of Db7, a half step above where it goes (tests/line/test_readings.py)."""
    return Study(bars=(bar("D4 F4 A4 C5 A4 F4 D4 E4", "Dm7"), bar("Db4 F4 Ab4 Cb5 Db5 Ab4 F4 Db4", "G7"),
                       bar("C4 E4 G4 B4 C5 B4 G4 E4", "Cmaj7")))


def bar(names: str, symbol: str) -> Bar:
    return Bar(tuple(Event(Fraction(at, 2), Fraction(1, 2), (Note(parse_pitch(name)),))
                     for at, name in enumerate(names.split())), (Change(Fraction(0), symbol),))


def test_a_reading_is_kept_as_a_reading(qtbot):
    person = at_bar(qtbot, substituted(), 1)
    finding = next(one for one in chosen(person.study, 1) if one.kind == "reading")
    card = next(card for card in cards(person) if card.kind.text() == "reading")
    person.click(button(person, card, "reword"))
    assert person.study.bars[1].readings[0].harmony == finding.fact("harmony") == "Db7"
    assert person.study.bars[1].callouts == ()
    field = person.window.bar_panel.readings._rows[0].symbol
    assert field.hasFocus()
    assert field.text() == "Db7"
    assert "reading" not in kinds(person)


def test_its_notes_are_marked_on_the_page_while_it_has_the_keyboard(person):
    pointer, page = person.window.annotating.pointer, person.window.page
    finding = chosen(person.study)[1]
    assert not pointer.isVisible()
    before = page.grab().toImage()
    person.press_keys("Ctrl+Shift+F")
    person.press(Key.Key_Down)
    person.press(Key.Key_Down)
    assert pointer.span == (finding.first, finding.last)
    assert pointer.isVisible()
    after = page.grab().toImage()
    head = person.spot_of(finding.last, "tab")
    band = next(band for band in pointer.bands() if band.contains(head.toPointF()))
    corner = (band.topLeft() + QPoint(1, 1)).toPoint()
    assert before.pixelColor(corner) != after.pixelColor(corner)
    outside = person.spot_of(NotePlace(1, 0), "tab") + QPoint(8, 0)
    assert before.pixelColor(outside) == after.pixelColor(outside)
    person.press(Key.Key_Escape)
    assert not pointer.isVisible()


def test_its_notes_are_marked_under_the_mouse(person):
    card = cards(person)[1]
    person.window.bar_panel.ensureWidgetVisible(card)
    person.qtbot.mouseMove(card.label, QPoint(20, 6))
    pointer = person.window.annotating.pointer
    person.qtbot.waitUntil(pointer.isVisible)
    finding = chosen(person.study)[0]
    assert pointer.span == (finding.first, finding.last)
    person.qtbot.mouseMove(person.window.page.viewport(), QPoint(20, 20))
    person.qtbot.waitUntil(lambda: not pointer.isVisible())


def test_typing_does_not_wait_for_the_findings(person, monkeypatch):
    looked = []
    monkeypatch.setattr("app.line_work.told", lambda *of: looked.append(1) or told(*of))
    person.write(person.window.bar_panel.comment, "quickly typed")
    assert looked == []
    with person.qtbot.waitSignal(person.window.line.ready):
        pass
    assert looked == [1]


def test_kept_up_through_edits_as_if_found_anew(qtbot, person):
    """A walk of edits: what is kept beside the study is what a fresh look finds."""
    random, document, line = Random(7), person.window.document, person.window.line
    assert isinstance(line, LineWork)
    for _ in range(25):
        bar = random.randrange(len(person.study.bars))
        events = [at for at, event in enumerate(person.study.bars[bar].events) if event.notes]
        offered = line.told.bars[bar]
        if random.random() < 0.3 and offered:
            document.edit("dismiss", lambda study, one=offered[0]: edits.dismiss(
                study, one.first.bar, study.event_at(one.first).onset, one.kind))
        elif random.random() < 0.2:
            document.undo()
        elif events:
            place = NotePlace(bar, random.choice(events))
            pitch = parse_pitch(random.choice(("C4", "F#4", "Bb3", "Eb4")))
            document.edit("pitch", lambda study, place=place, pitch=pitch: edits.set_note_pitch(study, place, pitch))
        anew = told(person.study, analyse(person.study))
        assert line.told.bars == anew.bars
        assert line.told.chosen == anew.chosen


def test_tab_goes_through_the_bar_as_it_is_read(person):
    """What came into the panel later too: comment, findings, callouts."""
    panel = person.window.bar_panel
    person.click(panel.comment.viewport())
    reached = []
    for _ in range(30):
        person.press(Key.Key_Tab)
        reached.append(person.window.focusWidget())
        if reached[-1] is panel.signs.sign:
            break
    offered = [button for card in cards(person) for button in card.buttons.values() if not button.isHidden()]
    assert reached[:len(offered)] == offered
    callouts = [field for card in panel.callouts._cards for field in (card.heading, card.text)]
    assert [one for one in reached if one in callouts] == callouts
    assert reached[-1] is panel.signs.sign
