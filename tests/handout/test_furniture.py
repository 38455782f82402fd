"""Title block, key to the degrees, and foot."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.boxes import mark_box
from core.engraving.drawing import Text
from core.engraving.faces import face
from core.engraving.smufl import music_font
from core.guitar import TUNINGS
from core.handout import load_template, parse_template
from core.handout.furniture import NO_RIGHTS, degree_key, foot, set_up, title_block
from core.study import Instrument, parse_pitch
from tests.handout.test_template import LESSON
from tests.strategies import CALM

PAGE = load_template("lesson")
WIDTH = 510.0
FONT = music_font("Bravura")
WORDS = ["Blue", "Lantern", "étude", "for", "♭", "Miniaturisation"]
names = st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join)


def texts(block) -> list[str]:
    return [mark.text for mark in block.drawing.marks if isinstance(mark, Text)]


def title(name: str = "Study", tune: str = "", source=("", "", "", ""), feel: str = "swing", tempo: int = 132):
    return title_block(name, tune, source, feel, tempo, PAGE, WIDTH)


def test_title_source_feel_and_tempo():
    block = title("Down the Steps", "Harbour Lane", ("A. Player", "a recording", "A. Teacher", "capo 2"))
    said = texts(block)
    assert said[0] == "Down the Steps"
    assert said[1] == "On Harbour Lane, played by A. Player, a recording, transcribed by A. Teacher, capo 2"
    assert {"Swing,  ", "= 132"} <= set(said)


@pytest.mark.parametrize(("instrument", "words"), [
    (Instrument(), ""), (Instrument(capo=3), "capo 3"),
    (Instrument(tuning=TUNINGS["drop D"], capo=2), "tuning: drop D, capo 2"),
    (Instrument(tuning=(*TUNINGS["drop D"][:-1], parse_pitch("C4"))), "tuning: D A D G B C"),
])
def test_how_the_instrument_is_set_up(instrument, words):
    """Common practice, no source: what a player has to do first stands at the head of the page."""
    assert set_up(instrument) == words


def test_the_title_is_largest_and_the_tempo_stands_at_the_right():
    block = title("Down the Steps", "", ("A. Player", "", "", ""))
    sizes = {mark.text: mark.size for mark in block.drawing.marks if isinstance(mark, Text)}
    assert max(sizes, key=sizes.get) == "Down the Steps"
    assert max(mark_box(mark, FONT).right for mark in block.drawing.marks) == pytest.approx(WIDTH, abs=0.5)


def test_without_a_title_the_tune_is_the_title_and_not_said_twice():
    assert texts(title("", "Harbour Lane"))[0] == "Harbour Lane"
    assert not any("on Harbour" in text.lower() for text in texts(title("", "Harbour Lane")))
    assert texts(title(""))[0] == "Untitled study"


@settings(CALM, max_examples=60)
@given(name=names, tune=names, player=names, tempo=st.integers(10, 500))
def test_any_title_block_stays_in_its_column_and_under_its_height(name, tune, player, tempo):
    block = title(name, tune, (player, player, "", player), tempo=tempo)
    for mark in block.drawing.marks:
        box = mark_box(mark, FONT)
        assert box.left >= -0.5
        assert box.right <= WIDTH + 0.5
        assert mark.y <= block.height


def test_the_key_names_every_look_and_fits():
    block = degree_key(PAGE, 510.0, True, True)
    said = texts(block)
    for words in ("chord tone", "tension", "altered tone", "passing, approach or neighbour note"):
        assert words in said
    assert max(mark_box(mark, FONT).right for mark in block.drawing.marks) <= WIDTH
    assert max(mark_box(mark, FONT).bottom for mark in block.drawing.marks) <= block.height + 1


def test_no_degree_row_no_key():
    plain = parse_template(LESSON.replace('"degrees", "readings", ', ""), "plain.toml")
    for block in (degree_key(plain, 510.0, True, True), degree_key(PAGE, 510.0, False, True)):
        assert (block.drawing.marks, block.height) == ((), 0)
    assert not any("italics" in text for text in texts(degree_key(PAGE, 510.0, True, False)))


def test_the_foot_counts_pages_at_the_right():
    marks = foot("", "© somebody", PAGE, WIDTH, 2, 3).drawing.marks
    (number,) = [mark for mark in marks if mark.text == "page 2 of 3"]
    assert number.x + face(number.face).width(number.text, number.size) == pytest.approx(WIDTH)
    assert number.size == 7
    assert texts(foot("", "© somebody", PAGE, WIDTH, 2, 3))[1] == "© somebody"


def test_without_a_rights_line_the_foot_says_so():
    assert " ".join(texts(foot("", "", PAGE, WIDTH, 1, 1))[1:]) in NO_RIGHTS


@given(rights=names, name=names)
def test_the_foot_never_runs_into_the_page_number(rights, name):
    number, *left = foot(name, " ".join([rights] * 8), PAGE, WIDTH, 1, 12).drawing.marks
    assert len(left) <= 2
    for mark in left:
        assert mark.x + face(mark.face).width(mark.text, mark.size) < number.x
