"""Every way the fretting hand can take the notes of one event.

A hand is a tuple of Fingered, one a note, low to high, in one position: the fret under the
first finger, one finger a fret (G10). The index may reach one fret below, the little finger
one above (G12). Ring and little finger may close up by a fret ("squeeze", G10): 1-2-4 on three
frets, 3-4 side by side; at the nut, and where notes sound at once, fingers close up further.
In a double stop the strings differ; fingers follow the frets; the index may
lie across several strings at one fret, another finger across two neighbours; index and
little finger both stretched, six frets, only above the twelfth.

A hand on open strings still has a position: where it waits.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.guitar.costs import WEAK, hand_cost
from core.guitar.neck import Neck, places_on
from core.guitar.values import Fingered
from core.study import Guitarist

Hand = tuple[Fingered, ...]
Ints = NDArray[np.int64]

_REACHES = ((1, 0), (1, -1), (2, 0), (3, 0), (3, -1), (4, 0), (4, 1), (4, -1))  # finger, frets beyond its own
_TIGHT = ((2, -1), (3, -2), (4, -2), (4, -3))  # at the nut, and of notes at once all but the last
STRINGS, FRETS, FINGERS = 19, 73, 12  # how many differences there are between strings, frets; fingers high and low
RING_CLOSED = 5  # counts as a finger of its own
LOW_FRETS = 12  # from the nut: up to here a hand does not span six


class Lock(NamedTuple):
    """What the teacher set for one note; None where Bargloss may choose."""

    string: int | None = None
    fret: int | None = None
    finger: int | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Layer:
    """The hands that can take one event, equal only to itself (so it is a cheap key).

    pitches: key numbers in the hand, low to high. heads: which note of the event each is.
    faults: (note of the event, sentence with {pitch} for its name). string, fret, finger: a row
    a note, a column a hand; position, cost and weakness of the fingers: one a hand. onto, off: of each
    grip, so that after.onto + before.off is the place in `moves` of what the one is to the other. spans: (highest
    string, lowest string) of hands, each once; span: the place there of each hand.
    """

    pitches: tuple[int, ...]
    heads: tuple[int, ...]
    hands: tuple[Hand, ...]
    faults: tuple[tuple[int, str], ...]
    string: Ints
    fret: Ints
    finger: Ints
    position: Ints
    cost: Ints
    weakness: Ints
    onto: Ints
    off: Ints
    spans: Ints
    span: Ints


@lru_cache(maxsize=4096)
def layer_of(pitches: tuple[int, ...], locks: tuple[Lock, ...], neck: Neck, who: Guitarist,
             window: tuple[int, int] | None = None) -> Layer:
    """The hands for an event of these key numbers, low to high. locks: one a note, or none at all.
    window: lowest and highest position to keep to where that can be.

    What cannot be done is told in `faults` and then left out: a lock that contradicts its pitch is set
    aside, a note no hand can hold beside the higher ones is let go. Out of range is no fault.
    """
    faults: list[tuple[int, str]] = []
    heads = [head for head, midi in enumerate(pitches) if places_on(midi, neck)]
    free = {head: tuple(_grips(pitches[head], neck, together=len(heads) > 1)) for head in heads}
    kept = free
    if locks:
        faults += [(head, f"{{pitch}} lies off the neck, so string {lock.string} cannot hold it; move it by an octave")
                   for head, lock in enumerate(locks) if lock.string is not None and head not in free]
        kept = {head: _locked(free[head], locks[head], head, faults) for head in heads}
    hands = list(_hold([kept[head] for head in heads], neck) if heads else ())
    if not hands and locks:
        hands = _spread([kept[head] for head in heads])
        whom = "stretch wider than a hand" if hands else "cannot be held together, so they are set aside"
        faults += [(head, f"the strings and fingers set for {{pitch}} and the notes with it {whom}; change one of them")
                   for head in heads if any(part is not None for part in locks[head])]
        hands = hands or list(_hold([free[head] for head in heads], neck))
    while not hands and heads:
        faults.append((heads.pop(0), "{pitch} cannot be held with the notes above it; it is left out of the tab"))
        free = {head: tuple(_grips(pitches[head], neck, together=len(heads) > 1)) for head in heads}
        hands = list(_hold([free[head] for head in heads], neck))
    if not heads:
        hands = []
    if window is not None:
        hands = [hand for hand in hands if window[0] <= hand[0].position <= window[1]] or hands
    costs = [hand_cost(hand, neck.capo, who) for hand in hands]
    return _layer(tuple(pitches[head] for head in heads), tuple(heads), tuple(hands), tuple(faults), costs, neck.capo)


def _layer(pitches: tuple[int, ...], heads: tuple[int, ...], hands: tuple[Hand, ...],
           faults: tuple[tuple[int, str], ...], costs: list[int], capo: int) -> Layer:
    table = np.array(hands, dtype=np.int64).reshape(len(hands), len(pitches), 4).transpose(2, 1, 0)
    string, fret, finger, position = (np.ascontiguousarray(part) for part in table)
    closed = (finger == 3) & (fret < position + 2)
    held = np.where(closed, RING_CLOSED, finger) + (FINGERS // 2) * (fret + capo <= LOW_FRETS)
    place = (string * FRETS + fret) * FINGERS * FINGERS
    nowhere = (STRINGS // 2 * FRETS + FRETS // 2) * FINGERS * FINGERS
    strings = [[grip.string for grip in hand] for hand in hands]
    reached = [(min(one), max(one)) for one in strings]
    spans = list(dict.fromkeys(reached))
    return Layer(pitches, heads, hands, faults, string, fret, finger, position[0] if heads else position.reshape(-1),
                 np.array(costs, dtype=np.int64), np.array(WEAK)[finger].sum(axis=0),
                 place + nowhere + held * FINGERS, held - place,
                 np.array(spans, dtype=np.int64).reshape(-1, 2), np.array([spans.index(one) for one in reached],
                                                                         dtype=np.int64))


def _grips(midi: int, neck: Neck, together: bool) -> Iterator[Fingered]:
    """One note, alone or together with others: every place, finger and position."""
    for string, fret in places_on(midi, neck):
        if fret == 0:
            for position in range(1, max(1, neck.frets - 3) + 1):
                yield Fingered(string, 0, 0, position)
            continue
        for finger, reach in (*_REACHES, *_TIGHT):
            position = fret - finger + 1 - reach
            tight = (finger, reach) in _TIGHT and not (together and reach > -3)
            if 1 <= position <= (1 if tight else neck.frets):
                yield Fingered(string, fret, finger, position)


def _locked(grips: tuple[Fingered, ...], lock: Lock, head: int, faults: list[tuple[int, str]]) -> tuple[Fingered, ...]:
    """The grips that keep a lock; a part of it no grip can keep is set aside and told."""
    if lock.string is not None:
        kept = tuple(grip for grip in grips if grip.string == lock.string and lock.fret in (None, grip.fret))
        if not kept:
            where = f"string {lock.string}" + ("" if lock.fret is None else f", fret {lock.fret}")
            faults.append((head, f"{{pitch}} does not lie on {where}; choose another place, or clear the one you set"))
        grips = kept or grips
    if lock.finger is not None:
        kept = tuple(grip for grip in grips if grip.finger == lock.finger)
        if not kept:
            faults.append((head, f"finger {lock.finger} cannot take {{pitch}} there; 0 is for an open string, 1 to 4 "
                                 "for a stopped one"))
        grips = kept or grips
    return grips


def _hold(notes: Sequence[tuple[Fingered, ...]], neck: Neck) -> Iterator[Hand]:
    """Every hand that takes one grip of each note."""
    if len(notes) == 1:
        for grip in notes[0]:
            yield (grip,)
        return
    for position in range(1, neck.frets + 1):
        here = [[grip for grip in grips if grip.position == position] for grips in notes]
        if all(here):
            yield from _join((), here, neck.capo)


def _join(hand: Hand, rest: list[list[Fingered]], capo: int) -> Iterator[Hand]:
    if not rest:
        yield hand
        return
    for grip in rest[0]:
        if all(_go_together(held, grip, capo) for held in hand):
            yield from _join((*hand, grip), rest[1:], capo)


def _go_together(one: Fingered, other: Fingered, capo: int) -> bool:
    """Can one hand hold both at once, in one position?"""
    if one.string == other.string:
        return False
    if not one.finger or not other.finger:
        return True
    if one.finger == other.finger:
        return one.fret == other.fret and (one.finger == 1 or abs(one.string - other.string) == 1)
    low, high = sorted((one, other), key=lambda grip: grip.finger)
    if high.fret < low.fret or (high.fret == low.fret and high.string > low.string):
        return False
    return high.fret - low.fret <= 4 or low.fret + capo > LOW_FRETS


def _spread(notes: Sequence[tuple[Fingered, ...]]) -> list[Hand]:
    """The one hand for places the teacher fixed beyond any hand's span; none where even that cannot be."""
    spots = [{(grip.string, grip.fret) for grip in grips} for grips in notes]
    if any(len(spot) != 1 for spot in spots):
        return []
    places = [spot.pop() for spot in spots]
    if any(a[0] == b[0] for a, b in combinations(places, 2)):
        return []
    frets = sorted({fret for _, fret in places if fret})
    if not 2 <= len(frets) <= 4:
        return []
    finger = dict(zip(frets, (1, *range(2, len(frets)), 4), strict=True)) | {0: 0}
    return [tuple(Fingered(string, fret, finger[fret], frets[0]) for string, fret in places)]
