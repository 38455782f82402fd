"""Hostile and broken files: one clear line, in bounded time, and nothing else."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.exchange import ChoiceNeeded, bring, guard
from core.exchange.build import build
from core.exchange.limits import Source, load
from core.exchange.plain import Piece, from_json, to_json
from core.exchange.reader import read
from tests.exchange.sources import CONTAINER, note, packed, score, smf, track

GOOD = score(note("C4", 8, "whole"))
ENTITIES = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10 if n else "lol"}">' for n in range(12))
TEMPO = ("<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>99</per-minute>"
         "</metronome></direction-type></direction>")
LONG_TRACK = track(*[(480 * beat, bytes([0x80 + 0x10 * (1 - beat % 2), 60, 64])) for beat in range(100)])
FILES = {
    "empty.musicxml": b"", "empty.abc": b"",
    "unpacks_huge.mxl": packed(("META-INF/container.xml", CONTAINER % "a.xml"),
                               ("a.xml", b"<score-partwise>" + b" " * 15_000_000)),
    "many_entries.mxl": packed(*((str(n), "") for n in range(1_200))),
    "climbs.mxl": packed(("META-INF/container.xml", CONTAINER % "../x.xml"), ("../x.xml", GOOD)),
    "stray_entry.mxl": packed(("META-INF/container.xml", CONTAINER % "a.xml"), ("a.xml", GOOD), ("../x.sh", "x")),
    "absolute.mxl": packed(("META-INF/container.xml", CONTAINER % "/etc/passwd")),
    "no_container.mxl": packed(("a.xml", GOOD)),
    "names_nothing.mxl": packed(("META-INF/container.xml", CONTAINER % "a.xml")),
    "cut.mxl": packed(("META-INF/container.xml", CONTAINER % "a.xml"), ("a.xml", GOOD))[:-40],
    "entity_bomb.xml": f"<!DOCTYPE x [{ENTITIES}]><score-partwise><a>&a11;</a></score-partwise>".encode(),
    "external_entity.xml": (b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'
                            b"<score-partwise><a>&e;</a></score-partwise>"),
    "utf16_entity.xml": ('<?xml version="1.0" encoding="utf-16"?><!DOCTYPE x [<!ENTITY e "x">]>'
                         "<score-partwise>&e;</score-partwise>").encode("utf-16"),
    "cut.xml": GOOD[:300], "deep.xml": b"<a>" * 100_000, "page.xml": b"<html/>",
    "huge_meter.xml": GOOD.replace(b"<beats>4<", b"<beats>999999999<"),
    "odd_meter.xml": GOOD.replace(b"<beat-type>4<", b"<beat-type>0<"),
    "many_tempi.xml": score(note("C4", 8, "whole") + TEMPO * 20_000),
    "long_note.xml": score(note("C4", 99_999_999, "whole")), "not_a_number.xml": score(note("C4", 8, "whole").replace(
        "<duration>8", "<duration>nan")),
    "many_tempi.mid": smf(b"\x00\xff\x51\x03\x07\xa1\x20" * 20_000 + b"\x00\xff\x2f\x00"),
    "sparse.mid": smf(b"\x00\x90\x3c\x40\xff\xff\xff\x7f\x80\x3c\x40\x00\xff\x2f\x00", division=1),
    "cut.mid": smf(LONG_TRACK)[:-30],
    "huge_meter.abc": b"X:1\nM:99999999/4\nL:1/4\nK:C\nCDEF|\n", "long_note.abc": b"X:1\nM:4/4\nK:C\nC999999999|\n",
    "words.abc": b"Dear reader,\n", "nul.abc": b"X:1\nK:C\n\x00",
    "song.pdf": b"%PDF-1.7", "no_ending": b"x",
}


def refused(path: Path) -> str:
    with pytest.raises(BarglossError) as told:
        read(load(path))
    return str(told.value)


REASONS = {
    "entity_bomb.xml": "entities", "external_entity.xml": "entities", "utf16_entity.xml": "entities",
    "stray_entry.mxl": "outside itself", "climbs.mxl": "outside itself", "unpacks_huge.mxl": "far more than a score",
    "many_entries.mxl": "more than 1000 files", "many_tempi.mid": "changes tempo", "sparse.mid": "longer than",
    "many_tempi.xml": "<metronome>", "huge_meter.xml": "999999999", "odd_meter.xml": "beat-type",
    "long_note.xml": "256 quarters", "huge_meter.abc": "64 beats", "long_note.abc": "no music",
}


def assert_one_line(message: str) -> None:
    assert message
    assert "\n" not in message


def piece_or_words(source: Source) -> Piece | str:
    """What was read, if it also makes a study; else the one line why not."""
    try:
        piece = read(source)
        build(piece)
    except BarglossError as told:
        assert_one_line(str(told))
        return str(told)
    return piece


@pytest.mark.parametrize("name", FILES)
def test_a_hostile_file_is_refused_in_one_line(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(FILES[name])
    started = time.monotonic()
    message = refused(path)
    assert time.monotonic() - started < 20
    assert_one_line(message)
    assert REASONS.get(name, "") in message


def test_what_is_no_file_is_told(tmp_path):
    assert "folder" in refused(tmp_path)
    assert "no such file" in refused(tmp_path / "none.mid")
    if Path("/dev/zero").exists():
        link = tmp_path / "endless.mid"
        link.symlink_to("/dev/zero")
        assert "not an ordinary file" in refused(link)


def test_an_unread_dtd_is_no_reason_to_refuse(tmp_path):
    """Most MusicXML names its DTD; nothing is fetched for it (the address answers nobody)."""
    path = tmp_path / "a.xml"
    path.write_bytes(GOOD.replace(b"<score-partwise", b'<!DOCTYPE score-partwise PUBLIC "-//x" '
                                  b'"http://127.0.0.1:9/partwise.dtd"><score-partwise', 1))
    assert len(read(load(path)).bars) == 1


def test_the_packed_score_is_found(tmp_path):
    path = tmp_path / "a.mxl"
    path.write_bytes(packed(("META-INF/container.xml", CONTAINER % "in/a.xml"), ("in/a.xml", GOOD)))
    assert read(load(path)).bars[0].events[0].notes[0].pitch.name == "C4"


def test_a_dollar_in_the_name_means_nothing(tmp_path):
    """music21 expands it; the file is read before music21 hears of it."""
    path = tmp_path / "$HOME.xml"
    path.write_bytes(GOOD)
    assert len(read(load(path)).bars) == 1


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(["musicxml", "midi", "abc"]), st.binary(max_size=300), st.booleans())
def test_any_bytes_are_read_or_refused(kind, raw, with_head):
    heads = {"musicxml": GOOD[:420], "midi": smf(LONG_TRACK)[:60], "abc": b"X:1\nM:4/4\nL:1/8\nK:C\n"}
    got = piece_or_words(Source(kind, heads[kind] + raw if with_head else raw))
    assert got if isinstance(got, str) else from_json(to_json(got), Piece) == got


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet='ABcdefgz_^=,\'/23468|:[]()<>-"{}~.uvKLMX \n', max_size=120))
def test_any_abc_is_brought_or_refused(body):
    got = piece_or_words(Source("abc", b"X:1\nM:4/4\nL:1/8\nK:G\n" + body.encode()))
    assert got


# The guard: each of these starts a child process.

def test_the_child_hands_over_what_reading_here_gives(tmp_path):
    path = tmp_path / "Low Road.musicxml"
    path.write_bytes(GOOD)
    got = bring(path)
    assert got.study.title == "Low Road"
    assert guard.read_guarded(load(path), None) == read(load(path))


def test_a_fault_in_the_child_is_told_with_the_file(tmp_path):
    path = tmp_path / "two.abc"
    path.write_bytes(b"X:1\nT:a\nK:C\nC|\n\nX:2\nT:b\nK:C\nC|\n")
    with pytest.raises(ChoiceNeeded) as asked:
        bring(path)
    assert str(asked.value) == "two.abc: 2 tunes: 1 a, 2 b; say which with --part N"
    with pytest.raises(BarglossError, match="there is no tune 0"):
        bring(path, 0)


def test_the_guard_bounds_time():
    started = time.monotonic()
    with pytest.raises(BarglossError, match=r"longer than 0\.05 seconds"):
        guard.read_guarded(Source("musicxml", GOOD), None, seconds=0.05)
    assert time.monotonic() - started < 10


@pytest.mark.skipif(sys.platform == "win32", reason="no bound on memory there")
def test_the_guard_bounds_memory():
    """The child starts above 40 MB, so the first memory it asks for is refused it."""
    many = Source("musicxml", score("NEXT".join([note("C4", 1, "eighth") * 8] * 200)))
    with pytest.raises(BarglossError, match="needs more than 40 MB"):
        guard.read_guarded(many, None, megabytes=40)
    assert len(guard.read_guarded(many, None).bars) == 200


def test_a_module_lying_about_is_not_imported(tmp_path):
    """The folder the person works in must not lend its modules to the child."""
    (tmp_path / "fractions.py").write_text("raise SystemExit(9)")
    (tmp_path / "a.musicxml").write_bytes(GOOD)
    code = "import pathlib; from core.exchange import bring; bring(pathlib.Path('a.musicxml'))"
    done = subprocess.run([sys.executable, "-P", "-c", code], cwd=tmp_path, capture_output=True, text=True, timeout=60,
                          env={"PYTHONPATH": str(Path(__file__).parents[2])}, check=False)
    assert done.returncode == 0, done.stderr


def test_random_bytes_are_refused(tmp_path):
    rng = random.Random(8)
    for ending in (".musicxml", ".xml", ".mxl", ".mid", ".midi", ".abc"):
        path = tmp_path / f"random{ending}"
        path.write_bytes(rng.randbytes(5_000))
        assert "\n" not in refused(path)
