"""Where to fold a line that leaves the neck, an octave or more, with least harm to its contour.

Each note gets a fold, a number of octaves, by the cheapest path: off the neck is worst, then a fold within a phrase
(most of all one that turns a step or the direction of the line around), then a fold between phrases, then being
folded at all. Phrases are parted by rests. The weights are ours; folding at rests and leaps: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import NamedTuple

from core.guitar.neck import Neck, neck_of, places_on
from core.study import Event, NotePlace, Study, notes_named

FOLDS = (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5)  # the smallest first; down before up, as guitars lie low
OFF_NECK = 10_000
FOLDED = 2           # a note, an octave
AT_REST = 8          # another fold after a rest, an octave
WITHIN = 40          # within a phrase, an octave
TURNED = 30          # more, where the line then goes the other way
STEP_TORN = 30       # more, where a step becomes a leap
STEP = 2             # semitones


class Fold(NamedTuple):
    """Events from first to last move so many octaves, up above 0."""

    first: NotePlace
    last: NotePlace
    octaves: int
    sentence: str


@dataclass(frozen=True, slots=True)
class OctavePlan:
    """folds: in order, nothing where no note need move. left_out: notes that stay off the neck."""

    folds: tuple[Fold, ...]
    left_out: int


class _Sound(NamedTuple):
    place: NotePlace
    event: Event
    rested: bool


def octave_plan(study: Study) -> OctavePlan:
    """The folds that do least harm; exact, and of equal plans the one with the smaller folds."""
    neck = neck_of(study.instrument)
    sounds = list(_sounds(study))
    chosen = _cheapest(sounds, neck)
    left = sum(not places_on(note.pitch.midi + 12 * octaves, neck)
               for sound, octaves in zip(sounds, chosen, strict=True) for note in sound.event.notes)
    runs = [[sound for sound, _ in run] for _, run in groupby(zip(sounds, chosen, strict=True), lambda one: one[1])]
    moves = [octaves for octaves, _ in groupby(chosen)]
    return OctavePlan(tuple(_fold(study, run, octaves) for run, octaves in zip(runs, moves, strict=True) if octaves),
                      left)


def folded(study: Study, fold: Fold) -> Study:
    """The study with one fold accepted. What the teacher set of the place of a moved note goes."""
    bars = list(study.bars)
    for bar in range(fold.first.bar, fold.last.bar + 1):
        events = tuple(_moved(event, fold.octaves) if fold.first[:2] <= (bar, index) <= fold.last[:2] else event
                       for index, event in enumerate(bars[bar].events))
        bars[bar] = replace(bars[bar], events=events)
    return replace(study, bars=tuple(bars))


def _moved(event: Event, octaves: int) -> Event:
    notes = tuple(replace(note, pitch=note.pitch._replace(octave=note.pitch.octave + octaves), string=None, fret=None,
                          finger=None) for note in event.notes)
    return replace(event, notes=notes) if notes else event


def _sounds(study: Study) -> Iterator[_Sound]:
    rested = False
    for bar, what in enumerate(study.bars):
        for index, event in enumerate(what.events):
            if event.notes:
                yield _Sound(NotePlace(bar, index), event, rested)
            rested = not event.notes


def _cheapest(sounds: list[_Sound], neck: Neck) -> list[int]:
    if not sounds:
        return []
    folds = _useful(sounds, neck)
    costs = [_standing(sounds[0].event, octaves, neck) for octaves in folds]
    came: list[list[int]] = []
    for before, after in pairwise(sounds):
        links = [[costs[at] + _change(before, after, one, octaves) for at, one in enumerate(folds)]
                 for octaves in folds]
        came.append([row.index(min(row)) for row in links])
        costs = [min(row) + _standing(after.event, octaves, neck) for row, octaves in zip(links, folds, strict=True)]
    at = costs.index(min(costs))
    chosen = [folds[at]]
    for step in reversed(came):
        at = step[at]
        chosen.append(folds[at])
    return chosen[::-1]


def _useful(sounds: list[_Sound], neck: Neck) -> tuple[int, ...]:
    """The folds no further than some note needs: on a neck without gaps a further one is never cheaper, for the
    whole of a plan can be drawn back to them, and each of its terms falls or stays."""
    if not all(places_on(midi, neck) for midi in range(min(neck.open), max(neck.open) + neck.frets + 1)):
        return FOLDS
    pitches = {note.pitch.midi for sound in sounds for note in sound.event.notes}
    needed = {next((octaves for octaves in FOLDS if places_on(midi + 12 * octaves, neck)), 0) for midi in pitches}
    return tuple(octaves for octaves in FOLDS if min(needed | {0}) <= octaves <= max(needed | {0}))


def _standing(event: Event, octaves: int, neck: Neck) -> int:
    off = sum(not places_on(note.pitch.midi + 12 * octaves, neck) for note in event.notes)
    return OFF_NECK * off + FOLDED * abs(octaves)


def _change(before: _Sound, after: _Sound, one: int, other: int) -> int:
    """Of going from a note folded `one` octaves to the next folded `other`."""
    if one == other:
        return 0
    if any(note.tie for note in before.event.notes):
        return OFF_NECK
    if after.rested:
        return AT_REST * abs(one - other)
    interval = after.event.notes[-1].pitch.midi - before.event.notes[-1].pitch.midi
    heard = interval + 12 * (other - one)
    turned = interval != 0 and interval * heard <= 0
    return WITHIN * abs(one - other) + TURNED * turned + STEP_TORN * (abs(interval) <= STEP)


def _fold(study: Study, run: list[_Sound], octaves: int) -> Fold:
    first, last = run[0].place, run[-1].place
    count = f"{abs(octaves)} octaves" if abs(octaves) > 1 else "an octave"
    span = notes_named(study, first, last).capitalize()
    return Fold(first, last, octaves, f"{span}: {count} {'up' if octaves > 0 else 'down'}.")
