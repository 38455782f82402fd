"""The picking hand: the stroke of each place in the meter, and what a slur makes of a note.

On the beat down, off it up, in eighths or, in a beat that has them, in sixteenths; tuplets
alternate from their first note (G17: common practice). Under a slur a note on the same
string is not struck: a higher fret is hammered on, a lower one pulled off, the same finger
slides; across strings every note is struck (G18: MusicXML `hammer-on`, `pull-off`).
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from math import gcd, lcm
from typing import NamedTuple

from core.guitar.values import Fingered, Stroke, Technique
from core.study import Event, Meter


class _Cell(NamedTuple):
    """What strokes are counted from. start: in ticks from the bar's full beginning."""

    start: int
    is_tuplet: bool


def strokes(events: tuple[Event, ...], meter: Meter, offset: Fraction) -> tuple[Stroke, ...]:
    """One stroke an event, rests included, by its place alone. offset: quarters of the bar that a
    pickup leaves out before its first note."""
    if not events:
        return ()
    ticks = lcm(2, offset.denominator, *(event.onset.denominator for event in events),
                *(beat.denominator for beat in meter.beats))
    beats = [_ticks(beat, ticks) for beat in meter.beats]
    start = _ticks(offset, ticks)
    at = [start + _ticks(event.onset, ticks) for event in events]
    cells = _cells(events, at, beats)
    unit = {cell: 0 if cell.is_tuplet else ticks // 2 for cell in cells}
    for onset, cell in zip(at, cells, strict=True):
        unit[cell] = gcd(unit[cell], onset - cell.start)
    return tuple(["up" if unit[cell] and (onset - cell.start) // unit[cell] % 2 else "down"
                  for onset, cell in zip(at, cells, strict=True)])


def _ticks(quarters: Fraction, ticks: int) -> int:
    return quarters.numerator * ticks // quarters.denominator


def _cells(events: tuple[Event, ...], at: list[int], beats: list[int]) -> list[_Cell]:
    """The beat or tuplet each event belongs to."""
    cells: list[_Cell] = []
    for event, onset in zip(events, at, strict=True):
        if not event.tuplets:
            cells.append(_Cell(beats[max(0, bisect_right(beats, onset) - 1)], False))
        elif event.tuplets[0].starts or not cells or not cells[-1].is_tuplet:
            cells.append(_Cell(onset, True))
        else:
            cells.append(cells[-1])
    return cells


def technique(before: tuple[Fingered, ...], after: tuple[Fingered, ...]) -> Technique:
    """How a slur reaches one hand from another; "" where it has to be struck."""
    starts = {grip.string: grip for grip in before}
    pairs = [(starts[grip.string], grip) for grip in after if grip.string in starts]
    if len(pairs) < len(after) or any(old.fret == new.fret for old, new in pairs):
        return ""
    if all(old.finger == new.finger for old, new in pairs):
        return "slide"
    rising = {old.fret < new.fret for old, new in pairs}
    if len(rising) > 1:
        return ""
    return "hammer-on" if rising.pop() else "pull-off"
