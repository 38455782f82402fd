"""The menu of recent studies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QMenu, QWidget

from app import words_around
from app.settings import Settings


def recent_menu(parent: QWidget, settings: Settings, opening: Callable[[Path], None]) -> QMenu:
    """Kept up with the settings. opening: what choosing a study does."""
    menu = QMenu(words_around.RECENT, parent)
    menu.setToolTipsVisible(True)

    def fill() -> None:
        menu.clear()
        paths = settings.recent
        for place, path in enumerate(paths, 1):
            action = menu.addAction(f"&{place % 10}  {path.name.replace('&', '&&')}")
            action.setToolTip(str(path))
            action.triggered.connect(lambda _checked, path=path: opening(path))
        if not paths:
            menu.addAction(words_around.NO_RECENT).setEnabled(False)
            return
        menu.addSeparator()
        menu.addAction(words_around.FORGET_RECENT).triggered.connect(lambda _checked: settings.forget())

    settings.recent_changed.connect(fill)
    fill()
    return menu
