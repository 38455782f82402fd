"""What a fingering says of each note, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

Stroke = Literal["", "down", "up"]
Technique = Literal["", "hammer-on", "pull-off", "slide"]


class Fingered(NamedTuple):
    """One note on the neck. string: 1 the highest; fret: 0 open, from the capo; finger: 1 index to
    4 little, 0 none; position: the fret under the first finger at rest, where the hand stays."""

    string: int
    fret: int
    finger: int
    position: int

    @property
    def reach(self) -> int:
        """Frets the finger lies beyond its own, one finger a fret, or short of it; 0 for an open string."""
        return self.fret - self.position - self.finger + 1 if self.finger else 0

    @property
    def is_stretched(self) -> bool:
        """Index below its fret, or another finger beyond its own; fingers short of theirs are closed up."""
        return self.reach * (-1 if self.finger == 1 else 1) > 0


@dataclass(frozen=True, slots=True)
class EventFingering:
    """Parallel to the event's notes: None for a note no hand can take; () for a rest.

    stroke: "" for a note that is not struck, and for a ghost note. technique: how it is reached under a slur, one
    that is written or one that is proposed.
    shift: the hand has moved since the note before.
    """

    notes: tuple[Fingered | None, ...] = ()
    stroke: Stroke = ""
    technique: Technique = ""
    shift: bool = False


@dataclass(frozen=True, slots=True)
class BarFingering:
    """Parallel to the bar's events."""

    events: tuple[EventFingering, ...] = ()
