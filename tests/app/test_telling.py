"""What a command says besides what was asked of it: what is wrong in what it printed, what it will not replace."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from app import main
from core.files import load_study, save_study
from core.handout import lay_out, load_template
from core.study import Bar, Callout, Change, Event, Note, Study, parse_pitch


def call(capsys, *words) -> tuple[int, list[str], list[str]]:
    code = main.run([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, out.splitlines(), err.splitlines()


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


NOTE = Event(Fraction(0), Fraction(4), (Note(parse_pitch("D4")),))
FAULTY = Study(title="Faulty", rights="r", bars=(
    Bar((NOTE,), changes=(Change(Fraction(0), "C7"),)),
    Bar((replace(NOTE, remark="{foo} bar"),), changes=(Change(Fraction(0), "Hm7"),), comment="{Hm7} and {b9}",
        callouts=(Callout(Fraction(0), Fraction(0), 0, "Third", "the {3 of Eb7"),)),
    Bar((NOTE,), comment="of {F# half step}, a }")))
TOLD = {2: ["Hm7", "the comment has {Hm7}", "the callout 'Third' has a brace that is not closed, at '{3 of Eb7'",
            "the remark a has {foo}"], 3: ["the comment has a } with no {"]}


def numbered(bars) -> list[tuple[int, str]]:
    return [(bar, what) for bar in bars for what in TOLD[bar]]


@pytest.mark.parametrize(("words", "bars"), [
    (["handout", "--to", "o.pdf"], [2, 3]), (["handout", "--to", "o.pdf", "--bars", "2"], [2]),
    (["handout", "--to", "o.pdf", "--bars", "1"], []), (["export", "--to", "o.mid"], [2, 3]),
    (["export", "--to", "o.txt", "--bars", "3"], [3])])
def test_what_is_wrong_in_what_is_written_is_told_and_it_is_written(words, bars, folder, capsys):
    save_study(FAULTY, Path("f.study"))
    code, out, err = call(capsys, words[0], "f.study", *words[1:])
    assert (code, out) == (0, [words[2]])
    if words[-2:] == ["--bars", "3"]:
        bars, err = [3], err[1:]  # the chord it begins under is written there, and as unreadable
    assert len(err) == len(numbered(bars)), err
    for said, (bar, _) in zip(sorted(err), sorted(numbered(bars), key=str), strict=True):
        assert said.startswith(f"f.study: bar {bar}: ")
    for _, what in numbered(bars):
        assert any(what in said for said in err), what


def test_check_and_the_window_tell_the_same_words(folder, capsys):
    pytest.importorskip("PySide6")
    from app.notices import notices_of  # noqa: PLC0415
    save_study(FAULTY, Path("f.study"))
    code, _, err = call(capsys, "check", "f.study")
    assert code == 1
    notices = notices_of(lay_out(FAULTY, load_template("lesson")))
    assert [f"f.study: bar {notice.bar + 1}: {notice.what}" for notice in notices] == err


ABC = "X:1\nT:t\nM:4/4\nL:1/4\nK:C\nCDEF|\n"


def test_bring_leaves_a_study_that_is_there_until_it_is_told_otherwise(folder, capsys):
    Path("in.abc").write_text(ABC, encoding="ascii")
    save_study(FAULTY, Path("f.study"))
    kept = Path("f.study").read_bytes()
    code, out, err = call(capsys, "bring", "in.abc", "--to", "f.study")
    assert (code, out, len(err)) == (2, [], 1)
    assert "f.study is there already" in err[0]
    assert "--replace" in err[0]
    assert Path("f.study").read_bytes() == kept
    assert not Path("f.study~").exists()
    code, out, err = call(capsys, "bring", "in.abc", "--to", "f.study", "--replace")
    assert (code, out) == (0, ["f.study"])
    assert [said for said in err if said.startswith("f.study: the study that was there is now f.study~")]
    assert Path("f.study~").read_bytes() == kept
    assert load_study(Path("f.study")).title == "t"


def test_a_part_that_is_not_there_is_asked_for_in_a_sentence(folder, capsys):
    Path("in.abc").write_text(ABC, encoding="ascii")
    code, _, err = call(capsys, "bring", "in.abc", "--to", "f.study", "--part", "2")
    assert code == 2
    assert "in.abc: there is no tune 2; the file has 1 tune: 1 t" in err[0]


def test_a_word_that_is_no_command_and_no_file(folder, capsys):
    code, out, err = call(capsys, "frobnicate")
    assert (code, out, len(err)) == (2, [], 1)
    assert "frobnicate is no command, and there is no file of that name" in err[0]
    assert "handout" in err[0]
    Path("frobnicate").write_text("x", encoding="ascii")
    code, _, err = call(capsys, "check", "frobnicate")
    assert code == 1


def test_the_version_is_that_of_the_package(capsys):
    import tomllib  # noqa: PLC0415
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert call(capsys, "--version") == (0, [f"bargloss {project['version']}"], [])


def test_a_pdf_of_several_studies_bears_the_titles_of_all(folder, capsys):
    pypdf = pytest.importorskip("pypdf")
    bars = FAULTY.bars[:1]
    for name, title in (("a", "One"), ("b", "Two"), ("c", "One")):
        save_study(Study(title=title, rights="r", bars=bars), Path(f"{name}.study"))
    call(capsys, "handout", "a.study", "b.study", "c.study", "--to", "o.pdf")
    assert pypdf.PdfReader("o.pdf").metadata.title == "One; Two"


def test_a_broken_study_names_the_copy_beside_it_only_where_there_is_one(folder, capsys):
    Path("f.study").write_text("<study", encoding="ascii")
    (said,) = call(capsys, "check", "f.study")[2]
    assert "the XML is broken at line 1" in said
    assert "~" not in said
    save_study(FAULTY, Path("f.study~"))
    (said,) = call(capsys, "check", "f.study")[2]
    assert said.endswith("go back to the copy kept beside it, f.study~")


def test_findings_are_told_to_people_in_the_sentences_they_are_drafted_from(capsys):
    demo = Path(__file__).parents[2] / "assets" / "cellar-stairs.study"
    told = json.loads("\n".join(call(capsys, "analyse", demo, "--json")[1]))
    out = call(capsys, "analyse", demo)[1]
    lines = " ".join(" ".join(out[out.index("findings") + 1:out.index("drafts")]).split())
    chosen = [one for one in told["findings"] if one["chosen"]]
    assert len(chosen) > 20
    where = [f"at {one['from']}" if one["from"] == one["to"] else f"from {one['from']} to {one['to']}"
             for one in chosen]
    said = [re.sub(r"[{}*]", "", one["text"]) for one in chosen]
    assert lines == " ".join(f"{at}: {text}" for at, text in zip(where, said, strict=True))
