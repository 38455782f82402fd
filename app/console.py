"""The one door to the person at the command line: what is said, and how a fault is told."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from core.errors import BarglossError, Faults


def say(line: str) -> None:
    """What was asked for, on standard output."""
    print(line)


def tell(line: str) -> None:
    """What the person should know besides, on standard error, in one line."""
    print(" ".join(line.split()), file=sys.stderr)


def faults_of(error: BarglossError) -> tuple[BarglossError, ...]:
    """One error a fault."""
    return error.faults if isinstance(error, Faults) else (error,)


@contextmanager
def blaming(path: Path) -> Iterator[None]:
    """Whatever the person can put right inside is told as a fault of this file, named as they named it."""
    try:
        yield
    except BarglossError as error:
        raise error.in_file(str(path)) from error
