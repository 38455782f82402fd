"""The program: from a call to its exit code, and how faults are told."""

# ruff: noqa: PLC0415  (imported is only what this call needs)

from __future__ import annotations

import io
import os
import sys
import traceback
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

import platformdirs

from app.console import tell
from core.errors import BarglossError


def run(arguments: Sequence[str]) -> int:
    """Do what one call asks for; its exit code: 0 done, 1 the input is at fault, 2 the call is."""
    try:
        return _work(arguments)
    except BarglossError as error:
        for line in error.lines():
            tell(line)
        return 1
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # whoever read our output has seen enough
        return 0
    except OSError as error:
        tell(f"{error.filename or 'bargloss'}: {(error.strerror or str(error)).lower()}; check the file and its folder")
        return 1
    except Exception as error:  # the last resort: a fault of ours, told in one line all the same
        tell(f"bargloss: a fault inside ({type(error).__name__}: {error}); {_log_details()}")
        return 1


def _work(arguments: Sequence[str]) -> int:
    """What people wait for opens without the reader of all other calls, a sixth of the time until it is there."""
    is_study = len(arguments) == 1 and arguments[0].endswith(".study") and not arguments[0].startswith("-")
    if is_study or not arguments:
        from app.commands.window import open_window
        return open_window(Path(arguments[0]) if is_study else None)
    from app.calls import call
    return call(arguments)


def _log_details() -> str:
    """Keep the traceback in hand where the person can find it; a few words on where that is."""
    log = platformdirs.user_log_path("bargloss", appauthor=False) / "faults.log"
    try:
        log.parent.mkdir(parents=True, exist_ok=True)
        with log.open("a", encoding="utf-8") as file:
            traceback.print_exc(file=file)
    except OSError:
        return f"its details could not be kept in {log}"
    return f"its details are in {log}, for whoever looks after Bargloss"


def _nowhere() -> TextIO:
    """In place of a stream that whoever called us has closed."""
    return Path(os.devnull).open("w", encoding="utf-8")


def main() -> int:
    """The `bargloss` program."""
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # a library's advice to programmers is no use to a teacher
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a console that lacks ♭ still gets the rest of the line
    code = run(sys.argv[1:])
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or the interpreter's own flush complains
    return code


if __name__ == "__main__":
    raise SystemExit(main())
