"""What is done to the selected notes: moved in pitch and on the neck, marked, cut, copied, pasted."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from PySide6.QtCore import QMimeData
from PySide6.QtGui import QGuiApplication

from app import words_writing as words
from app.pen import Caret
from app.places import Selected, heads
from app.spoken import grip_of, pretty
from app.work import Work
from core.errors import BarglossError
from core.files import parse_study, study_xml
from core.guitar import in_position, on_next_string
from core.harmony.spelling import spell
from core.study import NotePlace, Pitch, Study, tie_chain
from core.study.fragments import fragment, paste, whole
from core.study.writing import (
    by_half_steps,
    by_octaves,
    by_steps,
    erase,
    respelled,
    silence,
    slur_between,
    toggle_articulation,
    toggle_ghost,
    transpose,
)

STUDY_TYPE = "text/xml"
"""Of a passage on the clipboard: a study file of its own."""


class Passage(Work):
    """Each method is one command of the Edit and Notes menus."""

    def _notes(self) -> list[NotePlace]:
        """The selected heads."""
        first, last = self._span
        at = self._cursor.at
        if at.note is not None and at.until is None:
            return [at.note]
        return [head for head in heads(self._study, range(first.bar, last.bar + 1))
                if first[:2] <= head[:2] <= last[:2]]

    # Pitch

    def by_octaves(self, octaves: int) -> None:
        self._transpose(words.OCTAVE_EDIT, by_octaves(octaves))

    def by_steps(self, steps: int) -> None:
        self._transpose(words.STEP_EDIT, by_steps(steps, self._study.in_force[self._bars[0]].key))

    def by_half_steps(self, half_steps: int) -> None:
        key = self._study.in_force[self._bars[0]].key

        def named(midi: int) -> Pitch:
            return spell(midi, key, following=midi + (1 if half_steps > 0 else -1))

        self._transpose(words.HALF_STEP_EDIT, by_half_steps(half_steps, named))

    def respell(self) -> None:
        self._transpose(words.RESPELL_EDIT, respelled)

    def _transpose(self, name: str, move: Callable[[Pitch], Pitch]) -> None:
        notes = self._notes()
        if notes:  # a held note moves as a whole
            held = [head for note in notes for head in tie_chain(self._study, note)]
            first, last = min(held), max(held)
            self._edit(name, self._bars[0], lambda study: transpose(study, first, last, move))

    # Marks

    def slur(self) -> None:
        first, last = self._span
        self._edit(words.SLUR_EDIT, self._bars[0], lambda study: slur_between(study, first, last))

    def articulation(self, name: str) -> None:
        """On every selected note; where all have it, off."""
        places = list({head[:2]: head._replace(note=0) for head in self._notes()}.values())
        have = [name in self._study.event_at(place).articulations for place in places]
        places = [place for place, has in zip(places, have, strict=True) if all(have) or not has]
        self._each(words.MARK_EDIT.format(mark=name, bar="{bar}"), places,
                   lambda study, place: toggle_articulation(study, place, name))

    def ghost(self) -> None:
        notes = self._notes()
        are = [self._study.note_at(place).ghost for place in notes]
        chosen = [place for place, is_one in zip(notes, are, strict=True) if all(are) or not is_one]
        self._each(words.GHOST_EDIT, chosen, toggle_ghost)

    def _each(self, name: str, places: list[NotePlace], change: Callable[[Study, NotePlace], Study]) -> None:
        def changed(study: Study) -> Study:
            for place in places:
                study = change(study, place)
            return study

        self._edit(name, self._bars[0], changed)

    # The neck

    def next_string(self, by: int) -> None:
        """The selected note on the string above (-1) or below (1)."""
        place = self._cursor.at.moving
        if place is None:
            return
        grip = grip_of(self._document.layout, place)
        string = grip.string if grip else (len(self._study.instrument.tuning) + 1 if by < 0 else 0)
        self._edit(words.STRING_EDIT, self._bars[0], lambda study: on_next_string(study, place, string, by))

    def position(self, fret: int) -> None:
        first, last = self._span
        fingering = self._document.layout.fingering
        self._edit(words.POSITION_EDIT, self._bars[0], lambda study: in_position(study, fingering, first, last, fret))

    # Clipboard

    def copy(self) -> bool:
        """Whether there was something."""
        first, last = self._span
        with self._telling():
            study = fragment(self._study, first, last)
            data = QMimeData()
            data.setData(STUDY_TYPE, study_xml(study))
            data.setText(plain_text(study))
            QGuiApplication.clipboard().setMimeData(data)
            return True
        return False

    def cut(self) -> None:
        if self.copy():
            self._silence(words.CUT_EDIT)

    def delete(self) -> None:
        """Rests for what is selected; a head of a double stop or a grace note alone is taken out."""
        place = self._cursor.at.note
        if place is not None and self._cursor.at.until is None:
            self._edit(words.ERASE_EDIT, self._bars[0], lambda study: erase(study, place))
        else:
            self._silence(words.ERASE_EDIT)

    def _silence(self, name: str) -> None:
        first, last = self._span
        if self._edit(name, self._bars[0], lambda study: silence(study, first, last)):
            onsets = self._study.bars[first.bar].events
            self._pen.go(Caret(first.bar, onsets[first.event].onset if first.event < len(onsets) else Fraction(0)))

    def paste(self) -> None:
        """At the caret while writing, else from the selected note or bar on."""
        data = QGuiApplication.clipboard().mimeData()
        bar, onset = self._pen.caret
        if self._cursor.at.note is None and not self._pen.writing:
            onset = Fraction(0)
        with self._telling():
            if not data.hasFormat(STUDY_TYPE):
                raise BarglossError(words.NOTHING_TO_PASTE)
            passage = whole(parse_study(bytes(data.data(STUDY_TYPE).data()), words.CLIPBOARD))
            self._document.edit(words.PASTE_EDIT.format(bar=self._study.in_force[bar].number),
                                lambda study: paste(study, bar, onset, passage))
            self._pen.go(Caret(bar, onset + max(event.end for event in passage)))

    def select_all(self) -> None:
        everything = list(heads(self._study, range(len(self._study.bars))))
        if len(everything) > 1:
            self._cursor.go(Selected(everything[0].bar, everything[0], everything[-1]))


def plain_text(study: Study) -> str:
    """Its notes by name, bars parted by |, for a place that takes words."""
    return " | ".join(" ".join("+".join(pretty(note.pitch.name) for note in event.notes) or words.REST
                               for event in bar.events) or words.REST for bar in study.bars)
