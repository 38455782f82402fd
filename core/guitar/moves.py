"""What it costs to go from any hand of one event to any hand of the next, struck or slurred: the terms of `costs`.

A state is how an event was reached and the hand on it: `way * len(hands) + hand`, ways 0 down, 1 up, 2 slurred. After
a slurred note the pick has had time to go where it is wanted. What two grips are to each other is looked up in one
table, `_kinds`.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.guitar.costs import (
    CRAWL,
    CROSSING,
    CROSSING_TIMES,
    FORBIDDEN,
    FURTHEST,
    GLIDE,
    HOP,
    OUT_OF_REACH,
    PICKING,
    REPEATED,
    ROLL,
    SHIFT,
    SLUR_SHIFT,
    SWAP,
    TIE_BROKEN,
    TRAVEL,
    WEAK_TIMES,
)
from core.guitar.hands import FINGERS, FRETS, STRINGS, Ints, Layer

SCALED = 1 << 16  # a cost leaves its low bits free to say which state the move came from
WAYS = 3
_NOTHING, _HOP, _ROLL, _CRAWL, _GLIDE, _SWAP, _WIDE = range(7)  # what a finger does from one grip to another
_TERM, _RISES, _FALLS, _STAYS = 7, 8, 16, 32  # in the bits of a kind
_ALL_STAY = STRINGS * FRETS * FINGERS * FINGERS
Bools = NDArray[np.bool_]
Kinds = NDArray[np.uint8]


class Moves(NamedTuple):
    """Costs times SCALED, the hand's own included; each None where there can be none.

    strikes: [stroke, hand after, state before], plus the state before. slurs: [hand after, hand before]. holds: of
    notes that are held on, whatever way they were reached: [hand after, hand before], plus the hand before.
    """

    strikes: Ints | None = None
    slurs: Ints | None = None
    holds: Ints | None = None


@lru_cache(maxsize=2048)
def moves(before: Layer | None, after: Layer, time: int, rested: bool, ties: tuple[tuple[int, int], ...],
          style: str) -> Moves:
    """Every move. ties: (note before, note after) that are one held note. style: of picking."""
    if before is None:
        return Moves(np.broadcast_to(after.cost[:, None] * SCALED, (2, len(after.hands), 1)))
    many = len(before.hands)
    travel = after.position[:, None] - before.position
    stays = travel == 0
    kinds = [[_kinds()[onto[:, None] + off + _ALL_STAY * stays] for off in before.off] for onto in after.onto]
    cost = _shifts(time)[travel] + (after.cost + after.weakness * WEAK_TIMES[time])[:, None]
    for row in kinds:
        for kind in row:
            cost += _terms(time)[kind]
    here = np.arange(many)
    kept = _kept(before, after, ties) if ties else None
    if kept is not None and len(ties) == len(after.pitches):
        return Moves(holds=np.where(kept & stays, 0, cost + TIE_BROKEN) * SCALED + here)
    if kept is not None:
        cost = np.where(kept, cost, cost + TIE_BROKEN)
    ways = _crossings(time, rested, style) + many * np.arange(WAYS)[:, None]
    strikes = ways[:, :, _apart(before, after)] + (cost * SCALED + here)
    strikes = strikes.swapaxes(1, 2).reshape(2, len(after.hands), WAYS * many)
    if rested or ties:
        return Moves(strikes)
    return Moves(strikes, (cost + _slurring(kinds)) * SCALED)


def _apart(before: Layer, after: Layer) -> Ints:
    """Strings between two hands, above 0 towards the higher ones, 0 where they overlap."""
    if len(before.pitches) == len(after.pitches) == 1:
        one: Ints = before.string[0] - after.string[0][:, None]
        return one
    up = before.string.min(axis=0) - after.string.max(axis=0)[:, None]
    down = after.string.min(axis=0)[:, None] - before.string.max(axis=0)
    apart: Ints = up.clip(min=0) - down.clip(min=0)
    return apart


def _slurring(kinds: list[list[Kinds]]) -> Ints:
    """What a slur adds; FORBIDDEN where no string is hammered, pulled or slid along (`picking.technique`).
    kinds: by note after, then by note before."""
    if len(kinds) == len(kinds[0]) == 1:
        alone: Ints = _slur_terms()[kinds[0][0]]
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
    kind = np.arange(64, dtype=np.uint8)
    shifts = ((kind & _STAYS) == 0) & ~_slides(kind)
    terms: Ints = np.where(kind & (_RISES + _FALLS), SLUR_SHIFT * shifts, FORBIDDEN).astype(np.int64)
    return terms


@lru_cache(maxsize=8)
def _terms(time: int) -> Ints:
    """By kind: what the finger of one grip does to take the other."""
    own = np.array([0, HOP[time], ROLL[time], CRAWL[time], GLIDE[time], SWAP[time], OUT_OF_REACH, 0], dtype=np.int64)
    terms: Ints = own[np.arange(64) & _TERM]
    return terms


@lru_cache(maxsize=8)
def _shifts(time: int) -> Ints:
    """By frets of travel, those downwards counted from the end."""
    frets = np.minimum(np.arange(2 * FRETS), 2 * FRETS - np.arange(2 * FRETS))
    shifts: Ints = np.where(frets > 0, SHIFT[time] + TRAVEL[time] * frets, 0) + OUT_OF_REACH * (frets > FURTHEST[time])
    return shifts


@lru_cache(maxsize=64)
def _crossings(time: int, rested: bool, style: str) -> Ints:
    """[stroke, way the note before was reached, strings apart], times SCALED, strings as of `_apart`, those below 0
    counted from the end. After a rest, too, the pick is where it is wanted."""
    strings = (np.arange(STRINGS) + STRINGS // 2) % STRINGS - STRINGS // 2
    across = np.array(CROSSING)[np.abs(strings)] * CROSSING_TIMES[time]
    ways = np.array([[across if rested or last == 2 else across + _picking(stroke, last, strings, time, style)
                      for last in range(WAYS)] for stroke in (0, 1)], dtype=np.int64)
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
    stays, strings, frets, after, before = np.ogrid[
        :2, -(STRINGS // 2):STRINGS // 2 + 1, -(FRETS // 2):FRETS // 2 + 1, :FINGERS, :FINGERS]
    half = FINGERS // 2  # fingers from here on are low on the neck
    one, other = before % half, after % half
    same_string, same_fret, same_finger = strings == 0, frets == 0, (one == other) & (one > 0)
    wide = (stays == 1) & (np.abs(frets) == 5) & (one > 0) & (other > 0) & ((before >= half) | (after >= half))
    term = np.select(
        [wide, same_finger & ~same_string & same_fret & (np.abs(strings) == 1), same_finger & ~same_string,
         same_finger & same_string & ~same_fret & (stays == 1), same_finger & same_string & ~same_fret,
         same_string & same_fret & (one != other) & (other > 0)],
        [_WIDE, _ROLL, _HOP, _CRAWL, _GLIDE, _SWAP], _NOTHING)
    kinds: Kinds = (term + _RISES * (same_string & (frets > 0)) + _FALLS * (same_string & (frets < 0))
                    + _STAYS * stays).astype(np.uint8).ravel()
    return kinds


def _kept(before: Layer, after: Layer, ties: tuple[tuple[int, int], ...]) -> Bools:
    """Where every held note keeps its string, fret and finger."""
    kept = np.ones((len(after.hands), len(before.hands)), dtype=bool)
    for one, other in ties:
        for part in ("string", "fret", "finger"):
            kept &= getattr(after, part)[other][:, None] == getattr(before, part)[one]
    return kept
