"""Opening the window, or saying in one line why it cannot open."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

from app.setup import has_apt, library_advice, missing_libraries
from core.errors import BarglossError


def open_window(study: Path | None) -> None:
    """Show the window until it is closed. Raises BarglossError where it cannot be shown."""
    if study is not None and not study.is_file():
        raise BarglossError("there is no such file; check its name and folder", file=str(study))
    missing = missing_libraries()
    if missing:
        raise BarglossError(library_advice(missing, has_apt()))
    if not _can_be_seen():
        raise BarglossError("there is no display to open the window on; run it on a desktop, or set DISPLAY to one "
                            "that is running")
    from app.window import run  # noqa: PLC0415  (Qt, which cannot be imported before all this holds)
    raise SystemExit(run(study))


def _can_be_seen() -> bool:
    """Whether Qt will find a screen. Asked beforehand, for Qt ends the whole program where it finds none."""
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM") or os.environ.get("WAYLAND_DISPLAY"):
        return True
    if not os.environ.get("DISPLAY"):
        return False
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    failed = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not failed
