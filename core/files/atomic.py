"""Files written whole or not at all: beside the target, flushed to the disk, then renamed over it."""

from __future__ import annotations

import errno
import os
import secrets
from contextlib import suppress
from pathlib import Path

from core.errors import BarglossError

_SENTENCES = {
    errno.EACCES: "you may not write there; choose another folder or ask whoever owns it",
    errno.EPERM: "you may not write there; choose another folder or ask whoever owns it",
    errno.EROFS: "that disk can only be read; choose a folder on another one",
    errno.ENOSPC: "the disk is full; make room and try again",
    errno.EDQUOT: "your share of the disk is used up; make room and try again",
    errno.ENOENT: "there is no such file or folder; check the name, or make the folder first",
    errno.ENOTDIR: "part of the path is a file, not a folder; check the path",
    errno.EISDIR: "that is a folder; give the name of a file",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.ELOOP: "the links lead round in a circle; give the file itself",
}


def disk_error(error: OSError | ValueError, path: Path) -> BarglossError:
    """The plain sentence for what the system said about this path."""
    reason = error.strerror or type(error).__name__ if isinstance(error, OSError) else "the name cannot be a file's"
    number = error.errno if isinstance(error, OSError) else None
    return BarglossError(_SENTENCES.get(number or 0, f"{reason.lower()}; check the disk and the name"), file=str(path))


def write_whole(path: Path, data: bytes, *, keep: bool = False) -> None:
    """Puts `data` at `path`, in one step that leaves either the old file or the new.

    keep: what stood there stays beside it under the same name with a `~`. A link is followed.
    Raises BarglossError; then nothing has changed at `path` and nothing lies beside it.
    """
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if keep and target.exists():
            _swap(target.with_name(target.name + "~"), target.read_bytes(), target)
        _swap(target, data, target)
    except (OSError, ValueError) as error:
        raise disk_error(error, path) from None


def _swap(target: Path, data: bytes, like: Path) -> None:
    beside = target.with_name(f".{target.name[:100]}.{secrets.token_hex(6)}")
    try:
        # not tempfile: its files are for their owner only, and so would the study become
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666),
                       "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if like.exists():
            beside.chmod(like.stat().st_mode & 0o777)
        os.replace(beside, target)  # noqa: PTH105  (one name for tests and readers to find it by)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
    _flush_folder(target.parent)


def _flush_folder(folder: Path) -> None:
    """So that the new name survives a power cut too, where the system can (not on Windows)."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    with suppress(OSError):  # the file is whole in either case
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
