"""Whether the solo lies well on the neck; the octave that would bring it there, and the phrases to fold."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QListWidget, QPushButton, QVBoxLayout

from app import words_fingering as words
from app.cursor import Cursor
from app.document import Document, Edit
from app.places import Selected
from app.seen_view import SeenView
from app.spoken import bar_name
from core.errors import BarglossError
from core.guitar import OctavePlan, advice, folded, moved_by, octave_plan, octave_proposal
from core.study import Study


class RangeView(SeenView):
    """lost: why a proposal could not be taken."""

    lost = Signal(str)

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self._of: Study | None = None
        self._plan = OctavePlan((), 0)
        self._octaves = 0
        self.told = QLabel(wordWrap=True)
        self.move_all = QPushButton(words.MOVE, toolTip=words.MOVE, autoDefault=False)
        self.folds = QLabel()
        self.folds.setObjectName("heading")
        self.list = QListWidget(wordWrap=True, accessibleName=words.FOLDS)
        self.fold = QPushButton(words.FOLD, autoDefault=False)
        self.setFocusProxy(self.list)
        column = QVBoxLayout(self)
        for part in (self.told, self.move_all, self.folds, self.list, self.fold):
            column.addWidget(part)
        column.addStretch(1)
        self.move_all.clicked.connect(self._move_all)
        self.fold.clicked.connect(self._fold)
        self.list.currentRowChanged.connect(self._point)
        document.changed.connect(self.refresh_soon)

    def refresh(self) -> None:
        """Plan anew for another study."""
        study = self._document.study
        if study is self._of:
            return
        self._of, self._plan, self._octaves = study, octave_plan(study), octave_proposal(study).octaves
        lines = advice(study)
        self.told.setText(lines[0] if lines else words.FITS)
        self.move_all.setVisible(self._octaves != 0)
        count = abs(self._octaves)
        names = words.MOVE_ALL if count == 1 else words.MOVE_ALL_MORE
        self.move_all.setText(names[1 if self._octaves > 0 else -1].format(count=count))
        self.folds.setText(words.FOLDS if self._plan.folds else words.NO_FOLDS)
        self.list.clear()
        self.list.addItems([fold.sentence for fold in self._plan.folds])
        self.list.setVisible(bool(self._plan.folds))
        self.fold.setVisible(bool(self._plan.folds))
        self.list.setCurrentRow(0)

    def _point(self, row: int) -> None:
        """Select the notes of the fold on the page, once somebody is at the list."""
        if 0 <= row < len(self._plan.folds) and self.list.hasFocus():
            fold = self._plan.folds[row]
            self._cursor.go(Selected(fold.first.bar, fold.first, fold.last if fold.last != fold.first else None))

    def _move_all(self) -> None:
        octaves = self._octaves
        self._edit(words.MOVE_EDIT, lambda study: moved_by(study, octaves))

    def _fold(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self._plan.folds):
            fold = self._plan.folds[row]
            bar = bar_name(self._document.study, fold.first.bar)
            self._edit(words.FOLD_EDIT.format(bar=bar), lambda study: folded(study, fold))

    def _edit(self, name: str, change: Edit) -> None:
        try:
            self._document.edit(name, change)
        except BarglossError as error:
            self.lost.emit("\n".join(error.lines()))
        self.refresh()
