"""The command line as scripts rely on it: what is written, the exit codes, and one line for whatever is wrong."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from app import calls, main
from app.commands.options import EXPORTS
from app.console import tell
from core.errors import BarglossError, Faults
from core.files import load_study, save_study
from core.study import Bar, Change, Chorus, Event, Key, Note, Reading, Study, parse_pitch

ROOT = Path(__file__).resolve().parents[2]
HALF = Fraction(1, 2)


def line(names: str, **marks) -> Bar:
    """A bar of eighths, `-` a rest."""
    return Bar(tuple(
        Event(HALF * place, HALF, () if name == "-" else (Note(parse_pitch(name)),))
        for place, name in enumerate(names.split())), **marks)


@pytest.fixture(scope="session")
def sample() -> Study:
    """Four bars of G minor in two choruses, with a reading and a string set by the teacher."""
    bars = (
        line("G3 Bb3 D4 F4 A4 Bb4 A4 F#4", changes=(Change(Fraction(0), "G-7"),)),
        line("Eb4 D4 C4 Bb3 A3 C4 Eb4 G4", changes=(Change(Fraction(0), "A-7b5"), Change(Fraction(2), "D7"))),
        line("F#4 A4 C5 Eb5 D5 C5 Bb4 A4", changes=(Change(Fraction(0), "D7(b9)"),),
             readings=(Reading(Fraction(0), "F#°7"),)),
        Bar((Event(Fraction(0), Fraction(4), (Note(parse_pitch("G4"), string=2),)),),
            changes=(Change(Fraction(0), "G-6"),)),
    )
    return Study(title="A line", rights="(c) A. Teacher", key=Key(-2, "minor"),
                 choruses=(Chorus("first", 0), Chorus("second", 2)), bars=bars)


@pytest.fixture
def study(sample, tmp_path, monkeypatch) -> Path:
    """The sample in a folder of its own, which is where the commands run."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(main.platformdirs, "user_log_path", lambda *_, **__: tmp_path.parent / "log")
    save_study(sample, Path("line.study"))
    return Path("line.study")


