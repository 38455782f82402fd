"""What it costs to go from any hand of one event to any hand of the next: the terms of `costs`, all at once."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.guitar.costs import (
    CRAWL,
    CROSSING,
    CROSSING_TIMES,
    GLIDE,
    HOP,
    ROLL,
    SHIFT,
    SLUR_CROSSING,
    SWAP,
    TIE_BROKEN,
    TRAVEL,
    WIDE,
)
from core.guitar.hands import Layer

SCALED = 1 << 16  # a cost leaves its low bits free to say which hand the move came from


@lru_cache(maxsize=4096)
def moves(before: Layer | None, after: Layer, time: int, slurred: bool,
          ties: tuple[tuple[int, int], ...], capo: int) -> NDArray[np.int64]:
    """Cost of every move (row: hand after, column: hand before), its own hand included, times
    SCALED plus the column. ties: (note before, note after) that are one held note."""
    if before is None:
        return after.cost[:, None] * SCALED
    cost = _shifting(before, after, time) + after.cost[:, None]
    gap = np.maximum(after.string.min(axis=0)[:, None] - before.string.max(axis=0),
                     before.string.min(axis=0) - after.string.max(axis=0)[:, None]).clip(min=0)
    cost += np.array(CROSSING)[gap] * CROSSING_TIMES[time]
    if slurred:
        cost += SLUR_CROSSING * (gap > 0)
    for one in range(len(before.pitches)):
        for other in range(len(after.pitches)):
            cost += _fingers(before, one, after, other, time)
            cost += _too_wide(before, one, after, other, capo)
    if ties:
        cost = _holding(before, after, ties, cost)
    return cost * SCALED + np.arange(len(before.hands))


def _shifting(before: Layer, after: Layer, time: int) -> NDArray[np.int64]:
    travel = np.abs(after.position[:, None] - before.position)
    cost: NDArray[np.int64] = np.where(travel > 0, SHIFT[time] + TRAVEL[time] * travel, 0)
    return cost


def _fingers(before: Layer, one: int, after: Layer, other: int, time: int) -> NDArray[np.int64]:
    """What the finger of one note does to take the other."""
    finger = after.finger[other][:, None]
    same_finger = (finger == before.finger[one]) & (finger > 0)
    apart = np.abs(after.string[other][:, None] - before.string[one])
    same_string = apart == 0
    same_fret = after.fret[other][:, None] == before.fret[one]
    stays = after.position[:, None] == before.position
    cost = np.where(same_fret & (apart == 1), ROLL[time], HOP[time]) * (same_finger & ~same_string)
    along = same_finger & same_string & ~same_fret
    cost += np.where(stays, CRAWL[time], GLIDE[time]) * along
    swapped: NDArray[np.int64] = cost + SWAP[time] * (same_string & same_fret & ~same_finger & (finger > 0))
    return swapped


def _too_wide(before: Layer, one: int, after: Layer, other: int, capo: int) -> NDArray[np.int64]:
    """Six frets in one position are for the high neck alone (G12)."""
    apart = np.abs(after.fret[other][:, None] - before.fret[one]) == 5
    stopped = (after.finger[other][:, None] > 0) & (before.finger[one] > 0)
    low = np.minimum(after.fret[other][:, None], before.fret[one]) + capo <= 12
    wide: NDArray[np.int64] = WIDE * (apart & stopped & low & (after.position[:, None] == before.position))
    return wide


def _holding(before: Layer, after: Layer, ties: tuple[tuple[int, int], ...],
             cost: NDArray[np.int64]) -> NDArray[np.int64]:
    """A held note keeps its string, fret and finger; where nothing new sounds, nothing costs."""
    kept = np.ones_like(cost, dtype=bool)
    for one, other in ties:
        for part in ("string", "fret", "finger"):
            kept &= getattr(after, part)[other][:, None] == getattr(before, part)[one]
    if len(ties) == len(after.pitches):
        kept &= after.position[:, None] == before.position
        return np.where(kept, 0, cost + TIE_BROKEN)
    return np.where(kept, cost, cost + TIE_BROKEN)
