"""How many notes of a study are explained: tones of their chord, or in a finding that is chosen to be told."""

from __future__ import annotations

from itertools import chain
from typing import NamedTuple

from core.line import analyse
from core.line.telling import told
from core.study import Study


class Explained(NamedTuple):
    """Notes that stand over a chord, and how many of them are explained, and by what."""

    notes: int = 0
    explained: int = 0
    chord_tones: int = 0
    told: int = 0

    def __add__(self, other: tuple) -> Explained:
        return Explained(*map(sum, zip(self, other, strict=True)))

    @property
    def rate(self) -> float:
        return self.explained / self.notes if self.notes else 0.0


def explained(study: Study) -> Explained:
    """Held notes count once."""
    found = told(study, analyse(study))
    chosen = [(one.first, one.last) for one in chain.from_iterable(found.chosen)]
    tones = [tone for tone in chain.from_iterable(found.tones.bars) if tone.chord is not None]
    covered = [any(first <= tone.place <= last for first, last in chosen) for tone in tones]
    return Explained(len(tones), sum(hit or tone.is_chord_tone for tone, hit in zip(tones, covered, strict=True)),
                     sum(tone.is_chord_tone for tone in tones), sum(covered))
