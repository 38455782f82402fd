"""What it costs to go from any hand of one event to any hand of the next, struck or slurred: the terms of `costs`.

What the strokes add hangs on the strings alone, so it is kept apart and small (`crossings`).

A state is how an event was reached and the hand on it: `way * len(hands) + hand`, ways 0 down, 1 up, 2 slurred. After
a slurred note the pick has had time to go where it is wanted. What two grips are to each other is looked up in one
table, `_kinds`.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.guitar.costs import (
    CRAWL,
    CROSSED,
    CROSSING,
    CROSSING_TIMES,
    FORBIDDEN,
    FURTHEST,
    GLIDE,
    HOP,
    MOVED,
    OUT_OF_REACH,
    PHRASE,
    PICKING,
    PRESS,
    REPEATED,
    ROLL,
    SHIFT,
    SLUR_SHIFT,
    SPLAYED,
    SWAP,
    TIE_BROKEN,
    TRAVEL,
    WEAK_TIMES,
)
from core.guitar.hands import FINGERS, FRETS, RING_CLOSED, STRINGS, Ints, Layer

SCALED = 1 << 16  # a cost leaves its low bits free to say which state the move came from
WAYS = 3
# What a finger does from one grip to another:
_NOTHING, _HOP, _ROLL, _PRESS, _CRAWL, _GLIDE, _SWAP, _SPLAYED, _CROSSED, _WIDE = range(10)
_TERM, _RISES, _FALLS, _STAYS, _KINDS = 15, 16, 32, 64, 128  # in the bits of a kind
_ALL_STAY = STRINGS * FRETS * FINGERS * FINGERS
Bools = NDArray[np.bool_]
Kinds = NDArray[np.uint8]


class Moves(NamedTuple):
    """Costs times SCALED, the hand's own included, but for the crossing of strings, which depends on the strokes.

    costs: [way, hand after, hand before]; without the way of the slur where there can be none. holds: of notes that
    are held on, whatever way they were reached, [hand after, hand before], plus the hand before; None where there are
    others. apart: strings between, [span after, hand before], above 0 towards the higher ones.
    """

    costs: Ints
    apart: Ints
    holds: Ints | None = None


@lru_cache(maxsize=2048)
def moves(before: Layer | None, after: Layer, time: int, begins: bool, ties: tuple[tuple[int, int], ...]) -> Moves:
    """Every move. begins: a phrase does. ties: (note before, note after) that are one held note."""
    if before is None:
        return Moves(_struck(after.cost[:, None]), np.zeros((len(after.spans), 1), dtype=np.int64))
    travel = after.position[:, None] - before.position
    stays = travel == 0
    staying = _ALL_STAY * stays
    kinds = [[_kinds().take(onto[:, None] + off + staying) for off in before.off] for onto in after.onto]
    cost = _shifts(time, begins).take(travel) + (after.cost + after.weakness * WEAK_TIMES[time])[:, None]
    for row in kinds:
        for kind in row:
            cost += _terms(time).take(kind)
    for one, other in _repeated(before.pitches, after.pitches):
        cost += MOVED[time] * (after.string[other][:, None] != before.string[one])
    apart = _apart(before, after)
    if not ties:
        return Moves(np.stack((cost, cost, cost + _slurring(kinds))) * SCALED, apart)
    kept = _kept(before, after, ties)
    if len(ties) < len(after.pitches):
        return Moves(_struck(np.where(kept, cost, cost + TIE_BROKEN)), apart)
    held = np.where(kept & stays, 0, cost + TIE_BROKEN) * SCALED
    return Moves(held[None], apart, held + np.arange(len(before.hands)))


def _struck(cost: Ints) -> Ints:
    return np.stack((cost, cost)) * SCALED


def _repeated(before: tuple[int, ...], after: tuple[int, ...]) -> list[tuple[int, int]]:
    """(note before, note after) of the same pitch."""
    return [(before.index(midi), place) for place, midi in enumerate(after) if midi in before]


def _apart(before: Layer, after: Layer) -> Ints:
    """[span after, hand before]; 0 where the hands overlap."""
    high, low = before.spans.take(before.span, axis=0).T
    if len(before.pitches) == len(after.pitches) == 1:
        one: Ints = high - after.spans[:, :1]
        return one
    apart: Ints = np.maximum(high - after.spans[:, 1:], 0) - np.maximum(after.spans[:, :1] - low, 0)
    return apart


def _slurring(kinds: list[list[Kinds]]) -> Ints:
    """What a slur adds; FORBIDDEN where no string is hammered, pulled or slid along (`picking.technique`).
    kinds: by note after, then by note before."""
    if len(kinds) == len(kinds[0]) == 1:
        alone: Ints = _slur_terms().take(kinds[0][0])
        return alone
    rises, falls, slides = (np.ones(kinds[0][0].shape, dtype=bool) for _ in range(3))
    for row in kinds:
        rises &= np.any([kind & _RISES for kind in row], axis=0)
        falls &= np.any([kind & _FALLS for kind in row], axis=0)
        slides &= np.any([_slides(kind) for kind in row], axis=0)
    shifts = ((kinds[0][0] & _STAYS) == 0) & ~slides
    cost: Ints = np.where(rises | falls | slides, SLUR_SHIFT * shifts, FORBIDDEN)
    return cost


def _slides(kind: Kinds) -> Bools:
    term = kind & _TERM
    slides: Bools = (term == _CRAWL) | (term == _GLIDE)
    return slides


@lru_cache(maxsize=1)
def _slur_terms() -> Ints:
    """By kind, between two single notes."""
    kind = np.arange(_KINDS, dtype=np.uint8)
    shifts = ((kind & _STAYS) == 0) & ~_slides(kind)
    terms: Ints = np.where(kind & (_RISES + _FALLS), SLUR_SHIFT * shifts, FORBIDDEN).astype(np.int64)
    return terms


@lru_cache(maxsize=8)
def _terms(time: int) -> Ints:
    """By kind: what the finger of one grip does to take the other."""
    named = (HOP, ROLL, PRESS, CRAWL, GLIDE, SWAP, SPLAYED)
    own = np.array([0, *(term[time] for term in named), CROSSED, OUT_OF_REACH] + [0] * (_TERM - _WIDE), dtype=np.int64)
    terms: Ints = own[np.arange(_KINDS) & _TERM]
    return terms


@lru_cache(maxsize=16)
def _shifts(time: int, begins: bool) -> Ints:
    """By frets of travel, those downwards counted from the end."""
    frets = np.minimum(np.arange(2 * FRETS), 2 * FRETS - np.arange(2 * FRETS))
    base = SHIFT[time] + (0 if begins else PHRASE)
    shifts: Ints = np.where(frets > 0, base + TRAVEL[time] * frets, 0) + OUT_OF_REACH * (frets > FURTHEST[time])
    return shifts


@lru_cache(maxsize=64)
def crossings(time: int, rested: bool, style: str) -> Ints:
    """[way, way the note before was reached, strings apart], times SCALED, strings as of `Moves.apart`, those below 0
    counted from the end. After a rest, too, the pick is where it is wanted; a slur crosses nothing."""
    strings = (np.arange(STRINGS) + STRINGS // 2) % STRINGS - STRINGS // 2
    across = np.array(CROSSING)[np.abs(strings)] * CROSSING_TIMES[time]
    ways = np.array([[across if rested or last == 2 else across + _picking(stroke, last, strings, time, style)
                      for last in range(WAYS)] for stroke in (0, 1)] + [[0 * across] * WAYS], dtype=np.int64)
    scaled: Ints = ways * SCALED
    return scaled


def _picking(stroke: int, last: int, strings: Ints, time: int, style: str) -> Ints:
    picking, times = PICKING[style], CROSSING_TIMES[time]
    if stroke == last:
        return np.where(strings == (1 if stroke == 0 else -1), picking.sweep * times, REPEATED[time])
    outside = (strings > 0) == (last == 0)
    return np.where(strings == 0, 0, np.where(outside, picking.outside, picking.inside) * times)


@lru_cache(maxsize=1)
def _kinds() -> Kinds:
    """What any grip is to any other: by whether the hand stays, strings and frets between them, and the fingers, as
    `Layer.onto` and `Layer.off` add up."""
    half = FINGERS // 2  # fingers from here on are low on the neck
    stays, strings, frets, after, before = np.ogrid[
        :2, -(STRINGS // 2):STRINGS // 2 + 1, -(FRETS // 2):FRETS // 2 + 1, :half, :half]
    other, one = (np.where(held == RING_CLOSED, 3, held) for held in (after, before))
    same_string, same_fret, same_finger = strings == 0, frets == 0, (one == other) & (one > 0)
    both = (one > 0) & (other > 0)
    side = np.sign(other - one)  # the higher finger has the higher fret or, at one fret, the higher string
    wrong = (stays == 1) & both & (side != 0) & (side * np.where(same_fret, -strings, frets) < 0)
    rolls = same_finger & same_fret & (np.abs(strings) == 1)
    apart = (stays == 1) & (frets * side > 1)
    splayed = apart & (((before == RING_CLOSED) & (other == 4)) | ((after == RING_CLOSED) & (one == 4)))
    term = np.select(
        [splayed, wrong, rolls & (one == 1), rolls, same_finger & ~same_string,
         same_finger & same_string & ~same_fret & (stays == 1), same_finger & same_string & ~same_fret,
         same_string & same_fret & both & (side != 0)],
        [_SPLAYED, _CROSSED, _ROLL, _PRESS, _HOP, _CRAWL, _GLIDE, _SWAP], _NOTHING)
    kinds = np.tile((term + _RISES * (same_string & (frets > 0)) + _FALLS * (same_string & (frets < 0))
                     + _STAYS * stays).astype(np.uint8), (1, 1, 1, 2, 2))
    for fret in (-5, 5):  # index and little finger both stretched, one of them low on the neck
        wide = kinds[1, :, FRETS // 2 + fret]
        for a, b in product(range(FINGERS), repeat=2):
            if a % half and b % half and max(a, b) >= half:
                wide[:, a, b] = wide[:, a, b] & ~np.uint8(_TERM) | _WIDE
    return kinds.ravel()


def _kept(before: Layer, after: Layer, ties: tuple[tuple[int, int], ...]) -> Bools:
    """Where every held note keeps its string, fret and finger."""
    kept = np.ones((len(after.hands), len(before.hands)), dtype=bool)
    for one, other in ties:
        for part in ("string", "fret", "finger"):
            kept &= getattr(after, part)[other][:, None] == getattr(before, part)[one]
    return kept
