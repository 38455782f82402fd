"""Every command against what a hostile or clumsy person hands it: one clear line, the right exit code, nothing written.

What scripts rely on in the plain cases is in test_commands; here are the files, names and targets nobody means to give.
"""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from app import main
from app.commands.options import EXPORTS
from core.files import load_study, save_study
from core.study import Study
from tests.app.test_commands import ROOT, call, process

GOOD = (ROOT / "assets" / "cellar-stairs.study").read_bytes()


def snapshot(folder: Path) -> dict[str, bytes | None]:
    return {str(path): path.read_bytes() if path.is_file() else None for path in sorted(folder.rglob("*"))}


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """Where the commands run: a good study, and a target of each kind that is already there."""
    home = tmp_path / "here"
    home.mkdir()
    monkeypatch.chdir(home)
    monkeypatch.setattr(main.platformdirs, "user_log_path", lambda *_, **__: tmp_path / "log")
    Path("good.study").write_bytes(GOOD)
    for ending in (*EXPORTS, ".pdf"):
        Path(f"o{ending}").write_bytes(b"good")
    return home


def refused(capsys, folder: Path, code: int, *words) -> str:
    """The one line that the call is refused with; and that it left the folder as it was."""
    before = snapshot(folder)
    got, out, err = call(capsys, *words)
    assert (got, out, len(err)) == (code, [], 1), err
    assert "a fault inside" not in err[0]
    assert snapshot(folder) == before
    return err[0]


