"""Part of a study as it is heard: from a note on, or a selection; with the moment every written note is reached."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from core.errors import BarglossError
from core.sound.feel import lead
from core.sound.order import play_order
from core.sound.played import placed_bars
from core.sound.schedule import Sounded, Take, clicks_before, mover, quarter, sounded
from core.study import NotePlace, Study


class Reached(NamedTuple):
    """start: seconds. place: the first head of a written event; None for a bar without notes."""

    start: float
    bar: int
    place: NotePlace | None


class Passage(NamedTuple):
    """begin: seconds of count-in before the music; seconds: to the end of the music. Times are from the first click
    or note. marks: in order. trouble: why repeats and jumps are not followed, if they are not."""

    notes: tuple[Sounded, ...]
    marks: tuple[Reached, ...]
    begin: float
    seconds: float
    trouble: BarglossError | None = None


def passage(study: Study, take: Take, start: NotePlace, stop: NotePlace | None = None) -> Passage:
    """What sounds from one note on.

    stop: the last note of a selection, whose bars are then played as they stand; without it, all that follows
    is played, repeats, endings and jumps written out. A count-in goes on up to the note, wherever in its bar that is.
    Raises BarglossError.
    """
    moved, second = mover(study, take), quarter(study, take)
    order, trouble = play_order(study) if stop is None else (tuple(range(stop.bar + 1)), None)
    if start.bar not in order:
        order = tuple(range(len(study.bars)))
    placed = list(placed_bars(study, order))  # from the start, for dynamics and ties come from before
    at, first = next(one for one in placed if one[1].index == start.bar)
    skipped = moved(first, _onset(study, start))
    at, last = at + skipped, placed[-1]
    end = last[0] + (last[1].length if stop is None else moved(last[1], _end(study, stop)))
    begin = first.meter.length + lead(first) + skipped if take.count_in else Fraction(0)
    sounding, over = float(begin * second), float((begin + end - at) * second)
    notes = list(_cut(sounded(study, take, order, begin - at), sounding, over))
    if take.count_in:
        notes += clicks_before(first, begin, second)
    marks = tuple(
        Reached(float((begin - at + bar + moved(here, offset)) * second), here.index, place)
        for bar, here in placed for offset, place in _events(study, here.index)
        if at <= bar + moved(here, offset) < end)
    return Passage(tuple(sorted(notes)), marks, sounding, over, trouble)


def _cut(notes: tuple[Sounded, ...], begin: float, end: float) -> Iterator[Sounded]:
    """What sounds between the two; a chord that began before goes on from there, a note does not."""
    for note in notes:
        start, stop = note.start, min(note.start + note.length, end)
        if note.kind == "comp":
            start = max(start, begin)
        if begin <= start < stop:
            yield note._replace(start=start, length=stop - start)


def _onset(study: Study, place: NotePlace) -> Fraction:
    events = study.bars[place.bar].events
    return events[place.event].onset if events else Fraction(0)


def _end(study: Study, place: NotePlace) -> Fraction:
    here = study.in_force[place.bar]
    return here.bar.events[place.event].end if here.bar.events else here.length


def _events(study: Study, bar: int) -> Iterator[tuple[Fraction, NotePlace | None]]:
    """Where the mark goes in a bar: to every note, over rests and graces; to the bar itself where it has no note."""
    events = study.bars[bar].events
    sounding = [at for at, event in enumerate(events) if event.notes and not event.grace]
    if not sounding:
        yield Fraction(0), None
    for at in sounding:
        yield events[at].onset, NotePlace(bar, at)
