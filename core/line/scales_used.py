"""Chord scales for a bar: which scales hold each chord, and which of them the line uses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from core.harmony import ChordSymbol, Scale, chord_scales, key_bits, scales_holding
from core.line.analysis import BarAnalysis
from core.line.roles import Role
from core.line.tones import Tone
from core.study import Key

_MOVING: tuple[Role, ...] = ("passing half step", "passing note", "neighbour", "chromatic approach",
                             "double chromatic approach", "enclosure")


class ChordScales(NamedTuple):
    """holding: the scales on the chord's root that hold it, plainest first. used: those of them that also hold what
    the line plays over it, none where it plays nothing.
    """

    chord: ChordSymbol
    holding: tuple[Scale, ...]
    used: tuple[Scale, ...]


def scales_used(bar: BarAnalysis, tones: Sequence[Tone], key: Key) -> tuple[ChordScales, ...]:
    """The chord scales of each chord of a bar, each chord once. tones: the bar's.

    A note foreign to the key that only moves to a chord tone by step need not be in the scale.
    """
    found, own = [], key_bits(key)
    for chord in dict.fromkeys(span.chord for span in bar.chords if span.chord is not None):
        holding = chord_scales(chord, key)
        over = [tone for tone in tones if tone.chord == chord]
        kept = {tone.midi % 12 for tone in over if own >> tone.midi % 12 & 1 or tone.role not in _MOVING}
        found.append(ChordScales(chord, holding, scales_holding(holding, chord.root, kept) if over else ()))
    return tuple(found)
