"""Target: a chord tone that the line aims at and lands on in a strong place (common practice, no source).

Strong is the first beat of the bar or of its second half, or any beat on which the chord changes. Not every
strong beat is told. It is a target where it has notes from both sides before it, one of them a half step away; is
reached by a half step from outside the key, or at a change from outside the chord; or is the 3 or 7 and reached
by step at a change, or by half step. A note the line only runs through is a target as the 3 or 7 at a change alone.

Facts: degree, beat, chord, step (half, whole: the last one), how (approach from above, approach from below, enclosure).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.line.finding import Finding, on_beat, symbol
from core.line.tones import Tone

KIND: Final = "target"
_GUIDES: Final = ("3", "b3", "7", "b7", "bb7")


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]; the target is the second tone, or the third after an enclosure."""
    for at in range(start + 1, min(stop + 2, len(line))):
        tone, step = line[at], line[at].midi - line[at - 1].midi
        if tone.strength < 2 or not (tone.is_chord_tone and tone.joined and step and -2 <= step <= 2):
            continue
        changes = _changes(line[at - 1], tone)
        if tone.strength == 3 or changes:
            first = at - 2 if _is_enclosed(line, at) else at - 1
            if start <= first < stop and (first < at - 1 or _is_aimed_at(line, at, changes)):
                yield _finding(line[first], line[at - 1], tone)


def _changes(before: Tone, tone: Tone) -> bool:
    """Whether a chord that sounds different begins with a tone."""
    if tone.since != 0 or tone.chord is before.chord:
        return False
    return tone.chord is None or before.chord is None or tone.chord.tones != before.chord.tones or (
        tone.chord.root.chroma != before.chord.root.chroma)


def _is_enclosed(line: Sequence[Tone], at: int) -> bool:
    """Whether the two notes before lie on both sides, a step away, one of them a half step, and are no arpeggio."""
    if at < 2 or not line[at - 1].joined:
        return False
    one, other = line[at - 2].midi - line[at].midi, line[at - 1].midi - line[at].midi
    return (one * other < 0 and abs(one) <= 2 and abs(other) <= 2 and 1 in (abs(one), abs(other))
            and not (line[at - 2].is_chord_tone and line[at - 1].is_chord_tone))


def _is_aimed_at(line: Sequence[Tone], at: int, changes: bool) -> bool:
    tone, before = line[at], line[at - 1]
    guides = tone.degree in _GUIDES
    if guides and changes:
        return True
    half = abs(tone.midi - before.midi) == 1
    foreign = not before.is_chord_tone and (changes or not before.in_key)
    return half and (guides or foreign) and not _runs_through(line, at)


def _runs_through(line: Sequence[Tone], at: int) -> bool:
    """Whether the line goes on by step the way it came."""
    if at + 1 == len(line) or not line[at + 1].joined:
        return False
    came, goes = line[at].midi - line[at - 1].midi, line[at + 1].midi - line[at].midi
    return abs(goes) <= 2 and came * goes > 0


def _finding(first: Tone, before: Tone, tone: Tone) -> Finding:
    step, enclosed = tone.midi - before.midi, first is not before
    how = "enclosure" if enclosed else "approach from above" if step < 0 else "approach from below"
    half = abs(step) == 1
    facts = (("degree", tone.degree), ("beat", tone.beat), ("chord", "" if tone.chord is None else symbol(tone.chord)),
             ("step", "half" if half else "whole"), ("how", how))
    score = 0.45 + 0.1 * half + 0.1 * _changes(before, tone) + 0.1 * (tone.degree in _GUIDES) + 0.1 * enclosed
    return Finding(KIND, first.place, tone.place, facts, round(max(score, 0.5), 2))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    goal, where = f"the {{{facts['degree']}}} of {{{facts['chord']}}}", on_beat(finding, facts["beat"])
    if facts["how"] == "enclosure":
        shapes = (f"The target is {goal} {where}, with a note on either side before it.",
                  f"Two notes close in on {goal}, which lands {where}.",
                  f"Aim at {goal} {where}: the two notes before it lie on either side.")
    else:
        side = str(facts["how"]).removeprefix("approach from ")
        step = f"a {facts['step']} step {side}"
        shapes = (f"The line aims at {goal} {where}, from {step}.",
                  f"T{goal[1:]} lands {where}, reached from {step}.",
                  f"The target is {goal} {where}; the note before is {step}.")
    return shapes[shape % len(shapes)]
