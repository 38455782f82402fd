"""What a hand, a move and a stroke cost, in whole numbers, so that the cheapest path is exact.

The unit is about the effort of one fret of travel when there is plenty of time. The weights are ours, tuned by
reading the tabs they gave: the published models name such terms (hand travel along the neck, crossing, spread, neck
position: Radicioni & Lombardo 2005; Heijink & Meulenbroek 2002), but no weights that we could read. Terms of the
picking hand: common practice, no source, but economy (G15).

A hand costs: being away from its favourite part of the neck, a stretched finger (by the millimetres it spans, G7), a
finger closed up, a high fret on a low string, an open string, a weak finger, a barre, a string the guitarist keeps off.
A move costs, the less the more time there is for it: shifting the hand (a base and so much a fret), crossing
strings, a weak finger, ring and little finger splayed, and one finger taking two notes in a row: the index rolled
across a fret, another finger pressed across it, gliding along its string with the hand, crawling by stretch, or
hopping. Another finger on the same place costs too, and a pitch repeated on another string, since it sounds another.
Staying put is free.
A shift within a phrase costs more, whatever the time: a line is heard and learnt as one hand, so the hand moves where
a rest or a long note parts it.
A stroke costs: being made at all where there is little time, going against the meter, following its own direction
on a string, and crossing: outside the two strings (down on the lower, up on the higher), inside them, or in one
sweep. A slur costs little where speed asks for one, more where the hand moves under it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from core.guitar.neck import span_mm
from core.guitar.values import Fingered
from core.study import Guitarist

TIME_LIMITS = (0.14, 0.28, 0.56, 1.12)  # seconds from note to note that part the five time classes
SHIFT = (18, 12, 6, 3, 1)               # by time class
TRAVEL = (6, 5, 3, 2, 1)                # a fret, by time class
FURTHEST = (7, 12, 36, 36, 36)          # frets a hand can travel, by time class
HOP = (16, 12, 7, 3, 0)                 # one finger, elsewhere on another string
ROLL = (8, 6, 3, 1, 0)                  # one finger, the next string, same fret
PRESS = (10, 8, 5, 3, 2)                # the same by another finger than the index
CRAWL = (18, 14, 8, 3, 0)               # one finger stretches along its string, the hand staying
SWAP = (12, 10, 8, 4, 0)                # another finger on the same place
SPLAYED = (10, 8, 6, 5, 4)              # ring finger closed up, little finger two frets or more above it
CROSSED = 40                            # a finger on the wrong side of another, the hand staying
MOVED = (16, 14, 12, 8, 3)              # a note repeated on another string
PHRASE = 5                              # the hand shifts within a phrase, whatever the time
CROSSING = (0, 1, 3, 5, 6, 7, 8, 9, 10, 11)  # strings apart
CROSSING_TIMES = (2, 2, 1, 1, 0)        # by time class; of the way of crossing too
GLIDE = (5, 4, 3, 1, 0)                 # one finger slides along its string, the hand with it
WEAK_TIMES = (2, 1, 0, 0, 0)            # a weak finger at speed: so often its weakness more
LONG, ALMOST = 1.4, 0.99                # times the gaps beside it, which a swung eighth is not; of a quarter note
OUT_OF_REACH = 100_000                  # index and little finger both stretched, low on the neck; too far for the time
TIE_BROKEN = 1_000_000
FORBIDDEN = 1_000_000_000               # a slur that cannot be played; a stroke other than the teacher's

OPEN: Mapping[str, int] = MappingProxyType({"avoid": 60, "allow": 8, "prefer": 0})
OPEN_ABOVE = (2, 6)                     # beyond this position, so much a fret
HOME = (2, 8)                           # positions that cost nothing
NEAR_HOME = 2                           # frets round a favourite position that cost nothing
AWAY = 1                                # a fret
LOW_STRING_FRET = 16                    # minus the string's number: the highest fret that costs nothing there
LOW_STRING = 2                          # a fret beyond
WEAK = (0, 0, 0, 1, 2)                  # by finger
BARRE = (0, 2, 8, 8, 8)                 # by finger, for each further string it lies on
CLOSED = 3                              # a fret that a finger is short of its own
STRETCH_PER_CM = 4.0
STRETCH_FROM_MM: Mapping[str, float] = MappingProxyType({"small": 45.0, "normal": 55.0, "wide": 105.0})
OFF_STRINGS = 60                        # a note on a string the guitarist keeps off

STROKE = (4, 2, 0, 0, 0)                # by time class
REPEATED = (16, 10, 3, 0, 0)            # the same stroke again, by time class
UNSLURRED = 14                          # struck where a slur is written
SLUR_SHIFT = 12                         # the hand moves under a slur, and no finger slides


class Picking(NamedTuple):
    """off_meter: a stroke against the place in the meter. outside, inside, sweep: of a crossing, times
    CROSSING_TIMES. slur: proposed, by time class as far as they are. anywhere: and not into strong places only."""

    off_meter: int
    outside: int
    inside: int
    sweep: int
    slur: tuple[int, ...]
    anywhere: bool = False


PICKING: Mapping[str, Picking] = MappingProxyType({
    "alternate": Picking(12, 1, 2, 4, (1,)),
    "strict": Picking(1, 1, 2, 8, ()),
    "economy": Picking(1, 3, 4, 0, ()),
    "sweep": Picking(1, 8, 9, 0, ()),
    "legato": Picking(1, 4, 4, 1, (-8, -6, -4, -2), anywhere=True),
    "alternate-sweep": Picking(4, 2, 3, 0, (1,)),
    "economy-legato": Picking(1, 3, 4, 0, (-2, -1)),
})


def begins(gap: float, before: float, after: float, quarter: float) -> bool:
    """Whether a phrase begins at a note: `gap` from the note before is long, by itself and beside the gap before it
    and the length of the note. Seconds, as a quarter note's. That a longer gap than its neighbours parts groups is a
    published rule of hearing (Lerdahl & Jackendoff 1983, grouping preference rule 2b; from memory)."""
    return gap > quarter * ALMOST and gap >= LONG * max(before, after)


def time_class(seconds: float, rested: bool) -> int:
    """0 (no time) to 4 (all the time in the world); a rest between frees the hand and counts one more."""
    return min(bisect_right(TIME_LIMITS, seconds) + rested, len(TIME_LIMITS))


@lru_cache(maxsize=256)
def stretch_cost(fret: int, span: str) -> int:
    """Of a finger one fret beyond its own, in a hand whose lowest fret lies here, counted from the nut."""
    return max(1, round((span_mm(fret, fret + 4) - STRETCH_FROM_MM[span]) * STRETCH_PER_CM / 10))


def hand_cost(hand: Sequence[Fingered], capo: int, who: Guitarist) -> int:
    """What it costs to be in this hand, however it came there."""
    position = hand[0].position
    cost = _away(position, who.position)
    if len(hand) > 1:
        fingers = [grip.finger for grip in hand]
        cost += sum(BARRE[finger] * (fingers.count(finger) - 1) for finger in set(fingers))
        ring, little = ([grip for grip in hand if grip.finger == finger] for finger in (3, 4))
        cost += SPLAYED[0] * (bool(ring and little) and ring[0].reach < 0 and little[0].fret - ring[0].fret >= 2)
    for string, fret, finger, _ in hand:
        cost += WEAK[finger]
        reach = fret - position - finger + 1
        if finger == 0:
            cost += OPEN[who.open_strings] + OPEN_ABOVE[1] * max(0, position - OPEN_ABOVE[0])
        elif reach > 0 or (finger == 1 and reach):
            cost += stretch_cost(min(fret, position) + capo, who.span)
        elif reach:
            cost += CLOSED * -reach
        cost += LOW_STRING * max(0, fret - (LOW_STRING_FRET - string))
        if who.strings and string not in who.strings:
            cost += OFF_STRINGS
    return cost


def _away(position: int, favourite: int | None) -> int:
    low, high = HOME if favourite is None else (favourite - NEAR_HOME, favourite + NEAR_HOME)
    return AWAY * (max(0, low - position) + max(0, position - high))
