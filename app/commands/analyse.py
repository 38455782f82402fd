"""Telling what analysis and fingering find."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from rich.console import Console
from rich.table import Table

from app.console import blaming, say
from app.report import COLUMNS, plain_table, report, rows, words
from core.files import load_study
from core.guitar import finger
from core.line import analyse


def print_analysis(path: Path, as_json: bool) -> None:
    """A report on every note, as JSON or for people: a table on a terminal, plain columns elsewhere."""
    study = load_study(path)
    with blaming(path):
        told = report(study, analyse(study), finger(study))
    if as_json:
        say(json.dumps(told, indent=1))
        return
    if sys.stdout.isatty():
        _print_rich(rows(study, told))
    else:
        say("\n".join(plain_table(rows(study, told))))
    say("\n".join(words(told)))


def _print_rich(table: list[tuple[str, ...]]) -> None:
    pretty = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), header_style="bold")
    for column in COLUMNS:
        pretty.add_column(column, no_wrap=True)
    for row in table:
        pretty.add_row(*row)
    Console().print(pretty)
