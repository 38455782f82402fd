"""A save leaves the old file or the new one, whole, and nothing beside it."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from core.errors import BarglossError
from core.files import load_study, save_study, study_xml, write_whole
from core.study import Bar, Study

OLD, NEW = b"the old words", b"the new words"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_it_writes_a_new_file_and_replaces_an_old_one(tmp_path):
    target = tmp_path / "a.pdf"
    for data in (OLD, NEW):
        write_whole(target, data)
        assert target.read_bytes() == data
        assert names(tmp_path) == ["a.pdf"]


def test_the_last_version_is_kept_where_asked(tmp_path):
    target = tmp_path / "a.study"
    for data in (b"1", b"2", b"3"):
        write_whole(target, data, keep=True)
    assert (tmp_path / "a.study~").read_bytes() == b"2"
    assert names(tmp_path) == ["a.study", "a.study~"]


STEPS = {"open": "open", "write": "fdopen", "flush": "fsync", "rename": "replace"}


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO])
@pytest.mark.parametrize("step", STEPS)
def test_a_failure_at_any_step_leaves_the_old_file_alone(tmp_path, monkeypatch, step, number):
    target = tmp_path / "a.study"
    target.write_bytes(OLD)
    real = os.fdopen

    class FullDisk:
        """Takes half of what it is given."""

        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, data):
            self.file.write(data[:len(data) // 2])
            self.file.flush()
            raise OSError(number, os.strerror(number))

    def fail(*_args, **_more):
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patched:
        patched.setattr(os, STEPS[step], (lambda *args: FullDisk(real(*args))) if step == "write" else fail)
        with pytest.raises(BarglossError) as caught:
            write_whole(target, NEW)
    assert target.read_bytes() == OLD
    assert names(tmp_path) == ["a.study"]
    assert str(caught.value).startswith(f"{target}: ")
    assert "; " in str(caught.value)
    assert len(caught.value.lines()) == 1


def test_an_interruption_leaves_nothing_beside(tmp_path, monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "a.study", NEW)
    assert names(tmp_path) == []


@pytest.mark.parametrize(("where", "sentence"), [
    ("folder", "that is a folder; give the name of a file"),
    ("missing/a.study", "there is no such file or folder; check the name, or make the folder first"),
    ("file/a.study", "part of the path is a file, not a folder; check the path"),
    ("x" * 300, "the name is too long; choose a shorter one"),
    ("circle/a.study", "the links lead round in a circle; give the file itself"),
    ("nul\0.study", "the name cannot be a file's; check the disk and the name"),
])
def test_a_bad_place_is_told_in_one_line(tmp_path, where, sentence):
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").write_bytes(OLD)
    (tmp_path / "circle").symlink_to("circle")
    before = names(tmp_path)
    with pytest.raises(BarglossError) as caught:
        write_whole(tmp_path / where, NEW)
    assert caught.value.what == sentence
    assert names(tmp_path) == before


WRITE_AS_NOBODY = """
import os, sys
from pathlib import Path
from core.errors import BarglossError
from core.files.atomic import write_whole
if os.geteuid() == 0:
    os.setuid(65534)  # root may write anywhere
try:
    write_whole(Path(sys.argv[1]), b"x")
except BarglossError as fault:
    print(fault.what)
"""


def test_a_folder_one_may_not_write_in_is_told(tmp_path):
    tmp_path.chmod(0o555)
    try:
        ran = subprocess.run([sys.executable, "-c", WRITE_AS_NOBODY, str(tmp_path / "a.study")], check=True,
                             capture_output=True, text=True, cwd=Path(__file__).parents[2])
    finally:
        tmp_path.chmod(0o755)
    assert ran.stdout.strip() == "you may not write there; choose another folder or ask whoever owns it"
    assert names(tmp_path) == []


def test_rights_of_the_file_stay_and_links_are_followed(tmp_path):
    target, link = tmp_path / "a.study", tmp_path / "link.study"
    target.write_bytes(OLD)
    target.chmod(0o640)
    link.symlink_to(target)
    write_whole(link, NEW, keep=True)
    assert link.is_symlink()
    assert target.read_bytes() == NEW
    assert stat.S_IMODE(target.stat().st_mode) == stat.S_IMODE((tmp_path / "a.study~").stat().st_mode) == 0o640


# -- studies


def test_a_study_is_saved_and_loaded(tmp_path):
    path = tmp_path / "harbour.study"
    first, second = Study(title="Slow Harbour"), Study(title="Slow Harbour", bars=(Bar(comment="Breathe."),))
    save_study(first, path)
    save_study(second, path)
    assert load_study(path) == second
    assert load_study(tmp_path / "harbour.study~") == first


def test_a_bad_file_never_takes_the_place_of_a_good_copy(tmp_path):
    path = tmp_path / "a.study"
    for title in ("one", "two"):
        save_study(Study(title=title), path)
    path.write_bytes(b"<study xml")  # another program, or a broken disk
    save_study(Study(title="three"), path)
    assert load_study(path).title == "three"
    assert load_study(tmp_path / "a.study~").title == "one"


def test_a_study_that_cannot_be_written_leaves_the_file_alone(tmp_path):
    path = tmp_path / "a.study"
    save_study(Study(title="one"), path)
    with pytest.raises(BarglossError, match="cannot be kept") as caught:
        save_study(Study(title="t\x00o"), path)
    assert str(caught.value).startswith(f"{path}: title: ")
    assert load_study(path).title == "one"
    assert names(tmp_path) == ["a.study"]


def test_loading_tells_what_is_wrong_with_the_place(tmp_path):
    fifo = tmp_path / "pipe.study"
    os.mkfifo(fifo)  # reading one would wait for ever
    for path, sentence in ((tmp_path / "none.study", "there is no such file or folder"),
                           (tmp_path, "no file but a folder"),
                           (fifo, "no file but a folder or a device")):
        with pytest.raises(BarglossError, match=sentence) as caught:
            load_study(path)
        assert str(caught.value).startswith(f"{path}: ")


def test_a_file_too_large_is_not_read_whole(tmp_path):
    path = tmp_path / "big.study"
    with path.open("wb") as file:
        file.write(study_xml(Study()))
        file.truncate(10**12)  # a terabyte of nothing
    with pytest.raises(BarglossError, match="more than 20000000 bytes"):
        load_study(path)
