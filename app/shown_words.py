"""The teacher's words outside the page: light marks and music tokens as rich text, and as plain words for a voice."""

from __future__ import annotations

import re
from html import escape

from app.spoken import pretty
from core.errors import BarglossError
from core.harmony import ChordStyle, ChordSymbol, NoChord, house, parse_chord

_MARK = re.compile(r"\{([^{}]*)\}|\*([^*\n]+)\*")
_DEGREE = re.compile(r"(b{1,2}|#{1,2})?(1[0-3]|[1-9])")
_NOTE = re.compile(r"\b([A-G])(bb|b|##|#)(?![a-z])")


def rich(text: str, style: ChordStyle) -> str:
    """Rich text for a label: `{Bb7(b9)}` as the page spells it, with real signs."""
    parts, at = [], 0
    for mark in _MARK.finditer(text):
        parts.append(escape(text[at:mark.start()]))
        parts.append(f"<i>{escape(mark[2])}</i>" if mark[1] is None else f"<b>{_token(mark[1], style)}</b>")
        at = mark.end()
    return "".join([*parts, escape(text[at:])])


def plain_words(text: str) -> str:
    """`{Bb7}` as B♭7, for lists and screen readers."""
    return _MARK.sub(lambda mark: mark[2] if mark[1] is None else _signs(mark[1]), text)


def _token(token: str, style: ChordStyle) -> str:
    try:
        if _DEGREE.fullmatch(token) is None:
            return _chord(parse_chord(token), style)
    except BarglossError:
        pass
    return escape(_signs(token))


def _signs(token: str) -> str:
    """Real accidentals in a degree, a chord symbol, or in the note names among other words."""
    if " " in token:
        return " ".join(map(_signs, token.split()))
    if _DEGREE.fullmatch(token):
        return pretty(token)
    try:
        parse_chord(token)
    except BarglossError:
        return _NOTE.sub(lambda note: pretty(note[0]), token)
    return pretty(token)


def _chord(chord: ChordSymbol | NoChord, style: ChordStyle) -> str:
    """The house spelling, raised figures raised."""
    parts = house(chord, style)
    root = pretty(parts.root + {-2: "bb", -1: "b", 1: "#", 2: "##"}.get(parts.root_accidental, ""))
    raised = ",".join(element.text for element in parts.raised)
    raised = f"({raised})" if parts.in_brackets else raised
    quality = parts.quality.replace("-", "–") + parts.extension + parts.suspension
    bass = pretty(parts.bass + {-2: "bb", -1: "b", 1: "#", 2: "##"}.get(parts.bass_accidental, ""))
    return "".join([escape(root + quality), f"<sup>{escape(pretty(raised))}</sup>" if raised else "",
                    f"/{escape(bass)}" if bass else ""])
