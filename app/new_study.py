"""The dialog that begins a study: its form, key, meter, tempo, feel, title, player and rights line."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLineEdit, QSpinBox, QWidget

from app import words_sheet
from app import words_writing as words
from app.details import read_meter
from app.dialogs import word_buttons
from app.fields import Fault
from app.key_fields import KeyFields, on_tonic
from core.errors import BarglossError
from core.files.forms import form_names, load_form, study_from_form
from core.study import Study


class NewStudy(QDialog):
    """study: what was asked for, once accepted."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, windowTitle=words.NEW_TITLE)
        self.study: Study | None = None
        self.title = QLineEdit(placeholderText=words.TITLE_HINT)
        self.player = QLineEdit(placeholderText=words.OPTIONAL)
        self.rights = QLineEdit(placeholderText=words.OPTIONAL)
        self.form, self.key, self.feel = QComboBox(), KeyFields(), QComboBox()
        forms = {name: load_form(name) for name in form_names()}
        for name in sorted(forms, key=lambda name: (forms[name].bars, forms[name].name)):
            self.form.addItem(forms[name].name, name)
        for feel, name in words.FEELS.items():
            self.feel.addItem(name, feel)
        self.filled = QCheckBox(words.FILLED, checked=True)
        self.meter = QLineEdit("4/4")
        self.tempo = QSpinBox(minimum=10, maximum=500, value=120, suffix=words.TEMPO_UNIT)
        self.fault = Fault()
        buttons = word_buttons({QDialogButtonBox.StandardButton.Ok: words.BEGIN,
                                QDialogButtonBox.StandardButton.Cancel: words.LEAVE_IT})
        buttons.accepted.connect(self._begin)
        buttons.rejected.connect(self.reject)
        rows = QFormLayout(self)
        for name, field in ((words.TITLE, self.title), (words_sheet.PLAYER, self.player), (words.FORM, self.form),
                            ("", self.filled), (words.KEY, self.key), (words.METER, self.meter),
                            (words.TEMPO, self.tempo), (words.FEEL, self.feel), (words_sheet.RIGHTS, self.rights)):
            field.setAccessibleName(name or words.FILLED)
            rows.addRow(name, field)
        rows.addRow(self.fault)
        rows.addRow(buttons)
        self.form.currentIndexChanged.connect(self._follow_form)
        self._follow_form()
        self.setMinimumWidth(380)

    def _follow_form(self) -> None:
        """A form in minor offers minor, one in major major; a blank one has no chords to fill in."""
        form = load_form(self.form.currentData())
        self.key.show_key(on_tonic(self.key.key, form.key.mode))
        self.filled.setEnabled(bool(form.changes))

    def _begin(self) -> None:
        try:
            self.study = study_from_form(
                self.form.currentData(), self.key.key, read_meter(self.meter.text()),
                title=self.title.text().strip(), player=self.player.text().strip(), rights=self.rights.text().strip(),
                tempo=self.tempo.value(), feel=self.feel.currentData(), filled=self.filled.isChecked())
        except BarglossError as error:
            self.fault.tell("\n".join(error.lines()))
            return
        self.accept()


def ask_new(parent: QWidget) -> Study | None:
    """A new study; None where the person thought better of it."""
    dialog = NewStudy(parent)
    return dialog.study if dialog.exec() == QDialog.DialogCode.Accepted else None
