"""Opening the window, or saying in one line why it cannot open."""

from __future__ import annotations

import ctypes
import gc
import os
import sys
from importlib import import_module
from pathlib import Path

from app.setup import has_apt, library_advice, missing_libraries
from core.errors import BarglossError

_BEFORE_QT = ("core.handout.inspect", "core.line.drafts", "core.line.summary", "core.sound", "core.files")
"""Rooms the window needs anyway, with all they need. PySide6 reads the source of every module that is imported after
it, in search of its own name: a sixth of the time an import takes."""


def open_window(study: Path | None) -> int:
    """Show the window until it is closed; the exit code. Raises BarglossError where it cannot be shown."""
    make_ready(study)
    from app.window import run  # noqa: PLC0415  (Qt, which cannot be imported before all is ready)
    return run(study)


def make_ready(study: Path | None) -> None:
    """Whatever goes before Qt. Raises BarglossError where the window cannot be shown."""
    if study is not None and not study.is_file():
        raise BarglossError("there is no such file; check its name and folder", file=str(study))
    missing = missing_libraries()
    if missing:
        raise BarglossError(library_advice(missing, has_apt()))
    if not _can_be_seen():
        raise BarglossError("there is no display to open the window on; run it on a desktop, or set DISPLAY to one "
                            "that is running")
    gc.disable()  # until the window stands (app.window.set_garbage_aside): nothing made on the way there is garbage
    for room in _BEFORE_QT:
        import_module(room)


def _can_be_seen() -> bool:
    """Whether Qt will find a screen. Asked beforehand, for Qt ends the whole program where it finds none."""
    platform = os.environ.get("QT_QPA_PLATFORM", "xcb")
    if not sys.platform.startswith("linux") or platform != "xcb" or os.environ.get("WAYLAND_DISPLAY"):
        return True
    if not os.environ.get("DISPLAY"):
        return False
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    failed = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not failed
