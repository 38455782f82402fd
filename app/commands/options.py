"""Options several commands share, turned from text into values, and the bars they choose."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import typer

EXPORTS = (".musicxml", ".mxl", ".mid", ".svg", ".png", ".wav", ".flac", ".mp3", ".txt")
PAPERS = ("a4", "letter")


class BarRange(NamedTuple):
    """Printed bar numbers, both included; a pickup is 0."""

    first: int
    last: int


def parse_bars(text: str) -> BarRange:
    """Read `13-24` or `7`. Raises typer.BadParameter."""
    found = re.fullmatch(r"([0-9]{1,5})(?:-([0-9]{1,5}))?", text)
    if found is None:
        raise typer.BadParameter(f"{text!r} names no bars; write first and last, as in 13-24")
    bars = BarRange(int(found[1]), int(found[2] or found[1]))
    if bars.last < bars.first:
        raise typer.BadParameter(f"{text!r} goes backwards; write the lower number first")
    return bars


def parse_paper(text: str) -> str:
    """Read `a4` or `letter`. Raises typer.BadParameter."""
    if text.lower() not in PAPERS:
        raise typer.BadParameter(f"{text} is not a paper known here; write {' or '.join(PAPERS)}")
    return text.lower()


def parse_count(text: str) -> int:
    """Read a whole number from 1 up. Raises typer.BadParameter."""
    if re.fullmatch(r"[0-9]{1,5}", text) is None or int(text) == 0:
        raise typer.BadParameter(f"{text!r} is not a whole number from 1 up; write one")
    return int(text)


def output(*endings: str) -> Callable[[str], Path]:
    """A reader of the path to write to, which must end in one of these and lie in a folder that is there."""
    def parse_output(text: str) -> Path:
        path = Path(text)
        if path.suffix.lower() not in endings:
            raise typer.BadParameter(f"{text} does not end in {' or '.join(endings)}; name the file so")
        if path.is_dir():
            raise typer.BadParameter(f"{text} is a folder; name a file in it")
        if not path.parent.is_dir():
            raise typer.BadParameter(f"there is no folder {path.parent}; make it first")
        return path
    return parse_output
