"""How hard a fingered study is at its tempo: bar by bar, the hardest spots and why, and how fast each could go.

A move needs so many seconds, the sum of the terms below; a spot is hard by what it needs of the time there is. The
seconds are ours, set so that single-note picking ends at about twelve notes a second and an octave along a string at
about five moves a second (common practice, no source); that hand travel, place on the neck and spread make a passage
hard is measured (Heijink & Meulenbroek 2002).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from core.guitar.fingering import Fingering
from core.guitar.moments import Moment, moments
from core.guitar.neck import span_mm
from core.guitar.values import Fingered
from core.study import NotePlace, Study

STRUCK, SLURRED = 0.080, 0.065   # seconds for a note on the same string, by the finger that is there
SHIFT, SHIFT_PER_M = 0.040, 0.25  # for the hand to move, and for each metre it moves
CROSSED = 0.012                  # a string
STRETCHED = 0.020                # a finger beyond its own fret
HOPPED = 0.050                   # one finger, from one string to another fret on another
SPOTS_APART = 4                  # notes between two spots, at least


class Spot(NamedTuple):
    """needs, has: seconds to come to the note. tempo: the highest at which it has them. why: for a person."""

    place: NotePlace
    needs: float
    has: float
    tempo: int
    why: str


@dataclass(frozen=True, slots=True)
class BarDemand:
    """number: as printed. notes_per_second: at the study's tempo. hand_speed: the fastest shift, millimetres a
    second. stretches: fingers beyond their own fret."""

    number: int
    notes_per_second: float
    hand_speed: int
    shifts: int
    crossings: int
    stretches: int


@dataclass(frozen=True, slots=True)
class Difficulty:
    """hardest: three spots at most, the hardest first. highest_tempo: at which every spot still has the time it
    needs, None where there is nothing to come to."""

    bars: tuple[BarDemand, ...]
    hardest: tuple[Spot, ...]
    highest_tempo: int | None


def difficulty(study: Study, fingering: Fingering) -> Difficulty:
    """Of a study and its own fingering."""
    row = list(moments(study, fingering))
    spots = [_spot(one, other, study) for one, other in pairwise(row) if other.seconds]
    by_bar: dict[int, list[tuple[Moment | None, Moment]]] = {}
    for before, after in zip([None, *row], row, strict=False):
        by_bar.setdefault(after.place.bar, []).append((before, after))
    bars = tuple(_demand(here.number, float(here.length) * 60 / study.tempo, by_bar.get(here.index, []),
                         study.instrument.capo) for here in study.in_force)
    order = {moment.place: index for index, moment in enumerate(row)}
    hardest: list[Spot] = []
    for spot in sorted(spots, key=lambda spot: (spot.tempo, spot.place)):
        if len(hardest) < 3 and all(abs(order[spot.place] - order[one.place]) > SPOTS_APART for one in hardest):
            hardest.append(spot)
    return Difficulty(bars, tuple(hardest), min((spot.tempo for spot in spots), default=None))


def _demand(number: int, seconds: float, pairs: Sequence[tuple[Moment | None, Moment]], capo: int) -> BarDemand:
    moves = [(before, after) for before, after in pairs if before is not None]
    speeds = [_travel_mm(before.hand, after.hand, capo) / after.seconds for before, after in moves if after.seconds]
    return BarDemand(
        number, round(len(pairs) / seconds, 2), round(max(speeds, default=0)),
        shifts=sum(after.played.shift for _, after in pairs),
        crossings=sum(_strings_apart(before.hand, after.hand) > 0 for before, after in moves),
        stretches=sum(_stretches(after.hand) for _, after in pairs))


def _spot(before: Moment, after: Moment, study: Study) -> Spot:
    assert after.seconds is not None
    terms = needed(before, after, study.instrument.capo)
    needs = sum(terms.values())
    tempo = max(1, int(study.tempo * after.seconds / needs))
    most = max(terms, key=lambda name: terms[name] if name else 0)
    why = f"{1 / after.seconds:.1f} notes a second" + (f", and {most}" if most else "")
    return Spot(after.place, round(needs, 3), round(after.seconds, 3), tempo, why)


def needed(before: Moment, after: Moment, capo: int) -> dict[str, float]:
    """Seconds to come from one moment to the next, by what takes them; "" is the note itself."""
    terms = {"": SLURRED if after.played.technique else STRUCK}
    travel = abs(before.hand[0].position - after.hand[0].position)
    strings = _strings_apart(before.hand, after.hand)
    stretches = _stretches(after.hand)
    if travel:
        frets = f"{travel} fret{'s' if travel > 1 else ''}"
        terms[f"the hand shifts {frets}"] = SHIFT + SHIFT_PER_M * _travel_mm(before.hand, after.hand, capo) / 1000
    if strings:
        where = "to the next string" if strings == 1 else f"{strings} strings"
        terms[f"the pick crosses {where}"] = CROSSED * strings
    if stretches:
        terms["a finger stretches"] = STRETCHED * stretches
    if any(one.finger == other.finger > 0 and one.string != other.string and one.fret != other.fret
           for one in before.hand for other in after.hand):
        terms["one finger hops to another string"] = HOPPED
    return terms


def _travel_mm(before: Sequence[Fingered], after: Sequence[Fingered], capo: int) -> float:
    low, high = sorted((before[0].position, after[0].position))
    return span_mm(low + capo, high + capo)


def _strings_apart(before: Sequence[Fingered], after: Sequence[Fingered]) -> int:
    return min(abs(one.string - other.string) for one in before for other in after)


def _stretches(hand: Sequence[Fingered]) -> int:
    return sum(grip.is_stretched for grip in hand)
