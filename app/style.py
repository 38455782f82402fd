"""How the window's own parts look: quiet, and as the system's palette has it, by day and by night."""

from __future__ import annotations

from PySide6.QtGui import QPalette


def quiet_colour(palette: QPalette) -> str:
    """Of what stands back and must still be read."""
    return "#b4b4b4" if palette.color(QPalette.ColorRole.Window).lightness() < 128 else "#595959"


def link_colour(palette: QPalette) -> str:
    """Of what can be followed or pressed in a text."""
    return "#7cc0ea" if palette.color(QPalette.ColorRole.Window).lightness() < 128 else "#005a8f"


def style_sheet(palette: QPalette) -> str:
    """For the whole window. The few colours: vermilion for a fault, blue for news (Okabe & Ito), both on a wash."""
    text, back = palette.color(QPalette.ColorRole.WindowText), palette.color(QPalette.ColorRole.Window)
    is_dark = back.lightness() < 128
    quiet = quiet_colour(palette)
    line = "#5a5a5a" if is_dark else "#c9c9c9"
    fault, fault_back = ("#ffb899", "#4a2a1a") if is_dark else ("#8a3500", "#fdeee4")
    link = link_colour(palette)
    news_back = "#16344a" if is_dark else "#e6f1f9"
    return f"""
        QLabel#title {{ font-size: 15pt; font-weight: 600; }}
        QLabel#heading {{ font-weight: 600; }}
        QLabel#quiet {{ color: {quiet}; }}
        QLabel#fault {{ color: {fault}; }}
        QPushButton:flat {{ border: 1px solid transparent; border-radius: 3px; padding: 1px 3px; color: {link}; }}
        QPushButton:flat:hover {{ text-decoration: underline; }}
        QPushButton:flat:focus {{ border-color: {link}; }}
        QPushButton:flat:disabled {{ color: {quiet}; text-decoration: none; }}
        QFrame#message {{ border: 0; border-top: 1px solid {line}; }}
        QFrame#message[kind="fault"] {{ background: {fault_back}; }}
        QFrame#message QLabel[kind="fault"] {{ color: {fault}; font-weight: 600; }}
        QFrame#message[kind="news"] {{ background: {news_back}; }}
        QFrame#finding {{ border: 0; border-left: 3px solid {line}; }}
        QFrame#finding:hover, QFrame#finding[held="true"] {{ border-left-color: #e69f00; }}
        QLabel#hint {{ background: {news_back}; padding: 8px 14px; }}
        QFrame#neck {{ border: 0; border-top: 1px solid {line}; }}
        QFrame#notepanel {{ border: 0; border-top: 1px solid {line}; }}
        QSplitter#side {{ border-left: 1px solid {line}; }}
        QHeaderView::section {{ padding: 3px 4px; border: 0; border-bottom: 1px solid {line}; }}
        QToolBar {{ border: 0; border-bottom: 1px solid {line}; padding: 3px 8px; spacing: 4px; }}
        QStatusBar {{ border-top: 1px solid {line}; }}
        QStatusBar::item {{ border: 0; }}
        QStatusBar QLabel {{ padding: 2px 6px; color: {text.name()}; }}
        QListWidget::item, QTreeWidget::item {{ padding: 3px 2px; }}
    """ + (_edges(line, link) if is_dark else "")


def _edges(line: str, link: str) -> str:
    """Of what is written into: by night the system's own edges are darker than what they stand out from."""
    return f"""
        QLineEdit, QPlainTextEdit {{ border: 1px solid #767676; border-radius: 2px; padding: 1px 3px; }}
        QLineEdit:focus, QPlainTextEdit:focus {{ border-color: {link}; }}
        QLineEdit:disabled {{ border-color: {line}; }}
        QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{ border: 0; padding: 0; }}
        QListView, QTreeView, QTableView {{ border: 1px solid {line}; }}
        QListView::indicator:unchecked {{ border: 1px solid #767676; border-radius: 2px; }}
    """
