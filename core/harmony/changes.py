"""Changes typed as a line (`Cm7 F7 | Bbmaj7 | %`), and symbols moved to another key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from core.errors import BarglossError, Faults
from core.harmony.chord import ChordSymbol, ChordSymbolError
from core.harmony.grammar import parse_chord
from core.harmony.house import ChordStyle, house
from core.study import Change, Meter, PitchClass

_TYPED = ChordStyle(minor="m", major="maj")
_SIMPLEST = (-7, 8)  # places on the line of fifths, from Cb to G#: a root is respelled beyond


def read_changes(text: str, meters: Sequence[Meter]) -> tuple[tuple[Change, ...], ...]:
    """The chord symbols of each bar. Bars are parted by `|`; in a bar, symbols stand on beats, as evenly as the
    beats allow and the earlier the longer: two in a bar of three beats stand on 1 and 3. An empty bar has none.

    meters: one for each bar there is. Raises BarglossError (Faults for several), the bar counted from 1.
    """
    bars = [part.split() for part in text.strip().strip("|").split("|")]
    if len(bars) > len(meters):
        raise BarglossError(f"{len(bars)} bars of changes for {len(meters)} bars of music; take some away or add bars")
    faults: list[BarglossError] = []
    found = []
    for number, (symbols, meter) in enumerate(zip(bars, meters, strict=False), 1):
        if len(symbols) > len(meter.beats):
            faults.append(BarglossError(f"{len(symbols)} chord symbols in a bar of {len(meter.beats)} beats; "
                                        "leave one a beat at most", bar=number))
            continue
        for symbol in symbols:
            try:
                parse_chord(symbol)
            except ChordSymbolError as fault:
                faults.append(BarglossError(fault.what, bar=number))
        found.append(tuple(map(Change, _places(len(symbols), meter), symbols)))
    if faults:
        raise faults[0] if len(faults) == 1 else Faults(tuple(faults))
    return tuple(found)


def _places(count: int, meter: Meter) -> list[Fraction]:
    """The beats that so many symbols stand on."""
    beats = meter.beats
    return [beats[-(-place * len(beats) // count)] for place in range(count)]


def transposed_symbol(symbol: str, fifths: int) -> str:
    """A chord symbol moved along the line of fifths (2 from C to D, -3 to Eb), as `parse_chord` reads it.

    Raises ChordSymbolError where it cannot be read.
    """
    chord = parse_chord(symbol)
    if fifths == 0 or not isinstance(chord, ChordSymbol):
        return symbol
    moved = replace(chord, root=_moved(chord.root, fifths), bass=chord.bass and _moved(chord.bass, fifths))
    return house(moved, _TYPED).text


def _moved(note: PitchClass, fifths: int) -> PitchClass:
    place = note.fifths + fifths
    low, high = _SIMPLEST
    while place < low:
        place += 12
    while place > high:
        place -= 12
    return PitchClass.at_fifths(place)
