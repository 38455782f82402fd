"""Which notes share a beam, so that the metre shows.

Within a beat; two beats of a 2/4 or of a half bar of 4/4, or the three of a 3/4 bar, join when
nothing shorter than an eighth stands in them (Gould ch. 6; Open Music Theory, "Beams and
borrowed divisions"). Never across the middle of 4/4 nor a barline. A rest ends a beam.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from core.study import Event, Meter

_EIGHTH = Fraction(1, 2)
Window = tuple[Fraction, Fraction]


@lru_cache(maxsize=64)
def beat_windows(meter: Meter) -> tuple[Window, ...]:
    """Start and end of each felt beat, in quarters from the bar's start."""
    edges = (*meter.beats, meter.length)
    return tuple(pairwise(edges))


@lru_cache(maxsize=64)
def _joined_windows(meter: Meter) -> tuple[Window, ...]:
    """The longer windows that plain eighths may fill with one beam."""
    if meter.unit != 4:
        return ()
    if meter.groups == (4,):
        return ((Fraction(0), Fraction(2)), (Fraction(2), Fraction(4)))
    if meter.groups in ((2,), (3,)):
        return ((Fraction(0), meter.length),)
    return ()


def beam_groups(events: Sequence[Event], meter: Meter, shift: Fraction = Fraction(0)) -> tuple[tuple[int, ...], ...]:
    """Indices of the events under each beam, two at least. shift: where in the metre the bar begins (a pickup)."""
    timed = [(index, event.onset + shift) for index, event in enumerate(events) if not event.grace]
    groups: list[tuple[int, ...]] = []
    taken: set[int] = set()
    for start, end in _joined_windows(meter):
        inside = [(index, at) for index, at in timed if start <= at < end]
        if _is_plain(events, inside, end, shift):
            whole = end - start == meter.length and meter.groups == (3,)
            run = [index for index, _ in inside if events[index].notes]
            if len(run) < 2 or (whole and len(run) != 6):
                continue
            if _is_unbroken(run):
                groups.append(tuple(run))
                taken.update(index for index, _ in inside)
    for start, end in beat_windows(meter):
        run = []
        for index, at in timed:
            if not start <= at < end or index in taken:
                continue
            if events[index].notes and events[index].written.value <= _EIGHTH:
                run.append(index)
                continue
            _close(run, groups)
            run = []
        _close(run, groups)
    return tuple(sorted(groups))


def _close(run: list[int], groups: list[tuple[int, ...]]) -> None:
    if len(run) > 1:
        groups.append(tuple(run))


def _is_plain(events: Sequence[Event], inside: list[tuple[int, Fraction]], end: Fraction, shift: Fraction) -> bool:
    return bool(inside) and all(
        events[index].duration == _EIGHTH and not events[index].tuplets and events[index].end + shift <= end
        for index, _ in inside
    )


def _is_unbroken(run: list[int]) -> bool:
    return run[-1] - run[0] == len(run) - 1
