"""Telling what a folder of studies holds."""

from __future__ import annotations

from pathlib import Path

from app.console import say
from core.errors import BarglossError, Faults
from core.files import ShelfEntry, find, shelf


def print_shelf(folder: Path, words: str) -> None:
    """A line a study, those that speak of all the words. Raises Faults, last, for studies that cannot be read."""
    entries = shelf(folder)
    for entry in find(entries, words):
        if not entry.problem:
            say(f"{entry.path}: {describe(entry)}")
    problems = [BarglossError(entry.problem, file=str(entry.path)) for entry in entries if entry.problem]
    if problems:
        raise Faults(tuple(problems))


def describe(entry: ShelfEntry) -> str:
    """`Title, on Tune, played by Player: 24 bars, 2 choruses`."""
    who = [entry.title or "no title"]
    who += [f"on {entry.tune}"] if entry.tune else []
    who += [f"played by {entry.player}"] if entry.player else []
    sizes = [f"{count} {name}{'' if count == 1 else ending}"
             for count, name, ending in ((entry.bars, "bar", "s"), (entry.choruses, "chorus", "es")) if count]
    return " ".join(f"{', '.join(who)}: {', '.join(sizes)}".split())  # a title may hold line ends
