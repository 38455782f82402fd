"""What lies off the neck or high up it, and the octave that would bring it down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median_low

from core.guitar.neck import neck_of, places_on
from core.guitar.octaves import Fold, folded, octave_plan
from core.study import NotePlace, Study

_OCTAVES = (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5)  # the smallest move first; down before up, as guitars lie low

HIGH = 7
"""A fret of the first string: a solo whose notes lie above it by half is high (ours, by reading the tabs)."""


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
    """The smallest move by whole octaves that leaves the fewest notes off the neck; one octave lower where the half
    of them would lie high (a solo written for another instrument, or at the pitch that guitar music is written at)."""
    neck = neck_of(study.instrument)
    pitches = [midi for _, midi in _notes(study)]
    left = {octaves: sum(not places_on(midi + 12 * octaves, neck) for midi in pitches) for octaves in _OCTAVES}
    octaves = min(_OCTAVES, key=lambda move: left[move])
    lower = octaves - 1
    if pitches and median_low(pitches) + 12 * octaves > neck.open[0] + HIGH and left.get(lower) == left[octaves]:
        octaves = lower
    return Proposal(octaves, left[octaves], _sentence(octaves, left[octaves], left[0]))


def advice(study: Study) -> tuple[str, ...]:
    """What to say of the octave a solo lies in, a line each: nothing where it lies well."""
    proposal = octave_proposal(study)
    if not proposal.octaves and not out_of_range(study):
        return ()
    folds = octave_plan(study).folds if proposal.left_out else ()
    return (proposal.sentence, *(f"Or folded: {fold.sentence}" for fold in folds))


def moved_by(study: Study, octaves: int) -> Study:
    """The whole solo so many octaves higher; what the teacher set of strings, frets and fingers goes."""
    return folded(study, Fold(NotePlace(0, 0), NotePlace(len(study.bars) - 1, len(study.bars[-1].events)), octaves, ""))


def _sentence(octaves: int, left: int, now: int) -> str:
    if now == 0 and octaves:
        return f"Half of the notes lie above fret {HIGH} of the first string; 1 octave down, they lie in easier reach."
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
