"""Journals, stamps, and what is read of a newer version's file."""

from __future__ import annotations

import os
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
from tests.strategies import CALM, studies, texts

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


class Killed(BaseException):
    """The process ends here: nothing of it runs any more."""


def killed_while_writing(monkeypatch, at: int, step: str) -> None:
    """The next file is written up to a byte, or whole but not flushed, or flushed but not put in its place."""
    real = os.fdopen

    def end(*_args, **_more):
        raise Killed

    class Ending:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, data):
            self.file.write(data[:at])
            end()
    if step == "write":
        monkeypatch.setattr(os, "fdopen", lambda *args: Ending(real(*args)))
    else:
        monkeypatch.setattr(os, {"flush": "fsync", "rename": "replace"}[step], end)
    monkeypatch.setattr(Path, "unlink", end)  # the dead clear nothing away


@settings(CALM, max_examples=80)
@given(study=studies(max_bars=4), data=st.data())
def test_killed_at_any_byte_of_any_step_the_step_before_is_there(tmp_path_factory, study, data):
    folder = tmp_path_factory.mktemp("journals")
    file, written = folder / "one.journal", [study]
    write_journal(file, Journal(study))
    for _ in range(data.draw(st.integers(1, 4))):
        edited = edits.set_comment(written[-1], data.draw(st.integers(0, len(study.bars) - 1)), data.draw(texts))
        written.append(edited)
        with pytest.MonkeyPatch.context() as patched:
            if data.draw(st.booleans()):
                killed_while_writing(patched, data.draw(st.integers(0, len(study_xml(edited)) + 40)),
                                     data.draw(st.sampled_from(("write", "flush", "rename"))))
                with pytest.raises(Killed):
                    write_journal(file, Journal(edited))
                break
            write_journal(file, Journal(edited))
    else:
        written.append(written[-1])
    assert journals_in(folder) == (file,)
    assert read_journal(file).study == written[-2]
    drop_journal(file)
    assert list(folder.iterdir()) == []


@settings(CALM, max_examples=60)
@given(study=studies(max_bars=2), data=st.data())
def test_a_journal_cut_short_by_a_bad_disk_is_refused_in_one_line_and_never_half_read(tmp_path_factory, study, data):
    file = tmp_path_factory.mktemp("journals") / "one.journal"
    write_journal(file, Journal(study))
    whole = file.read_bytes()
    file.write_bytes(whole[:data.draw(st.integers(0, len(whole) - 2))])  # the last byte is a line break
    with pytest.raises(BarglossError) as told:
        read_journal(file)
    assert len(told.value.lines()) == 1


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
