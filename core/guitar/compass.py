"""What lies off the neck, and the octave that would bring it on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.guitar.neck import neck_of, places_on
from core.study import NotePlace, Study

_OCTAVES = (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5)  # the smallest move first; down before up, as guitars lie low


@dataclass(frozen=True, slots=True)
class Proposal:
    """octaves: how far to move the whole solo, up above 0. left_out: notes still off the neck then.
    sentence: the same for a person."""

    octaves: int
    left_out: int
    sentence: str


def out_of_range(study: Study) -> tuple[NotePlace, ...]:
    """Every note no string can sound, in order."""
    neck = neck_of(study.instrument)
    return tuple(place for place, midi in _notes(study) if not places_on(midi, neck))


def octave_proposal(study: Study) -> Proposal:
    """The smallest move by whole octaves that leaves the fewest notes off the neck."""
    neck = neck_of(study.instrument)
    pitches = [midi for _, midi in _notes(study)]
    left = {octaves: sum(not places_on(midi + 12 * octaves, neck) for midi in pitches) for octaves in _OCTAVES}
    octaves = min(_OCTAVES, key=lambda move: left[move])
    return Proposal(octaves, left[octaves], _sentence(octaves, left[octaves], left[0]))


def _sentence(octaves: int, left: int, now: int) -> str:
    if now == 0:
        return "Every note lies on the neck."
    if octaves == 0:
        return f"{_count(now)} off the neck, and no octave brings more of them on; change or leave out those notes."
    move = f"{abs(octaves)} octave{'s' if abs(octaves) > 1 else ''} {'up' if octaves > 0 else 'down'}"
    rest = "all lie on it" if left == 0 else f"{_count(left)} still off it"
    return f"{_count(now)} off the neck; {move}, {rest}."


def _count(notes: int) -> str:
    return f"{notes} notes lie" if notes > 1 else "1 note lies"


def _notes(study: Study) -> Iterator[tuple[NotePlace, int]]:
    for bar, what in enumerate(study.bars):
        for event, sounding in enumerate(what.events):
            for note, head in enumerate(sounding.notes):
                yield NotePlace(bar, event, note), head.pitch.midi
