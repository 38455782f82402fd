"""Bringing a solo in."""

from __future__ import annotations

from pathlib import Path

import typer

from app.commands.studies import refuse_to_overwrite
from app.console import blaming, say, tell
from core.errors import BarglossError
from core.exchange import ChoiceNeeded, bring
from core.files import load_study, save_study
from core.guitar import advice


def bring_in(source: Path, to: Path, part: int | None, replace: bool) -> None:
    """Read an open format and keep it as a study; what was left out or guessed is told, a line each.

    replace: in the place of a study that is there already. Raises typer.BadParameter where one is and is to stay.
    """
    refuse_to_overwrite([source], to)
    with blaming(source):
        try:
            brought = bring(source, part)
        except ChoiceNeeded as error:
            raise typer.BadParameter(f"{source}: {error.what}", param_hint="'--part'") from error
    if to.exists() and not replace:
        raise typer.BadParameter(f"{to} is there already; name another file, or say --replace to have the new study in "
                                 "its place", param_hint="'--to'")
    kept = _fate_of(to)
    save_study(brought.study, to)
    for notice in (*advice(brought.study), *brought.notices):
        tell(f"{source}: {notice}")
    if kept:
        tell(f"{to}: {kept}")
    say(str(to))


def _fate_of(to: Path) -> str:
    """What becomes of what stands where a study is about to be saved; "" where nothing does."""
    if not to.exists():
        return ""
    try:
        load_study(to)
    except BarglossError:
        return "what was there could not be read as a study and is gone"
    return f"the study that was there is now {to.name}~, in the place of any copy of that name"
