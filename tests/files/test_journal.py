"""Journals, stamps, and what is read of a newer version's file."""

from __future__ import annotations

import os
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from core.errors import BarglossError
from core.files import (
    Journal,
    NewerVersion,
    Stamp,
    drop_journal,
    is_as_stamped,
    journals_in,
    load_study,
    load_what_is_known,
    read_journal,
    save_study,
    stamp_of,
    study_xml,
    write_journal,
)
from core.study import Bar, Change, Event, Note, Study, edits, parse_pitch
from tests.strategies import CALM, studies

LINE = Study(title="A line", bars=(
    Bar(tuple(Event(Fraction(at), Fraction(1), (Note(parse_pitch("C4")),)) for at in range(4)),
        changes=(Change(Fraction(0), "C-7"),)), Bar()))


@CALM
@given(study=studies(max_bars=3))
def test_a_journal_gives_back_what_went_in(tmp_path_factory, study):
    folder = tmp_path_factory.mktemp("journals")
    for journal in (Journal(study), Journal(study, folder / "büro ünd\nso.study", Stamp(123, 45, "ab"))):
        write_journal(folder / "deep" / "one.journal", journal)
        assert read_journal(folder / "deep" / "one.journal") == journal


@pytest.mark.parametrize("content", [
    b"", b"\n", b"{}\n", b"[]\n<study/>", b"null\n", b'{"path": null, "stamp": 3}\n', b'{"path": null, "stamp": [1]}\n',
    b'{"path": null, "stamp": null}\n<study', b"\xff\n", b"[" * 90_000 + b"\n"])
def test_what_is_no_journal_is_refused_in_one_line(tmp_path, content):
    (tmp_path / "one.journal").write_bytes(content)
    with pytest.raises(BarglossError) as told:
        read_journal(tmp_path / "one.journal")
    assert all("\n" not in line for line in told.value.lines())


def test_journals_come_oldest_first_and_go_with_what_lies_beside(tmp_path):
    assert journals_in(tmp_path / "nowhere") == ()
    for age, name in enumerate(("new", "old")):
        write_journal(tmp_path / f"{name}.journal", Journal(LINE))
        os.utime(tmp_path / f"{name}.journal", (1000 - age, 1000 - age))
    assert [file.stem for file in journals_in(tmp_path)] == ["old", "new"]
    (tmp_path / ".old.journal.0123456789ab").write_bytes(b"half")  # as `write_whole` leaves when it is killed
    drop_journal(tmp_path / "old.journal")
    drop_journal(tmp_path / "old.journal")
    assert [file.name for file in tmp_path.iterdir()] == ["new.journal"]


def test_a_stamp_sees_every_other_content_and_no_mere_touch(tmp_path):
    file = tmp_path / "a.study"
    assert stamp_of(file) is None
    assert is_as_stamped(file, None)
    save_study(LINE, file)
    stamp = stamp_of(file)
    assert is_as_stamped(file, stamp)
    assert not is_as_stamped(file, None)
    os.utime(file, ns=(1, 1))
    assert is_as_stamped(file, stamp)
    data = file.read_bytes()
    file.write_bytes(data.replace(b"A line", b"B line"))  # of the same length
    assert not is_as_stamped(file, stamp)
    file.unlink()
    assert not is_as_stamped(file, stamp)


def newer(study: Study, *changes: tuple[str, str]) -> bytes:
    text = study_xml(study).decode().replace('version="1"', 'version="2"').replace("study:1", "study:2")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text.encode()


def test_a_newer_file_is_read_without_what_is_not_known(tmp_path):
    file = tmp_path / "newer.study"
    file.write_bytes(newer(
        edits.set_comment(LINE, 0, "Heard"),
        ("<bar>", '<bar mood="blue"><ostinato of="3"><note pitch="C4"/></ostinato>'),
        ("<title>", '<lighting colour="red"/><title>'), ('pitch="C4"', 'pitch="C4" vibrato="wide"')))
    with pytest.raises(NewerVersion):
        load_study(file)
    assert load_what_is_known(file) == edits.set_comment(LINE, 0, "Heard")


def test_a_newer_file_that_makes_no_study_is_called_newer(tmp_path):
    file = tmp_path / "newer.study"
    file.write_bytes(newer(LINE, ('length="1"', 'span="1"')))
    with pytest.raises(NewerVersion, match="update Bargloss"):
        load_what_is_known(file)
    file.write_bytes(study_xml(replace(LINE, title="Plain")))
    assert load_what_is_known(file).title == "Plain"
