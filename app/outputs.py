"""What leaves the window: the handout, and the study in an open format.

The writers are imported when the first is wanted: their libraries would hold up the opening of the window.
"""

# ruff: noqa: PLC0415  (as said above)

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from app import words, words_sheet
from app.jobs import Told
from core.errors import BarglossError
from core.files import write_whole
from core.handout import Excerpt, Layout, lay_out_excerpt
from core.study import Study


def layout_of(part: Excerpt, layout: Layout, paper: str) -> Layout:
    """The handout of some bars: the layout at hand, where it is of just these. Raises BarglossError."""
    return layout if part.study is layout.study else lay_out_excerpt(part, layout.template, paper)


def rights_reminder(study: Study) -> str:
    """What to mind where the rights line is empty, on a line of its own."""
    if study.rights.strip():
        return ""
    return "\n" + words_sheet.RIGHTS_REMINDER.format(what=words_sheet.RIGHTS_EMPTY)


def write_pdf(layout: Layout, to: Path, told: Told) -> list[Path]:
    """The handout as it is on screen. Returns what was written. Raises BarglossError, and what `told` raises."""
    if to.suffix.lower() != ".pdf":
        raise BarglossError(words.NO_ENDING.format(name=to.name, endings=".pdf"))
    from core.handout.pdf import pdf_bytes
    write_whole(to, pdf_bytes(layout.pages, told))
    return [to]


def write_as(part: Excerpt, lay_out: Callable[[], Layout], to: Path, told: Told) -> list[Path]:
    """The bars in the format of the ending, pages as pictures as they are laid out and numbered.

    Returns what was written. Raises as above.
    """
    from app.commands.export import contents_of
    if to.suffix.lower() not in words.EXPORTS:
        raise BarglossError(words.NO_ENDING.format(name=to.name, endings=", ".join(words.EXPORTS)))
    contents = contents_of(part, to.suffix, lay_out)
    targets = [to] if len(contents) == 1 else [
        to.with_name(f"{to.stem}-{page}{to.suffix}") for page in range(1, len(contents) + 1)]
    told(0.9)  # the last place to turn back: from here on all of them are written
    for target, content in zip(targets, contents, strict=True):
        write_whole(target, content)
    return targets
