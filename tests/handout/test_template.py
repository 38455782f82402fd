"""Templates: what ships, and what a faulty file is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.errors import BarglossError
from core.handout import PAPERS, load_template, parse_template, template_names
from core.handout.template import MM

LESSON = Path("templates/lesson.toml").read_text("utf-8")


def without(line: str) -> str:
    """The lesson template with the lines that begin so left out."""
    kept = [one for one in LESSON.splitlines() if not one.startswith(line)]
    assert len(kept) < len(LESSON.splitlines())
    return "\n".join(kept)


def told(text: str) -> str:
    with pytest.raises(BarglossError) as caught:
        parse_template(text, "mine.toml")
    return str(caught.value)


def test_every_shipped_template_reads():
    assert "lesson" in template_names()
    for name in template_names():
        assert load_template(name).name == name


def test_the_lesson_template_is_the_designed_page():
    """Lesson page, start values: margins, staff, type."""
    lesson = load_template("lesson")
    margins = lesson.left, lesson.right, lesson.top, lesson.bottom
    assert [round(value / MM, 3) for value in margins] == [15, 15, 14, 16]
    assert lesson.space == pytest.approx(1.75 * MM)
    style = lesson.style
    assert [round(size * lesson.space, 3) for size in (style.degree_size, style.chord_size, style.word_size,
                                                       style.word_leading)] == [8.5, 13, 8.5, 11]
    assert lesson.foot == 7


def test_neck_pictures_are_as_the_template_has_them():
    for shows in ("fingers", "degrees", "none"):
        made = parse_template(LESSON.replace('necks = "fingers"', f'necks = "{shows}"'), "mine.toml").style
        assert made.necks == shows
    for size in (7, 9):
        mine = parse_template(LESSON.replace("necks = 7 ", f"necks = {size} "), "mine.toml")
        assert mine.style.neck_size * mine.space == pytest.approx(size)


def test_a_template_of_before_has_them_by_finger():
    older = parse_template(without("necks"), "mine.toml").style
    assert older.necks == "fingers"
    assert 0.7 * older.degree_size < older.neck_size < older.degree_size


def test_papers_in_points():
    """ISO 216; ANSI size A."""
    assert PAPERS["a4"] == pytest.approx((595.276, 841.890), abs=0.001)
    assert PAPERS["letter"] == (612, 792)


@pytest.mark.parametrize(("text", "words"), [
    ("name = ", "mine.toml: not a template"),
    (without("height"), "lacks 'height'"),
    (without("[colours]"), "lacks 'colours'"),
    (LESSON.replace('"degrees", "readings"', '"degres", "readings"'), "there is no row 'degres'"),
    (LESSON.replace('necks = "fingers"', 'necks = "thumbs"'), "necks is 'thumbs'; write one of fingers, degrees, none"),
    (LESSON.replace("#0072B2", "blue"), "the colour of altered is 'blue'"),
    (LESSON.replace("height = 7 ", 'height = "tall" '), "of the wrong kind"),
    ("page = 3\nstaff = 1\nfaces = 1\ntype = 1\nnames = 1\ncolours = 1\nrows = []\nname = 'x'", "of the wrong kind"),
])
def test_a_faulty_template_is_told_what_is_wrong(text, words):
    said = told(text)
    assert words in said
    assert said.startswith("mine.toml: ")
    assert "\n" not in said


def test_an_unknown_template_names_those_there_are():
    with pytest.raises(BarglossError, match="lesson"):
        load_template("poster")
