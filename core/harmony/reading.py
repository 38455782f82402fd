"""Readings: the harmony a teacher hears a passage in, as a chord or a key."""

from __future__ import annotations

from functools import lru_cache

from core.errors import BarglossError
from core.harmony.chord import ChordSymbol
from core.harmony.grammar import parse_chord
from core.study import Key, parse_key

_KEY = ["key", "of"]


@lru_cache(maxsize=1024)
def parse_harmony(text: str) -> ChordSymbol | Key:
    """Read a reading: a chord symbol, or `key of Eb major` (`key of Eb` is major). Raises BarglossError."""
    words = text.replace("♭", "b").replace("♯", "#").split()
    if [word.lower() for word in words[:2]] == _KEY:
        tonic, mode = words[2:3], [word.lower() for word in words[3:]]
        return parse_key(" ".join([*tonic, *(mode or ["major"])]))
    chord = parse_chord(text)
    if isinstance(chord, ChordSymbol):
        return chord
    raise BarglossError(f"{text} is no harmony to read a note in; write a chord symbol or a key, as key of Eb major")
