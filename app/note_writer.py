"""How a note gets onto the page: at the caret, held on from the one before, or by its fret in one figure or two."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from app import words_writing as words
from app.cursor import Cursor
from app.document import Document
from app.fretting import fret_on, fretted
from app.pen import Caret, Pen, event_at, note_at, place_before
from app.spoken import pretty
from app.work import Telling, Work
from core.errors import BarglossError
from core.guitar import Place
from core.study import Note, NotePlace, Pitch, Study
from core.study.fit import PlainEvent
from core.study.fragments import paste
from core.study.writing import toggle_tie, write

_GRACE = Fraction(1, 2)


class Waiting(NamedTuple):
    """A fret of one figure that a second may follow. at: the caret there; after: where it goes then; note: the head
    written; added: to a note that was there; tied: to the one before; study, hand: as they are with it."""

    figure: int
    at: Caret
    after: Caret
    note: NotePlace | None
    added: bool
    tied: bool
    study: Study
    hand: tuple[object, ...]


class NoteWriter(Work):
    """What the commands of the Write menu are made of."""

    def __init__(self, document: Document, cursor: Cursor, pen: Pen, telling: Telling) -> None:
        super().__init__(document, cursor, pen, telling)
        self._waiting: Waiting | None = None
        pen.changed.connect(self._pen_changed)

    @property
    def _selected(self) -> NotePlace | None:
        return self._cursor.at.moving

    def put(self, *notes: Note) -> None:
        """Write this note at the caret, or a double stop; the caret goes on; a grace note leaves it where it is."""
        self._end_wait()
        lost = self._pen.tie and not self._held(notes)
        self._put((words.GRACE_EDIT if self._pen.grace else words.WRITE_NOTE).format(
            pitch=" ".join(pretty(note.pitch.name) for note in notes), bar="{bar}"), notes)
        if lost:
            self._tell(words.NO_TIE.format(pitch=pretty(notes[0].pitch.name)))

    def _put(self, name: str, notes: tuple[Note, ...]) -> bool:
        pen = self._pen
        bar, onset = pen.caret
        if pen.grace:
            grace = PlainEvent(Fraction(0), _GRACE, notes, grace=True)
            if done := self._edit(name, bar, lambda study: paste(study, bar, onset, [grace])):
                pen.go(pen.caret, grace_before(self._study, pen.caret))
            return done
        event = PlainEvent(onset, pen.value.duration, notes, pen.value.tuplets)
        held = self._held(notes) if pen.tie else ()
        tied = place_before(self._study, pen.caret)

        def change(study: Study) -> Study:
            study = write(study, bar, event)
            for midi in held:
                study = hold_on(study, tied, midi)
            return study

        if done := self._edit(name, bar, change):
            pen.go(Caret(bar, onset + event.duration), note_at(self._study, self._as_written(bar, onset)))
        return done

    def _held(self, notes: tuple[Note, ...]) -> tuple[int, ...]:
        """The key numbers that the note before the caret and these have in common."""
        now = {note.pitch.midi for note in notes}
        return tuple(note.pitch.midi for note in self._before if note.pitch.midi in now)

    @property
    def _before(self) -> tuple[Note, ...]:
        """The notes right before the caret."""
        found = event_at(self._study, place_before(self._study, self._pen.caret))
        return found[1].notes if found else ()

    def _tell(self, what: str) -> None:
        with self._telling():
            raise BarglossError(what)

    def _as_written(self, bar: int, onset: Fraction) -> Caret:
        """Where a note begins that was written at the end of the last bar: in a new one."""
        length = self._study.in_force[bar].length
        return Caret(bar + 1, onset - length) if onset >= length else Caret(bar, onset)

    def fret(self, figure: int, *, added: bool = False) -> None:
        """Put a fret on the pen's string. A 1 or 2 may be the first of two figures, so the caret waits there.

        added: as one more head of the selected note.
        """
        pen, string = self._pen, self._pen.string
        assert string is not None
        highest = self._study.instrument.frets - self._study.instrument.capo
        waiting, self._waiting = self._waiting, None
        fret = figure
        if waiting is not None and not added:
            if 10 * waiting.figure + figure <= highest:
                fret, added = 10 * waiting.figure + figure, waiting.added
                self._document.undo()  # both figures are one step
            pen.go(waiting.at if fret > figure else waiting.after, waiting.note if added else None)
            pen.set_tie(waiting.tied and fret > figure)
        at, tied, place = pen.caret, pen.tie, self._selected if added else None
        done = self.add_at(place, Place(string, fret)) if place else self._put_fret(Place(string, fret))
        if done and fret == figure and figure and 10 * figure <= highest:
            after, written = pen.caret, self._selected
            if place is None:
                pen.go(self._as_written(*at), written)
            self._waiting = Waiting(figure, pen.caret, after, place or written, added, tied, self._study, self._hand)

    def _put_fret(self, place: Place) -> bool:
        name = words.FRET_EDIT.format(fret=place.fret, string=place.string, bar="{bar}")
        return self._put(name, (fretted(self._document.layout, self._pen.caret, place),))

    def add_at(self, place: NotePlace, on: Place) -> bool:
        """A double stop: what a place of the neck gives, in an event that sounds; it is selected then."""
        fingering = self._document.layout.fingering
        note = fretted(self._document.layout, Caret(place.bar, self._study.event_at(place).onset), on)
        done = self._edit(words.FRET_EDIT.format(fret=on.fret, string=on.string, bar="{bar}"), place.bar,
                          lambda one: fret_on(one, fingering, place, note))
        if done:
            self._select(place, note.pitch)
        return done

    @property
    def _hand(self) -> tuple[object, ...]:
        """What the pen has besides its place."""
        return self._pen.string, self._pen.value, self._pen.grace, self._pen.writing

    def _pen_changed(self) -> None:
        waiting = self._waiting
        if waiting is not None and (self._pen.caret != waiting.at or self._study is not waiting.study
                                    or self._hand != waiting.hand):
            self._end_wait()

    def _end_wait(self) -> None:
        """Go on from a figure that waits for a second one, where the caret and the study are as they were."""
        waiting, self._waiting = self._waiting, None
        if waiting is not None and self._pen.caret == waiting.at and self._study is waiting.study:
            self._pen.go(waiting.after, waiting.note)

    def add_figure(self, figure: int) -> None:
        """On the tab one more head for the selected note, on the pen's string."""
        if self._pen.string is not None:
            self.fret(figure, added=True)

    def _select(self, place: NotePlace, pitch: Pitch) -> None:
        """The head of that pitch in an event, wherever the caret is."""
        heads = [note.pitch for note in self._study.event_at(place).notes]
        self._pen.go(self._pen.caret, place._replace(note=heads.index(pitch)))


def hold_on(study: Study, at: Caret, midi: int) -> Study:
    """With the head of that key number held on from the note that begins there."""
    found = event_at(study, at)
    assert found is not None
    index, event = found
    head = next(head for head, note in enumerate(event.notes) if note.pitch.midi == midi)
    return study if event.notes[head].tie else toggle_tie(study, NotePlace(at.bar, index, head))


def grace_before(study: Study, caret: Caret) -> NotePlace | None:
    """The last grace note that leads to the caret."""
    events = study.bars[caret.bar].events
    graces = [index for index, event in enumerate(events) if event.grace and event.onset == caret.onset]
    return NotePlace(caret.bar, graces[-1]) if graces else None
