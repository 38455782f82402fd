"""The help sheet: every command with its keys, read off the menus as they are, so that it is never out of date."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QMenu,
    QMenuBar,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import words, words_around


def commands(bar: QMenuBar) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Each menu's name, and the name and keys of every command in it."""
    for top in bar.actions():
        menu = top.menu()
        if isinstance(menu, QMenu):
            yield _plain(top.text()), list(_inside(menu))


def _inside(menu: QMenu, before: str = "") -> Iterator[tuple[str, str]]:
    for action in menu.actions():
        inner = action.menu()
        name = before + _plain(action.text())
        if isinstance(inner, QMenu):
            yield from _inside(inner, f"{name}: ")
        elif not action.isSeparator():
            yield name, _keys(action)


def _keys(action: QAction) -> str:
    """Its keys, as this system writes them, but for special ones; those of the page itself stand after the name."""
    own = action.text().partition("\t")[2]
    kind = QKeySequence.SequenceFormat.NativeText
    usual = [keys.toString(kind) for keys in action.shortcuts() if keys[0].key() < Qt.Key.Key_Super_L]
    return ", ".join(filter(None, [own, *usual]))


def _plain(text: str) -> str:
    """A menu's words without what marks its keys."""
    return text.partition("\t")[0].replace("&&", "\0").replace("&", "").replace("\0", "&").removesuffix("…")


class HelpSheet(QDialog):
    """Stays open beside the window."""

    def __init__(self, parent: QWidget, bar: QMenuBar) -> None:
        super().__init__(parent, windowTitle=words_around.KEYS_TITLE)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.tree = QTreeWidget(accessibleName=words_around.KEYS_TITLE, columnCount=2, rootIsDecorated=False)
        self.tree.setHeaderLabels([words_around.COMMAND, words_around.KEY])
        self.tree.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.tree.header().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.tree.header().setStretchLastSection(False)
        for name, rows in [(words_around.ON_THE_PAGE, list(words_around.PAGE_KEYS)), *commands(bar)]:
            top = QTreeWidgetItem([name])
            font = top.font(0)
            font.setBold(True)
            top.setFont(0, font)
            self.tree.addTopLevelItem(top)
            top.addChildren([QTreeWidgetItem(list(row)) for row in rows if row[1]])
            top.setHidden(not top.childCount())
        self.tree.expandAll()
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.button(QDialogButtonBox.StandardButton.Close).setText(words.CLOSE)
        buttons.rejected.connect(self.close)
        column = QVBoxLayout(self)
        column.addWidget(self.tree)
        column.addWidget(buttons)
        self.resize(760, 640)
