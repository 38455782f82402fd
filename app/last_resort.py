"""A fault of our own inside the window: told in one line, kept in a log, and the window goes on."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable
from types import TracebackType

import platformdirs

from app import words
from core.errors import BarglossError


def catch_all(tell: Callable[[str], None]) -> None:
    """From now on, tell whatever no slot has caught, and keep its traceback in the log."""
    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if isinstance(error, BarglossError):
            tell(str(error))
        elif isinstance(error, Exception):
            tell(fault_of_ours(error))
        else:
            sys.__excepthook__(kind, error, trace)
    sys.excepthook = hook


def fault_of_ours(error: Exception) -> str:
    """A line on it; its traceback is kept in the log."""
    return words.INSIDE.format(what=f"{type(error).__name__}: {error}", log=_keep(error))


def _keep(error: BaseException) -> str:
    """A few words on where its traceback is."""
    log = platformdirs.user_log_path("bargloss", appauthor=False) / "faults.log"
    try:
        log.parent.mkdir(parents=True, exist_ok=True)
        with log.open("a", encoding="utf-8") as file:
            traceback.print_exception(error, file=file)
    except OSError:
        return words.LOG_LOST
    return words.LOG_AT.format(path=log)
