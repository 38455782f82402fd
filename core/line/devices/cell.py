"""Cell: a digital pattern of four notes (Coker et al., "Patterns for Jazz", 1970, from memory; which ones have
a name of their own is common practice, no source), begun on a beat, in even notes over one chord.

A pattern is named by the degrees of a triad that makes it plainest, and told in the written chord too:
5 3 4 5 on the minor chord a third above a major root is 7 5 6 7 of that root. Of several triads the plainest is
the written chord, else one of its chord tones, else one of its tensions; one outside counts only in a strong place.

Facts: pattern (in the written chord), chord (written), heard (the chord it is plainest in), plain (the pattern
there), name (its family, without accidentals).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from core.harmony import ChordSymbol
from core.line.finding import Finding, symbol
from core.line.naming import chord_on
from core.line.tones import Tone

KIND: Final = "cell"
# Degrees of the triad's scale, those below its root from 0 down: -2 is the 5 below. None is a run or an arpeggio.
_PATTERNS: Final = (
    (1, 2, 3, 5), (1, 3, 4, 5), (5, 3, 4, 5), (5, 3, 2, 1), (5, 4, 3, 1), (3, 1, 2, 3), (1, 2, 3, 1), (-2, 1, 2, 3),
    (3, 2, 1, -2), (3, 1, 2, 5), (1, 3, 2, 5),
)
_FAMOUS: Final = _PATTERNS[:3]
_OUTSIDE: Final = 3  # how far a triad is from a chord that it contradicts
_SEMITONES: Final = (0, 2, 4, 5, 7, 9, 11)


class _Reading(NamedTuple):
    """One way to see a shape. below: semitones from its first note down to the root."""

    name: str
    kind: str
    below: int
    is_famous: bool


def _height(number: int, kind: str) -> int:
    octave, step = divmod(number - 1, 7)
    return 12 * octave + _SEMITONES[step] - (kind == "m" and step == 2)


def _shapes() -> dict[tuple[int, ...], tuple[_Reading, ...]]:
    """Every pattern as its three moves in semitones."""
    found = defaultdict(list)
    for kind in ("", "m"):
        for pattern in _PATTERNS:
            heights = [_height(number, kind) for number in pattern]
            name = " ".join(str((number - 1) % 7 + 1) for number in pattern)
            found[tuple(b - a for a, b in pairwise(heights))].append(
                _Reading(name, kind, heights[0], pattern in _FAMOUS))
    return {moves: tuple(readings) for moves, readings in found.items()}


_SHAPES: Final = _shapes()


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, min(stop, len(line) - 3)):
        if line[i].strength < 2:
            continue
        a, b, c, d = line[i:i + 4]
        readings = _SHAPES.get((b.midi - a.midi, c.midi - b.midi, d.midi - c.midi))
        if readings and a.chord is not None and _is_even(a, b, c, d) and _is_over_one_chord(a, b, c, d):
            distance, reading = min(((_distance(each, a.midi, a.chord), each) for each in readings), key=_nearness)
            if distance < _OUTSIDE or a.strength == 3:
                yield _finding((a, b, c, d), a.chord, reading, distance)


def _nearness(found: tuple[int, _Reading]) -> int:
    return found[0]


def _is_even(a: Tone, b: Tone, c: Tone, d: Tone) -> bool:
    return (b.joined and c.joined and d.joined and a.length <= 1 and a.length == b.length == c.length
            and d.length >= c.length)


def _is_over_one_chord(a: Tone, b: Tone, c: Tone, d: Tone) -> bool:
    """The last note may belong to the chord it anticipates."""
    return a.chord == b.chord == c.chord and d.chord in (a.chord, d.ahead)


def _finding(tones: tuple[Tone, ...], over: ChordSymbol, reading: _Reading, distance: int) -> Finding:
    first = tones[0]
    heard = chord_on((first.midi - reading.below) % 12, reading.kind, [tone.pitch.pitch_class for tone in tones])
    if not distance:
        heard = over
    minor = reading.kind == "m"
    plain = " ".join("b3" if minor and number == "3" else number for number in reading.name.split())
    facts = (("pattern", " ".join(_low(tone, over) for tone in tones)), ("chord", symbol(over)),
             ("heard", symbol(heard)), ("plain", plain), ("name", reading.name))
    score = 0.7 - 0.1 * max(0, distance - 1) + 0.1 * reading.is_famous + 0.05 * (first.strength == 3)
    return Finding(KIND, first.place, tones[-1].place, facts, round(score, 2))


def _low(tone: Tone, over: ChordSymbol) -> str:
    return over.lower_names[(tone.midi - over.root.chroma) % 12].name


def _distance(reading: _Reading, first: int, over: ChordSymbol) -> int:
    """How far a triad is from the written chord: 0 on its root, 1 of its tones, 2 with its tensions, 3 outside."""
    root = (first - reading.below - over.root.chroma) % 12
    triad = {root, (root + 4 - (reading.kind == "m")) % 12, (root + 7) % 12}
    tones = {tone.chroma for tone in over.tones}
    if triad <= tones:
        return 1 if root else 0
    return 2 if triad <= tones.union(tension.chroma for tension in over.tensions) else _OUTSIDE


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    pattern, plain = (" ".join(f"{{{degree}}}" for degree in str(facts[name]).split()) for name in ("pattern", "plain"))
    chord, heard = f"{{{facts['chord']}}}", f"{{{facts['heard']}}}"
    if facts["chord"] == facts["heard"]:
        shapes = (f"A digital pattern: {plain} of {chord}.", f"The cell {plain} on {chord}; learn it in every key.",
                  f"{plain} of {chord}, a cell to move through the changes.")
    else:
        shapes = (f"{pattern} of {chord}: the same notes are the cell {plain} on {heard}.",
                  f"Play the digital pattern {plain} on {heard}; over {chord} it gives {pattern}.",
                  f"A cell, plainest as {plain} of {heard}; in {chord} that is {pattern}.")
    return shapes[shape % len(shapes)]