def call(capsys, *words) -> tuple[int, list[str], list[str]]:
    """Exit code, lines on standard output, lines on standard error."""
    code = main.run([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, out.splitlines(), err.splitlines()


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


# What is wrong with a call, or with what it reads.

WRONG_CALLS = {
    "no such option": ["--nope"],
    "mistyped command": ["hadout", "line.study"],
    "handout without a study": ["handout", "--to", "o.pdf"],
    "handout to nowhere": ["handout", "line.study"],
    "handout mistyped option": ["handout", "line.study", "--too", "o.pdf"],
    "handout not a pdf": ["handout", "line.study", "--to", "o.docx"],
    "handout into no folder": ["handout", "line.study", "--to", "none/o.pdf"],
    "handout onto a folder": ["handout", "line.study", "--to", "folder.pdf"],
    "handout unknown template": ["handout", "line.study", "--to", "o.pdf", "--template", "nope"],
    "handout template elsewhere": ["handout", "line.study", "--to", "o.pdf", "--template", "../lesson"],
    "handout unknown paper": ["handout", "line.study", "--to", "o.pdf", "--paper", "a5"],
    "handout bars backwards": ["handout", "line.study", "--to", "o.pdf", "--bars", "3-2"],
    "handout bars no numbers": ["handout", "line.study", "--to", "o.pdf", "--bars", "two"],
    "handout bars past the end": ["handout", "line.study", "--to", "o.pdf", "--bars", "3-5"],
    "handout chorus that is not there": ["handout", "line.study", "--to", "o.pdf", "--chorus", "3"],
    "handout chorus zero": ["handout", "line.study", "--to", "o.pdf", "--chorus", "0"],
    "handout bars and chorus": ["handout", "line.study", "--to", "o.pdf", "--bars", "1-2", "--chorus", "1"],
    "export unknown ending": ["export", "line.study", "--to", "o.doc"],
    "export no ending": ["export", "line.study", "--to", "o"],
    "export bars past the end": ["export", "line.study", "--to", "o.mid", "--bars", "9"],
    "bring without an input": ["bring", "--to", "o.study"],
    "bring to no study": ["bring", "in.mid", "--to", "o.mid"],
    "bring part no number": ["bring", "in.mid", "--to", "o.study", "--part", "one"],
    "demo without a folder": ["demo"],
    "demo onto a file": ["demo", "line.study"],
    "analyse two": ["analyse", "line.study", "line.study"],
    "analyse nothing": ["analyse"],
    "check nothing": ["check"],
    "shelf nothing": ["shelf"],
    "open two": ["line.study", "line.study"],
}


@pytest.mark.parametrize("words", WRONG_CALLS.values(), ids=WRONG_CALLS)
def test_a_call_at_fault_ends_with_2_in_one_line_and_writes_nothing(words, study, tmp_path, capsys):
    (tmp_path / "folder.pdf").mkdir()
    before = contents(tmp_path)
    code, out, err = call(capsys, *words)
    assert (code, out, len(err)) == (2, [], 1), err
    assert err[0].startswith("bargloss")
    assert err[0].endswith("--help")
    assert contents(tmp_path) == before


READERS = {
    "open": [],
    "handout": ["handout", "--to", "o.pdf"],
    "export to MusicXML": ["export", "--to", "o.musicxml"],
    "export to MIDI": ["export", "--to", "o.mid"],
    "export to text": ["export", "--to", "o.txt"],
    "export to SVG": ["export", "--to", "o.svg"],
    "export to sound": ["export", "--to", "o.wav"],
    "analyse": ["analyse"],
    "analyse as JSON": ["analyse", "--json"],
    "check": ["check"],
    "bring": ["bring", "--to", "o.study"],
}
BAD_STUDIES = {
    "missing": None,
    "empty": b"",
    "text": b"Dear diary,\n",
    "bytes": bytes(range(256)) * 64,
    "other XML": b"<?xml version='1.0'?><html/>",
    "broken XML": b"<?xml version='1.0'?><study",
    "entities": b"<!DOCTYPE s [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;'>]><s>&b;</s>",
}


@pytest.mark.parametrize("bad", BAD_STUDIES)
@pytest.mark.parametrize("words", [words for name, words in READERS.items() if name not in ("open", "bring")],
                         ids=[name for name in READERS if name not in ("open", "bring")])
def test_a_file_at_fault_ends_with_1_in_one_line_that_names_it_and_writes_nothing(words, bad, study, tmp_path, capsys):
    if BAD_STUDIES[bad] is not None:
        Path("bad.study").write_bytes(BAD_STUDIES[bad])
    for name in ("o.pdf", "o.mid"):
        Path(name).write_bytes(b"good")
    before = contents(tmp_path)
    code, out, err = call(capsys, *words, "bad.study")
    assert (code, out, len(err)) == (1, [], 1), err
    assert err[0].startswith("bad.study: ")
    assert contents(tmp_path) == before


@pytest.mark.parametrize("bad", BAD_STUDIES)
@pytest.mark.parametrize("ending", [".musicxml", ".xml", ".mxl", ".mid", ".abc", ".docx"])
def test_bring_of_a_bad_file_ends_with_1_in_one_line_and_leaves_the_study_alone(bad, ending, study, tmp_path, capsys):
    source = Path("bad" + ending)
    if BAD_STUDIES[bad] is not None:
        source.write_bytes(BAD_STUDIES[bad])
    before = contents(tmp_path)
    code, out, err = call(capsys, "bring", source, "--to", study)
    assert (code, out, len(err)) == (1, [], 1), err
    assert err[0].startswith(f"{source}: ")
    assert contents(tmp_path) == before


def test_a_folder_is_no_study(study, tmp_path, capsys):
    (tmp_path / "folder.study").mkdir()
    for words in (["check"], ["analyse"], ["handout", "--to", "o.pdf"], []):
        code, out, err = call(capsys, *words, "folder.study")
        assert (code, out, len(err)) == (1, [], 1)
        assert err[0].startswith("folder.study: ")


def test_a_missing_study_is_told_before_a_window_opens(study, capsys):
    assert call(capsys, "none.study") == (1, [], ["none.study: there is no such file; check its name and folder"])


def test_every_bad_file_of_a_call_is_told(study, capsys):
    code, _, err = call(capsys, "handout", "a.study", study, "b.study", "--to", "o.pdf")
    assert (code, [said.split(":")[0] for said in err]) == (1, ["a.study", "b.study"])
    assert not Path("o.pdf").exists()


@pytest.mark.parametrize("words", [["handout", "line.study", "--to", "line.pdf"],
                                   ["export", "line.study", "--to", "line.mid"]])
def test_what_is_read_is_not_written_over(words, study, tmp_path, capsys):
    target = Path(words[-1])
    target.hardlink_to(study)
    kept = study.read_bytes()
    code, _, err = call(capsys, *words)
    assert (code, len(err)) == (2, 1)
    assert study.read_bytes() == kept


# How faults are told.

def test_faults_name_file_and_bar_each_on_a_line(study, monkeypatch, capsys):
    def fail(_):
        raise Faults((BarglossError("too long; cut it", bar=7), BarglossError("too short; fill it", bar=9)))
    monkeypatch.setattr("app.commands.analyse.analyse", fail)
    assert call(capsys, "analyse", study) == (
        1, [], ["line.study: bar 7: too long; cut it", "line.study: bar 9: too short; fill it"])


def test_a_fault_of_ours_is_one_line_and_its_traceback_is_kept(study, tmp_path, monkeypatch, capsys):
    def fail(_):
        raise KeyError("x\ny")
    monkeypatch.setattr("app.commands.analyse.load_study", fail)
    code, out, err = call(capsys, "analyse", study)
    log = tmp_path.parent / "log" / "faults.log"
    assert (code, out, len(err)) == (1, [], 1)
    assert str(log) in err[0]
    assert "Traceback" not in err[0]
    assert "Traceback (most recent call last)" in log.read_text(encoding="utf-8")


def test_a_stop_by_the_person_is_quiet(study, monkeypatch, capsys):
    def stop(_):
        raise KeyboardInterrupt
    monkeypatch.setattr("app.commands.analyse.load_study", stop)
    assert call(capsys, "analyse", study) == (130, [], [])


def test_a_full_disk_is_told(study, monkeypatch, capsys):
    def full(*_):
        raise OSError(28, "No space left on device", "o.mid")
    monkeypatch.setattr("app.commands.export.write_whole", full)
    assert call(capsys, "export", study, "--to", "o.mid") == (
        1, [], ["o.mid: no space left on device; check the file and its folder"])


def test_a_line_stays_a_line(capsys):
    tell("two\nlines")
    assert capsys.readouterr().err == "two lines\n"


@pytest.mark.parametrize(("words", "meant"), [
    ([], ["open"]),
    (["line.study"], ["open", "line.study"]),
    (["demo", "d"], ["demo", "d"]),
    (["./demo"], ["open", "./demo"]),
    (["--help"], ["--help"]),
    (["no/such.study"], ["open", "no/such.study"]),
])
def test_a_study_and_no_command_means_open(words, meant):
    assert calls.with_command(words, ["open", "demo", "handout"]) == meant


def test_a_file_named_nearly_like_a_command_opens(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("demos").touch()
    assert calls.with_command(["demos"], ["demo"]) == ["open", "demos"]


# What the commands do.

def test_demo_writes_the_studies_and_leaves_changed_ones_alone(study, sample, capsys):
    code, out, err = call(capsys, "demo", "demo")
    assert (code, err) == (0, [])
    assert out
    assert sorted(Path(path).name for path in out) == sorted(path.name for path in (ROOT / "assets").glob("*.study"))
    mine = Path(out[0])
    save_study(sample, mine)
    kept = mine.read_bytes()
    code, again, err = call(capsys, "demo", "demo")
    assert (code, again, len(err)) == (0, out[1:], 1)
    assert mine.read_bytes() == kept


def test_the_demo_studies_are_whole(study, capsys):
    _, paths, _ = call(capsys, "demo", "demo")
    assert call(capsys, "check", *paths) == (0, [], [])


def test_handout_is_a_pdf_of_the_paper_asked_for(study, capsys):
    """Sizes: ISO 216 A4, 210 by 297 mm; Letter, 8.5 by 11 inches (ANSI/ASME Y14.1)."""
    pypdf = pytest.importorskip("pypdf")
    for paper, size in (("a4", (595.28, 841.89)), ("letter", (612, 792))):
        assert call(capsys, "handout", study, "--to", "o.pdf", "--paper", paper) == (0, ["o.pdf"], [])
        box = pypdf.PdfReader("o.pdf").pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)


def test_handout_of_two_studies_has_the_pages_of_both(study, sample, capsys):
    pypdf = pytest.importorskip("pypdf")
    save_study(Study(title="Another line", rights="r", bars=sample.bars, key=sample.key), Path("other.study"))
    call(capsys, "handout", study, "--to", "one.pdf")
    assert call(capsys, "handout", study, "other.study", "--to", "two.pdf")[0] == 0
    one, two = (pypdf.PdfReader(name).pages for name in ("one.pdf", "two.pdf"))
    assert len(two) == 2 * len(one)
    assert "Another line" in two[-1].extract_text()


def test_handout_reminds_of_an_empty_rights_line(study, sample, capsys):
    save_study(Study(bars=sample.bars), Path("free.study"))
    code, out, err = call(capsys, "handout", "free.study", "--to", "o.pdf")
    assert (code, out, len(err)) == (0, ["o.pdf"], 1)
    assert err[0].startswith("free.study: the rights line is empty")


def test_a_handout_of_some_bars_has_those_bars(study, capsys):
    pypdf = pytest.importorskip("pypdf")
    for choice in (["--bars", "3-4"], ["--chorus", "2"]):
        assert call(capsys, "handout", study, "--to", "o.pdf", *choice)[0] == 0
        text = pypdf.PdfReader("o.pdf").pages[0].extract_text()
        assert "second" in text
        assert "first" not in text


@pytest.mark.parametrize("ending", EXPORTS)
def test_export_writes_what_its_ending_says(ending, study, capsys):
    """First bytes: XML, ZIP (PKWARE APPNOTE), MIDI 1.0, PNG (ISO 15948), RIFF, FLAC (RFC 9639), ID3 or MPEG sync."""
    starts = {".musicxml": (b"<?xml",), ".mxl": (b"PK\3\4",), ".mid": (b"MThd",), ".svg": (b"<?xml", b"<svg"),
              ".png": (b"\x89PNG\r\n",), ".wav": (b"RIFF",), ".flac": (b"fLaC",), ".mp3": (b"ID3", b"\xff"),
              ".txt": (b"A line",)}
    assert call(capsys, "export", study, "--to", f"o{ending}") == (0, [f"o{ending}"], [])
    assert Path(f"o{ending}").read_bytes().startswith(starts[ending])


def test_export_of_bars_has_only_those(study, capsys):
    etree = pytest.importorskip("lxml.etree")
    assert call(capsys, "export", study, "--to", "o.musicxml", "--bars", "2-3")[0] == 0
    numbers = etree.parse("o.musicxml").xpath("//measure/@number")
    assert numbers == ["2", "3"]


def test_a_study_exported_comes_back(study, sample, capsys):
    call(capsys, "export", study, "--to", "o.musicxml")
    code, out, _ = call(capsys, "bring", "o.musicxml", "--to", "back.study")
    assert (code, out) == (0, ["back.study"])
    back = load_study(Path("back.study"))
    assert [[[note.pitch for note in event.notes] for event in bar.events] for bar in back.bars] == [
        [[note.pitch for note in event.notes] for event in bar.events] for bar in sample.bars]


def test_bring_offers_an_octave_lower_to_a_tune_that_lies_high(study, sample, capsys):
    """Nothing is moved for it; where a tune is high is ours (core.guitar.compass)."""
    bars = tuple(replace(bar, events=tuple(
        replace(event, notes=tuple(Note(note.pitch._replace(octave=note.pitch.octave + 1)) for note in event.notes))
        for event in bar.events)) for bar in sample.bars)
    save_study(replace(sample, bars=bars), Path("high.study"))
    call(capsys, "export", "high.study", "--to", "high.musicxml")
    code, _, err = call(capsys, "bring", "high.musicxml", "--to", "back.study")
    assert code == 0
    assert [said for said in err if "1 octave down" in said]
    assert load_study(Path("back.study")).bars[0].events[0].notes[0].pitch.name == "G4"


def test_analyse_json_has_the_shape_scripts_rely_on(study, sample, capsys):
    """Source: the keys and forms the project fixes for scripts."""
    code, out, err = call(capsys, "analyse", study, "--json")
    assert (code, err) == (0, [])
    told = json.loads("\n".join(out))
    assert list(told) == ["bars", "findings", "playability", "summary", "drafts"]
    assert [bar["number"] for bar in told["bars"]] == [1, 2, 3, 4]
    assert told["bars"][1]["chords"] == [{"offset": "0", "symbol": "A-7b5"}, {"offset": "2", "symbol": "D7"}]
    assert told["bars"][2]["readings"] == [{"offset": "0", "harmony": "F#°7"}]
    note = told["bars"][0]["notes"][1]
    assert list(note) == ["id", "onset", "duration", "pitch", "midi", "degrees", "role", "string", "fret", "finger",
                          "position", "stroke", "technique"]
    assert [note[key] for key in ("id", "onset", "duration", "pitch", "midi")] == ["1.2", "1/2", "1/2", "Bb3", 58]
    assert list(note["degrees"]) == ["chord", "key", "reading"]
    assert note["degrees"]["chord"] == "b3"
    assert told["bars"][3]["notes"][0]["string"] == 2
    for bar, heard in zip(told["bars"], sample.bars, strict=True):
        assert [note["pitch"] for note in bar["notes"]] == [
            note.pitch.name for event in heard.events for note in event.notes]


def test_analyse_counts_beats_from_one_and_its_json_quarters_from_the_bar_s_start(study, capsys):
    lines = [line.split() for line in call(capsys, "analyse", study)[1]]
    assert lines[0][:2] == ["note", "beat"]
    assert [line[:4] for line in lines[1:4]] == [
        ["1.1", "1", "G3", "1"], ["1.2", "1", "1/2", "Bb3"], ["1.3", "2", "D4", "5"]]
    notes = json.loads("\n".join(call(capsys, "analyse", study, "--json")[1]))["bars"][0]["notes"]
    assert [note["onset"] for note in notes[:3]] == ["0", "1/2", "1"]


def test_analyse_tells_how_hard_it_is_and_how_to_practise_it(study, sample, capsys):
    """The counts scripts knew stay; beside them the hardest spots, and a plan whose minutes add up (ours)."""
    playing = json.loads("\n".join(call(capsys, "analyse", study, "--json")[1]))["playability"]
    assert list(playing)[:7] == ["shifts", "widest_stretch", "string_crossings", "out_of_range", "highest_fret",
                                 "peak_notes_per_second", "peak_bar"]
    assert [bar["number"] for bar in playing["demands"]] == [1, 2, 3, 4]
    assert playing["highest_tempo"] == min(spot["tempo"] for spot in playing["hardest"])
    plan = playing["practice"]
    assert sum(rung["minutes"] for rung in plan["rungs"]) == plan["minutes"]
    assert plan["rungs"][-1]["bars"] == [1, 4]
    assert "Stop at pain" in plan["caution"]
    lines = "\n".join(call(capsys, "analyse", study)[1])
    for part in ("shifts: ", f"hard at {playing['hardest'][0]['at']}: ", "minutes: The whole", "Stop at pain"):
        assert part in lines


def test_analyse_json_tells_the_chord_scales(study, capsys):
    """A half-diminished chord is locrian, with the natural 2 from melodic minor (Levine 1995, from memory)."""
    _, out, _ = call(capsys, "analyse", study, "--json")
    bars = json.loads("\n".join(out))["bars"]
    assert bars[1]["scales"][0]["chord"] == "Aø7"
    assert {"locrian", "locrian natural 2"} <= set(bars[1]["scales"][0]["holding"])
    for scales in (one for bar in bars for one in bar["scales"]):
        assert set(scales["used"]) <= set(scales["holding"])


def test_analyse_json_lists_the_findings(study, sample, capsys):
    """Source of the keys: what the project fixes for scripts. Of the findings: Bb D F over Gm7, read off the notes."""
    told = json.loads("\n".join(call(capsys, "analyse", study, "--json")[1]))
    names = {note["id"] for bar in told["bars"] for note in bar["notes"]}
    for finding in told["findings"]:
        assert list(finding) == ["kind", "from", "to", "bars", "facts", "text", "score", "chosen"]
        assert {finding["from"], finding["to"]} <= names
        assert finding["bars"] == list(range(int(finding["from"].split(".")[0]), int(finding["to"].split(".")[0]) + 1))
        assert finding["text"].endswith(".")
        assert 0 <= finding["score"] <= 1
    arpeggio = next(one for one in told["findings"] if one["kind"] == "arpeggio")
    assert (arpeggio["from"], arpeggio["bars"], arpeggio["facts"]["over"]) == ("1.1", [1], "Gm7")
    assert {True, False} == {one["chosen"] for one in told["findings"]}
    chosen = [one["kind"] for one in told["findings"] if one["chosen"]]
    assert sum(len(draft["kinds"]) for draft in told["drafts"]) <= len(chosen)
    for draft in told["drafts"]:
        assert list(draft) == ["bar", "from", "to", "bars", "kinds", "text"]
        assert draft["bar"] == draft["bars"][0]
    summary = told["summary"]
    assert (summary["lowest"], summary["highest"], summary["notes"]) == ("G3", "Eb5", 25)
    assert summary["departures"] == [{"from_bar": 3, "to_bar": 3, "written": None, "heard": "F#°7", "evidence": None}]
    assert set(summary["practise_first"]) <= {1, 2, 3, 4}
    assert summary["text"]


def test_analyse_for_people_ends_with_the_commentary_in_lines_that_fit(study, capsys):
    out = call(capsys, "analyse", study)[1]
    findings, drafts, summary = (out.index(head) for head in ("findings", "drafts", "summary"))
    assert findings < drafts < summary
    assert all(len(said) <= 80 for said in out[findings:])
    assert not [said for said in out if "{" in said]
    assert any(said.startswith("bar 1: ") and "1 b3 5 b7" in said for said in out[drafts:summary])
    assert "Range: G3 to Eb5, 20 half steps." in out[summary:]


def test_analyse_for_people_has_a_line_a_note(study, capsys):
    code, out, err = call(capsys, "analyse", study)
    assert (code, err) == (0, [])
    assert [said.split()[0] for said in out if said.startswith("2.")] == [f"2.{event}" for event in range(1, 9)]
    assert any(said.startswith("widest stretch: ") for said in out)
    assert not any("\x1b" in said for said in out)


def test_check_is_silent_on_a_whole_study(study, capsys):
    assert call(capsys, "check", study) == (0, [], [])


def test_check_tells_each_problem_on_a_line(study, sample, capsys):
    e1 = Event(Fraction(0), Fraction(4), (Note(parse_pitch("E1")),))
    locked = Event(Fraction(0), Fraction(4), (Note(parse_pitch("E4"), string=6, fret=1),))
    bars = (Bar((e1,)), Bar((locked,)), Bar(changes=(Change(Fraction(0), "H7"),)),
            Bar(readings=(Reading(Fraction(0), "key of sadness"),)), Bar(jump="D.S."))
    save_study(Study(bars=bars), Path("bad.study"))
    code, out, err = call(capsys, "check", study, "bad.study", "none.study")
    assert (code, out) == (1, [])
    starts = ["bad.study: bar 1: E1", "bad.study: bar 2: E4", "bad.study: bar 3: ", "bad.study: bar 4: ",
              "bad.study: bar 5: D.S. leads nowhere", "none.study: "]
    assert len(err) == len(starts), err
    assert all(said.startswith(start) for said, start in zip(sorted(err), starts, strict=True)), err


def test_shelf_lists_studies_and_finds_words(study, sample, tmp_path, capsys):
    save_study(Study(title="Waltz of the stairs"), Path("waltz.study"))
    code, out, err = call(capsys, "shelf", tmp_path)
    assert (code, err, len(out)) == (0, [], 2)
    code, out, _ = call(capsys, "shelf", tmp_path, "--find", "stairs")
    assert len(out) == 1
    assert "waltz.study" in out[0]
    assert "Waltz of the stairs" in out[0]


def test_shelf_of_no_folder_is_told(study, capsys):
    code, out, err = call(capsys, "shelf", "none")
    assert (code, out, len(err)) == (1, [], 1)
    assert err[0].startswith("none: ")


# As a person runs it: a process of its own.

def process(*words, **environ) -> subprocess.CompletedProcess:
    env = {key: value for key, value in os.environ.items()
           if key not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")} | environ
    return subprocess.run([sys.executable, "-m", "app.main", *map(str, words)], capture_output=True, text=True,
                          check=False, env=env | {"PYTHONPATH": str(ROOT)}, encoding="utf-8")


def test_help_is_quick():
    """Half a second of processor time, which other work on the machine does not lengthen as it does the clock's."""
    before = os.times()
    assert process("--help").returncode == 0
    after = os.times()
    assert after.children_user + after.children_system - before.children_user - before.children_system < 0.5


def test_no_heavy_package_is_imported_for_help():
    code = "import sys, app.calls; print([name for name in ('PySide6', 'music21', 'reportlab', 'numpy', 'lxml') " \
           "if name in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere there is always a display")
@pytest.mark.parametrize("environ", [{}, {"DISPLAY": ":987"}, {"QT_QPA_PLATFORM": "xcb"}],
                         ids=["none", "not running", "asked for by name"])
def test_the_window_without_a_display_is_one_clear_line(environ):
    ran = process(**environ)
    assert (ran.returncode, ran.stdout) == (1, "")
    assert ran.stderr.splitlines() == ["there is no display to open the window on; run it on a desktop, or set DISPLAY "
                                       "to one that is running"]


def test_a_whole_run_from_demo_to_pdf_in_processes(tmp_path):
    ran = process("demo", tmp_path)
    assert ran.returncode == 0, ran.stderr
    study = ran.stdout.splitlines()[0]
    ran = process("handout", study, "--to", tmp_path / "o.pdf")
    assert (ran.returncode, ran.stdout) == (0, f"{tmp_path / 'o.pdf'}\n"), ran.stderr
    assert (tmp_path / "o.pdf").read_bytes().startswith(b"%PDF-")


def test_a_bad_study_in_a_process_is_one_line_and_no_traceback(tmp_path):
    bad = tmp_path / "bad.study"
    bad.write_text("<study", encoding="utf-8")
    ran = process("handout", bad, "--to", tmp_path / "o.pdf")
    assert (ran.returncode, ran.stdout) == (1, "")
    assert ran.stderr.startswith(f"{bad}: ")
    assert ran.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == [bad]


def test_a_reader_that_leaves_early_hears_no_complaint(tmp_path, study):
    ran = subprocess.run(f"{sys.executable} -m app.main analyse {study} | head -n 0", shell=True, capture_output=True,
                         text=True, check=False, env=os.environ | {"PYTHONPATH": str(ROOT)})
    assert ran.stderr == ""
