"""The studies a command was given: loaded, and cut to the bars it was asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import typer

from app.commands.options import BarRange
from app.console import faults_of
from core.errors import BarglossError, Faults
from core.files import load_study
from core.handout import Excerpt, all_of
from core.study import Study, chorus_span


def load_all(paths: Sequence[Path]) -> list[Study]:
    """Every study, in order. Raises Faults, those of all the files together."""
    studies: list[Study] = []
    faults: list[BarglossError] = []
    for path in paths:
        try:
            studies.append(load_study(path))
        except BarglossError as error:
            faults += faults_of(error)
    if faults:
        raise Faults(tuple(faults))
    return studies


def chosen_bars(study: Study, bars: BarRange | None, chorus: int | None = None) -> Excerpt:
    """The study cut to what the call asks for. Raises typer.BadParameter where it has no such bars."""
    if bars and chorus:
        raise typer.BadParameter("give either --bars or --chorus, not both")
    try:
        if bars:
            return Excerpt(study, study.bar_index(bars.first), study.bar_index(bars.last))
        if chorus:
            return Excerpt(study, *chorus_span(study, chorus))
    except BarglossError as error:
        raise typer.BadParameter(error.what, param_hint="'--bars'" if bars else "'--chorus'") from error
    return all_of(study)


def refuse_to_overwrite(sources: Sequence[Path], to: Path) -> None:
    """Raises typer.BadParameter where a command would write over what it reads."""
    if to.exists() and any(path.exists() and path.samefile(to) for path in sources):
        raise typer.BadParameter(f"{to} is what is being read; write to another file", param_hint="'--to'")
