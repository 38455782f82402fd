"""What cannot be of what was set, and notes no hand can come to in time: one line each."""

from __future__ import annotations

from collections.abc import Iterator

from core.guitar.costs import FURTHEST
from core.guitar.forward import Step
from core.guitar.hands import Hand
from core.study import Event

Fault = tuple[int, str]
"""Which note of the event, and a sentence with {pitch} for its name."""


def faults_of_move(event: Event, step: Step, before: Hand, after: Hand) -> Iterator[Fault]:
    """What is wrong with going from one hand to the next: the cheapest way has it only where every way has."""
    for one, other in step.ties:
        if before[one][:3] != after[other][:3]:
            yield step.heads[other], ("{pitch} is held over, but would have to change its place or finger on the way; "
                                      "clear what is set for one of its parts, or take the tie away")
    if step.ties:
        return
    travel = abs(before[0].position - after[0].position)
    if travel > FURTHEST[step.time]:
        yield step.heads[0], (f"the hand has to come {travel} frets to {{pitch}} in no time; give it another place, "
                              "or a slower tempo")
    set_to = {note.string for note in event.notes}
    crosses = {grip.string for grip in before}.isdisjoint(grip.string for grip in after)
    if step.slurred and crosses and not event.stroke and None not in set_to and step.from_set:
        yield step.heads[0], ("the slur into {pitch} crosses strings, so it is struck; set both notes on one string, "
                              "or take the slur away")
