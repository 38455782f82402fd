"""What leaves the window: the handout, and the study in an open format."""

from __future__ import annotations

from pathlib import Path

from app import words
from app.commands.export import WRITERS
from app.jobs import Told
from core.errors import BarglossError
from core.files import write_whole
from core.handout import Layout, pdf_bytes
from core.study import Study


def write_pdf(layout: Layout, to: Path, told: Told) -> list[Path]:
    """The handout as it is on screen. Returns what was written. Raises BarglossError, and what `told` raises."""
    if to.suffix.lower() != ".pdf":
        raise BarglossError(words.NO_ENDING.format(name=to.name, endings=".pdf"))
    write_whole(to, pdf_bytes(layout.pages, told))
    return [to]


def write_as(study: Study, to: Path, told: Told) -> list[Path]:
    """The study in the format of the ending, a picture a page numbered. Returns what was written. Raises as above."""
    if to.suffix.lower() not in WRITERS:
        raise BarglossError(words.NO_ENDING.format(name=to.name, endings=", ".join(WRITERS)))
    contents = WRITERS[to.suffix.lower()](study)
    targets = [to] if len(contents) == 1 else [
        to.with_name(f"{to.stem}-{page}{to.suffix}") for page in range(1, len(contents) + 1)]
    told(0.9)  # the last place to turn back: from here on all of them are written
    for target, content in zip(targets, contents, strict=True):
        write_whole(target, content)
    return targets
