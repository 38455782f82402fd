"""Anticipation: a tone of the next chord, and not of the one in force, struck off the beat just before the change.

It is struck again on the change (Open Music Theory, "Embellishing tones"), tied over it (a syncopation there),
or let go: nothing is struck on the change (both common practice, no source).

Facts: degree (in the coming chord), chord (the coming one), held (tied, struck again, let go).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.line.finding import Finding, symbol
from core.line.tones import Tone

KIND: Final = "anticipation"


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, stop):
        tone, chord, coming = line[i], line[i].under, line[i].ahead
        if chord is None or coming is None or tone.strength > 1 or tone.until > 1:
            continue
        if tone.midi % 12 in chord.pitch_classes or tone.midi % 12 not in coming.pitch_classes:
            continue
        held = _held(tone, line[i + 1] if i + 1 < len(line) else None)
        if held:
            degree = coming.upper_names[(tone.midi - coming.root.chroma) % 12]
            last = line[i + 1] if held == "struck again" else tone
            score = (0.6 if held == "let go" else 0.75) + 0.1 * (degree.number in (3, 7))
            facts = (("degree", degree.name), ("chord", symbol(coming)), ("held", held))
            yield Finding(KIND, tone.place, last.place, facts, round(score, 2))


def _held(tone: Tone, after: Tone | None) -> str:
    """What becomes of it at the change, "" where another note takes its place there."""
    if tone.length > tone.until:
        return "tied"
    if after is None or after.since != 0 or not after.joined:
        return "let go"
    return "struck again" if after.midi == tone.midi else ""


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    note = f"the {{{facts['degree']}}} of {{{facts['chord']}}}"
    held = {"tied": "and is held over the change", "struck again": "and is struck again on the change",
            "let go": "and is let go before the change"}[str(facts["held"])]
    shapes = (f"An anticipation: {note} comes early {held}.",
              f"T{note[1:]} sounds before its chord does, {held}.",
              f"The line runs ahead of the changes: {note} comes early {held}.")
    return shapes[shape % len(shapes)]
