"""The few questions the window asks by a dialog of its own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QLabel,
    QListWidget,
    QMessageBox,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app import words


def ask_open(parent: QWidget, title: str, kinds: str) -> Path | None:
    """A file that is there; None where the person thought better of it."""
    name, _ = QFileDialog.getOpenFileName(parent, title, "", kinds)
    return Path(name) if name else None


def ask_save(parent: QWidget, title: str, beside: Path, kinds: dict[str, str]) -> Path | None:
    """Where to write. kinds: what may be written, by ending; the chosen one's is added where the name has none.

    The dialog adds it, not we: so it asks before an existing file of the whole name is replaced.
    """
    dialog = QFileDialog(parent, title, str(beside.parent), ";;".join(kinds.values()))
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.selectFile(beside.name)
    endings = {text: ending for ending, text in kinds.items()}
    dialog.setDefaultSuffix(next(iter(kinds)))
    dialog.filterSelected.connect(lambda text: dialog.setDefaultSuffix(endings[text]))
    return Path(dialog.selectedFiles()[0]) if dialog.exec() == QDialog.DialogCode.Accepted else None


def ask_about_changes(parent: QWidget, name: str) -> Literal["save", "discard", "stay"]:
    """What to do with changes that are not saved."""
    box = QMessageBox(QMessageBox.Icon.Question, words.APP, words.ASK_SAVE.format(name=name), parent=parent)
    box.setInformativeText(words.ASK_SAVE_MORE)
    save = box.addButton(words.SAVE, QMessageBox.ButtonRole.AcceptRole)
    discard = box.addButton(words.DISCARD, QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton(words.STAY, QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(stay)
    box.exec()
    if box.clickedButton() is save:
        return "save"
    return "discard" if box.clickedButton() is discard else "stay"


def word_buttons(names: dict[QDialogButtonBox.StandardButton, str]) -> QDialogButtonBox:
    """A dialog's buttons, in words alone: the pictures some systems add belong to no style of ours."""
    box = QDialogButtonBox()
    for kind, name in names.items():
        button = box.addButton(kind)
        button.setText(name)
        button.setIcon(QIcon())
    return box


def ask_part(parent: QWidget, what: str) -> int | None:
    """The number of one of several parts. what: what there is to choose from."""
    dialog = QDialog(parent, windowTitle=words.BRING_TITLE)
    number = QSpinBox(minimum=1, maximum=99_999)
    label = QLabel(words.CHOOSE_PART.format(what=what), wordWrap=True)
    buttons = word_buttons({QDialogButtonBox.StandardButton.Ok: words.BRING_PART,
                            QDialogButtonBox.StandardButton.Cancel: words.LEAVE_PART})
    buttons.accepted.connect(dialog.accept)
    buttons.rejected.connect(dialog.reject)
    form = QFormLayout(dialog)
    form.addRow(label)
    form.addRow(words.PART, number)
    form.addRow(buttons)
    return number.value() if dialog.exec() == QDialog.DialogCode.Accepted else None


class NoticeList(QDialog):
    """Sentences in a list that stays open beside the window. chosen: with the index of the one gone into."""

    chosen = Signal(int)

    def __init__(self, parent: QWidget, title: str, sentences: Sequence[str]) -> None:
        super().__init__(parent, windowTitle=title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.list = QListWidget(wordWrap=True, accessibleName=title)
        self.list.addItems(list(sentences))
        self.list.itemActivated.connect(lambda item: self.chosen.emit(self.list.row(item)))
        self.list.itemClicked.connect(lambda item: self.chosen.emit(self.list.row(item)))
        buttons = word_buttons({QDialogButtonBox.StandardButton.Close: words.CLOSE})
        buttons.rejected.connect(self.close)
        column = QVBoxLayout(self)
        column.addWidget(self.list)
        column.addWidget(buttons)
        self.resize(520, 320)
