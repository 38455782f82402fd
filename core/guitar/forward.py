"""A bar worked forwards: the least cost of every state (a hand and the last stroke) of every event, and its origin."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from core.guitar.costs import FORBIDDEN, PICKING, STROKE, UNSLURRED, begins, time_class
from core.guitar.hands import Ints, Layer, Lock, layer_of
from core.guitar.moves import SCALED, crossings, moves
from core.guitar.neck import Neck
from core.guitar.picking import strokes
from core.guitar.values import Stroke
from core.study import Event, Guitarist, InForce, Meter, Note

_SWUNG = 0.065  # quarters an off-beat eighth comes late: 1.3 to 1, as soloists do (P9, Corcoran & Frieler 2021)
_COUNT = np.arange(SCALED)
_LEAVES = frozenset(("bend", "fall", "doit"))
Window = tuple[int, int, int, int] | None
"""Positions a passage is kept in, lowest and highest, and its first and last event in this bar."""


class Grounds(NamedTuple):
    """What every bar's work depends on."""

    neck: Neck
    tempo: int
    feel: str
    who: Guitarist


class Entry(NamedTuple):
    """What a bar meets, but for the costs: the last hands, the seconds since they were taken, whether
    a rest has passed since, key numbers held over, whether a slur is open, whether their strings were set, how
    long they were awaited: the seconds from the hands before them, and whether their pitch was left."""

    layer: Layer | None = None
    since: float = 0.0
    rested: bool = False
    tied: tuple[int, ...] = ()
    slurred: bool = False
    was_set: bool = False
    awaited: float = 0.0
    is_left: bool = False


class Step(NamedTuple):
    """One event worked. layer: None where nothing new sounds. ties: (note of the hand before, note of this
    layer) that are one note; held: they all are. slurred: reached under a slur. time: class of what there was.
    heads: which note of the event each note of the layer is. from_set: the strings before were set. begins: a
    phrase does."""

    layer: Layer | None = None
    ties: tuple[tuple[int, int], ...] = ()
    held: bool = False
    slurred: bool = False
    time: int = 0
    heads: tuple[int, ...] = ()
    faults: tuple[tuple[int, str], ...] = ()
    from_set: bool = False
    begins: bool = False


@dataclass(frozen=True, eq=False, slots=True)
class Work:
    """best: for each event that sounds anew, the cost of each state, the one it comes from in its low bits.
    costs_out are relative: the cheapest state at the barline counts 0; spent: what was taken off."""

    events: tuple[Event, ...]
    meter: Meter
    offset: Fraction
    window: Window
    entry: Entry
    costs_in: Ints
    steps: tuple[Step, ...]
    best: tuple[Ints | None, ...]
    leave: Entry
    costs_out: Ints
    spent: int



