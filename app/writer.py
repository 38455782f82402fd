"""What the pen writes: notes by letter, by fret, by height on the staff; rests, ties, graces, lines of ABC."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import reduce

from app import words_writing as words
from app.bar_work import numbered
from app.fretting import chord_heard
from app.note_writer import NoteWriter
from app.passage import selected_heads
from app.pen import Caret, event_at, note_at, place_before, there
from app.spoken import bar_name, grip_of, pretty
from app.staff_hits import StaffHit, pitch_at
from core.errors import BarglossError
from core.harmony.spelling import spell
from core.study import Note, NotePlace, Pitch, Study, parse_pitch, tie_chain
from core.study.fit import PlainEvent
from core.study.fragments import paste
from core.study.values import height
from core.study.writing import add_head, altered, erase, set_value, toggle_tie, write

FIRST = parse_pitch("B3")
"""What the first note lies near: the middle of the staff."""
BASES = {1: Fraction(4), 2: Fraction(2), 4: Fraction(1), 8: Fraction(1, 2), 6: Fraction(1, 4), 3: Fraction(1, 8)}
"""The value a figure stands for: the number it is named by, 16 by its last figure and 32 by its first."""
_TIME_OF = {3: 2, 5: 4, 6: 4, 7: 4}


class Writer(NoteWriter):
    """Each method is one command of the Write menu."""

    # Mode and value

    def toggle(self) -> None:
        self._pen.write(not self._pen.writing)

    def figure(self, figure: int) -> None:
        """A digit: on the staff a note value, on a string of the tab a fret."""
        if self._pen.string is not None:
            self.fret(figure)
        elif figure in BASES:
            self._pen.choose(replace(self._pen.value, base=BASES[figure], dots=0))

    def base(self, figure: int) -> None:
        self._pen.choose(replace(self._pen.value, base=BASES[figure], dots=0))

    def dot(self) -> None:
        self._pen.dotted()

    def tuplet(self, actual: int) -> None:
        self._pen.in_tuplet(actual, _TIME_OF[actual])

    def longer(self) -> None:
        self._pen.scaled(Fraction(2))

    def quicker(self) -> None:
        self._pen.scaled(Fraction(1, 2))

    def grace(self) -> None:
        self._pen.set_grace(not self._pen.grace)

    def switch(self) -> None:
        """Between letters on the staff and frets on the tab, there on the string of the note before."""
        pen = self._pen
        if pen.string is not None:
            pen.on_string(None)
            return
        place = self._selected or note_at(self._study, place_before(self._study, pen.caret))
        grip = grip_of(self._document.layout, place) if place else None
        pen.on_string(grip.string if grip else len(self._study.instrument.tuning) // 2)

    def point(self, hit: StaffHit, added: bool) -> None:
        """A click: on the staff the note of that height, or one more head; on the tab the string for a fret."""
        pen, self._waiting = self._pen, None
        pen.go(hit.caret)
        pen.on_string(hit.string)
        if hit.diatonic is None:
            return
        note = Note(pitch_at(self._document.layout, hit))
        if added and self._selected is not None:
            self._add(self._selected, note.pitch)
        else:
            self.put(note)

    def go_on(self) -> None:
        """Past what the value lasts; from a fret that waits for its second figure, past that."""
        if self._waiting is not None:
            self._end_wait()
            return
        self._pen.go(Caret(self._pen.caret.bar, self._pen.caret.onset + self._pen.value.duration))

    # Notes

    def letter(self, step: str) -> None:
        self._end_wait()
        self.put(Note(self._near(step)))

    def _near(self, step: str) -> Pitch:
        """The letter, as the key has it, in the octave nearest to the last note; held on, just what is held."""
        pen, study = self._pen, self._study
        held = [note.pitch for note in self._before if note.pitch.step == step] if pen.tie else []
        if held:
            return held[-1]
        return nearest(step, study.in_force[pen.caret.bar].key.alter_of(step), last_pitch(study, pen.caret))

    def strike(self, keys: list[int]) -> None:
        """Write the notes of these MIDI key numbers together, as key and chord spell them; nothing outside the mode."""
        pen, study = self._pen, self._study
        if not pen.writing:
            return
        heard = chord_heard(self._document.layout, pen.caret)
        key, chord = study.in_force[pen.caret.bar].key, heard.chord if heard else None
        self.put(*sorted((Note(spell(midi, key, chord)) for midi in keys), key=height))

    def rest(self) -> None:
        self._end_wait()
        bar, onset = self._pen.caret
        event = PlainEvent(onset, self._pen.value.duration, (), self._pen.value.tuplets)
        if self._edit(words.WRITE_REST, bar, lambda study: write(study, bar, event)):
            self._pen.go(Caret(bar, onset + event.duration))

    def add(self, step: str) -> None:
        """One more head for the selected note, at the octave nearest to it."""
        self._end_wait()
        place = self._selected
        if place is None:
            self.letter(step)
            return
        study = self._study
        pitch = nearest(step, study.in_force[place.bar].key.alter_of(step), study.note_at(place).pitch)
        if pitch == study.note_at(place).pitch:
            pitch = pitch._replace(octave=pitch.octave + 1)
        self._add(place, pitch)

    def _add(self, place: NotePlace, pitch: Pitch) -> None:
        if self._edit(words.ADD_HEAD_EDIT.format(pitch=pretty(pitch.name), bar="{bar}"), place.bar,
                      lambda one: add_head(one, place, Note(pitch))):
            self._select(place, pitch)

    def tie(self) -> None:
        """Tie the selected note to the next of its pitch, or no longer; right behind it, to the one written next."""
        self._end_wait()
        place, pen = self._selected, self._pen
        if place is None:
            self._tell(words.NOTHING_TO_TIE)
            return
        study = self._study
        note, after = study.note_at(place), there(study, Caret(place.bar, study.event_at(place).end))
        follows = event_at(study, after)
        same = follows is not None and any(one.pitch.midi == note.pitch.midi for one in follows[1].notes)
        if pen.writing and after == pen.caret and not note.tie and not same:
            pen.set_tie(not pen.tie)
        else:
            self._edit(words.TIE_EDIT, place.bar, lambda one: toggle_tie(one, place))

    def alter(self, by: int) -> None:
        """The selected notes sharper (1) or flatter (-1) by the same letter; while writing, else the one just before
        the caret. The caret stays."""
        self._end_wait()
        study, at = self._study, self._cursor.at
        before = note_at(study, place_before(study, self._pen.caret)) if self._pen.writing else None
        places = selected_heads(study, at) if at.note else [before] if before else []
        if not places:
            self._tell(words.NOTHING_TO_ALTER)
            return
        heads = list(dict.fromkeys(tie_chain(study, place)[0] for place in places))
        pitch = study.note_at(heads[0]).pitch
        done = self._edit(words.SHARPER_EDIT if by > 0 else words.FLATTER_EDIT, heads[0].bar,
                          lambda one: reduce(lambda now, head: altered(now, head, by), heads, one))
        if done and len(places) == 1:
            self._select(places[0], pitch._replace(alter=pitch.alter + by))

    def give_value(self) -> None:
        """The selected note written with the pen's value."""
        place, value = self._selected, self._pen.value
        if place is not None:
            self._edit(words.VALUE_EDIT, place.bar,
                       lambda study: set_value(study, place, value.written, value.tuplets))

    def back(self) -> None:
        """Take away the selected note, or what is before the caret, and go there."""
        pen, study = self._pen, self._study
        place = self._selected or note_at(study, place_before(study, pen.caret))
        if place is None:
            pen.step(-1)
            return
        at = Caret(place.bar, study.event_at(place).onset)
        if self._edit(words.ERASE_EDIT, place.bar, lambda one: erase(one, place)):
            pen.go(at)

    # Typed lines

    @property
    def abc_begins(self) -> Caret:
        """The caret; where none is seen, the selected note, or the beginning of the bar."""
        at = self._cursor.at
        if self._pen.writing:
            return self._pen.caret
        return Caret(at.bar, Fraction(0)) if at.span is None else self._begins(at.span[0])

    def _begins(self, place: NotePlace) -> Caret:
        return Caret(place.bar, self._study.event_at(place).onset)

    def abc(self, text: str) -> None:
        """Write what is typed in ABC from there on. Raises BarglossError."""
        from core.exchange.abc_line import typed_abc  # noqa: PLC0415  (the window does not open with that room)
        self._end_wait()
        bar, onset = self.abc_begins
        here = self._study.in_force[bar]
        try:
            bars = typed_abc(text, here.key, here.meter)
            self._check_lengths(bars if text.rstrip().endswith("|") else bars[:-1])
        except BarglossError as fault:
            raise numbered(fault, here.number) from None

        def change(study: Study) -> Study:
            for index, events in enumerate(bars):
                study = paste(study, bar + index, Fraction(0) if index else onset, events)
            return study

        self._document.edit(words.ABC_EDIT.format(bar=bar_name(self._study, bar)), change)
        ends = [event.end for event in bars[-1]]
        self._pen.go(Caret(bar + len(bars) - 1, max(ends, default=Fraction(0)) + (onset if len(bars) == 1 else 0)))

    def _check_lengths(self, bars: Sequence[Sequence[PlainEvent]]) -> None:
        """Raise BarglossError, the bar counted from 1, where one that a bar line ends is too long for its meter."""
        bar, onset = self.abc_begins
        for index, events in enumerate(bars):
            here = self._study.in_force[min(bar + index, len(self._study.bars) - 1)]
            room = here.length - (0 if index else onset)
            if events and events[-1].end > room:
                raise BarglossError(words.ABC_TOO_LONG.format(typed=events[-1].end * 2, room=room * 2), bar=index + 1)


def nearest(step: str, alter: int, to: Pitch) -> Pitch:
    """The letter in the octave that is fewest staff places away."""
    octaves = [Pitch(step, alter, to.octave + by) for by in (-1, 0, 1)]
    return min(octaves, key=lambda pitch: abs(pitch.diatonic - to.diatonic))


def last_pitch(study: Study, caret: Caret) -> Pitch:
    """Of the last note before the caret; else of the first after it, or the middle of the staff."""
    for bar in range(caret.bar, -1, -1):
        for event in reversed(study.bars[bar].events):
            if event.notes and (bar, event.onset) < caret:
                return event.notes[-1].pitch
    later = (event.notes[-1].pitch for bar in study.bars[caret.bar:] for event in bar.events if event.notes)
    return next(later, FIRST)
