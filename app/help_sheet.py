"""The sheet of keys: every command with its keys, read off the menus as they are, and changed where they stand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QFocusEvent, QKeyEvent, QKeySequence, QPalette
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QKeySequenceEdit,
    QLabel,
    QLineEdit,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import words_around, words_fingering
from app import words_keys as words
from app.dialogs import word_buttons
from app.own_keys import Command, OwnKeys, shown_keys
from app.words import CLOSE
from core.errors import BarglossError

_COMMAND = Qt.ItemDataRole.UserRole
"""Of a row: which of the commands it is, by index; None for what is fixed."""


class KeyField(QKeySequenceEdit):
    """Takes one key, and is done. left: by Escape, or for something else, with nothing pressed."""

    left = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setMaximumSequenceLength(1)
        self.setAccessibleName(words.NEW_KEY.format(name=name))
        self.findChild(QLineEdit).setPlaceholderText(words.PRESS)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusOutEvent(event)
        self.left.emit()


class HelpSheet(QDialog):
    """Stays open beside the window."""

    def __init__(self, parent: QWidget, keys: OwnKeys) -> None:
        super().__init__(parent, windowTitle=words_around.KEYS_TITLE)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._keys = keys
        self.search = QLineEdit(placeholderText=words.SEARCH, accessibleName=words.SEARCH, clearButtonEnabled=True)
        self.tree = QTreeWidget(accessibleName=words_around.KEYS_TITLE, columnCount=2, rootIsDecorated=False)
        self.told = QLabel(words.HOW, wordWrap=True)
        self.change, self.back, self.all_back = (
            QPushButton(name, toolTip=tip, autoDefault=False) for name, tip in (
                (words.CHANGE, words.CHANGE_TIP), (words.BACK, words.BACK_TIP), (words.ALL_BACK, words.ALL_BACK_TIP)))
        self.field: KeyField | None = None
        """While a key is being pressed for the chosen command, in the place of its keys."""
        self._row = QTreeWidgetItem()  # the field's
        self._fill()
        self._arrange()
        self.search.textChanged.connect(self._find)
        self.search.returnPressed.connect(self.tree.setFocus)
        self.tree.itemActivated.connect(lambda _item, _column: self._ask())
        self.tree.currentItemChanged.connect(lambda _now, _before: self._refresh())
        self.change.clicked.connect(self._ask)
        self.back.clicked.connect(self._give_back)
        self.all_back.clicked.connect(self._give_all_back)
        self._refresh()

    def _arrange(self) -> None:
        header = self.tree.header()
        self.tree.setHeaderLabels([words_around.COMMAND, words_around.KEY])
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        header.resizeSection(1, 220)
        header.setStretchLastSection(False)
        closing = word_buttons({QDialogButtonBox.StandardButton.Close: CLOSE})
        closing.button(QDialogButtonBox.StandardButton.Close).setAutoDefault(False)  # Return is for the row
        closing.rejected.connect(self.close)
        line = QHBoxLayout()
        for button in (self.change, self.back, self.all_back):
            line.addWidget(button)
        line.addStretch(1)
        line.addWidget(closing)
        column = QVBoxLayout(self)
        column.addWidget(self.search)
        column.addWidget(self.tree)
        column.addWidget(self.told)
        column.addLayout(line)
        self.resize(760, 640)

    # The rows

    def _fill(self) -> None:
        for name, fixed in ((words_around.ON_THE_PAGE, (*words_around.PAGE_KEYS, *words.MOVING_KEYS)),
                            (words_fingering.ON_THE_NECK, words_fingering.NECK_KEYS), (words.SIGNS, words.SIGN_ROWS)):
            top = self._section(name if fixed is words.SIGN_ROWS else words.FIXED.format(section=name))
            self._fill_fixed(top, fixed)
        for name, rows in groupby(enumerate(self._keys.commands), lambda one: one[1].menu):
            top = self._section(name)
            for index, command in rows:
                row = QTreeWidgetItem(top, [command.name])
                row.setData(0, _COMMAND, index)
        self.tree.expandAll()

    def _section(self, name: str) -> QTreeWidgetItem:
        top = QTreeWidgetItem(self.tree, [name])
        top.setFirstColumnSpanned(True)
        top.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = top.font(0)
        font.setBold(True)
        top.setFont(0, font)
        return top

    def _fill_fixed(self, top: QTreeWidgetItem, rows: Sequence[tuple[str, str]]) -> None:
        quiet = self.palette().brush(QPalette.ColorRole.PlaceholderText)
        for what, keys in rows:
            QTreeWidgetItem(top, [what, keys]).setForeground(1, quiet)

    def _rows(self) -> Iterator[QTreeWidgetItem]:
        for place in range(self.tree.topLevelItemCount()):
            top = self.tree.topLevelItem(place)
            yield from (top.child(row) for row in range(top.childCount()))

    def _refresh(self) -> None:
        """Show the keys as they are, and what can be done with the chosen row."""
        for row in self._rows():
            command = self._of(row)
            if command is not None:
                row.setText(1, command.told)
                font = row.font(1)
                font.setBold(command.is_changed)
                row.setFont(1, font)
                came = shown_keys(command.original) or words.NO_KEY
                row.setToolTip(1, words.WAS.format(keys=came) if command.is_changed else "")
        chosen = self._of(self.tree.currentItem())
        self.change.setEnabled(chosen is not None)
        self.back.setEnabled(chosen is not None and chosen.is_changed)
        self.all_back.setEnabled(any(one.is_changed for one in self._keys.commands))

    def _of(self, row: QTreeWidgetItem | None) -> Command | None:
        index = None if row is None else row.data(0, _COMMAND)
        return None if index is None else self._keys.commands[index]

    def _find(self, text: str) -> None:
        """Show only the rows in which every word of the text is."""
        wanted, shown = text.lower().split(), []
        for place in range(self.tree.topLevelItemCount()):
            top = self.tree.topLevelItem(place)
            rows = [top.child(row) for row in range(top.childCount())]
            for row in rows:
                told = f"{top.text(0)} {row.text(0)} {row.text(1)}".lower()
                row.setHidden(not all(word in told for word in wanted))
            left = [row for row in rows if not row.isHidden()]
            top.setHidden(not left)
            shown += left
        if shown and (self.tree.currentItem() is None or self.tree.currentItem().isHidden()):
            self.tree.setCurrentItem(shown[0])
        self._tell(words.HOW if shown else words.NONE_FOUND.format(text=text))

    # Changing

    def _ask(self) -> None:
        """Wait for the new key, in the row's own place."""
        row = self.tree.currentItem()
        command = self._of(row)
        if command is None:
            self._tell(words.ONLY_FIXED)
            return
        self._drop_field()
        self.field, self._row = KeyField(command.name), row
        self.field.editingFinished.connect(lambda: self._pressed(command))
        self.field.left.connect(self._leave_field)
        self.tree.setItemWidget(row, 1, self.field)
        self.tree.scrollToItem(row)
        self.field.setFocus()

    def _pressed(self, command: Command) -> None:
        key = QKeySequence() if self.field is None else self.field.keySequence()
        if not key.isEmpty():
            self._leave_field()
            self._try(lambda: self._keys.give(command, key), command)

    def _leave_field(self) -> None:
        if self.field is not None:
            self._drop_field()
            self.tree.setFocus()

    def _drop_field(self) -> None:
        field, self.field = self.field, None
        if field is not None:
            field.hide()  # now: it goes when it has done with its own key
            self.tree.removeItemWidget(self._row, 1)

    def _give_back(self) -> None:
        command = self._of(self.tree.currentItem())
        if command is not None:
            self._try(lambda: self._keys.give_back(command), command)

    def _give_all_back(self) -> None:
        self._keys.give_all_back()
        self._refresh()
        self._tell(words.ALL_GIVEN)

    def _try(self, change: Callable[[], None], command: Command) -> None:
        try:
            change()
        except BarglossError as error:
            self._tell(error.what)
        else:
            self._refresh()
            self._tell(words.GIVEN.format(name=command.name, keys=shown_keys(command.keys) or words.NO_KEY))

    def _tell(self, line: str) -> None:
        self.told.setText(line)
        self.told.setAccessibleName(line)
        QAccessible.updateAccessibility(QAccessibleEvent(self.told, QAccessible.Event.Alert))
