"""A key to choose: its tonic and its mode, of those that can be written with seven sharps or flats at most."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app import words_sheet as words
from app.fields import Choice
from app.sign_fields import choice
from app.spoken import pretty
from core.study import MODES, Key


class KeyFields(QWidget):
    """key: what is shown. chosen: the person has picked another."""

    chosen = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.key = Key()
        self.tonic = Choice(words.KEY)
        self.mode = choice(words.MODE, {mode: mode for mode in MODES})
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.tonic)
        line.addWidget(self.mode, 1)
        self.setFocusProxy(self.tonic)
        self.tonic.activated.connect(lambda _: self._choose(Key(self.tonic.currentData(), self.key.mode)))
        self.mode.activated.connect(lambda _: self._choose(on_tonic(self.key, self.mode.currentData())))
        self.show_key(self.key)

    def show_key(self, key: Key) -> None:
        if self.key.mode != key.mode or not self.tonic.count():
            self.tonic.clear()
            for one in keys_of(key.mode):
                self.tonic.addItem(pretty(one.tonic.name), one.fifths)
        self.key = key
        self.tonic.setCurrentIndex(self.tonic.findData(key.fifths))
        self.mode.setCurrentIndex(self.mode.findData(key.mode))

    def _choose(self, key: Key) -> None:
        self.show_key(key)
        self.chosen.emit()


def keys_of(mode: str) -> list[Key]:
    """Upward from C; of two names for one tonic the one with fewer signs first."""
    return sorted((Key(fifths, mode) for fifths in range(-7, 8)), key=lambda one: (one.tonic.chroma, abs(one.fifths)))


def on_tonic(key: Key, mode: str) -> Key:
    """The key of this mode on the same tonic, by its other name where only that can be written."""
    there = [one for one in keys_of(mode) if one.tonic.chroma == key.tonic.chroma]
    return next((one for one in there if one.tonic == key.tonic), there[0])
