"""The teacher's words: tokens, and lines that wrap."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.drawing import Glyph, Text
from core.engraving.faces import face
from core.engraving.style import Style
from core.engraving.words import count_lines, remark_words, set_lines, words_of, wrap
from tests.strategies import CALM, texts

STYLE = Style()
phrases = st.lists(st.sampled_from(["a", "the", "{Bb7}", "*hear*", "{F# half step}", "long-winded", "{b9},", "fall."]),
                   max_size=30).map(" ".join)
widths = st.floats(1, 60)


def plain(text: str) -> list[list[tuple[str, str]]]:
    """Each word as its pieces' text and face."""
    return [[(piece.text, piece.face) for piece in word.pieces] for word in words_of("", text, STYLE)]


@pytest.mark.parametrize(("text", "expected"), [
    ("two words", [[("two", "serif")], [("words", "serif")]]),
    ("an *old song* here", [[("an", "serif")], [("old", "serif-italic")], [("song", "serif-italic")],
                            [("here", "serif")]]),
    ("line\nbreak", [[("line", "serif")], [("break", "serif")]]),
    ("{b9}.", [[("b", ""), ("9", "serif"), (".", "serif")]]),
    ("{#11}", [[("#", ""), ("11", "serif")]]),
    ("to {F# half step}", [[("to", "serif")], [("F", "serif"), ("#", "")], [("half", "serif")], [("step", "serif")]]),
    ("2 * 3", [[("2", "serif")], [("*", "serif")], [("3", "serif")]]),
    ("{", [[("{", "serif")]]),
    ("", []),
])
def test_tokens_by_hand(text, expected):
    assert plain(text) == expected


def test_a_chord_token_is_set_as_the_house_spells_it():
    (word,) = words_of("", "{Bbmaj7}", STYLE)
    assert [piece.text for piece in word.pieces] == ["B", "b", "△", "7"]
    assert [bool(piece.face) for piece in word.pieces] == [True, False, True, True]


def test_the_heading_is_semibold_and_on_the_same_line():
    words = words_of("Bar 7", "Breathe.", STYLE)
    assert [word.pieces[0].face for word in words] == ["serif-semibold", "serif-semibold", "serif"]
    assert len(wrap(words, 60.0, STYLE)) == 1


@settings(CALM, max_examples=60)
@given(text=phrases, remarks=st.lists(phrases, max_size=3), width=widths)
def test_each_remark_has_lines_of_its_own_after_its_letter(text, remarks, width):
    """As many as the text and each remark take by themselves; the letter is raised, as at its degree."""
    each = [words_of("Bar 7", text, STYLE), *(remark_words("abc"[at], one, STYLE) for at, one in enumerate(remarks))]
    words = [word for row in each for word in row]
    assert wrap(words, width, STYLE) == tuple(line for row in each for line in wrap(row, width, STYLE))
    assert count_lines(words, width, STYLE) == len(wrap(words, width, STYLE))
    opening = [line.words[0].pieces[0] for line in wrap(words, width, STYLE) if line.words[0].opens]
    assert [(piece.text, piece.lift > 0, piece.size < STYLE.word_size) for piece in opening] == [
        ("abc"[at], True, True) for at in range(len(remarks))]


@settings(CALM, max_examples=60)
@given(text=phrases, width=widths)
def test_lines_are_counted_as_they_are_wrapped(text, width):
    words = words_of("Aim", text, STYLE)
    assert count_lines(words, width, STYLE) == len(wrap(words, width, STYLE))


@settings(CALM, max_examples=60)
@given(text=phrases, width=widths)
def test_wrapping_keeps_every_word_and_breaks_only_where_it_must(text, width):
    words = words_of("", text, STYLE)
    lines = wrap(words, width, STYLE)
    space = face("serif").width(" ", STYLE.word_size)
    assert tuple(word for line in lines for word in line.words) == words
    for line in lines:
        assert line.width == pytest.approx(sum(word.width for word in line.words) + space * (len(line.words) - 1))
        assert line.width <= width or len(line.words) == 1
    for line, after in pairwise(lines):
        came_down = after is lines[-1] and len(after.words) == 2  # with the last word, so that it is not alone
        assert line.width + space + (after.width if came_down else after.words[0].width) > width - 1e-9


@settings(CALM, max_examples=60)
@given(heading=texts, text=texts, width=widths)
def test_any_words_wrap_and_are_set(heading, text, width):
    lines = wrap(words_of(heading, text, STYLE), width, STYLE)
    marks = set_lines(lines, 0.0, 0.0, STYLE, None)
    assert {round(mark.y / STYLE.word_leading) for mark in marks if isinstance(mark, Text)} <= set(range(len(lines)))


@settings(CALM, max_examples=40)
@given(text=phrases)
def test_set_lines_take_the_width_that_was_wrapped(text):
    (line,) = wrap(words_of("", text + " end", STYLE), 1e6, STYLE)
    marks = set_lines((line,), 3.0, 0.0, STYLE, None)
    last = max((mark for mark in marks if isinstance(mark, Text)), key=lambda mark: mark.x)
    assert last.x + face(last.face).width(last.text, last.size) == pytest.approx(3.0 + line.width)


def test_words_of_one_face_become_one_run():
    marks = set_lines(wrap(words_of("", "four words of text", STYLE), 99, STYLE), 0, 0, STYLE, None)
    assert [mark.text for mark in marks] == ["four words of text"]


def test_a_flat_in_running_text_is_a_music_glyph():
    marks = set_lines(wrap(words_of("", "{b9}", STYLE), 99, STYLE), 0, 0, STYLE, None)
    assert [type(mark) for mark in marks] == [Glyph, Text]


@settings(CALM, max_examples=60)
@given(text=st.lists(st.sampled_from(["a", "of", "bar", "fourth", "diatonic"]), min_size=4, max_size=30).map(" ".join),
       width=st.floats(10, 60))
def test_no_word_is_left_alone_on_the_last_line_where_another_may_come_down(text, width):
    """Typographers' common practice, no source."""
    words = words_of("", text, STYLE)
    lines = wrap(words, width, STYLE)
    if len(lines) > 1 and len(lines[-1].words) == 1:
        *_, before = lines[-2].words
        space = face(STYLE.words).width(" ", STYLE.word_size)
        assert len(lines[-2].words) < 3 or before.width + space + lines[-1].width > width
