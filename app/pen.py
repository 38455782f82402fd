"""Where the next note goes, and with what value: the state of the writing mode. What it writes is in writer.py."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from PySide6.QtCore import QObject, Signal

from app.cursor import Cursor
from app.document import Document
from app.places import Selected
from core.study import Event, NotePlace, Study, Tuplet
from core.study.writing import sounding

EIGHTH = Fraction(1, 2)
LONGEST, SHORTEST = Fraction(4), Fraction(1, 8)


class Caret(NamedTuple):
    """A place in the music: a bar by index and quarters from its start, up to the end of the last bar."""

    bar: int
    onset: Fraction


class _Left(NamedTuple):
    """Where the caret was, and what was selected, when a study was last worked on."""

    study: Study
    caret: Caret
    note: NotePlace | None


@dataclass(frozen=True, slots=True)
class Value:
    """What a note is written as. base: undotted, in quarters; tuplet: notes, and in the time of how many."""

    base: Fraction = EIGHTH
    dots: int = 0
    tuplet: tuple[int, int] | None = None

    @property
    def written(self) -> Fraction:
        return self.base * (2 - Fraction(1, 2**self.dots))

    @property
    def tuplets(self) -> tuple[Tuplet, ...]:
        return () if self.tuplet is None else (Tuplet(*self.tuplet),)

    @property
    def duration(self) -> Fraction:
        """As it sounds."""
        return sounding(self.written, self.tuplets)


class Pen(QObject):
    """changed: place, value or mode is another. string: of the tab, for fret numbers; None: letters on the staff.

    tie: the note before the caret will be held on into the next one written there.
    """

    changed = Signal()

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__(document)
        self._document, self._cursor = document, cursor
        self.writing = False
        self.value = Value()
        self.grace = self.tie = False
        self.string: int | None = None
        self.caret = Caret(0, Fraction(0))
        self._leads = False
        self._known = document.study
        self._left: dict[int, _Left] = {}
        document.opened.connect(self._left.clear)
        cursor.moved.connect(self._follow)
        document.changed.connect(self._renew)

    def write(self, writing: bool) -> None:
        """Go into the writing mode, or come out of it."""
        self.writing, self.string, self.grace, self.tie = writing, None, False, False
        self._follow()

    def choose(self, value: Value) -> None:
        self.value = value
        self.changed.emit()

    def dotted(self) -> None:
        """None, one, two dots in turn."""
        self.choose(replace(self.value, dots=(self.value.dots + 1) % 3))

    def in_tuplet(self, actual: int, normal: int) -> None:
        """So many in the time of so many; plain again where it was that already."""
        self.choose(replace(self.value, tuplet=None if self.value.tuplet == (actual, normal) else (actual, normal)))

    def scaled(self, by: Fraction) -> None:
        base = self.value.base * by
        if SHORTEST <= base <= LONGEST:
            self.choose(replace(self.value, base=base))

    def set_grace(self, grace: bool) -> None:
        self.grace = grace
        self.changed.emit()

    def set_tie(self, tie: bool) -> None:
        self.tie = tie
        self.changed.emit()

    def on_string(self, string: int | None) -> None:
        self.string = string
        self.changed.emit()

    def go(self, caret: Caret, note: NotePlace | None = None) -> None:
        """Stand there, with this note selected; without one, the note that begins there."""
        study = self._document.study
        self.caret, self.tie = there(study, caret), False
        chosen = note or note_at(study, self.caret)
        self._leads = True
        self._cursor.go(Selected(note.bar if note else self.caret.bar, chosen))
        self._leads = False
        self._stay()

    def step(self, by: int) -> None:
        """To the next note, rest or end of the study; by -1: to the one before."""
        self.go(next_place(self._document.study, self.caret) if by > 0
                else place_before(self._document.study, self.caret))
        self._take_value()
        self.changed.emit()

    def _take_value(self) -> None:
        """The person has come to a note: what is typed now takes its place, so it has the value of that."""
        at = note_at(self._document.study, self.caret)
        if self.writing and at is not None:
            self.value = value_of(self._document.study.event_at(at), self.value)

    def _follow(self) -> None:
        """Where the selection went by itself."""
        at = self._cursor.at
        if not self._leads:
            self.tie = False
            study, place = self._document.study, at.moving
            if place is not None:
                self.caret = Caret(place.bar, study.event_at(place).onset)
            elif self.caret.bar != at.bar:
                self.caret = Caret(at.bar, Fraction(0))
            self._take_value()
        self._stay()

    def _renew(self) -> None:
        """Where a step was taken back or done again while writing: where the caret was then."""
        left = self._left.get(id(self._document.study)) if self._document.study is not self._known else None
        self._known = self._document.study
        if left is not None and self.writing:
            self.go(left.caret, left.note)
        self._stay()

    def _stay(self) -> None:
        self.caret = there(self._document.study, self.caret)
        if self._document.study is self._known:
            self._left[id(self._known)] = _Left(self._known, self.caret, self._cursor.at.moving)
        self.changed.emit()


def value_of(event: Event, otherwise: Value) -> Value:
    """otherwise: where no pen has such a value, as in a tuplet inside another."""
    base, dots = event.written
    value = Value(base, dots, (event.tuplets[0].actual, event.tuplets[0].normal) if event.tuplets else None)
    return value if value.duration == event.duration else otherwise


def there(study: Study, caret: Caret) -> Caret:
    """The same place told by the bar it is in: a bar's end is the next one's start, but for the last."""
    bar, onset = min(caret.bar, len(study.bars)), max(caret.onset, Fraction(0))
    if bar == len(study.bars):
        return Caret(bar - 1, study.in_force[-1].length)
    while onset >= study.in_force[bar].length:
        if bar + 1 == len(study.bars):
            return Caret(bar, study.in_force[bar].length)
        onset -= study.in_force[bar].length
        bar += 1
    return Caret(bar, onset)


def event_at(study: Study, caret: Caret) -> tuple[int, Event] | None:
    """What sounds or is silent there, with its index; None in a bar of rest, and at the end."""
    events = study.bars[caret.bar].events
    return next(((index, event) for index, event in enumerate(events)
                 if not event.grace and event.onset <= caret.onset < event.end), None)


def note_at(study: Study, caret: Caret) -> NotePlace | None:
    """The lowest head that begins there."""
    found = event_at(study, caret)
    if found is None or not found[1].notes or found[1].onset != caret.onset:
        return None
    return NotePlace(caret.bar, found[0])


def next_place(study: Study, caret: Caret) -> Caret:
    onsets = [event.onset for event in study.bars[caret.bar].events if not event.grace and event.onset > caret.onset]
    return there(study, Caret(caret.bar, onsets[0] if onsets else study.in_force[caret.bar].length))


def place_before(study: Study, caret: Caret) -> Caret:
    for bar in range(caret.bar, -1, -1):
        onsets = [event.onset for event in study.bars[bar].events if not event.grace] or [Fraction(0)]
        earlier = [onset for onset in onsets if (bar, onset) < caret]
        if earlier:
            return Caret(bar, earlier[-1])
    return Caret(0, Fraction(0))
