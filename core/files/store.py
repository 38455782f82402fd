"""Studies on disk: load one, save one."""

from __future__ import annotations

from pathlib import Path

from core.errors import BarglossError
from core.files.atomic import disk_error, write_whole
from core.files.layout import MOST_BYTES
from core.files.reader import parse_study
from core.files.writer import study_xml
from core.study import Study

SUFFIX = ".study"


def load_study(path: Path) -> Study:
    """The study at `path`. Raises BarglossError (NewerVersion, Faults), told with the path."""
    try:
        if path.exists() and not path.is_file():
            raise BarglossError("this is no file but a folder or a device; give a study file", file=str(path))
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise disk_error(error, path) from None
    return parse_study(data, str(path))


def save_study(study: Study, path: Path) -> None:
    """Puts the study at `path`, whole or not at all.

    The version before it stays as `NAME.study~`, unless it cannot be read: a bad file never takes a good one's place.
    Raises BarglossError.
    """
    try:
        data = study_xml(study)
    except BarglossError as fault:
        raise fault.in_file(str(path)) from None
    write_whole(path, data, keep=_is_good(path))


def _is_good(path: Path) -> bool:
    try:
        load_study(path)
    except BarglossError:
        return False
    return True
