"""How a file on disk is told from what it was: its time and size first, its content where those differ."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import NamedTuple

from core.files.atomic import disk_error


class Stamp(NamedTuple):
    """changed: nanoseconds of the system's clock; size: bytes; digest: SHA-256 in hex."""

    changed: int
    size: int
    digest: str


def stamp_of(path: Path) -> Stamp | None:
    """What the file is now; None where there is none. Raises BarglossError where it cannot be read."""
    try:
        told = path.stat()
        return Stamp(told.st_mtime_ns, told.st_size, hashlib.sha256(path.read_bytes()).hexdigest())
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise disk_error(error, path) from None


def is_as_stamped(path: Path, stamp: Stamp | None) -> bool:
    """Whether the file holds what it held then; its content is read only where time or size is another."""
    try:
        told = path.stat()
    except FileNotFoundError:
        return stamp is None
    except (OSError, ValueError) as error:
        raise disk_error(error, path) from None
    if stamp is None:
        return False
    if (told.st_mtime_ns, told.st_size) == stamp[:2]:
        return True
    now = stamp_of(path)
    return now is not None and now.digest == stamp.digest