def advance(here: InForce, offset: Fraction, window: Window, entry: Entry, costs: Ints, grounds: Grounds) -> Work:
    """Work one bar. offset: quarters that a pickup leaves out before its first note."""
    now, ahead = entry, costs
    steps: list[Step] = []
    kept: list[Ints | None] = []
    placed = strokes(here.bar.events, here.meter, offset)
    swings = swung(grounds.feel, here.meter)
    for place, event in enumerate(here.bar.events):
        seconds = seconds_of(event, offset, grounds.tempo, swings)
        step = _step(event, now, seconds, grounds, _within(window, place))
        best: Ints | None = None
        if step.layer is not None:
            best = _best(event, step, now, ahead, placed[place], grounds)
            ahead = best & -SCALED
        steps.append(step)
        kept.append(best)
        now = _after(event, now, step, seconds)
    least = int(ahead.min())
    return Work(here.bar.events, here.meter, offset, window, entry, costs, tuple(steps), tuple(kept), now,
                ahead - least, least // SCALED)


def _within(window: Window, place: int) -> tuple[int, int] | None:
    return window[:2] if window is not None and window[2] <= place <= window[3] else None


def _best(event: Event, step: Step, now: Entry, ahead: Ints, placed: Stroke, grounds: Grounds) -> Ints:
    """Struck down, struck up and, where that can be, slurred."""
    assert step.layer is not None
    style = grounds.who.picking
    move = moves(now.layer, step.layer, step.time, step.begins, step.ties)
    many = move.costs.shape[2]
    if move.holds is not None:
        held: Ints = np.minimum.reduce(move.holds + ahead.reshape(-1, 1, many), axis=2).ravel()
        return held
    ways = (ahead + _COUNT[:len(ahead)]).reshape(-1, many)
    of_way = _picks(placed, event.stroke, step.time, step.slurred, style)[:_ways(step, now, len(move.costs))]
    across = crossings(step.time, now.rested or now.layer is None, style)[:len(of_way), :len(ways)]
    of_last = np.minimum.reduce(across.take(move.apart, axis=2) + ways[:, None], axis=1)
    struck = np.minimum.reduce(of_last.take(step.layer.span, axis=1) + move.costs[:len(of_way)], axis=2)
    best: Ints = (struck + of_way).ravel()
    return best


def _ways(step: Step, now: Entry, most: int) -> int:
    """How many there are: a note is struck after a rest, and after one whose pitch was left by a bend, fall or doit,
    unless a slur is written (common practice, no source)."""
    return 2 if now.rested or (now.is_left and not step.slurred) else most


@lru_cache(maxsize=1024)
def _picks(placed: Stroke, own: Stroke, time: int, slurred: bool, style: str) -> Ints:
    """What each way (down, up and, where that may be, slurred) costs on its own, times SCALED, a row each. placed: the
    stroke of the place in the meter; own: the teacher's; slurred: one is written."""
    picking = PICKING[style]
    costs = [STROKE[time] + UNSLURRED * slurred + picking.off_meter * (stroke != placed)
             + FORBIDDEN * (own not in ("", stroke)) for stroke in ("down", "up")]
    if slurred and not own:
        costs.append(0)
    elif not own and time < len(picking.slur) and (picking.anywhere or placed == "down"):
        costs.append(picking.slur[time])
    return np.array(costs, dtype=np.int64)[:, None] * SCALED


def _step(event: Event, now: Entry, seconds: float, grounds: Grounds, window: tuple[int, int] | None) -> Step:
    if not event.notes:
        return Step()
    pitches = tuple([note.pitch.midi for note in event.notes])
    locks = _locks(event.notes)
    layer = layer_of(pitches, locks, grounds.neck, grounds.who, window)
    ties = _ties(now, layer) if now.tied else ()
    held = bool(ties) and len(ties) == len(layer.pitches)
    sounds = layer if layer.hands and (locks or not held) else None
    return Step(sounds, ties, held, now.slurred, time_class(now.since, now.rested), layer.heads, layer.faults,
                now.was_set, now.rested or begins(now.since, now.awaited, seconds, 60 / grounds.tempo))


def _locks(notes: tuple[Note, ...]) -> tuple[Lock, ...]:
    for note in notes:
        if note.string is not None or note.finger is not None:
            return tuple([Lock(note.string, note.fret, note.finger) for note in notes])
    return ()


def swung(feel: str, meter: Meter) -> bool:
    """Whether its eighths are."""
    return feel == "swing" and meter.unit <= 4


def seconds_of(event: Event, offset: Fraction, tempo: int, swings: bool) -> float:
    """From its onset to its end. An off-beat eighth of a swing feel begins late; a grace note takes no time."""
    if event.grace:
        return 0.0
    length, parts = event.duration.numerator, event.duration.denominator
    quarters = length / parts
    if swings and parts <= 2:
        start = event.onset + offset if offset else event.onset
        if start.denominator <= 2 and 2 * length // parts % 2:
            quarters += -_SWUNG if start.denominator == 2 else _SWUNG
    return quarters * 60 / tempo


def _ties(now: Entry, layer: Layer) -> tuple[tuple[int, int], ...]:
    """Which note of the hand before is held as which note of this layer."""
    free = [(note, midi) for note, midi in enumerate(now.layer.pitches) if midi in now.tied] if now.layer else []
    ties = []
    for note, midi in enumerate(layer.pitches):
        start = next((one for one in free if one[1] == midi), None)
        if start is not None:
            free.remove(start)
            ties.append((start[0], note))
    return tuple(ties)


def _after(event: Event, now: Entry, step: Step, seconds: float) -> Entry:
    slurred = event.slur in ("start", "both") or (now.slurred and event.slur != "stop")
    tied = tuple([note.pitch.midi for note in event.notes if note.tie])
    is_left = not _LEAVES.isdisjoint(event.articulations)
    if step.layer is not None and not step.held:
        return Entry(step.layer, seconds, False, tied, slurred, all(note.string is not None for note in event.notes),
                     now.since, is_left)
    return Entry(step.layer or now.layer, now.since + seconds, now.rested or not step.held, tied, slurred,
                 now.was_set, now.awaited, now.is_left or is_left)
