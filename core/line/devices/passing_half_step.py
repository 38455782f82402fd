"""Passing half step: a note foreign to the scale, between two neighbours of it a whole step apart.

What it is worth telling for is the chord tone that comes on a beat because of it ("Bebop scale", and the published
study text on bop scales in which eight eighths from a chord tone on the beat keep chord tones on the beats).

Facts: from, note, to (degrees over their own chords), lands (the degree of the chord tone that stands on a beat
because of it, else ""), beat (of that tone, else 0), scale (the bebop scale it is the added note of, else ""). In
five notes or more of the chromatic scale no one note passes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.harmony import ChordSymbol, chord_scales, key_bits, scale_bits
from core.line.finding import Finding
from core.line.tones import Tone

KIND: Final = "passing-half-step"
_CHROMATIC = 5
_LANDS_WITHIN = 3  # notes behind it


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, min(stop, len(line) - 2)):
        first, note, last = line[i], line[i + 1], line[i + 2]
        move = note.midi - first.midi
        if (move in (-1, 1) and last.midi - note.midi == move and note.joined and last.joined
                and first.length <= 1 and note.length <= 1 and not note.is_chord_tone and note.chord is not None
                and (first.is_chord_tone or last.is_chord_tone) and _is_foreign(first, note, last, note.chord)
                and _half_steps(line, i, move) < _CHROMATIC):
            landing = _landing(line, i + 2, move)
            scale = _bebop(note, note.chord)
            facts = (("from", first.degree), ("note", note.degree), ("to", last.degree),
                     ("lands", landing.degree if landing else ""), ("beat", landing.beat if landing else 0),
                     ("scale", scale))
            yield Finding(KIND, first.place, last.place, facts,
                          (0.7 if landing else 0.4 if note.beat else 0.5) + 0.1 * (scale != ""))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    first, note, last = (f"{{{finding.fact(name)}}}" for name in ("from", "note", "to"))
    lands, beat, scale = finding.fact("lands"), finding.fact("beat"), finding.fact("scale")
    bebop = f": the {scale} scale" if scale else ""
    if lands:
        shapes = (
            f"Because {note} passes between {first} and {last}, {{{lands}}} lands on beat {beat}{bebop}.",
            f"{note} is a passing half step between {first} and {last}; it puts {{{lands}}} on beat {beat}{bebop}.",
            f"{note} is slipped in between {first} and {last}, and {{{lands}}} falls on beat {beat}{bebop}.",
        )
    elif finding.score < 0.5:
        shapes = (
            f"{note} might be a passing half step between {first} and {last}.",
            f"You may hear {note} as a passing half step, from {first} to {last}.",
            f"From {first} to {last}: {note} might only be passing.",
        )
    else:
        shapes = (
            f"{note} is a passing half step between {first} and {last}{bebop}.",
            f"A passing half step, {note}, fills the whole step from {first} to {last}{bebop}.",
            f"From {first} to {last} by half steps, {note} only passing{bebop}.",
        )
    return shapes[shape % len(shapes)]


def _is_foreign(first: Tone, note: Tone, last: Tone, chord: ChordSymbol) -> bool:
    """Whether the middle note alone is outside the key or the plainest scale of the chord, or is a bebop scale's."""
    outer, inner = 1 << first.midi % 12 | 1 << last.midi % 12, 1 << note.midi % 12
    plainest = (scale_bits(scale, chord.root) for scale in chord_scales(chord, note.key)[:1])
    return bool(_bebop(note, chord)) or any(
        not (outer & ~bits or inner & bits) for bits in (key_bits(note.key), *plainest))


def _half_steps(line: Sequence[Tone], i: int, move: int) -> int:
    """How many notes of the chromatic scale stand in a row round here."""
    low, high = i, i + 2
    while low > 0 and line[low].joined and line[low].midi - line[low - 1].midi == move:
        low -= 1
    while high + 1 < len(line) and line[high + 1].joined and line[high + 1].midi - line[high].midi == move:
        high += 1
    return high - low + 1


def _landing(line: Sequence[Tone], at: int, move: int) -> Tone | None:
    """The first chord tone on a beat while the line goes on by step."""
    for k in range(at, min(at + _LANDS_WITHIN, len(line))):
        tone = line[k]
        if k > at and not (tone.joined and 1 <= (tone.midi - line[k - 1].midi) * move <= 2):
            return None
        if tone.beat:
            return tone if tone.is_chord_tone else None
    return None


def _bebop(note: Tone, chord: ChordSymbol) -> str:
    return next((scale.name for scale in chord_scales(chord, note.key) if scale.added == note.above), "")
