"""The notes of the selected bar in a table: what the teacher set stands apart from what is proposed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QLabel,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from app import words_about as words
from app.cursor import Cursor
from app.document import Document
from app.note_cells import Cell, cell, choices, written
from app.places import Selected, heads
from app.spoken import bar_name
from app.style import quiet_colour
from core.errors import BarglossError
from core.study import NotePlace

_COLUMNS = tuple(words.COLUMNS)
_PADDING = 9  # pixels beside the text of a cell
_Index = QModelIndex | QPersistentModelIndex
_TOP = QModelIndex()
_Role = Qt.ItemDataRole
_EDITABLE = Qt.ItemFlag.ItemIsEditable


class NoteModel(QAbstractTableModel):
    """A row a head, a column each of words.COLUMNS. refused: why something typed was not kept.

    has_refused: whether the last text typed was not.
    """

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self.rows: list[NotePlace] = []
        self.has_refused = False
        self._bold = QFont()
        self._bold.setBold(True)
        self._slanted = QFont()
        self._slanted.setItalic(True)

    def show(self, rows: list[NotePlace]) -> None:
        """Tell of these heads."""
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        elif rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(_COLUMNS) - 1))

    def rowCount(self, parent: _Index = _TOP) -> int:  # noqa: N802
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = _TOP) -> int:  # noqa: N802
        return 0 if parent.isValid() else len(_COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole) -> Any:  # noqa: N802
        if role == _Role.DisplayRole:
            return words.COLUMNS[_COLUMNS[section]] if orientation == Qt.Orientation.Horizontal else section + 1
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        return flags | _EDITABLE if _COLUMNS[index.column()] != "note" else flags

    def data(self, index: _Index, role: int = _Role.DisplayRole) -> Any:
        if index.row() >= len(self.rows):
            return None
        place, column = self.rows[index.row()], _COLUMNS[index.column()]
        found = cell(self._document.layout, place, column)
        match role:
            case _Role.DisplayRole:
                return found.text
            case _Role.EditRole:
                return found.typed
            case _Role.ToolTipRole:
                return choices(self._document.study, place, column, found.text) or None
            case _Role.AccessibleTextRole:
                return self._spoken(found, column)
            case _Role.FontRole:
                return None if column in ("note", "remark") else self._bold if found.own else self._slanted
            case _Role.ForegroundRole:
                return None if found.own else QColor(quiet_colour(QGuiApplication.palette()))
            case _Role.TextAlignmentRole if column in ("string", "fret", "finger"):
                return Qt.AlignmentFlag.AlignCenter
        return None

    def _spoken(self, found: Cell, column: str) -> str:
        text = f"{words.COLUMNS[column]} {found.text or words.EMPTY_CELL}"
        if column in ("note", "remark"):
            return text
        return (words.SET_BY_YOU if found.own else words.PROPOSED).format(what=text)

    def give_back(self, cells: Sequence[QModelIndex]) -> None:
        """Leave these cells to Bargloss, as one edit."""
        study = self._document.study
        given = [(self.rows[one.row()], _COLUMNS[one.column()]) for one in cells if self.flags(one) & _EDITABLE]
        filled = [written(study, *one, "") for one in given if cell(self._document.layout, *one).typed]
        if not filled:
            return
        name = filled[0].name if len({one.name for one in filled}) == 1 else words.GIVE_BACK_EDIT
        try:
            self._document.edit(name.format(bar=bar_name(study, given[0][0].bar)),
                                lambda study: reduce(lambda so_far, one: one.change(so_far), filled, study))
        except BarglossError as error:
            self.refused.emit(error.what)

    def setData(self, index: _Index, value: Any, role: int = _Role.EditRole) -> bool:  # noqa: N802
        if role != _Role.EditRole or index.row() >= len(self.rows):
            return False
        place, column, study = self.rows[index.row()], _COLUMNS[index.column()], self._document.study
        self.has_refused = False
        if value == cell(self._document.layout, place, column).typed:
            return False
        try:
            edit = written(study, place, column, str(value))
            self._document.edit(edit.name.format(bar=bar_name(study, place.bar)), edit.change)
        except BarglossError as error:
            self.has_refused = True
            self.refused.emit(error.what)
            return False
        return True


class _Table(QTableView):
    """Enter opens a cell, and from there leads to the cell below; Delete gives the selected cells back to Bargloss."""

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        key, index, model = event.key(), self.currentIndex(), self.model()
        if self.state() == QAbstractItemView.State.EditingState:  # Enter in the cell comes here too
            return
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and index.isValid():
            self.edit(index)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and isinstance(model, NoteModel):
            model.give_back(self.selectedIndexes())
        else:
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:  # noqa: N802
        super().closeEditor(editor, hint)
        model, below = self.model(), self.currentIndex().siblingAtRow(self.currentIndex().row() + 1)
        kept = isinstance(model, NoteModel) and not model.has_refused
        if hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache and kept and below.isValid():
            self.setCurrentIndex(below)


class NoteTable(QWidget):
    """The table, its legend, and its bond with the cursor: a row gone to selects its note on the page."""

    lost = Signal(str)

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self.model = NoteModel(document)
        self.table = _Table()
        self.table.setModel(self.model)
        self.table.setAccessibleName(words.NOTE_TABLE)
        self.table.setTabKeyNavigation(False)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.DoubleClicked
                                   | QAbstractItemView.EditTrigger.EditKeyPressed
                                   | QAbstractItemView.EditTrigger.AnyKeyPressed)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 10)
        across = self.table.horizontalHeader()
        across.setStretchLastSection(True)
        across.setMinimumSectionSize(24)
        across.setHighlightSections(False)
        across.resizeSection(len(_COLUMNS) - 1, across.minimumSectionSize())
        for column, widest in enumerate(words.WIDEST.values()):
            across.resizeSection(column, self.fontMetrics().horizontalAdvance(widest) + _PADDING)
        legend = QLabel(words.LEGEND, wordWrap=True)
        legend.setObjectName("quiet")
        rows = QVBoxLayout(self)
        rows.setContentsMargins(6, 8, 6, 8)
        rows.addWidget(self.table, 1)
        rows.addWidget(legend)
        self.model.refused.connect(self.lost)
        self.table.selectionModel().currentRowChanged.connect(self._follow)
        cursor.leaving.connect(self.settle)
        cursor.moved.connect(self.refresh)
        document.changed.connect(self.refresh)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.refresh()

    def settle(self) -> None:
        """Keep what is being typed into a cell."""
        editor = self.table.indexWidget(self.table.currentIndex())
        if editor is not None:
            self.table.commitData(editor)
            self.table.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)

    def refresh(self) -> None:
        """Show the bar under the cursor; nothing while the table is out of sight."""
        at = self._cursor.at
        self.model.show(list(heads(self._document.study, [at.bar])) if self.isVisible() else [])
        if at.moving in self.model.rows:
            row = self.model.rows.index(at.moving)
            current = self.table.currentIndex()
            if current.row() != row:
                selected = self.table.selectionModel()
                index = self.model.index(row, max(current.column(), 1))
                selected.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def _follow(self, current: QModelIndex, _: QModelIndex) -> None:
        if self.table.hasFocus() and 0 <= current.row() < len(self.model.rows):
            place = self.model.rows[current.row()]
            if place != self._cursor.at.moving:
                self._cursor.go(Selected(place.bar, place))
