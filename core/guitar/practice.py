"""A practice plan for a fingered study: the spots to isolate, a ladder of tempos, minutes, and a caution.

A ladder is a habit of teachers and no proof of anything: steady rise, full speed and turns of both made no significant
difference (Henley, J. Research in Music Education 2001, P12). What lasts is the share of right trials, not minutes
(Duke, Simmons & Cash 2009, P13); so each rung asks for right ones. Breaks and the caution: P16, common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from core.errors import BarglossError
from core.guitar.difficulty import Difficulty, Spot
from core.study import Study

START, RUNGS = 0.6, 5  # of the tempo a spot is to reach, and in how many steps
LONGEST_SITTING = 25   # minutes before a break (P16)
RIGHT_IN_A_ROW = 3
CAUTION = ("Stop at pain or numbness, rest, and ask a clinician if it stays. Warm up first, and take a break at least "
           f"every {LONGEST_SITTING} minutes.")


class Rung(NamedTuple):
    """bars: indices, first and last. tempos: from slow to the aim. words: what to do, for a person."""

    bars: tuple[int, int]
    tempos: tuple[int, ...]
    minutes: int
    words: str


@dataclass(frozen=True, slots=True)
class PracticePlan:
    """rungs: the spots one after another, then the whole; minutes are whole and add up to what was asked."""

    rungs: tuple[Rung, ...]
    minutes: int
    caution: str = CAUTION


def practice_plan(study: Study, hard: Difficulty, minutes: int = 20) -> PracticePlan:
    """For one sitting of so many minutes (10 to 120). Raises BarglossError."""
    if not 10 <= minutes <= 120:
        raise BarglossError(f"a sitting of {minutes} minutes; give 10 to 120")
    each = minutes * 2 // 3 // max(1, len(hard.hardest))
    rungs = [_isolated(study, spot, each) for spot in hard.hardest]
    rest = minutes - each * len(rungs)
    tempos = ladder(min(study.tempo, hard.highest_tempo or study.tempo))
    whole = Rung((0, len(study.bars) - 1), tempos, rest, f"The whole, at {tempos[0]} and up to {tempos[-1]}")
    return PracticePlan((*rungs, whole), minutes)


def ladder(aim: int) -> tuple[int, ...]:
    """Tempos in even steps from START of the aim up to it, each once."""
    shares = [START + (1 - START) * rung / (RUNGS - 1) for rung in range(RUNGS)]
    return tuple(dict.fromkeys(max(1, round(aim * share)) for share in shares))


def _isolated(study: Study, spot: Spot, minutes: int) -> Rung:
    """The bar of a spot, with the one before where the spot is at its start."""
    last = spot.place.bar
    first = max(0, last - 1) if spot.place.event <= 1 else last
    numbers = [study.in_force[bar].number for bar in dict.fromkeys((first, last))]
    tempos = ladder(min(study.tempo, spot.tempo))
    name = f"Bar{'s' if len(numbers) > 1 else ''} {'-'.join(map(str, numbers))}" if numbers != [0] else "Pickup"
    return Rung((first, last), tempos, minutes, f"{name}: {spot.why}. From {tempos[0]}, one step up after "
                                                f"{RIGHT_IN_A_ROW} right times in a row, to {tempos[-1]}")
