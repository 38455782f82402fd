"""Printing studies as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import typer

from app.commands.check import tell_problems
from app.commands.options import BarRange
from app.commands.studies import chosen_bars, load_all, refuse_to_overwrite
from app.console import blaming, say, tell
from app.words_sheet import RIGHTS_EMPTY
from core.errors import BarglossError
from core.files import write_whole
from core.handout import join, lay_out_excerpt, load_template
from core.handout.pdf import pdf_bytes


class Layout(NamedTuple):
    """How it is printed: template by name, "a4" or "letter", and which bars of each study."""

    template: str
    paper: str
    bars: BarRange | None = None
    chorus: int | None = None


def write_handout(paths: Sequence[Path], to: Path, layout: Layout) -> None:
    """One PDF of all the studies, in order; its path printed, and what is wrong with them told.

    Raises typer.BadParameter, Faults.
    """
    refuse_to_overwrite(paths, to)
    try:
        template = load_template(layout.template)
    except BarglossError as error:
        raise typer.BadParameter(error.what, param_hint="'--template'") from error
    parts, pages = [], []
    for path, whole in zip(paths, load_all(paths), strict=True):
        part = chosen_bars(whole, layout.bars, layout.chorus)
        with blaming(path):
            pages.append(lay_out_excerpt(part, template, layout.paper).pages)
        parts.append(part)
    write_whole(to, pdf_bytes(join(pages)))
    for path, part in zip(paths, parts, strict=True):
        tell_problems(path, part)
        if not part.whole.rights.strip():
            tell(f"{path}: {RIGHTS_EMPTY}")
    say(str(to))
