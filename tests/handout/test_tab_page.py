"""The tab template on the demo studies: nothing lost, nothing in the way."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from core.engraving.drawing import Glyph, Line, Text
from core.errors import BarglossError
from core.files import load_study
from core.handout import Layout, lay_out, load_template, parse_template
from core.handout.inspect import flaws
from tests.bench.big_study import big_study

DEMOS = sorted(Path("assets").glob("*.study"))
TAB, LESSON = (Path(f"templates/{name}.toml").read_text("utf-8") for name in ("tab", "lesson"))


@lru_cache(maxsize=8)
def laid_out(path: Path, paper: str = "a4") -> Layout:
    return lay_out(load_study(path), load_template("tab"), paper)


def tagged(layout: Layout, mark_kind: type, tag: str) -> list[tuple[int | None, int, int]]:
    """Bar, event and note of the marks of a kind, in no order."""
    return [(placed.bar, mark.tag.event, mark.tag.note) for page in layout.pages.pages for placed in page.placed
            for mark in placed.drawing.marks if isinstance(mark, mark_kind) and mark.tag and mark.tag.kind == tag]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demos_are_without_flaw(path, paper):
    assert flaws(laid_out(path, paper).pages) == ()


def test_a_long_study_is_without_flaw():
    assert flaws(lay_out(big_study(2), load_template("tab")).pages) == ()


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_note_has_its_number_and_every_rest_its_sign(path):
    layout = laid_out(path)
    notes = [(bar, event, note) for bar, one in enumerate(layout.study.bars) for event, has in enumerate(one.events)
             for note in range(len(has.notes))]
    assert sorted(tagged(layout, Text, "tab")) == notes
    rests = {(bar, event, 0) for bar, one in enumerate(layout.study.bars) for event, has in enumerate(one.events)
             if has.is_rest}
    assert set(tagged(layout, Glyph, "rest")) == rests


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_note_shorter_than_a_whole_has_a_stem(path):
    layout = laid_out(path)
    stems = {(placed.bar, mark.tag.event) for page in layout.pages.pages for placed in page.placed
             for mark in placed.drawing.marks
             if isinstance(mark, Line) and mark.tag and mark.tag.kind == "note" and mark.x1 == mark.x2}
    expected = {(bar, event) for bar, one in enumerate(layout.study.bars) for event, has in enumerate(one.events)
                if has.notes and not has.grace and has.written.value < 4}
    assert stems == expected


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_fingers_and_positions_beside_notation_are_without_flaw(path):
    lesson = load_template("lesson")
    rows = ("chords", "notation", "positions", "fingers", "tab", "degrees", "readings", "callouts")
    style = replace(lesson.style, rows=rows, fingers="all", tab_letters=True, shift_marks=True)
    assert flaws(lay_out(load_study(path), replace(lesson, style=style)).pages) == ()


def test_older_templates_say_nothing_of_the_tab():
    style = load_template("lesson").style
    assert "[tab]" not in LESSON
    assert (style.fingers, style.tab_letters, style.shift_marks, style.tab_bears_rhythm) == (
        "teacher", False, False, False)


def test_the_tab_templates_own_options():
    style = load_template("tab").style
    assert "notation" not in style.rows
    assert (style.tab_letters, style.tab_bears_rhythm, style.shift_marks) == (True, True, False)
    plain = parse_template(TAB.replace("rhythm = true", "rhythm = false"), "mine.toml").style
    assert not plain.tab_bears_rhythm
    every = parse_template(TAB.replace('fingers = "teacher"', 'fingers = "all"'), "mine.toml").style
    assert every.fingers == "all"


@pytest.mark.parametrize(("old", "new"), [("rhythm = true", "rythm = true"), ("letters = true", 'letters = "yes"')])
def test_an_option_of_the_tab_that_means_nothing_is_told(old, new):
    with pytest.raises(BarglossError, match=r"mine.toml: .*means nothing under \[tab\]"):
        parse_template(TAB.replace(old, new), "mine.toml")
