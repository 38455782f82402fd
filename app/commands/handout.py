"""Printing studies as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import typer

from app.commands.options import BarRange
from app.commands.studies import chosen_bars, load_all, refuse_to_overwrite
from app.console import blaming, say, tell
from core.errors import BarglossError
from core.files import write_whole
from core.handout import compose, join, load_template, pdf_bytes


class Layout(NamedTuple):
    """How it is printed: template by name, "a4" or "letter", and which bars of each study."""

    template: str
    paper: str
    bars: BarRange | None = None
    chorus: int | None = None


def write_handout(paths: Sequence[Path], to: Path, layout: Layout) -> None:
    """One PDF of all the studies, in order; its path printed. Raises typer.BadParameter, Faults."""
    refuse_to_overwrite(paths, to)
    try:
        template = load_template(layout.template)
    except BarglossError as error:
        raise typer.BadParameter(error.what, param_hint="'--template'") from error
    parts, free = [], []
    for path, whole in zip(paths, load_all(paths), strict=True):
        study = chosen_bars(whole, layout.bars, layout.chorus)
        with blaming(path):
            parts.append(compose(study, template, layout.paper))
        free += [] if study.rights.strip() else [path]
    write_whole(to, pdf_bytes(join(parts)))
    for path in free:
        tell(f"{path}: the rights line is empty; a transcription of somebody's solo may need a licence before it "
             "is passed on: ask whoever licenses music where you live")
    say(str(to))
