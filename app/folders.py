"""Where the window keeps what is its own: its settings, and the journals of unsaved work."""

from __future__ import annotations

from pathlib import Path

import platformdirs


def settings_file() -> Path:
    """An ini file, in the system's folder for configuration."""
    return platformdirs.user_config_path("bargloss", appauthor=False) / "window.ini"


def journal_folder() -> Path:
    """In the system's folder for a program's own state; it need not be there yet."""
    return platformdirs.user_state_path("bargloss", appauthor=False) / "journals"
