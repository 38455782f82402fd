"""Studies on disk: load one, save one."""

from __future__ import annotations

from pathlib import Path

from core.errors import BarglossError
from core.files.atomic import disk_error, write_whole
from core.files.layout import MOST_BYTES
from core.files.reader import parse_study
from core.files.safe_xml import BrokenXml
from core.files.writer import study_xml
from core.study import Study

SUFFIX = ".study"


def load_study(path: Path) -> Study:
    """The study at `path`. Raises BarglossError (NewerVersion, Faults), told with the path."""
    try:
        return parse_study(_bytes_of(path), str(path))
    except BrokenXml as fault:
        copy = path.with_name(f"{path.name}~")
        if copy.is_file():
            fault.what += f", or go back to the copy kept beside it, {copy.name}"
        raise


def _bytes_of(path: Path) -> bytes:
    """At most one more than a study file may have."""
    try:
        if path.exists() and not path.is_file():
            raise BarglossError("this is no file but a folder or a device; give a study file", file=str(path))
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise disk_error(error, path) from None


def save_study(study: Study, path: Path, before: Study | None = None) -> None:
    """Puts the study at `path`, whole or not at all.

    The version before it stays as `NAME.study~`, unless it cannot be read: a bad file never takes a good one's place.
    before: what was saved there last, which is known to be good and need not be read. Raises BarglossError.
    """
    try:
        data = study_xml(study)
    except BarglossError as fault:
        raise fault.in_file(str(path)) from None
    write_whole(path, data, keep=_is_good(path, before))


def _is_good(path: Path, before: Study | None) -> bool:
    try:
        data = _bytes_of(path)
        if before is None or data != study_xml(before):
            parse_study(data, str(path))
    except BarglossError:
        return False
    return True
