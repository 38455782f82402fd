"""Journals: the study being worked on, kept outside its own file until it is saved, so that a crash loses no work.

A journal is one line of JSON (whose study it is, and what its file was when work began) and then a study file.
One is kept for each window, under a name of its own: two windows at one study never write over each other.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from core.errors import BarglossError
from core.files.atomic import disk_error, write_whole
from core.files.layout import MOST_BYTES
from core.files.reader import parse_study
from core.files.stamp import Stamp
from core.files.writer import study_xml
from core.study import Study

SUFFIX = ".journal"
_LONGEST_HEAD = 100_000


@dataclass(frozen=True, slots=True)
class Journal:
    """path: of the study's own file, None for one never saved. stamp: what that file was, None for no file."""

    study: Study
    path: Path | None = None
    stamp: Stamp | None = None


def write_journal(file: Path, journal: Journal) -> None:
    """Puts the journal at `file`, whole or not at all; its folder is made. Raises BarglossError."""
    head = {"path": None if journal.path is None else str(journal.path), "stamp": journal.stamp}
    data = json.dumps(head).encode() + b"\n" + study_xml(journal.study)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise disk_error(error, file.parent) from None
    write_whole(file, data)


def read_journal(file: Path) -> Journal:
    """The journal at `file`. Raises BarglossError where it is none."""
    try:
        with file.open("rb") as opened:
            head = opened.readline(_LONGEST_HEAD)
            data = opened.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise disk_error(error, file) from None
    try:
        told = json.loads(head)
        path = None if told["path"] is None else Path(str(told["path"]))
        stamp = None if told["stamp"] is None else _stamp(*told["stamp"])
    except (ValueError, KeyError, TypeError, RecursionError):
        raise BarglossError("this is no journal of a study; leave it alone", file=str(file)) from None
    return Journal(parse_study(data, str(file)), path, stamp)


def _stamp(changed: int, size: int, digest: str) -> Stamp:
    return Stamp(int(changed), int(size), str(digest))


def journals_in(folder: Path) -> tuple[Path, ...]:
    """The journal files of a folder, the oldest first; none where there is no such folder."""
    found: list[tuple[int, Path]] = []
    for file in folder.glob(f"*{SUFFIX}"):
        with suppress(OSError):  # another window has just put it away
            found.append((file.stat().st_mtime_ns, file))
    return tuple(file for _, file in sorted(found))


def drop_journal(file: Path) -> None:
    """Takes a journal away, and whatever a broken-off writing of it left beside it. Raises BarglossError."""
    try:
        for left in (file, *file.parent.glob(f".{file.name}.*")):
            left.unlink(missing_ok=True)
    except OSError as error:
        raise disk_error(error, file) from None
