"""Chord symbols of other standards, as texts our grammar reads."""

from __future__ import annotations

import re

from core.errors import BarglossError
from core.exchange.plain import PlainChord
from core.harmony import parse_chord, symbol_from_kind
from core.study import parse_pitch_class


def symbol_of(chord: PlainChord) -> str | None:
    """The chord's symbol, or None where it cannot be read as one."""
    try:
        if chord.text:
            return _read(chord.text)
        if chord.kind == "none":
            return "N.C."
        return symbol_from_kind(parse_pitch_class(chord.root), chord.kind, chord.kind_text,
                                chord.degrees,
                                parse_pitch_class(chord.bass) if chord.bass else None)
    except BarglossError:
        return None


def _read(text: str) -> str:
    """As written, or with its bass as ABC collections write it: `Am/c`, and `D/f+` for an F sharp."""
    try:
        parse_chord(text)
        return text
    except BarglossError:
        bass = re.fullmatch(r"(.+)/([a-g])([#b+]?)", text)
        if bass is None:
            raise
        text = f"{bass[1]}/{bass[2].upper()}{bass[3].replace('+', '#')}"
        parse_chord(text)
        return text
