"""Which notes share a beam, so that the metre shows.

Within a beat; two beats of a 2/4 or of a half bar of 4/4, or the three of a 3/4 bar, join when
nothing shorter than an eighth stands in them (Gould ch. 6; Open Music Theory, "Beams and
borrowed divisions"). Never across the middle of 4/4 nor a barline. A rest ends a beam. A bar longer
than its metre counts on from its beginning.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil

from core.study import Event, Meter

_EIGHTH = 0.5
Window = tuple[float, float]


@lru_cache(maxsize=64)
def beat_windows(meter: Meter) -> tuple[Window, ...]:
    """Start and end of each felt beat, in quarters from the bar's start.

    As floats: beats fall on binary fractions, so comparing onsets with them loses nothing.
    """
    return tuple(pairwise(float(edge) for edge in (*meter.beats, meter.length)))


@lru_cache(maxsize=64)
def _joined_windows(meter: Meter) -> tuple[Window, ...]:
    """The longer windows that plain eighths may fill with one beam."""
    if meter.unit != 4:
        return ()
    if meter.groups == (4,):
        return ((0.0, 2.0), (2.0, 4.0))
    if meter.groups in ((2,), (3,)):
        return ((0.0, float(meter.length)),)
    return ()


def beam_groups(events: Sequence[Event], meter: Meter, shift: Fraction = Fraction(0)) -> tuple[tuple[int, ...], ...]:
    """Indices of the events under each beam, two at least. shift: where in the metre the bar begins (a pickup)."""
    late, length = float(shift), float(meter.length)
    stop = late + float(events[-1].end) if events else 0.0
    timed = [(index, float(event.onset) + late) for index, event in enumerate(events) if not event.grace]
    groups: list[tuple[int, ...]] = []
    taken: set[int] = set()
    for start, end in _through(_joined_windows(meter), length, stop):
        inside = [(index, at) for index, at in timed if start <= at < end]
        if not _is_plain(events, inside, end):
            continue
        run = [index for index, _ in inside if events[index].notes]
        if len(run) < 2 or (meter.groups == (3,) and len(run) != 6):
            continue
        if sum(run[0] <= index <= run[-1] for index, _ in inside) != len(run):  # a rest stands among them
            continue
        groups.append(tuple(run))
        taken.update(index for index, _ in inside)
    for start, end in _through(beat_windows(meter), length, stop):
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


def _through(windows: tuple[Window, ...], length: float, stop: float) -> tuple[Window, ...]:
    """The windows of a bar, and again every `length` until `stop`."""
    if stop <= length:
        return windows
    return tuple([(start + length * turn, end + length * turn)
                  for turn in range(ceil(stop / length)) for start, end in windows])


def _close(run: list[int], groups: list[tuple[int, ...]]) -> None:
    if len(run) > 1:
        groups.append(tuple(run))


def _is_plain(events: Sequence[Event], inside: list[tuple[int, float]], end: float) -> bool:
    """Whether nothing but eighths stands there, none reaching past the end."""
    return bool(inside) and all(
        not events[index].tuplets and float(events[index].duration) == _EIGHTH and at + _EIGHTH <= end
        for index, at in inside
    )
