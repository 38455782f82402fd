"""Notes as samples, a piece at a time, so that a long study begins to sound at once."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from core.sound.mix import tone_of
from core.sound.pluck import RATE, Samples
from core.sound.schedule import Sounded

PIECE = 2.0
"""Seconds."""
GAIN = 0.45
"""Of a note at full velocity; our own choice: a line, its chord and a click together stay below full scale."""


def stream(notes: tuple[Sounded, ...], begin: float, end: float) -> Iterator[Samples]:
    """The samples from begin to end (seconds), mono, within -1 and 1, in pieces. notes: by start."""
    first, last = round(begin * RATE), round(end * RATE)
    size = round(PIECE * RATE)
    waiting = [note for note in notes if begin <= note.start < end]
    carried = np.zeros(0, dtype=np.float32)
    while first < last:
        until = min(first + size, last)
        mixed = np.zeros(until - first, dtype=np.float32)
        over = min(len(carried), len(mixed))
        mixed[:over] = carried[:over]
        rest = carried[over:]
        while waiting and round(waiting[0].start * RATE) < until:
            note = waiting.pop(0)
            at, tone = round(note.start * RATE) - first, tone_of(note) * np.float32(GAIN)
            head = tone[:len(mixed) - at]
            mixed[at:at + len(head)] += head
            rest = _joined(rest, tone[len(head):])
        carried, first = rest, until
        yield np.clip(mixed, -1, 1)


def _joined(one: Samples, other: Samples) -> Samples:
    longer, shorter = (one, other) if len(one) >= len(other) else (other, one)
    longer = longer.copy()
    longer[:len(shorter)] += shorter
    return longer