BAD_FILES = {
    "cut short": lambda path: path.write_bytes(GOOD[:len(GOOD) // 2]),
    "a NUL inside": lambda path: path.write_bytes(GOOD.replace(b"<note", b"<no\0te", 1)),
    "a control character inside": lambda path: path.write_bytes(GOOD.replace(b"<title>", b"<title>&#1;", 1)),
    "UTF-16": lambda path: path.write_bytes(GOOD.decode().encode("utf-16")),
    "of a newer version": lambda path: path.write_bytes(GOOD.replace(b'version="1"', b'version="2"', 1)),
    "of a newer namespace": lambda path: path.write_bytes(GOOD.replace(b"study:1", b"study:2", 1)),
    "MusicXML": lambda path: path.write_bytes(b"<score-partwise version='4.0'/>"),
    "a folder": lambda path: path.mkdir(),
    "a link to nothing": lambda path: path.symlink_to("nothing.study"),
    "a link to itself": lambda path: path.symlink_to(path.name),
    "a pipe": os.mkfifo,
}
COMMANDS = {
    "handout": ["handout", "--to", "o.pdf"], "analyse": ["analyse"], "check": ["check"],
    **{f"export {ending}": ["export", "--to", f"o{ending}"] for ending in EXPORTS},
}


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes")
@pytest.mark.parametrize("bad", BAD_FILES)
@pytest.mark.parametrize("words", COMMANDS.values(), ids=COMMANDS)
def test_no_command_takes_a_bad_study(bad, words, folder, capsys):
    BAD_FILES[bad](Path("bad.study"))
    assert refused(capsys, folder, 1, *words, "bad.study").startswith("bad.study: ")


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes")
@pytest.mark.parametrize("bad", BAD_FILES)
def test_one_bad_study_among_good_ones_stops_the_handout(bad, folder, capsys):
    BAD_FILES[bad](Path("bad.study"))
    line = refused(capsys, folder, 1, "handout", "good.study", "bad.study", "good.study", "--to", "o.pdf")
    assert line.startswith("bad.study: ")


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes")
@pytest.mark.parametrize("ending", [".musicxml", ".mxl", ".mid", ".abc"])
@pytest.mark.parametrize("bad", ["a folder", "a link to nothing", "a link to itself", "a pipe", "a NUL inside"])
def test_bring_takes_no_bad_file(bad, ending, folder, capsys):
    BAD_FILES[bad](Path("bad" + ending))
    assert refused(capsys, folder, 1, "bring", f"bad{ending}", "--to", "good.study").startswith(f"bad{ending}: ")


@pytest.mark.parametrize("name", ["line\nend.study", "a:b.study", "♭♯.study", " .study", "x" * 300 + ".study",
                                  "-.study"])
def test_a_missing_study_of_an_odd_name_is_told_in_one_line(name, folder, capsys):
    for words in (["analyse", "--"], ["check", "--"], ["handout", "--to", "o.pdf", "--"], ["open", "--"]):
        assert refused(capsys, folder, 1, *words, name).startswith(" ".join(name.split())[:40])


WRITERS = {
    "handout": ["handout", "good.study", "--to", ".pdf"],
    "bring": ["bring", "in.abc", "--to", ".study"],
    **{f"export {ending}": ["export", "good.study", "--to", ending] for ending in EXPORTS},
}


@pytest.mark.parametrize("words", WRITERS.values(), ids=WRITERS)
def test_no_command_writes_where_no_file_can_be(words, folder, capsys):
    """No such folder, a file for a folder, a folder for a file; a name longer than any (POSIX NAME_MAX, 255)."""
    Path("in.abc").write_text("X:1\nT:t\nM:4/4\nL:1/4\nK:C\nCDEF|\n", encoding="ascii")
    *call_words, ending = words
    Path(f"dir{ending}").mkdir()
    for target in (f"none/o{ending}", f"o.pdf/o{ending}", f"dir{ending}", ending, f"o{ending}x", ""):
        refused(capsys, folder, 2, *call_words, target)
    refused(capsys, folder, 1, *call_words, "x" * 300 + ending)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="/proc takes no files, whoever asks")
@pytest.mark.parametrize("words", WRITERS.values(), ids=WRITERS)
def test_a_folder_that_takes_no_files_is_told_and_nothing_besides(words, folder, capsys):
    """What else there is to say, of rights and of what was left out, is said once the file is there."""
    Path("in.abc").write_text("X:1\nT:t\nM:4/4\nL:1/4\nK:C\nCDEF|\n", encoding="ascii")
    save_study(replace(load_study(Path("good.study")), rights=""), Path("good.study"))
    *call_words, ending = words
    assert refused(capsys, folder, 1, *call_words, f"/proc/o{ending}").startswith("/proc/o")


@pytest.mark.parametrize("text", ["99", "1-99", "3-2", "-", "1-", "-1", "1-2-3", "1e3", "0x1", "1 - 2", "²", "１-２",
                                  "9" * 30, ""])
@pytest.mark.parametrize("words", [["handout", "--to", "o.pdf"], ["export", "--to", "o.mid"]],
                         ids=["handout", "export"])
def test_bars_that_are_none(words, text, folder, capsys):
    refused(capsys, folder, 2, *words, "good.study", f"--bars={text}")


@pytest.mark.parametrize("option", ["--chorus=0", "--chorus=3", "--chorus=-1", "--chorus=１", "--chorus=" + "9" * 30,
                                    "--template=", "--template=../lesson", "--template=lesson.toml", "--template=a\nb",
                                    "--template=" + "x" * 5000, "--paper=", "--paper=a3", "--paper=ａ4", "--to="])
def test_options_of_a_handout_that_are_none(option, folder, capsys):
    refused(capsys, folder, 2, "handout", "good.study", "--to", "o.pdf", option)


@pytest.mark.parametrize("command", ["handout", "export", "analyse", "check", "shelf", "bring", "demo"])
def test_a_bare_command_and_an_unknown_option(command, folder, capsys):
    for words in ([], ["--bogus"], ["--to"]):
        refused(capsys, folder, 2, command, *words)


def test_demo_writes_all_or_nothing(folder, capsys):
    Path("d").mkdir()
    (Path("d") / "ferry-timetable.study").mkdir()  # not the first of them
    assert refused(capsys, folder, 1, "demo", "d").startswith("d/ferry-timetable.study: ")
    refused(capsys, folder, 1, "demo", "good.study/d")
    refused(capsys, folder, 1, "demo", "x" * 300)


def test_shelf_of_what_is_no_folder(folder, capsys):
    for name in ("good.study", "none", "x" * 300):
        assert refused(capsys, folder, 1, "shelf", name).startswith(name)


def test_shelf_is_a_line_a_study_whatever_its_title(folder, capsys):
    save_study(Study(title="two\nlines", tune="a\tb"), Path("good.study"))
    assert call(capsys, "shelf", ".") == (0, ["good.study: two lines, on a b: 1 bar"], [])


def long_study() -> Study:
    """Three pages or more."""
    study = load_study(ROOT / "assets" / "cellar-stairs.study")
    return replace(study, choruses=(), bars=study.bars + study.bars[1:] * 4)


@pytest.mark.parametrize("ending", [".svg", ".png"])
def test_pictures_of_many_pages_are_all_written_or_none(ending, folder, capsys):
    save_study(long_study(), Path("good.study"))
    Path(f"p-3{ending}").mkdir()
    assert refused(capsys, folder, 1, "export", "good.study", "--to", f"p{ending}").startswith(f"p-3{ending}: ")
    Path(f"p-3{ending}").rmdir()
    code, out, _ = call(capsys, "export", "good.study", "--to", f"p{ending}")
    assert code == 0
    assert out[:3] == [f"p-{page}{ending}" for page in (1, 2, 3)]
    assert not Path(f"p{ending}").exists()


def test_no_page_of_many_is_written_over_the_study(folder, capsys):
    save_study(long_study(), Path("p-2.svg"))
    refused(capsys, folder, 2, "export", "p-2.svg", "--to", "p.svg")


@pytest.mark.parametrize("ending", EXPORTS)
def test_a_study_without_a_note_can_be_exported(ending, folder, capsys):
    save_study(Study(title="<&>{ *", rights="r"), Path("none.study"))
    assert call(capsys, "export", "none.study", "--to", f"o{ending}") == (0, [f"o{ending}"], [])
    assert call(capsys, "handout", "none.study", "--to", "o.pdf") == (0, ["o.pdf"], [])
    assert Path(f"o{ending}").read_bytes() != b"good"


@pytest.mark.parametrize("name", ["n\1l.abc", "n\nl.abc", b"n\xffl.abc"], ids=["control", "line end", "not UTF-8"])
@pytest.mark.parametrize("title", ["", "T:n\1 \2l\n"], ids=["untitled", "titled"])
def test_a_title_no_study_can_keep_is_brought_in_without_its_odd_letters(name, title, folder):
    """XML 1.0, production 2: no control characters; a name that is no UTF-8 gives surrogates (PEP 383)."""
    source = Path(os.fsdecode(name))
    try:
        source.write_bytes(f"X:1\n{title}M:4/4\nL:1/4\nK:C\nCDEF|\n".encode())
    except OSError:
        pytest.skip("this disk takes no such name")
    ran = process("bring", source, "--to", "in.study")
    assert (ran.returncode, ran.stdout) == (0, "in.study\n"), ran.stderr
    assert load_study(Path("in.study")).title == "n l"


@pytest.mark.skipif(sys.platform == "win32", reason="a POSIX shell")
@pytest.mark.parametrize(("closed", "words", "code"), [
    (">&-", "check good.study", 0), (">&-", "analyse good.study", 0), (">&-", "check none.study", 1),
    ("2>&-", "check none.study", 1), ("2>&-", "handout good.study --to new.pdf", 0)])
def test_closed_streams_are_no_fault(closed, words, code, folder):
    """The shell's word for them: POSIX, 2.7.6."""
    ran = subprocess.run(f"{sys.executable} -m app.main {words} {closed}", shell=True, capture_output=True, text=True,
                         check=False, env=os.environ | {"PYTHONPATH": str(ROOT)})
    assert ran.returncode == code
    assert "Traceback" not in ran.stderr
    assert (ran.stdout == "") or code == 0


def test_a_bad_call_in_a_process_says_one_line(folder):
    """Each command as a person runs it, with a study that is missing or a call that is wrong."""
    for words, code in ((["analyse", "none.study"], 1), (["bring", "none.mid", "--to", "n.study"], 1),
                        (["export", "none.study", "--to", "n.mid"], 1), (["shelf", "none"], 1), (["none"], 2),
                        (["none.study"], 1), (["handout"], 2)):
        ran = process(*words)
        assert (ran.returncode, ran.stdout, ran.stderr.count("\n")) == (code, "", 1), ran.stderr
