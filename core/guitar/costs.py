"""What a hand and a move cost, in whole numbers, so that the cheapest path is exact.

The weights are ours, tuned by reading the tabs they gave: the published models name such terms
(hand travel along the neck, crossing, spread, neck position: Radicioni & Lombardo 2005;
Heijink & Meulenbroek 2002), but no weights that we could read.

A hand costs: being away from the low middle of the neck, a stretched finger (by the
millimetres it spans, G7), a high fret on a low string, an open string, a weak finger, a barre.
A move costs, the less the more time there is for it: shifting the hand (a base and so much a
fret), crossing strings (more so under a slur), and one finger taking two notes in a row:
rolled across a fret, gliding along its string with the hand, crawling by stretch, or hopping.
Another finger on the same place costs too. Staying put is free.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache

from core.guitar.neck import span_mm
from core.guitar.values import Fingered

TIME_LIMITS = (0.14, 0.28, 0.56, 1.12)  # seconds from note to note that part the five time classes
SHIFT = (22, 16, 9, 4, 1)               # by time class
TRAVEL = (4, 3, 2, 1, 1)                # a fret, by time class
HOP = (16, 12, 7, 3, 0)                 # one finger, elsewhere on another string
ROLL = (8, 6, 3, 1, 0)                  # one finger, the next string, same fret
CRAWL = (18, 14, 8, 3, 0)                 # one finger stretches along its string, the hand staying
SWAP = (12, 10, 8, 4, 0)                # another finger on the same place
CROSSING = (0, 1, 3, 5, 6, 7, 8, 9, 10, 11)  # strings apart
CROSSING_TIMES = (2, 2, 1, 1, 0)        # by time class
SLUR_CROSSING = 14
GLIDE = (5, 4, 3, 1, 0)                 # one finger slides along its string, the hand with it
WIDE = 100_000                          # index and little finger both stretched, low on the neck
TIE_BROKEN = 1_000_000

OPEN = 8
OPEN_ABOVE = (2, 6)                     # beyond this position, so much a fret
HOME = (2, 9)                           # positions that cost nothing
BELOW_HOME, ABOVE_HOME = 3, 3           # a fret
LOW_STRING_FRET = 16                    # minus the string's number: the highest fret that costs nothing there
LOW_STRING = 2                          # a fret beyond
WEAK = (0, 0, 0, 1, 2)                  # by finger
BARRE = (0, 2, 8, 8, 8)                 # by finger, for each further string it lies on
STRETCH_FROM_MM, STRETCH_PER_CM = 55.0, 4.0


def time_class(seconds: float, rested: bool) -> int:
    """0 (no time) to 4 (all the time in the world); a rest between frees the hand and counts one more."""
    return min(bisect_right(TIME_LIMITS, seconds) + rested, len(TIME_LIMITS))


@lru_cache(maxsize=64)
def stretch_cost(fret: int) -> int:
    """Of a finger one fret beyond its own, in a hand whose lowest fret lies here, counted from the nut."""
    return max(1, round((span_mm(fret, fret + 4) - STRETCH_FROM_MM) * STRETCH_PER_CM / 10))


def hand_cost(hand: Sequence[Fingered], capo: int) -> int:
    """What it costs to be in this hand, however it came there."""
    low, high = HOME
    position = hand[0].position
    cost = BELOW_HOME * max(0, low - position) + ABOVE_HOME * max(0, position - high)
    if len(hand) > 1:
        fingers = [grip.finger for grip in hand]
        cost += sum(BARRE[finger] * (fingers.count(finger) - 1) for finger in set(fingers))
    for string, fret, finger, _ in hand:
        cost += WEAK[finger]
        if finger == 0:
            cost += OPEN + OPEN_ABOVE[1] * max(0, position - OPEN_ABOVE[0])
        elif fret != position + finger - 1:
            cost += stretch_cost(min(fret, position) + capo)
        cost += LOW_STRING * max(0, fret - (LOW_STRING_FRET - string))
    return cost
