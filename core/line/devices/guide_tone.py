"""Guide tone: over a change of chord 7 goes to 3 or 3 to 7, by step or held, or the b9 of a dominant to 5 by step
(common practice, no source).

One note may stand between the two, if the second falls on a beat (an enclosure of it).

Facts: from (degree in the first chord), to (degree in the second), chord, into, step (half, whole, same).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.harmony import ChordSymbol
from core.line.finding import Finding, symbol
from core.line.tones import Tone

KIND: Final = "guide-tone"
_THIRDS, _SEVENTHS = ("3", "b3"), ("7", "b7", "bb7")
_FURTHEST: Final = 4  # semitones from a note between to the second guide tone


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, stop):
        tone = line[i]
        if tone.ahead is not None and tone.length > tone.until:
            yield from _held(tone, tone.under, tone.ahead)
        elif i + 1 < len(line) and line[i + 1].joined and line[i + 1].chord is not tone.chord:
            yield from _moved(tone, line[i + 1], 0.7)
        elif i + 2 < len(line) and line[i + 2].chord is not tone.chord:
            yield from _round(tone, line[i + 1], line[i + 2])


def _held(tone: Tone, chord: ChordSymbol | None, into: ChordSymbol) -> Iterator[Finding]:
    chroma = tone.midi % 12
    if chord is None or chroma not in chord.pitch_classes or chroma not in into.pitch_classes:
        return
    before, after = (of.upper_names[(tone.midi - of.root.chroma) % 12].name for of in (chord, into))
    if before != "b9" and _guides(before, after):
        yield _finding((tone, tone), (before, after), (chord, into), 0.6)


def _moved(tone: Tone, after: Tone, score: float) -> Iterator[Finding]:
    if (tone.chord is not None and after.chord is not None and tone.chord != after.chord
            and -2 <= after.midi - tone.midi <= 2 and after.is_chord_tone and _guides(tone.degree, after.degree)
            and (tone.is_chord_tone if tone.degree != "b9" else tone.chord.is_dominant and after.midi != tone.midi)):
        yield _finding((tone, after), (tone.degree, after.degree), (tone.chord, after.chord), score)


def _round(tone: Tone, between: Tone, after: Tone) -> Iterator[Finding]:
    if (between.joined and after.joined and after.strength >= 2 and after.midi != tone.midi
            and abs(between.midi - after.midi) <= _FURTHEST and not _guides(between.degree, after.degree)):
        yield from _moved(tone, after, 0.5)


def _guides(before: str, after: str) -> bool:
    return ((before in _SEVENTHS and after in _THIRDS) or (before in _THIRDS and after in _SEVENTHS)
            or (before == "b9" and after == "5"))


def _finding(tones: tuple[Tone, Tone], degrees: tuple[str, str], chords: tuple[ChordSymbol, ChordSymbol],
             score: float) -> Finding:
    step = ("same", "half", "whole")[abs(tones[1].midi - tones[0].midi)]
    facts = (("from", degrees[0]), ("to", degrees[1]), ("chord", symbol(chords[0])), ("into", symbol(chords[1])),
             ("step", step))
    falls_a_fifth = (chords[1].root.chroma - chords[0].root.chroma) % 12 == 5
    score += 0.1 * falls_a_fifth + 0.1 * (tones[1].strength == 3)
    return Finding(KIND, tones[0].place, tones[1].place, facts, round(score, 2))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    before, after = f"the {{{facts['from']}}} of {{{facts['chord']}}}", f"the {{{facts['to']}}} of {{{facts['into']}}}"
    if facts["step"] == "same":
        shapes = (f"{_sentence(before)} stays where it is and becomes {after}.",
                  f"Hear the note that stays: {before} is {after}.",
                  f"One note joins the chords: {before} and {after}.")
    else:
        step = f"a {facts['step']} step"
        shapes = (f"Voice leading: {before} moves {step} to {after}.",
                  f"{_sentence(before)} goes {step} to {after}.",
                  f"Hear the change in one move: from {before} {step} to {after}.")
    return shapes[shape % len(shapes)]


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]
