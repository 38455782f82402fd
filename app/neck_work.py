"""What a place of the neck does that is picked: while writing the next note, else where the selected note is played."""

from __future__ import annotations

from collections.abc import Callable

from app import words_fingering as words
from app import words_writing
from app.cursor import Cursor
from app.document import Document
from app.fretting import fretted, set_at, sounding_at
from app.passage import selected_heads
from app.pen import Caret, Pen
from app.spoken import pretty
from app.work import Telling, Work
from app.writer import Writer
from core.guitar import Place


class NeckWork(Work):
    """say: tells the person a line."""

    def __init__(self, document: Document, cursor: Cursor, pen: Pen, telling: Telling, writer: Writer,
                 say: Callable[[str], None]) -> None:
        super().__init__(document, cursor, pen, telling)
        self._writer, self._say = writer, say

    def pick(self, place: Place, added: bool) -> None:
        """added: to the note that is selected, as a double stop."""
        head = self._cursor.at.moving
        if not self._pen.writing:
            self._set(place)
        elif added and head is not None:
            self._writer.add_at(head, place)
        else:
            self._writer.put(fretted(self._document.layout, self._pen.caret, place))

    def _set(self, place: Place) -> None:
        """Play the selected notes of this pitch there; where there are none, nothing but a word."""
        study, at = self._study, self._cursor.at
        midi = sounding_at(study.instrument, place)
        chosen = selected_heads(study, at) if at.note else []
        fitting = [head for head in chosen if study.note_at(head).pitch.midi == midi]
        if fitting:
            self._edit(words_writing.STRING_EDIT, fitting[0].bar, lambda one: set_at(one, fitting, place))
            return
        onset = study.event_at(at.note).onset if at.note else self._pen.caret.onset
        found = fretted(self._document.layout, Caret(at.bar, onset), place).pitch
        names = list(dict.fromkeys(pretty(study.note_at(head).pitch.name) for head in chosen))
        line = (words.NECK_NOTHING, words.NECK_OTHER, words.NECK_OTHERS)[min(len(names), 2)]
        self._say(line.format(pitch=pretty(found.name), string=place.string, fret=place.fret, selected="".join(names)))
