"""The question which bars of a study are exported: all, some of them, or a chorus."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QRadioButton,
    QSpinBox,
    QWidget,
)

from app import words_sheet as words
from app.dialogs import word_buttons
from app.fields import Fault
from core.errors import BarglossError
from core.handout import Excerpt, all_of
from core.study import Study, chorus_span


class WhichBars(QDialog):
    """part: what was chosen, once accepted."""

    def __init__(self, parent: QWidget, study: Study, bars: tuple[int, int]) -> None:
        super().__init__(parent, windowTitle=words.PART_TITLE)
        self._study, self.part = study, all_of(study)
        numbers = [here.number for here in study.in_force]
        self.all, self.some, self.one = (QRadioButton(name) for name in (
            words.ALL_BARS, words.SOME_BARS, words.ONE_CHORUS))
        self.first, self.last = (
            QSpinBox(minimum=numbers[0], maximum=numbers[-1], value=numbers[bar], accessibleName=name)
            for bar, name in zip(bars, (words.FIRST_BAR, words.LAST_BAR), strict=True))
        self.chorus = QComboBox(accessibleName=words.WHICH_CHORUS)
        self.chorus.addItems([one.label for one in study.choruses])
        self.fault = Fault()
        self._arrange()
        self.all.setChecked(True)
        self.all.setFocus()
        for field in (self.first, self.last):
            field.valueChanged.connect(lambda _: self.some.setChecked(True))
        self.chorus.activated.connect(lambda _: self.one.setChecked(True))

    def _arrange(self) -> None:
        buttons = word_buttons({QDialogButtonBox.StandardButton.Ok: words.GO_ON,
                                QDialogButtonBox.StandardButton.Cancel: words.LEAVE_IT})
        buttons.accepted.connect(self._choose)
        buttons.rejected.connect(self.reject)
        some = QHBoxLayout()
        some.addWidget(self.first, 1)
        some.addWidget(QLabel(words.TO_BAR))
        some.addWidget(self.last, 1)
        rows = QFormLayout(self)
        rows.addRow(self.all)
        rows.addRow(self.some, some)
        rows.addRow(self.one, self.chorus)
        for field in (self.one, self.chorus):
            field.setVisible(bool(self._study.choruses))
        rows.addRow(self.fault)
        rows.addRow(buttons)
        self.setMinimumWidth(320)

    def _choose(self) -> None:
        try:
            self.part = self._chosen()
        except BarglossError as error:
            self.fault.tell(error.what)
            return
        self.accept()

    def _chosen(self) -> Excerpt:
        study = self._study
        if self.some.isChecked():
            first, last = self.first.value(), self.last.value()
            if last < first:
                raise BarglossError(words.BACKWARD.format(first=first, last=last))
            return Excerpt(study, study.bar_index(first), study.bar_index(last))
        if self.one.isChecked():
            return Excerpt(study, *chorus_span(study, self.chorus.currentIndex() + 1))
        return all_of(study)


def ask_bars(parent: QWidget, study: Study, bars: tuple[int, int]) -> Excerpt | None:
    """All, unless something else is said; None where the person thought better of it. bars: offered, by index."""
    dialog = WhichBars(parent, study, bars)
    return dialog.part if dialog.exec() == QDialog.DialogCode.Accepted else None


def bars_in_name(part: Excerpt) -> str:
    """`-13-24`, for a file that holds a part of a study; nothing for the whole."""
    if part.study is part.whole:
        return ""
    return f"-{part.study.in_force[0].number}-{part.study.in_force[-1].number}"
