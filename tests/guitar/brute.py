"""The costs of `core.guitar.costs` worked out the slow way, a note at a time, to check the fast way against.

Written from that module's description; only the weights are shared.
"""

from __future__ import annotations

from itertools import product
from math import prod

from core.guitar import Fingered
from core.guitar import costs as weights
from core.study import Event, Instrument, Study

Hand = tuple[Fingered, ...]
REACHES = {1: (0, -1), 2: (1,), 3: (2,), 4: (3, 4)}  # frets from the position, by finger


def hands(event: Event, instrument: Instrument) -> list[Hand]:
    """Every hand for an event that keeps its locks (which must not contradict)."""
    found = []
    for position in range(1, instrument.frets - instrument.capo + 1):
        for hand in product(*(list(grips(note, position, instrument)) for note in event.notes)):
            if is_hand(hand, instrument.capo):
                found.append(hand)
    return found


def grips(note, position: int, instrument: Instrument):
    frets = instrument.frets - instrument.capo
    for string in range(1, len(instrument.tuning) + 1):
        fret = note.pitch.midi - instrument.tuning[-string].midi - instrument.capo
        for finger in range(5):
            if finger:
                right = 1 <= fret <= frets and fret - position in REACHES[finger]
            else:
                right = fret == 0 and position <= max(1, frets - 3)
            asked = ((note.string, string), (note.fret, fret), (note.finger, finger))
            if right and all(own in (None, got) for own, got in asked):
                yield Fingered(string, fret, finger, position)


def is_hand(hand: Hand, capo: int) -> bool:
    for place, one in enumerate(hand):
        for other in hand[place + 1:]:
            low, high = sorted((one, other), key=lambda grip: grip.finger)
            if one.string == other.string:
                return False
            if low.finger == 0:
                continue
            if low.finger == high.finger and (low.fret != high.fret or (
                    low.finger > 1 and abs(low.string - high.string) > 1)):
                return False
            if low.finger < high.finger and (high.fret, -high.string) < (low.fret, -low.string):
                return False
            if high.fret - low.fret > 4 and low.fret + capo <= 12:
                return False
    return True


def hand_cost(hand: Hand, capo: int) -> int:
    position = hand[0].position
    total = weights.BELOW_HOME * max(0, weights.HOME[0] - position)
    total += weights.ABOVE_HOME * max(0, position - weights.HOME[1])
    for grip in hand:
        total += weights.WEAK[grip.finger]
        total += weights.LOW_STRING * max(0, grip.fret + grip.string - weights.LOW_STRING_FRET)
        if grip.finger == 0:
            total += weights.OPEN + weights.OPEN_ABOVE[1] * max(0, position - weights.OPEN_ABOVE[0])
        elif grip.fret != position + grip.finger - 1:
            total += weights.stretch_cost(min(grip.fret, position) + capo)
    for finger in range(5):
        total += weights.BARRE[finger] * max(0, sum(grip.finger == finger for grip in hand) - 1)
    return total


def move_cost(before: Hand, after: Hand, time: int, slurred: bool, capo: int) -> int:
    travel = abs(before[0].position - after[0].position)
    total = weights.SHIFT[time] + weights.TRAVEL[time] * travel if travel else 0
    gap = min(abs(one.string - other.string) for one in before for other in after)
    if min(g.string for g in after) <= max(g.string for g in before) and (
            min(g.string for g in before) <= max(g.string for g in after)):
        gap = 0
    total += weights.CROSSING[gap] * weights.CROSSING_TIMES[time] + (weights.SLUR_CROSSING if slurred and gap else 0)
    for one in before:
        for other in after:
            total += finger_cost(one, other, time)
            reaches = {grip.fret - grip.position - grip.finger + 1 for grip in (one, other) if grip.finger}
            if not travel and reaches == {-1, 1} and min(one.fret, other.fret) + capo <= 12:
                total += weights.WIDE
    return total


def finger_cost(one: Fingered, other: Fingered, time: int) -> int:
    if not one.finger or not other.finger:
        return 0
    if one.finger != other.finger:
        return weights.SWAP[time] if one[:2] == other[:2] else 0
    if one.string == other.string:
        along = weights.CRAWL if one.position == other.position else weights.GLIDE
        return 0 if one.fret == other.fret else along[time]
    rolls = one.fret == other.fret and abs(one.string - other.string) == 1
    return (weights.ROLL if rolls else weights.HOP)[time]


def sounding(study: Study) -> list[tuple[Event, float, bool, bool]]:
    """Each event with notes, seconds since the one before, whether a rest lay between, whether slurred to."""
    found, since, rested, slurred = [], 0.0, False, False
    for bar in study.bars:
        for event in bar.events:
            if event.notes:
                found.append((event, since, rested, slurred))
                since, rested = 0.0, False
            else:
                rested = True
            since += event.duration.numerator / event.duration.denominator * 60 / study.tempo
            slurred = event.slur in ("start", "both") or (slurred and event.slur != "stop")
    return found


def time_class(since: float, rested: bool) -> int:
    return min(4, sum(since >= limit for limit in weights.TIME_LIMITS) + rested)


def total_cost(study: Study, path: list[Hand]) -> int:
    capo = study.instrument.capo
    total = 0
    for place, (_, since, rested, slurred) in enumerate(sounding(study)):
        total += hand_cost(path[place], capo)
        if place:
            total += move_cost(path[place - 1], path[place], time_class(since, rested), slurred, capo)
    return total


def cheapest(study: Study, most: int = 60_000) -> int | None:
    """The least total over every sequence of hands, each one walked; None where they are more than `most`."""
    capo = study.instrument.capo
    heard = sounding(study)
    choices = [[(hand, hand_cost(hand, capo)) for hand in hands(event, study.instrument)] for event, *_ in heard]
    if prod(len(choice) for choice in choices) > most or not all(choices):
        return None
    if not choices:
        return 0
    links = [{(a, b): move_cost(a, b, time_class(since, rested), slurred, capo) for a, _ in before for b, _ in after}
             for before, after, (_, since, rested, slurred) in zip(choices, choices[1:], heard[1:], strict=False)]

    def walk(place: int, hand: Hand) -> int:
        if place == len(choices):
            return 0
        return min(own + links[place - 1][hand, after] + walk(place + 1, after) for after, own in choices[place])

    return min(own + walk(1, hand) for hand, own in choices[0])
