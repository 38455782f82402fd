"""The selected note: what was found of it, and what the teacher sets instead."""

from __future__ import annotations

import re
from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QWidget

from app import words
from app.cursor import Cursor
from app.document import Document
from app.fields import Choice, Fault, Line
from app.sign_fields import LoudnessFields
from app.spoken import bar_name, chord_at, found_of, grip_of, note_number, pretty
from app.token_completer import TokenCompleter, tokens_of
from core.errors import BarglossError
from core.guitar import Fingered, places
from core.study import Note, NotePlace, Study, edits

_DEGREE = re.compile(r"(b{1,2}|#{1,2})?([1-9]|1[0-3])")


def read_degree(text: str) -> str:
    """A degree as it is kept: `#9` for `♯9`; "" for none. Raises BarglossError."""
    plain = text.strip().replace("♭", "b").replace("♯", "#")
    if plain and _DEGREE.fullmatch(plain) is None:
        raise BarglossError(words.BAD_DEGREE.format(text=text.strip()))
    return plain


class NotePanel(QWidget):
    """Shows the note under the cursor, and edits it."""

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self._place: NotePlace | None = None
        self._choices_for: object = None
        self.setAccessibleName(words.NOTE_PANEL)
        self.title = QLabel()
        self.title.setObjectName("heading")
        self.found = QLabel()
        self.found.setWordWrap(True)
        self.found.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.found.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.found.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.found.setMinimumHeight(2 * self.fontMetrics().lineSpacing())  # a reading's degree takes a second line
        self.degree = Line(words.OWN_DEGREE, words.OWN_DEGREE_HINT, words.OWN_DEGREE_TIP)
        self.string, self.finger, self.stroke = Choice(), Choice(), Choice()
        self.remark = Line(words.REMARK, words.REMARK_HINT, words.TOKENS_TIP)
        self.loudness = LoudnessFields(document, cursor)
        self.fault = Fault()
        TokenCompleter(self.remark, lambda: tokens_of(document.layout, cursor.at.bar))
        for stroke, name in words.STROKES.items():
            self.stroke.addItem(name, stroke)
        self._arrange()
        self.degree.typing.settled.connect(self._set_degree)
        self.degree.typing.typed.connect(lambda _: self.fault.tell(""))
        self.remark.typing.typed.connect(self._set_remark)
        self.remark.typing.settled.connect(lambda _: document.rest())
        self.loudness.lost.connect(self.fault.tell)
        self.string.activated.connect(self._set_string)
        self.finger.activated.connect(self._set_finger)
        self.stroke.activated.connect(self._set_stroke)
        cursor.leaving.connect(self.settle)
        cursor.moved.connect(self._follow)
        document.changed.connect(self._follow)
        self._shown: object = None
        self._follow()

    def _arrange(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 8, 12, 10)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(6)
        grid.addWidget(self.title, 0, 0, 1, 4)
        grid.addWidget(QLabel(words.DEGREE_SHOWN), 1, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.found, 1, 1, 1, 3)
        fields: list[tuple[str, QWidget, tuple[int, int, int]]] = [
            (words.OWN_DEGREE, self.degree, (2, 0, 1)), (words.STROKE, self.stroke, (2, 2, 1)),
            (words.STRING, self.string, (3, 0, 3)), (words.FINGER, self.finger, (4, 0, 3)),
            (words.REMARK, self.remark, (5, 0, 3))]
        for name, field, (row, column, width) in fields:
            label = QLabel(name)
            label.setBuddy(field)
            field.setAccessibleName(name)
            grid.addWidget(label, row, column)
            grid.addWidget(field, row, column + 1, 1, width)
        grid.addWidget(self.loudness, 6, 0, 1, 4)
        grid.addWidget(self.fault, 7, 0, 1, 4)
        grid.setColumnStretch(1, 2)
        grid.setColumnStretch(3, 3)

    def settle(self) -> None:
        """Keep what was typed."""
        self.degree.typing.settle()
        self.remark.typing.settle()

    def _follow(self) -> None:
        """Show the note under the cursor, if it is another, or the study is."""
        shown = self._document.layout, self._cursor.at.moving
        if shown != self._shown:
            self._shown = shown
            self._refresh()

    def _refresh(self) -> None:
        place = self._cursor.at.moving
        if place != self._place:
            self.fault.tell("")
            self.degree.typing.forget()
            self.remark.typing.forget()
        self._place = place
        for field in (self.degree, self.string, self.finger, self.stroke, self.remark):
            field.setEnabled(place is not None)
        if place is None:
            self.title.setText(words.NO_NOTE)
            self.found.setText("")
            self.degree.typing.show("")
            self.remark.typing.show("")
            self.string.clear()
            self.finger.clear()
            self._choices_for = None
            return
        self._show(place)

    def _show(self, place: NotePlace) -> None:
        study, layout = self._document.study, self._document.layout
        note, event, grip = study.note_at(place), study.event_at(place), grip_of(layout, place)
        self.title.setText(words.NOTE_OF.format(number=note_number(layout, place), pitch=pretty(note.pitch.name)))
        self.found.setText(self._degrees(place))
        self.degree.typing.show(note.degree)
        self.remark.typing.show(event.remark)
        self.stroke.setCurrentIndex(list(words.STROKES).index(event.stroke))
        if (note, grip, study.instrument) != self._choices_for:
            self._choices_for = (note, grip, study.instrument)
            self._offer(note, grip)

    def _offer(self, note: Note, grip: Fingered | None) -> None:
        """Strings and fingers to choose from; what was found comes first."""
        self.string.clear()
        played = words.STRING_FRET.format(string=grip.string, fret=grip.fret) if grip else words.UNPLAYABLE
        self.string.addItem(words.CHOSEN.format(what=played) if note.string is None else words.FREE_STRING, None)
        for spot in places(note.pitch.midi, self._document.study.instrument):
            self.string.addItem(words.STRING_FRET.format(string=spot.string, fret=spot.fret), spot)
        self.string.setCurrentIndex(max(0, self._index_of(self.string, note.string)))
        self.finger.clear()
        by_hand = words.FINGERS[grip.finger] if grip else words.UNPLAYABLE
        self.finger.addItem(words.CHOSEN.format(what=by_hand) if note.finger is None else words.FREE_FINGER, None)
        for finger, name in enumerate(words.FINGERS):
            self.finger.addItem(name, finger)
        self.finger.setCurrentIndex(0 if note.finger is None else note.finger + 1)

    @staticmethod
    def _index_of(combo: QComboBox, string: int | None) -> int:
        spots = [combo.itemData(index) for index in range(combo.count())]
        return next((index for index, spot in enumerate(spots) if spot is not None and spot[0] == string), 0)

    def _degrees(self, place: NotePlace) -> str:
        layout, study = self._document.layout, self._document.study
        found = found_of(layout, place)
        parts = []
        for against, degree, harmony in (("chord", found.chord, chord_at(layout, place)),
                                         ("key", found.key, study.in_force[place.bar].key.name),
                                         ("reading", found.reading, "")):
            if degree is not None:
                parts.append(words.DEGREE_LINE[against].format(degree=pretty(degree.name), harmony=pretty(harmony)))
        return " · ".join([*parts, found.role])

    def _edit(self, name: str, change: Callable[[Study, NotePlace], Study], typing: object = None) -> None:
        place = self._place
        if place is None:
            return
        bar = bar_name(self._document.study, place.bar)
        try:
            self._document.edit(name.format(bar=bar), lambda study: change(study, place), typing)
        except BarglossError as error:
            self.fault.tell(error.what)
            self._refresh()

    def _set_degree(self, text: str) -> None:
        try:
            degree = read_degree(text)
        except BarglossError as error:
            self.fault.tell(error.what)
            return
        self._edit(words.EDIT_DEGREE, lambda study, place: edits.set_degree(study, place, degree))

    def _set_remark(self, text: str) -> None:
        self._edit(words.EDIT_REMARK, lambda study, place: edits.set_remark(study, place, text),
                   typing=("remark", self._place))

    def _set_string(self, index: int) -> None:
        spot = self.string.itemData(index)
        string, fret = spot if spot is not None else (None, None)
        self._edit(words.EDIT_STRING, lambda study, place: edits.set_string(study, place, string, fret))

    def _set_finger(self, index: int) -> None:
        finger = self.finger.itemData(index)
        self._edit(words.EDIT_FINGER, lambda study, place: edits.set_finger(study, place, finger))

    def _set_stroke(self, index: int) -> None:
        stroke = self.stroke.itemData(index)
        self._edit(words.EDIT_STROKE, lambda study, place: edits.set_stroke(study, place, stroke))
