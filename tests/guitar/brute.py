"""The costs of `core.guitar.costs` worked out the slow way, a note at a time, to check the fast way against.

Written from that module's description; only the weights are shared.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import product
from math import inf, prod
from typing import NamedTuple

from core.guitar import Fingered
from core.guitar import costs as weights
from core.guitar.picking import strokes, technique
from core.study import Event, Guitarist, InForce, Instrument, Study

Hand = tuple[Fingered, ...]
SWUNG = 0.065  # quarters; P9, a soloist's 1.3 to 1
REACHES = {1: (0, -1), 2: (1,), 3: (2, 1), 4: (3, 4, 2)}  # frets from the position, by finger
TIGHT = {2: (0,), 3: (0,), 4: (1, 0)}  # at the nut, and of notes at once but for the last


class Step(NamedTuple):
    """An event, the class of the time there is for it, whether a rest lies before it, whether a slur is written into
    it, whether a phrase begins with it, the stroke of its place, and whether the pitch before was left by a bend, fall
    or doit."""

    event: Event
    time: int
    rested: bool
    slurred: bool
    begins: bool
    placed: str
    after_left: bool = False


def hands(event: Event, instrument: Instrument) -> list[Hand]:
    """Every hand for an event that keeps its locks (which must not contradict)."""
    found = []
    for position in range(1, instrument.frets - instrument.capo + 1):
        for hand in product(*(list(grips(note, position, instrument, len(event.notes))) for note in event.notes)):
            if is_hand(hand, instrument.capo):
                found.append(hand)
    return found


def grips(note, position: int, instrument: Instrument, notes: int):
    frets = instrument.frets - instrument.capo
    for string in range(1, len(instrument.tuning) + 1):
        fret = note.pitch.midi - instrument.tuning[-string].midi - instrument.capo
        for finger in range(5):
            if finger:
                reach = fret - position
                tight = reach in TIGHT.get(finger, ()) and (position == 1 or (notes > 1 and (finger, reach) != (4, 0)))
                right = 1 <= fret <= frets and (reach in REACHES[finger] or tight)
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


def hand_cost(hand: Hand, capo: int, who: Guitarist) -> int:
    position = hand[0].position
    low, high = weights.HOME
    if who.position is not None:
        low, high = who.position - weights.NEAR_HOME, who.position + weights.NEAR_HOME
    total = weights.AWAY * (max(0, low - position) + max(0, position - high))
    for grip in hand:
        total += weights.WEAK[grip.finger]
        total += weights.LOW_STRING * max(0, grip.fret + grip.string - weights.LOW_STRING_FRET)
        if grip.finger == 0:
            total += weights.OPEN[who.open_strings] + weights.OPEN_ABOVE[1] * max(0, position - weights.OPEN_ABOVE[0])
        elif grip.finger > 1 and grip.fret < position + grip.finger - 1:
            total += weights.CLOSED * (position + grip.finger - 1 - grip.fret)
        elif grip.fret != position + grip.finger - 1:
            total += weights.stretch_cost(min(grip.fret, position) + capo, who.span)
        if who.strings:
            total += weights.OFF_STRINGS * (grip.string not in who.strings)
    for finger in range(5):
        total += weights.BARRE[finger] * max(0, sum(grip.finger == finger for grip in hand) - 1)
    return total + (weights.SPLAYED[0] if any(splays(one, other) for one in hand for other in hand) else 0)


def crossed(before: Hand, after: Hand) -> int:
    """Strings apart, above 0 towards the higher strings, 0 where the hands overlap."""
    if max(g.string for g in after) < min(g.string for g in before):
        return min(g.string for g in before) - max(g.string for g in after)
    if min(g.string for g in after) > max(g.string for g in before):
        return max(g.string for g in before) - min(g.string for g in after)
    return 0


def move_cost(before: Hand, after: Hand, time: int, begins: bool, instrument: Instrument) -> int:
    """Of the fretting hand."""
    capo = instrument.capo
    travel = abs(before[0].position - after[0].position)
    total = weights.SHIFT[time] + weights.TRAVEL[time] * travel if travel else 0
    total += weights.PHRASE if travel and not begins else 0
    heard = {sounds(grip, instrument): grip.string for grip in before}
    again = [grip for grip in after if sounds(grip, instrument) in heard]
    total += weights.MOVED[time] * sum(heard[sounds(grip, instrument)] != grip.string for grip in again)
    if travel > weights.FURTHEST[time]:
        total += weights.OUT_OF_REACH
    total += weights.CROSSING[abs(crossed(before, after))] * weights.CROSSING_TIMES[time]
    total += sum(weights.WEAK[grip.finger] for grip in after) * weights.WEAK_TIMES[time]
    for one in before:
        for other in after:
            total += finger_cost(one, other, time)
            total += 0 if travel or not crosses(one, other) else weights.CROSSED
            total += weights.SPLAYED[time] if not travel and (splays(one, other) or splays(other, one)) else 0
            wide = one.finger and other.finger and abs(one.fret - other.fret) > 4
            if wide and not travel and min(one.fret, other.fret) + capo <= 12:
                total += weights.OUT_OF_REACH
    return total


def sounds(grip: Fingered, instrument: Instrument) -> int:
    return instrument.tuning[-grip.string].midi + grip.fret


def crosses(one: Fingered, other: Fingered) -> bool:
    """Whether a finger lies on the wrong side of another: fingers go up with the frets and, at one fret, with the
    pitch of the strings."""
    low, high = sorted((one, other), key=lambda grip: grip.finger)
    if low.finger in (0, high.finger):
        return False
    return (low.fret, -low.string) > (high.fret, -high.string)


def splays(one: Fingered, other: Fingered) -> bool:
    """Ring finger closed up, and the little finger two frets or more above it."""
    return (one.finger, other.finger) == (3, 4) and one.fret < one.position + 2 and other.fret >= one.fret + 2


def own_stroke_cost(stroke: str, event: Event, placed: str, time: int, slurred: bool, who: Guitarist) -> float:
    if event.stroke not in ("", stroke):
        return inf
    total = weights.STROKE[time] + (weights.UNSLURRED if slurred else 0)
    return total + (0 if stroke == placed else weights.PICKING[who.picking].off_meter)


def crossing_cost(last: str, stroke: str, strings: int, time: int, who: Guitarist) -> int:
    """strings: as of `crossed`."""
    style, times = weights.PICKING[who.picking], weights.CROSSING_TIMES[time]
    if last == stroke:
        return style.sweep * times if strings == (1 if stroke == "down" else -1) else weights.REPEATED[time]
    if strings == 0:
        return 0
    return (style.outside if (last == "down") == (strings > 0) else style.inside) * times


def slur_cost(before: Hand, after: Hand, event: Event, placed: str, time: int, slurred: bool,
              who: Guitarist) -> float:
    """Of no stroke, but a hammer-on, a pull-off or a slide."""
    how = technique(before, after)
    style = weights.PICKING[who.picking]
    proposed = time < len(style.slur) and (style.anywhere or placed == "down")
    if not how or event.stroke or not (slurred or proposed):
        return inf
    moves = before[0].position != after[0].position and how != "slide"
    return (0 if slurred else style.slur[time]) + (weights.SLUR_SHIFT if moves else 0)


def finger_cost(one: Fingered, other: Fingered, time: int) -> int:
    if not one.finger or not other.finger:
        return 0
    if one.finger != other.finger:
        return weights.SWAP[time] if one[:2] == other[:2] else 0
    if one.string == other.string:
        along = weights.CRAWL if one.position == other.position else weights.GLIDE
        return 0 if one.fret == other.fret else along[time]
    if one.fret == other.fret and abs(one.string - other.string) == 1:
        return (weights.ROLL if one.finger == 1 else weights.PRESS)[time]
    return weights.HOP[time]


def sounding(study: Study) -> list[tuple[Event, float, bool, bool, bool]]:
    """Each event with notes, seconds since the one before, whether a rest lay between, whether slurred to, whether it
    begins a phrase."""
    found, since, rested, slurred, awaited = [], 0.0, False, False, 0.0
    for here in study.in_force:
        for event in here.bar.events:
            long = seconds(study, event, offset_of(here))
            if event.notes:
                begins = rested or (since * study.tempo / 60 > 0.99 and since >= 1.4 * max(awaited, long))
                found.append((event, since, rested, slurred, begins))
                since, rested, awaited = 0.0, False, since
            else:
                rested = True
            since += long
            slurred = event.slur in ("start", "both") or (slurred and event.slur != "stop")
    return found


def offset_of(here: InForce) -> Fraction:
    """Where in its meter a bar begins: later than at 0 only a pickup."""
    return max(Fraction(0), here.meter.length - here.length) if here.index == 0 else Fraction(0)


def seconds(study: Study, event: Event, offset: Fraction) -> float:
    """An eighth off the beat of a swing feel begins late."""
    def moved(at: Fraction) -> float:
        return float(at) + SWUNG * (at.denominator == 2 and study.feel == "swing")

    start, end = event.onset + offset, event.end + offset
    halves = start.denominator <= 2 and end.denominator <= 2
    quarters = moved(end) - moved(start) if halves else float(event.duration)
    return quarters * 60 / study.tempo


def time_class(since: float, rested: bool) -> int:
    return min(4, sum(since >= limit for limit in weights.TIME_LIMITS) + rested)


def steps(study: Study) -> list[Step]:
    """Every event that sounds, with the time there is for it and the stroke of its place."""
    placed = [stroke for here in study.in_force for stroke, event in zip(
        strokes(here.bar.events, here.meter, offset_of(here)), here.bar.events, strict=True) if event.notes]
    heard = sounding(study)
    left = [False, *[bool({"bend", "fall", "doit"} & {*event.articulations}) for event, *_ in heard]]
    return [Step(event, time_class(since, rested), rested, slurred, begins, place, out)
            for (event, since, rested, slurred, begins), place, out in zip(heard, placed, left, strict=False)]


def total_cost(study: Study, path: list[Hand], picked: list[str]) -> float:
    """Of hands and what each is reached with: down, up or slur."""
    capo, who = study.instrument.capo, study.guitarist
    total: float = 0
    direction = ""
    for place, (step, hand, how) in enumerate(zip(steps(study), path, picked, strict=True)):
        before = path[place - 1] if place else None
        total += hand_cost(hand, capo, who)
        total += move_cost(before, hand, step.time, step.begins, study.instrument) if before else 0
        total += pick_cost(before, hand, (direction, how), step, who)
        direction = how
    return total


def pick_cost(before: Hand | None, after: Hand, ways: tuple[str, str], step: Step, who: Guitarist) -> float:
    last, how = ways
    if how == "slur":
        if before is None or step.rested or (step.after_left and not step.slurred):
            return inf
        return slur_cost(before, after, step.event, step.placed, step.time, step.slurred, who)
    own = own_stroke_cost(how, step.event, step.placed, step.time, step.slurred, who)
    if before is None or step.rested or last == "slur":
        return own
    return own + crossing_cost(last, how, crossed(before, after), step.time, who)


def cheapest(study: Study, most: int = 20_000) -> float | None:
    """The least total over every sequence of hands, strokes and slurs, each one walked; None where the sequences of
    hands are more than `most`."""
    capo, who = study.instrument.capo, study.guitarist
    heard = steps(study)
    choices = [[(hand, hand_cost(hand, capo, who)) for hand in hands(step.event, study.instrument)] for step in heard]
    if prod(len(choice) for choice in choices) > most or not all(choices):
        return None
    if not choices:
        return 0
    links = [{(a, b): move_cost(a, b, step.time, step.begins, study.instrument) for a, _ in before for b, _ in after}
             for before, after, step in zip(choices, choices[1:], heard[1:], strict=False)]

    @cache
    def crossings(place: int, before: Hand | None, hand: Hand, direction: str) -> list[tuple[str, float]]:
        found = [(how, pick_cost(before, hand, (direction, how), heard[place], who))
                 for how in ("down", "up", "slur")]
        return [one for one in found if one[1] < inf]

    def walk(place: int, before: Hand | None, direction: str) -> float:
        if place == len(choices):
            return 0
        least = inf
        for hand, own in choices[place]:
            link = links[place - 1][before, hand] if before else 0
            for leaving, cost in crossings(place, before, hand, direction):
                least = min(least, own + link + cost + walk(place + 1, hand, leaving))
        return least

    return walk(0, None, "")
