"""Other ways to play a passage: the cheapest in each part of the neck, where it is really another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from core.errors import BarglossError
from core.guitar.costs import OUT_OF_REACH
from core.guitar.difficulty import needed
from core.guitar.fingering import Fingering, finger
from core.guitar.forward import Window
from core.guitar.moments import Moment, moments
from core.guitar.neck import places
from core.study import NotePlace, Study, edits, notes_named, tie_chain

WINDOW = 2       # frets the hand may move within a part of the neck
OTHER_SHARE = 3  # one note in so many lies on another string in a really different way


@dataclass(frozen=True, slots=True)
class Way:
    """fingering: of the whole study, the passage played this way. first, last: events of the passage. positions:
    lowest and highest in it. cost: what it costs above the cheapest. hard: where, for a person."""

    fingering: Fingering
    first: NotePlace
    last: NotePlace
    positions: tuple[int, int]
    cost: int
    hard: str


def ways(study: Study, fingering: Fingering, first: NotePlace, last: NotePlace, most: int = 5) -> tuple[Way, ...]:
    """So many at most, the cheapest first, which is the fingering itself. What the teacher set holds in all."""
    found = [finger(study, fingering, _windows(study, first, last, low))
             for low in range(1, study.instrument.frets - study.instrument.capo + 1)]
    chosen: list[tuple[Fingering, list[Moment]]] = []
    for one in (fingering, *sorted(found, key=lambda one: one.cost)):
        row = [moment for moment in moments(study, one) if first[:2] <= moment.place[:2] <= last[:2]]
        playable = one is fingering or one.cost - fingering.cost < OUT_OF_REACH
        if len(chosen) < most and row and playable and all(_differs(row, other) for _, other in chosen):
            chosen.append((one, row))
    return tuple(_way(study, one, row, one.cost - fingering.cost) for one, row in chosen)


def taken(study: Study, way: Way) -> Study:
    """The study with the strings and frets of a way set for its passage, as the teacher's own."""
    for place, string, fret in _places(study, way):
        study = edits.set_string(study, place, string, fret)
    return study


def in_position(study: Study, fingering: Fingering, first: NotePlace, last: NotePlace, fret: int) -> Study:
    """The study with the passage set where it lies best with the first finger at this fret, or a little above.

    Raises BarglossError where it does not lie there.
    """
    moved = finger(study, fingering, _windows(study, first, last, fret))
    row = [moment for moment in moments(study, moved) if first[:2] <= moment.place[:2] <= last[:2]]
    lies = all(fret <= grip.position <= fret + WINDOW for moment in row for grip in moment.hand)
    if not row or not lies or moved.cost - fingering.cost >= OUT_OF_REACH:
        raise BarglossError(f"these notes do not lie in position {fret}; choose another position, or fewer notes",
                            bar=study.in_force[first.bar].number)
    return taken(study, _way(study, moved, row, moved.cost - fingering.cost))


def on_next_string(study: Study, place: NotePlace, string: int, by: int) -> Study:
    """The study with a note, now on `string`, and all it is tied to, on the nearest string above (by -1: its number
    falls) or below (by 1) that has it. Raises BarglossError where none has."""
    midi = study.note_at(place).pitch.midi
    others = sorted((spot for spot in places(midi, study.instrument) if (spot.string - string) * by > 0),
                    key=lambda spot: abs(spot.string - string))
    if not others:
        raise BarglossError(f"no {'higher' if by < 0 else 'lower'} string has {study.note_at(place).pitch.name}; "
                            "move it by an octave, or leave it", bar=study.in_force[place.bar].number)
    for head in tie_chain(study, place):
        study = edits.set_string(study, head, *others[0])
    return study


def _places(study: Study, way: Way) -> Iterator[tuple[NotePlace, int, int]]:
    for bar in range(way.first.bar, way.last.bar + 1):
        for event, played in enumerate(way.fingering.bars[bar].events):
            if way.first[:2] <= (bar, event) <= way.last[:2]:
                for head, grip in enumerate(played.notes):
                    if grip is not None:
                        yield NotePlace(bar, event, head), grip.string, grip.fret


def _windows(study: Study, first: NotePlace, last: NotePlace, low: int) -> dict[int, Window]:
    return {bar: (low, low + WINDOW, first.event if bar == first.bar else 0,
                  last.event if bar == last.bar else len(study.bars[bar].events))
            for bar in range(first.bar, last.bar + 1)}


def _differs(row: list[Moment], other: list[Moment]) -> bool:
    elsewhere = sum({grip.string for grip in one.hand} != {grip.string for grip in two.hand}
                    for one, two in zip(row, other, strict=True))
    return elsewhere * OTHER_SHARE >= len(row)


def _way(study: Study, fingering: Fingering, row: list[Moment], cost: int) -> Way:
    positions = [moment.hand[0].position for moment in row]
    return Way(fingering, row[0].place, row[-1].place, (min(positions), max(positions)), cost, _hard(study, row))


def _hard(study: Study, row: list[Moment]) -> str:
    """The move that needs most of the time there is."""
    moves = [(needed(one, other, study.instrument.capo), other) for one, other in pairwise(row) if other.seconds]
    if not moves:
        return "no move in it"
    terms, after = max(moves, key=lambda move: sum(move[0].values()) / (move[1].seconds or 1.0))
    most = max(terms, key=lambda name: terms[name] if name else 0.0)
    return f"hardest at {notes_named(study, after.place)}: {most}" if most else "hardest where it is fastest"
