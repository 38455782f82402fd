"""The neck: where a pitch can be stopped, and how far apart the frets lie.

Strings count from the highest (1), frets as a player reads tab: from the capo where there is
one, so 0 is the string open at the capo (MusicXML `string` and `fret`; with a capo: common
practice, no source).
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from core.study import Instrument

SCALE_MM = 648.0  # the common long scale (G6)


class Place(NamedTuple):
    """A string (1 the highest) and a fret (0 open)."""

    string: int
    fret: int


class Neck(NamedTuple):
    """An instrument reduced to what places need. open: key numbers of the strings, string 1 first,
    sounding at the capo. frets: playable above the capo. capo: in frets from the nut."""

    open: tuple[int, ...]
    frets: int
    capo: int


@lru_cache(maxsize=64)
def neck_of(instrument: Instrument) -> Neck:
    """The neck of an instrument, capo in place."""
    return Neck(tuple(pitch.midi + instrument.capo for pitch in reversed(instrument.tuning)),
                instrument.frets - instrument.capo, instrument.capo)


@lru_cache(maxsize=4096)
def places_on(midi: int, neck: Neck) -> tuple[Place, ...]:
    """Every place of a key number, highest string first; none where it is out of range."""
    return tuple(Place(string, midi - sounds) for string, sounds in enumerate(neck.open, 1)
                 if 0 <= midi - sounds <= neck.frets)


def places(midi: int, instrument: Instrument) -> tuple[Place, ...]:
    """Every place of a key number on this instrument, highest string first; none where it is out of range."""
    return places_on(midi, neck_of(instrument))


def fret_distance_mm(fret: int, scale_mm: float = SCALE_MM) -> float:
    """Millimetres from the nut to a fret: L (1 - 2^(-n/12)) (12-tone equal temperament, G6)."""
    return float(scale_mm * (1 - 2 ** (-fret / 12)))


def span_mm(low: int, high: int) -> float:
    """Millimetres from one fret to another on the common scale."""
    return fret_distance_mm(high) - fret_distance_mm(low)
