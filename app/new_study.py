"""The dialog that begins a study: its form, key, meter, tempo, feel and title."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLineEdit, QSpinBox, QWidget

from app import words_writing as words
from app.fields import Fault
from app.spoken import pretty
from core.errors import BarglossError
from core.files.forms import form_names, load_form, study_from_form
from core.study import MODES, Study, parse_key, parse_meter

_TONICS = ("C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "C#", "D#", "G#", "A#", "Cb")


class NewStudy(QDialog):
    """study: what was asked for, once accepted."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, windowTitle=words.NEW_TITLE)
        self.study: Study | None = None
        self.title = QLineEdit(placeholderText=words.TITLE_HINT)
        self.form, self.key, self.mode, self.feel = QComboBox(), QComboBox(), QComboBox(), QComboBox()
        for name in form_names():
            self.form.addItem(load_form(name).name, name)
        for tonic in _TONICS:
            self.key.addItem(pretty(tonic), tonic)
        self.mode.addItems(MODES)
        for feel, name in words.FEELS.items():
            self.feel.addItem(name, feel)
        self.meter = QLineEdit("4/4")
        self.tempo = QSpinBox(minimum=10, maximum=500, value=120, suffix=words.TEMPO_UNIT)
        self.fault = Fault()
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText(words.BEGIN)
        buttons.button(QDialogButtonBox.StandardButton.Cancel).setText(words.LEAVE_IT)
        buttons.accepted.connect(self._begin)
        buttons.rejected.connect(self.reject)
        rows = QFormLayout(self)
        for name, field in ((words.TITLE, self.title), (words.FORM, self.form), (words.KEY, self.key),
                            (words.MODE, self.mode), (words.METER, self.meter), (words.TEMPO, self.tempo),
                            (words.FEEL, self.feel)):
            field.setAccessibleName(name)
            rows.addRow(name, field)
        rows.addRow(self.fault)
        rows.addRow(buttons)
        self.form.currentIndexChanged.connect(self._follow_form)
        self._follow_form()
        self.setMinimumWidth(380)

    def _follow_form(self) -> None:
        """A form in minor offers minor, one in major major."""
        self.mode.setCurrentText(load_form(self.form.currentData()).key.mode)

    def _begin(self) -> None:
        try:
            key = parse_key(f"{self.key.currentData()} {self.mode.currentText()}")
            self.study = study_from_form(
                self.form.currentData(), key, parse_meter(self.meter.text().strip()),
                title=self.title.text().strip(), tempo=self.tempo.value(), feel=self.feel.currentData())
        except BarglossError as error:
            self.fault.tell("\n".join(error.lines()))
            return
        self.accept()


def ask_new(parent: QWidget) -> Study | None:
    """A new study; None where the person thought better of it."""
    dialog = NewStudy(parent)
    return dialog.study if dialog.exec() == QDialog.DialogCode.Accepted else None
