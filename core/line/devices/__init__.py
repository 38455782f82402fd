"""What a line does, one module a device.

Each has a KIND, `find(line, start, stop)`, which yields the findings that begin at line[start:stop] and may
look at the notes around, and `tell(finding, shape)`, its sentence. A new device is a module and a line in DEVICES.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from core.line.devices import (
    altered,
    anticipation,
    arpeggio,
    cell,
    delay,
    enclosure,
    guide_tone,
    neighbour,
    passing_half_step,
    run,
    sequence,
    target,
    turn,
)
from core.line.finding import Finding, Kind
from core.line.tones import Tone


class Device(Protocol):
    """What a module of this folder offers."""

    @property
    def KIND(self) -> Kind:  # noqa: N802  (a module's constant)
        """What its findings are called."""
        ...

    def find(self, line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
        """The findings that begin at line[start:stop]; the tones around it are there to be looked at."""
        ...

    def tell(self, finding: Finding, shape: int = 0) -> str:
        """One sentence in a teacher's words; degrees, chords and notes as music tokens: `{b9}`, `{Bb7}`.

        shape: which of at least three wordings, counted round, so that a page does not repeat itself.
        """
        ...


DEVICES: tuple[Device, ...] = (
    run,
    passing_half_step,
    enclosure,
    turn,
    neighbour,
    arpeggio,
    cell,
    sequence,
    guide_tone,
    altered,
    anticipation,
    delay,
    target,
)

__all__ = ["DEVICES", "Device"]
