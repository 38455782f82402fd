"""Light or dark round the paper. The paper stays paper."""

from __future__ import annotations

from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

_Role = QPalette.ColorRole
_DARK = {
    _Role.Window: "#2b2b2b", _Role.WindowText: "#e8e8e8", _Role.Base: "#1f1f1f", _Role.AlternateBase: "#262626",
    _Role.Text: "#e8e8e8", _Role.Button: "#383838", _Role.ButtonText: "#e8e8e8", _Role.ToolTipBase: "#383838",
    _Role.ToolTipText: "#e8e8e8", _Role.BrightText: "#ffffff", _Role.Light: "#4a4a4a", _Role.Midlight: "#404040",
    _Role.Mid: "#1f1f1f", _Role.Dark: "#171717", _Role.Shadow: "#000000", _Role.Link: "#7cc0ea",
    _Role.Highlight: "#2f6f9f", _Role.HighlightedText: "#ffffff", _Role.PlaceholderText: "#9a9a9a",
}
_LIGHT = {
    _Role.Window: "#efefef", _Role.WindowText: "#1a1a1a", _Role.Base: "#ffffff", _Role.AlternateBase: "#f6f6f6",
    _Role.Text: "#1a1a1a", _Role.Button: "#efefef", _Role.ButtonText: "#1a1a1a", _Role.ToolTipBase: "#ffffff",
    _Role.ToolTipText: "#1a1a1a", _Role.BrightText: "#ffffff", _Role.Light: "#ffffff", _Role.Midlight: "#f6f6f6",
    _Role.Mid: "#b8b8b8", _Role.Dark: "#9f9f9f", _Role.Shadow: "#767676", _Role.Link: "#005a8f",
    _Role.Highlight: "#0072b2", _Role.HighlightedText: "#ffffff", _Role.PlaceholderText: "#6b6b6b",
}
_FADED = (_Role.WindowText, _Role.Text, _Role.ButtonText)


def surround_with(application: QApplication, scheme: str) -> None:
    """scheme: "light", "dark", or "system" for what the system has."""
    colours = {"light": _LIGHT, "dark": _DARK}.get(scheme)
    application.setPalette(QPalette() if colours is None else _palette(colours))


def _palette(colours: dict[QPalette.ColorRole, str]) -> QPalette:
    palette = QPalette()
    for role, colour in colours.items():
        palette.setColor(role, QColor(colour))
    for role in _FADED:
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor("#8a8a8a"))
    return palette
