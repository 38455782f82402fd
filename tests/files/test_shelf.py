"""What a folder of studies holds, and which of them speak of something."""

from __future__ import annotations

from fractions import Fraction

import pytest

from core.errors import BarglossError
from core.files import find, save_study, shelf
from core.study import Bar, Callout, Chorus, Study


@pytest.fixture
def folder(tmp_path):
    callout = Callout(Fraction(0), Fraction(0), heading="Enclosure", text="round the *third*")
    save_study(Study(title="Slow Harbour", tune="Harbour", player="A. Player", bars=(Bar(callouts=(callout,)), Bar()),
                     choruses=(Chorus("1", 0), Chorus("2", 1))), tmp_path / "b.study")
    save_study(Study(title="Café waltz", bars=(Bar(comment="Count the Straße aloud"),)), tmp_path / "a.study")
    (tmp_path / "broken.study").write_text("<study")
    (tmp_path / "notes.txt").write_text("third")
    (tmp_path / "b.study~").write_text("an old copy")
    return tmp_path


def test_the_shelf_lists_studies_by_file_name(folder):
    first, second, broken = shelf(folder)
    assert (first.path.name, first.title, first.bars, first.choruses) == ("a.study", "Café waltz", 1, 0)
    assert (second.title, second.tune, second.player, second.bars, second.choruses, second.problem) == (
        "Slow Harbour", "Harbour", "A. Player", 2, 2, "")
    assert broken.path.name == "broken.study"
    assert broken.problem.startswith("the XML is broken at line 1")


@pytest.mark.parametrize(("words", "found"), [
    ("harbour", ["b.study"]),
    ("player", ["b.study"]),
    ("ENCLOSURE third", ["b.study"]),
    ("strasse", ["a.study"]),
    ("cafe\u0301", ["a.study"]),  # the accent as a character of its own
    ("harbour waltz", []),
    ("", ["a.study", "b.study", "broken.study"]),
])
def test_words_are_looked_up(folder, words, found):
    assert [entry.path.name for entry in find(shelf(folder), words)] == found


def test_no_folder_is_told(tmp_path):
    for path in (tmp_path / "none", tmp_path / "file"):
        (tmp_path / "file").write_text("")
        with pytest.raises(BarglossError, match="; "):
            shelf(path)
