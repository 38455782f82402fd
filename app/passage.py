"""What is done to the selected notes: moved in pitch and on the neck, marked, cut, copied, pasted."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from PySide6.QtCore import QMimeData
from PySide6.QtGui import QGuiApplication

from app import words_writing as words
from app.pen import Caret
from app.places import Selected, heads, span_of
from app.spoken import bar_name, grip_of, pretty
from app.work import Work
from core.errors import BarglossError
from core.files import parse_study, study_xml
from core.guitar import in_position, on_next_string
from core.harmony.spelling import spell
from core.study import NotePlace, Pitch, Study, bars_between, tie_chain
from core.study.fragments import for_instrument, fragment, from_first_note, paste, whole
from core.study.passages import bars_over, covers_bars
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
BARS_TYPE = "application/x-bargloss-bars"
"""The same once more, where it is whole bars."""
_START = Fraction(0)


def selected_heads(study: Study, at: Selected) -> list[NotePlace]:
    """The one that is selected, or all of several selected events; of the bar, where no note is selected."""
    if at.note is not None and at.until is None:
        return [at.note]
    first, last = span_of(study, at)
    return [head for head in heads(study, range(first.bar, last.bar + 1)) if first[:2] <= head[:2] <= last[:2]]


class Passage(Work):
    """Each method is one command of the Edit and Notes menus."""

    @property
    def _notes(self) -> list[NotePlace]:
        return selected_heads(self._study, self._cursor.at)

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
        notes = self._notes
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
        places = list({head[:2]: head._replace(note=0) for head in self._notes}.values())
        have = [name in self._study.event_at(place).articulations for place in places]
        places = [place for place, has in zip(places, have, strict=True) if all(have) or not has]
        self._each(words.MARK_EDIT.format(mark=name, bar="{bar}"), places,
                   lambda study, place: toggle_articulation(study, place, name))

    def ghost(self) -> None:
        notes = self._notes
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
        """Whether there was something. Whole bars are taken with all that is said in them."""
        first, last = self._span
        at = self._cursor.at
        is_one_note = at.note is not None and at.until is None
        with self._telling():
            if is_whole := not is_one_note and covers_bars(self._study, first, last):
                study = bars_between(self._study, first.bar, last.bar)
            else:
                study = fragment(self._study, first, last)
            data, xml = QMimeData(), study_xml(study)
            data.setData(STUDY_TYPE, xml)
            if is_whole:
                data.setData(BARS_TYPE, xml)
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
            self._pen.go(Caret(first.bar, onsets[first.event].onset if first.event < len(onsets) else _START))

    def paste(self) -> None:
        """Whole bars over whole bars, where the first begins here; else the notes."""
        bar, onset = self._target
        study = self._study
        with self._telling():
            passage = self._copied()
            laid = None
            if on_clipboard(BARS_TYPE) and self._begins_a_bar:
                laid = bars_over(study, bar, passage)
            if laid is None:
                self._paste_notes(bar, onset, passage)
                return
            over = laid
            self._document.edit(words.PASTE_EDIT.format(bar=bar_name(study, bar)), lambda _: over)
            self._pen.go(Caret(bar + len(passage.bars), _START))

    def paste_notes(self) -> None:
        """The notes alone, and all that stands on them."""
        with self._telling():
            self._paste_notes(*self._target, self._copied())

    def _paste_notes(self, bar: int, onset: Fraction, passage: Study) -> None:
        notes = from_first_note(whole(passage)) if onset else whole(passage)
        self._document.edit(words.PASTE_EDIT.format(bar=bar_name(self._study, bar)),
                            lambda study: paste(study, bar, onset, notes))
        self._pen.go(Caret(bar, onset + max(event.end for event in notes)))

    @property
    def _target(self) -> Caret:
        """Where what is pasted begins: at the pen, else at the first of what is selected."""
        if self._pen.writing:
            return self._pen.caret
        first, events = self._span[0], self._study.bars[self._bars[0]].events
        return Caret(first.bar, events[first.event].onset if self._cursor.at.note else _START)

    @property
    def _begins_a_bar(self) -> bool:
        """Whether that is where a bar begins, or (but for the pen) the first note in one."""
        bar, onset = self._target
        sounds = next((event.onset for event in self._study.bars[bar].events if event.notes), _START)
        return onset == _START or (onset == sounds and not self._pen.writing)

    def _copied(self) -> Study:
        """What is on the clipboard, for this study's instrument. Raises BarglossError where it is no music."""
        xml = on_clipboard(STUDY_TYPE)
        if not xml:
            raise BarglossError(words.NOTHING_TO_PASTE)
        copied = parse_study(xml, words.CLIPBOARD)
        return for_instrument(copied, self._study.instrument)

    def select_all(self) -> None:
        everything = list(heads(self._study, range(len(self._study.bars))))
        if len(everything) > 1:
            self._cursor.go(Selected(everything[0].bar, everything[0], everything[-1]))


def on_clipboard(kind: str) -> bytes:
    """What the clipboard has of a kind; nothing where it has none, or where Qt has no clipboard to show."""
    data: QMimeData | None = QGuiApplication.clipboard().mimeData()
    return b"" if data is None else bytes(data.data(kind).data())


def plain_text(study: Study) -> str:
    """Its notes by name, bars parted by |, for a place that takes words."""
    return " | ".join(" ".join("+".join(pretty(note.pitch.name) for note in event.notes) or words.REST
                               for event in bar.events) or words.REST for bar in study.bars)
