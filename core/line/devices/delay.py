"""Delay: a tone of the chord before that still sounds when the chord has changed, and then moves by step to a tone
of the new one.

Suspension: the tone is held over the change, or struck again on it, and falls by step (Open Music Theory,
"Embellishing tones"). Late chord tone (common practice, no source): it rises, or it is struck fresh on the change,
clashes with the new chord (it is no available tension) and is not just a step of a run.

Facts: degree (of the chord tone that comes late), chord (the new one), late (quarters after the change, as `1/2`),
by (suspension, late chord tone).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.harmony import ChordSymbol
from core.line.finding import Finding, symbol
from core.line.tones import Tone

KIND: Final = "delay"
_LATEST: Final = 2  # quarters after the change


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, min(stop, len(line) - 1)):
        tone, after = line[i], line[i + 1]
        if tone.ahead is not None and tone.length > tone.until:
            if _clashes(tone, tone.under, tone.ahead) and _resolves(tone, after, tone.ahead):
                yield _finding(tone, tone, after)
        elif after.since == 0 and after.midi == tone.midi and after.joined and i + 2 < len(line):
            if _clashes(tone, tone.under, after.chord) and _resolves(after, line[i + 2], after.chord):
                yield _finding(tone, after, line[i + 2])
        elif (tone.since == 0 and i and tone.joined and tone.strength >= 2 and line[i - 1].midi != tone.midi
              and _is_late(line[i - 1], tone, after)):
            yield _finding(tone, tone, after)


def _clashes(tone: Tone, before: ChordSymbol | None, chord: ChordSymbol | None) -> bool:
    """Whether a tone belongs to the chord before and not to the new one."""
    return (before is not None and chord is not None
            and tone.midi % 12 in before.pitch_classes and tone.midi % 12 not in chord.pitch_classes)


def _resolves(tone: Tone, after: Tone, chord: ChordSymbol | None) -> bool:
    return (after.joined and after.chord == chord and after.is_chord_tone and 1 <= abs(after.midi - tone.midi) <= 2
            and after.since is not None and 0 < after.since <= _LATEST)


def _is_late(before: Tone, tone: Tone, after: Tone) -> bool:
    chord, move = tone.chord, after.midi - tone.midi
    if chord is None or not _clashes(tone, before.under, chord) or not _resolves(tone, after, chord):
        return False
    came = tone.midi - before.midi
    is_run = abs(came) <= 2 and came * move > 0
    return not is_run and chord.upper_names[(tone.midi - chord.root.chroma) % 12] not in chord.tensions


def _finding(first: Tone, held: Tone, last: Tone) -> Finding:
    """held: what sounds at the change; first: where it was struck."""
    prepared = first is not held or held.since != 0
    suspended = prepared and last.midi < held.midi
    facts = (("degree", last.degree), ("chord", "" if last.chord is None else symbol(last.chord)),
             ("late", str(last.since)), ("by", "suspension" if suspended else "late chord tone"))
    score = 0.8 if suspended else 0.6 if prepared else 0.5
    return Finding(KIND, first.place, last.place, facts, score)


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    note = f"the {{{facts['degree']}}} of {{{facts['chord']}}}"
    late = {"1/3": "a third of a beat", "1/2": "half a beat", "2/3": "two thirds of a beat", "1": "a beat",
            "3/2": "a beat and a half", "2": "two beats"}.get(str(facts["late"]), "a little")
    if facts["by"] == "suspension":
        shapes = (f"A suspension: the note before stays and falls to {note} {late} late.",
                  f"The note before stays over the change and moves down to {note} {late} late.",
                  f"T{note[1:]} is kept waiting {late}: the note above it hangs over from the chord before.")
    else:
        shapes = (f"T{note[1:]} comes {late} after the change; until then the line is still in the chord before.",
                  f"The line lets the change go by and reaches {note} {late} late.",
                  f"A delay: {note} arrives {late} after its chord.")
    return shapes[shape % len(shapes)]
