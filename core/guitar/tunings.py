"""Tunings by name, each low to high at sounding pitch (common practice, no source; standard is MusicXML's, G1)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from core.study import GUITAR, Pitch, parse_pitch


def _tuned(names: str) -> tuple[Pitch, ...]:
    return tuple(parse_pitch(name) for name in names.split())


TUNINGS: Mapping[str, tuple[Pitch, ...]] = MappingProxyType({
    "standard": GUITAR,
    "half step down": _tuned("Eb2 Ab2 Db3 Gb3 Bb3 Eb4"),
    "whole step down": _tuned("D2 G2 C3 F3 A3 D4"),
    "drop D": _tuned("D2 A2 D3 G3 B3 E4"),
    "double drop D": _tuned("D2 A2 D3 G3 B3 D4"),
    "DADGAD": _tuned("D2 A2 D3 G3 A3 D4"),
    "open D": _tuned("D2 A2 D3 F#3 A3 D4"),
    "open E": _tuned("E2 B2 E3 G#3 B3 E4"),
    "open G": _tuned("D2 G2 D3 G3 B3 D4"),
    "open A": _tuned("E2 A2 E3 A3 C#4 E4"),
    "open C": _tuned("C2 G2 C3 G3 C4 E4"),
    "fourths": _tuned("E2 A2 D3 G3 C4 F4"),
    "baritone": _tuned("B1 E2 A2 D3 F#3 B3"),
    "seven-string": _tuned("B1 E2 A2 D3 G3 B3 E4"),
    "seven-string, low A": _tuned("A1 E2 A2 D3 G3 B3 E4"),
    "eight-string": _tuned("F#1 B1 E2 A2 D3 G3 B3 E4"),
    "bass": _tuned("E1 A1 D2 G2"),
    "five-string bass": _tuned("B0 E1 A1 D2 G2"),
    "six-string bass": _tuned("B0 E1 A1 D2 G2 C3"),
})
