"""Without a display, Qt paints into memory."""

import os

import pytest
from PySide6.QtCore import QLocale

from core.handout import all_of

if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(autouse=True)
def folders_of_its_own(monkeypatch, tmp_path):
    """What a window remembers, and sets aside, goes to a folder of the test's."""
    for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))


@pytest.fixture(autouse=True)
def metric_paper():
    """Wherever the tests are run."""
    QLocale.setDefault(QLocale.c())


@pytest.fixture(autouse=True)
def all_bars_are_exported(monkeypatch):
    """As where Return answers the question; test_exporting.py asks it."""
    monkeypatch.setattr("app.which_bars.ask_bars", lambda _parent, study, _bars: all_of(study))
