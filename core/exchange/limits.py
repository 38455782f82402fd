"""The first look at a file: what kind it is, and whether it is small and plain enough to be read at all.

Nothing here trusts the file. The bounds are far above any solo and far below what hurts.
"""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Literal

from core.errors import BarglossError
from core.exchange.xml_limits import checked_score, parse_xml

Kind = Literal["musicxml", "midi", "abc"]

MOST_BYTES = 20_000_000
MOST_ENTRIES = 1_000
MOST_RATIO = 200  # text of a score packs to a fiftieth at best; a bomb to a thousandth
_KINDS: dict[str, Kind] = {".musicxml": "musicxml", ".xml": "musicxml", ".mxl": "musicxml",
                           ".mid": "midi", ".midi": "midi", ".abc": "abc"}


@dataclass(frozen=True)
class Source:
    """What a reader is handed: plain bytes of a known kind, within bounds."""

    kind: Kind
    raw: bytes


def load(path: Path) -> Source:
    """The bytes of a file worth reading; a packed score unpacked. Raises BarglossError."""
    raw = _bytes(path)
    kind = _KINDS.get(path.suffix.lower())
    if kind is None:
        raise BarglossError(f"{path.suffix or 'a name without an ending'} is not a kind Bargloss brings in; "
                            f"use one of {', '.join(_KINDS)}")
    if kind == "musicxml":
        is_packed = path.suffix.lower() == ".mxl" or raw.startswith(b"PK\x03\x04")
        return Source(kind, checked_score(_unpacked(raw) if is_packed else raw))
    return Source(kind, raw)


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise BarglossError("this is a folder; name a file in it")
        if not path.exists():
            raise BarglossError("there is no such file; check the name")
        if not path.is_file():
            raise BarglossError("this is not an ordinary file; name one that is")
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise BarglossError(f"the file cannot be read ({reason}); check its name and rights") from error
    if not raw:
        raise BarglossError("the file is empty; export it again")
    if len(raw) > MOST_BYTES:
        raise BarglossError(f"the file is larger than {MOST_BYTES // 1_000_000} MB; export one solo alone")
    return raw


def _unpacked(raw: bytes) -> bytes:
    """The score inside a packed one (MusicXML 4.0, compressed files: META-INF/container.xml names it)."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_ENTRIES:
                raise BarglossError(f"the archive holds more than {MOST_ENTRIES} files; export the score again")
            for entry in entries:
                _refuse_stray(entry.filename)
            return _entry(archive, _root_name(_entry(archive, "META-INF/container.xml")))
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, EOFError, OSError, ValueError) as error:
        raise BarglossError("the archive is damaged or locked; export the score again") from error


def _refuse_stray(name: str) -> None:
    place = PurePosixPath(name.replace("\\", "/"))
    if place.is_absolute() or ".." in place.parts or ":" in name:
        raise BarglossError(f"the archive names a file outside itself ({name[:60]!r}); don't trust it")


def _root_name(container: bytes) -> str:
    for rootfile in parse_xml(container).iter("{*}rootfile"):
        name = rootfile.get("full-path", "")
        _refuse_stray(name)
        if name and rootfile.get("media-type", "xml").endswith("xml"):
            return name
    raise BarglossError("the archive does not say which of its files is the score; export it again")


def _entry(archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        entry = archive.getinfo(name)
    except KeyError:
        raise BarglossError(f"the archive has no {name[:60]}; export the score again") from None
    if entry.file_size > MOST_BYTES or entry.file_size > MOST_RATIO * max(entry.compress_size, 5_000):
        raise BarglossError("the archive unpacks to far more than a score; don't trust it")
    with archive.open(entry) as file:
        return file.read(MOST_BYTES)


