"""Harmony: pitch spelling, chord symbols in and out of text, scales, degrees against a chord or a key, readings."""

from core.harmony.chord import ChordSymbol, ChordSymbolError, NoChord, degree_in_chord
from core.harmony.degree import Degree, degree_between, degree_in_key, note_above
from core.harmony.grammar import parse_chord
from core.harmony.house import ChordStyle, HouseChord, Raised, house
from core.harmony.musicxml_kind import KindDegree, kind_of, symbol_from_kind
from core.harmony.reading import parse_harmony
from core.harmony.scales import (
    SCALES,
    Passage,
    Scale,
    ScaleOn,
    chord_scales,
    key_bits,
    passage,
    scale_bits,
    scale_of,
    scales_holding,
)
from core.harmony.spelling import spell

__all__ = [
    "SCALES", "ChordStyle", "ChordSymbol", "ChordSymbolError", "Degree", "HouseChord", "KindDegree", "NoChord",
    "Passage", "Raised", "Scale", "ScaleOn", "chord_scales", "degree_between", "degree_in_chord", "degree_in_key",
    "house", "key_bits", "kind_of", "note_above", "parse_chord", "parse_harmony", "passage", "scale_bits",
    "scale_of", "scales_holding", "spell", "symbol_from_kind",
]
