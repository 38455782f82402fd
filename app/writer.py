"""What the pen writes: notes by letter, by fret, by height on the staff; rests, ties, graces, lines of ABC."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from app import words_writing as words
from app.cursor import Cursor
from app.document import Document
from app.fretting import with_fret
from app.pen import Caret, Pen, event_at, note_at, place_before, there
from app.spoken import grip_of, pretty
from app.staff_hits import StaffHit, pitch_at
from app.work import Telling, Work
from core.exchange.abc_line import typed_abc
from core.harmony import ChordSymbol
from core.harmony.spelling import spell
from core.study import Note, NotePlace, Pitch, Study, parse_pitch
from core.study.fit import PlainEvent
from core.study.fragments import paste
from core.study.writing import add_head, erase, set_value, toggle_tie, write

FIRST = parse_pitch("B3")
"""What the first note lies near: the middle of the staff."""
BASES = {1: Fraction(4), 2: Fraction(2), 4: Fraction(1), 8: Fraction(1, 2), 6: Fraction(1, 4), 3: Fraction(1, 8)}
"""The value a figure stands for: the number it is named by, 16 by its last figure and 32 by its first."""
_GRACE = Fraction(1, 2)
_TIME_OF = {3: 2, 5: 4, 6: 4, 7: 4}


class Writer(Work):
    """Each method is one command of the Write menu."""

    def __init__(self, document: Document, cursor: Cursor, pen: Pen, telling: Telling) -> None:
        super().__init__(document, cursor, pen, telling)
        self._fret = 0  # the last figure typed at the caret, which a second one may follow
        pen.changed.connect(self._forget)

    @property
    def _selected(self) -> NotePlace | None:
        return self._cursor.at.moving

    def _forget(self) -> None:
        self._fret = 0

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
        pen = self._pen
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
        """Past what the value lasts."""
        self._pen.go(Caret(self._pen.caret.bar, self._pen.caret.onset + self._pen.value.duration))

    # Notes

    def letter(self, step: str) -> None:
        self.put(Note(self._near(step)))

    def _near(self, step: str) -> Pitch:
        """The letter, as the key has it, in the octave nearest to the last note."""
        pen, study = self._pen, self._study
        return nearest(step, study.in_force[pen.caret.bar].key.alter_of(step), last_pitch(study, pen.caret))

    def put(self, note: Note) -> None:
        """Write this note at the caret, which goes on; a grace note leaves it where it is."""
        pen = self._pen
        bar, onset = pen.caret
        name = (words.GRACE_EDIT if pen.grace else words.WRITE_NOTE).format(pitch=pretty(note.pitch.name), bar="{bar}")
        if pen.grace:
            grace = PlainEvent(Fraction(0), _GRACE, (note,), grace=True)
            if self._edit(name, bar, lambda study: paste(study, bar, onset, [grace])):
                pen.go(pen.caret, grace_before(self._study, pen.caret))
            return
        event = PlainEvent(onset, pen.value.duration, (note,), pen.value.tuplets)
        if self._edit(name, bar, lambda study: write(study, bar, event)):
            pen.go(Caret(bar, onset + event.duration), note_at(self._study, self._as_written(bar, onset)))

    def _as_written(self, bar: int, onset: Fraction) -> Caret:
        """Where a note begins that was written at the end of the last bar: in a new one."""
        length = self._study.in_force[bar].length
        return Caret(bar + 1, onset - length) if onset >= length else Caret(bar, onset)

    def rest(self) -> None:
        bar, onset = self._pen.caret
        event = PlainEvent(onset, self._pen.value.duration, (), self._pen.value.tuplets)
        if self._edit(words.WRITE_REST, bar, lambda study: write(study, bar, event)):
            self._pen.go(Caret(bar, onset + event.duration))

    def fret(self, figure: int) -> None:
        """Put a fret on the pen's string; a second figure makes it one of two. The caret waits."""
        pen, study, string = self._pen, self._study, self._pen.string
        assert string is not None
        fret = self._fret * 10 + figure
        if fret > study.instrument.frets - study.instrument.capo:
            fret = figure
        bar, onset = pen.caret
        midi = study.instrument.tuning[-string].midi + study.instrument.capo + fret
        note = Note(spell(midi, study.in_force[bar].key, self._chord(pen.caret)), string=string, fret=fret)
        if pen.grace:
            self.put(note)
        else:
            event = PlainEvent(onset, pen.value.duration, (note,), pen.value.tuplets)
            fingering = self._document.layout.fingering
            name = words.FRET_EDIT.format(fret=fret, string=string, bar="{bar}")
            if self._edit(name, bar, lambda one: with_fret(one, fingering, bar, event)):
                pen.go(self._as_written(bar, onset))
        self._fret = fret

    def _chord(self, at: Caret) -> ChordSymbol | None:
        spans = self._document.layout.analysis.bars[at.bar].chords
        heard = [span.chord for span in spans if span.offset <= at.onset]
        return heard[-1] if heard and isinstance(heard[-1], ChordSymbol) else None

    def add(self, step: str) -> None:
        """One more head for the selected note, at the octave nearest to it."""
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
            heads = [note.pitch for note in self._study.event_at(place).notes]
            self._pen.go(self._pen.caret, place._replace(note=heads.index(pitch)))

    def tie(self) -> None:
        """Tie the selected note to the next of its pitch, or no longer; at the caret behind it, to a new one there."""
        place = self._selected
        if place is None:
            return
        study, pen = self._study, self._pen
        note, event = study.note_at(place), study.event_at(place)
        after = there(study, Caret(place.bar, event.end))
        follows = event_at(study, after)
        same = follows is not None and any(one.pitch.midi == note.pitch.midi for one in follows[1].notes)
        if not note.tie and pen.writing and after == pen.caret and not same:
            held = PlainEvent(after.onset, pen.value.duration, tuple(replace(one, tie=False) for one in event.notes),
                              pen.value.tuplets)

            def hold(one: Study) -> Study:
                one = write(one, after.bar, held)
                for head in range(len(event.notes)):
                    one = toggle_tie(one, place._replace(note=head))
                return one

            if self._edit(words.TIE_EDIT, place.bar, hold):
                pen.go(Caret(after.bar, after.onset + held.duration), note_at(self._study, self._as_written(*after)))
            return
        self._edit(words.TIE_EDIT, place.bar, lambda one: toggle_tie(one, place))

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

    def abc(self, text: str) -> None:
        """Write what is typed in ABC from the caret on. Raises BarglossError."""
        bar, onset = self._pen.caret
        here = self._study.in_force[bar]
        bars = typed_abc(text, here.key, here.meter)

        def change(study: Study) -> Study:
            for index, events in enumerate(bars):
                study = paste(study, bar + index, Fraction(0) if index else onset, events)
            return study

        self._document.edit(words.ABC_EDIT.format(bar=here.number), change)
        ends = [event.end for event in bars[-1]]
        self._pen.go(Caret(bar + len(bars) - 1, max(ends, default=Fraction(0)) + (onset if len(bars) == 1 else 0)))


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


def grace_before(study: Study, caret: Caret) -> NotePlace | None:
    """The last grace note that leads to the caret."""
    events = study.bars[caret.bar].events
    graces = [index for index, event in enumerate(events) if event.grace and event.onset == caret.onset]
    return NotePlace(caret.bar, graces[-1]) if graces else None
