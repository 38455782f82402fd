"""Writing the demo studies."""

from __future__ import annotations

from pathlib import Path

import typer

from app.console import say, tell
from core.errors import BarglossError
from core.files import write_whole

ASSETS = Path(__file__).resolve().parents[2] / "assets"


def write_demos(folder: Path) -> None:
    """Every demo study into the folder, and their paths printed. One the person has changed is left alone."""
    if folder.exists() and not folder.is_dir():
        raise typer.BadParameter(f"{folder} is a file; name a folder")
    sources = sorted(ASSETS.glob("*.study"))
    for study in (folder / source.name for source in sources):
        if study.is_dir():
            raise BarglossError("a folder stands where a demo study goes; name another folder", file=str(study))
    folder.mkdir(parents=True, exist_ok=True)
    for source in sources:
        study, fresh = folder / source.name, source.read_bytes()
        if study.exists() and study.read_bytes() != fresh:
            tell(f"{study}: differs from the demo and was left as it is; move it away to have the demo again")
            continue
        write_whole(study, fresh)
        say(str(study))
