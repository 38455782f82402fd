"""Which heads one held note is written as."""

from __future__ import annotations

from collections.abc import Iterator

from core.study.study import NotePlace, Study


def tied_to(study: Study, place: NotePlace) -> NotePlace | None:
    """The head this one is held on into, or None where it is not tied or what follows has no such pitch.

    Graces between the two are passed over; a respelling of the same key is the same note.
    """
    note = study.note_at(place)
    if not note.tie:
        return None
    for bar, index in _after(study, place):
        event = study.bars[bar].events[index]
        if not event.grace:
            return next(_of_pitch(study, bar, index, note.pitch.midi), None)
    return None


def tied_from(study: Study, place: NotePlace) -> NotePlace | None:
    """The head that is held on into this one, or None."""
    midi = study.note_at(place).pitch.midi
    if study.event_at(place).grace:
        return None
    for bar, index in _before(study, place):
        tied = [head for head in _of_pitch(study, bar, index, midi) if study.note_at(head).tie]
        if tied:
            return tied[0]
        if not study.bars[bar].events[index].grace:
            return None
    return None


def tie_chain(study: Study, place: NotePlace) -> tuple[NotePlace, ...]:
    """All heads of the note that this head is part of, in order; at least the head itself."""
    chain = [place]
    while (earlier := tied_from(study, chain[0])) is not None:
        chain.insert(0, earlier)
    while (later := tied_to(study, chain[-1])) is not None:
        chain.append(later)
    return tuple(chain)


def _after(study: Study, place: NotePlace) -> Iterator[tuple[int, int]]:
    """Bar and event of what follows, into the next bar and no further: a bar of rest ends every tie."""
    for index in range(place.event + 1, len(study.bars[place.bar].events)):
        yield place.bar, index
    if place.bar + 1 < len(study.bars):
        for index in range(len(study.bars[place.bar + 1].events)):
            yield place.bar + 1, index


def _before(study: Study, place: NotePlace) -> Iterator[tuple[int, int]]:
    for index in reversed(range(place.event)):
        yield place.bar, index
    if place.bar > 0:
        for index in reversed(range(len(study.bars[place.bar - 1].events))):
            yield place.bar - 1, index


def _of_pitch(study: Study, bar: int, event: int, midi: int) -> Iterator[NotePlace]:
    """The event's heads of one key: two of them, where it is spelled in two ways at once."""
    for index, note in enumerate(study.bars[bar].events[event].notes):
        if note.pitch.midi == midi:
            yield NotePlace(bar, event, index)
