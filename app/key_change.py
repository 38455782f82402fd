"""The study's key, and what becomes of the music where another is chosen: it stays, or it moves."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app import words_sheet as words
from app.document import Document
from app.fields import Fault
from app.key_fields import KeyFields
from app.spoken import pretty
from core.errors import BarglossError
from core.harmony.moving import moved_to
from core.study import Key, Study, edits


class KeyChange(QWidget):
    """news: what was moved; grew: by the question."""

    news = Signal(str)
    grew = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self.fields, self.fault = KeyFields(), Fault()
        self.question, self.about = QWidget(), QLabel(wordWrap=True)
        self.stay, self.up, self.down, self.rename, self.drop = (QPushButton(name) for name in (
            words.STAYS, words.UPWARD, words.DOWNWARD, words.RENAME, words.LEAVE_KEY))
        self._arrange()
        self.fields.chosen.connect(self._ask)
        self.stay.clicked.connect(lambda: self._edit(words.EDIT_KEY, lambda study: edits.set_key(study, self._new)))
        for button, way in ((self.up, 1), (self.rename, 0), (self.down, -1)):
            button.clicked.connect(lambda _=False, way=way: self._move(way))
        self.drop.clicked.connect(self.leave)

    def _arrange(self) -> None:
        self.stay.setToolTip(words.STAYS_TIP)
        self.rename.setToolTip(words.RENAME_TIP)
        places = QGridLayout(self.question)
        places.setContentsMargins(0, 2, 0, 4)
        places.addWidget(self.about, 0, 0, 1, 2)
        for button, row, column in ((self.stay, 1, 0), (self.drop, 1, 1), (self.up, 2, 0), (self.rename, 2, 0),
                                    (self.down, 2, 1)):
            places.addWidget(button, row, column)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(2)
        for part in (self.fields, self.question, self.fault):
            rows.addWidget(part)
        self.question.hide()
        self.setFocusProxy(self.fields)

    @property
    def _old(self) -> Key:
        return self._document.study.in_force[0].key

    @property
    def _new(self) -> Key:
        return self.fields.key

    @property
    def _half_steps(self) -> int:
        """Upward from the old tonic to the new, less than an octave."""
        return (self._new.tonic.chroma - self._old.tonic.chroma) % 12

    def refresh(self) -> None:
        """Show the study's key, unless another is being decided on."""
        if self.question.isHidden() or self._new == self._old:
            self.leave()

    def leave(self) -> None:
        """Show the study's key, and ask nothing."""
        self.question.hide()
        self.fault.tell("")
        self.fields.show_key(self._old)

    def _ask(self) -> None:
        """Set it, where there is no music yet; else ask."""
        self.fault.tell("")
        if self._new == self._old:
            self.leave()
        elif not has_music(self._document.study):
            self._edit(words.EDIT_KEY, lambda study: edits.set_key(study, self._new))
        else:
            self._show_question()

    def _show_question(self) -> None:
        steps, same_tonic = self._half_steps, self._new.tonic == self._old.tonic
        self.about.setText(words.OTHER_KEY.format(new=pretty(self._new.name), old=pretty(self._old.name)))
        for button, is_there, count in ((self.up, steps > 0, steps), (self.down, steps > 0, 12 - steps),
                                        (self.rename, steps == 0 and not same_tonic, 0)):
            button.setVisible(is_there)
            if count:
                button.setToolTip(words.MOVE_TIP.format(count=count))
        self.question.show()
        self.grew.emit()

    def _move(self, way: int) -> None:
        steps = {1: self._half_steps, 0: 0, -1: self._half_steps - 12}[way]
        name = pretty(self._new.name)
        key = self._new
        if self._edit(words.EDIT_MOVED.format(key=name), lambda study: moved_to(study, key, steps)):
            self.news.emit(words.MOVED.format(key=name))

    def _edit(self, name: str, change: Callable[[Study], Study]) -> bool:
        """Whether it was done."""
        try:
            self._document.edit(name, change)
        except BarglossError as error:
            self.fault.tell("\n".join(error.lines()))
            return False
        self.leave()
        self.fields.setFocus()
        return True


def has_music(study: Study) -> bool:
    """Whether anything in it stands in its key."""
    return any(bar.changes or bar.readings or bar.key or any(event.notes for event in bar.events)
               for bar in study.bars)
