"""Bringing a solo in."""

from __future__ import annotations

from pathlib import Path

import typer

from app.commands.studies import refuse_to_overwrite
from app.console import blaming, say, tell
from core.exchange import ChoiceNeeded, bring
from core.files import save_study
from core.guitar import advice


def bring_in(source: Path, to: Path, part: int | None) -> None:
    """Read an open format and keep it as a study; what was left out or guessed is told, a line each."""
    refuse_to_overwrite([source], to)
    with blaming(source):
        try:
            brought = bring(source, part)
        except ChoiceNeeded as error:
            raise typer.BadParameter(f"{source} has {error.what}", param_hint="'--part'") from error
    save_study(brought.study, to)
    for notice in (*advice(brought.study), *brought.notices):
        tell(f"{source}: {notice}")
    say(str(to))
