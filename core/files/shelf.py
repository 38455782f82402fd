"""The shelf: what a folder of studies holds, and which of them speak of something."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from pathlib import Path

from lxml import etree

from core.errors import BarglossError
from core.files.atomic import disk_error
from core.files.layout import NAMESPACE
from core.files.store import SUFFIX, load_study
from core.study import Study


@dataclass(frozen=True, slots=True)
class ShelfEntry:
    """One study on the shelf. problem: why it cannot be read, "" if it can. words: all there is to look up."""

    path: Path
    title: str = ""
    tune: str = ""
    player: str = ""
    bars: int = 0
    choruses: int = 0
    problem: str = ""
    words: str = ""


def shelf(folder: Path) -> tuple[ShelfEntry, ...]:
    """The studies right in the folder, by file name; those that cannot be read with their problem.

    Raises BarglossError where the folder itself cannot be read.
    """
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix == SUFFIX)
    except (OSError, ValueError) as error:
        raise disk_error(error, folder) from None
    return tuple(_entry(path) for path in paths)


def title_in(path: Path) -> str:
    """Title of the study at `path`, or its tune, "" for neither: read from the head of the file, and no further.

    Raises BarglossError.
    """
    title, tune, bar = (f"{{{NAMESPACE}}}{name}" for name in ("title", "tune", "bar"))
    named = {title: "", tune: ""}
    try:
        with path.open("rb") as file:
            for _, element in etree.iterparse(file, tag=(title, tune, bar), resolve_entities=False, load_dtd=False):
                if element.tag == bar:
                    break
                named[str(element.tag)] = element.text or ""
    except OSError as error:
        raise disk_error(error, path) from None
    except etree.XMLSyntaxError:
        raise BarglossError("this is no study file", file=str(path)) from None
    return named[title] or named[tune]


def find(entries: tuple[ShelfEntry, ...], words: str) -> tuple[ShelfEntry, ...]:
    """The entries in whose title, tune, player, comments or callouts every one of the words occurs."""
    wanted = _folded(words).split()
    return tuple(entry for entry in entries if all(word in entry.words for word in wanted))


def _entry(path: Path) -> ShelfEntry:
    try:
        study = load_study(path)
    except BarglossError as fault:
        first = fault.lines()[0]
        return ShelfEntry(path, problem=first.removeprefix(f"{path}: "))
    return ShelfEntry(path, study.title, study.tune, study.player, len(study.bars), len(study.choruses),
                      words=_folded("\n".join(_words(study))))


def _words(study: Study) -> list[str]:
    found = [study.title, study.tune, study.player]
    for bar in study.bars:
        found.append(bar.comment)
        for callout in bar.callouts:
            found += (callout.heading, callout.text)
    return found


def _folded(text: str) -> str:
    """Capitals and the ways to write one accent apart make no difference."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
