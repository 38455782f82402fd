"""What a note does over the chord in force (common practice, no source, but for the neighbour).

A note is judged by its chord and by the sounding notes just before and after it; a rest longer than
a quarter parts them. The first rule that fits gives the role:

1. No chord in force: "no chord".
2. Held on by a tie: judged as a long note, by the chord it is held over.
3. In the chord: "chord tone". The eleventh that a thirteenth chord has only by thirds is not counted
   where the third sounds: it lies a half step above it.
4. Short, and a step away from the one chord tone that stands before and after it: "neighbour" (Open
   Music Theory, "Embellishing tones"). Short is up to a quarter, grace notes too, and no part of a tie.
5. Short, a half step from a chord tone that comes next (of the chord in force there), and not an
   available tension: "passing half step" where the line comes by step from the other side, else
   "approach note". An altered tone of a dominant too is a passing half step where the line moves by
   half steps in one direction, unless the symbol itself is `alt`.
6. An available tension: "altered tone" where a dominant has it altered (b9 #9 #11 b13), else "tension".
7. Left over: any other altered tone of a dominant is an "altered tone"; a short note a whole step
   from a chord tone that comes next is an "approach note"; of the rest, a note of the key is a
   "tension" and any other an "altered tone".
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, NamedTuple

from core.harmony import ChordSymbol, Degree

Role = Literal["chord tone", "tension", "altered tone", "passing half step", "approach note", "neighbour", "no chord"]

_BY_THIRDS_ONLY = Degree(11)
_THIRD = Degree(3)


class Standing(NamedTuple):
    """How one of the twelve notes stands over a chord, whatever the line does."""

    degree: Degree
    is_chord_tone: bool
    is_available: bool
    is_altered: bool  # of a dominant
    may_pass: bool  # a chromatic line may run through it


class Head(NamedTuple):
    """A sounding note as its neighbours see it. is_held: tied on into the next event."""

    midi: int
    is_chord_tone: bool
    is_held: bool


class Line(NamedTuple):
    """Where a note stands in the line. is_short: see rule 4; in_key: diatonic."""

    midi: int
    before: tuple[Head, ...]
    after: tuple[Head, ...]
    is_short: bool
    in_key: bool


@lru_cache(maxsize=1024)
def standings(chord: ChordSymbol) -> tuple[Standing, ...]:
    """The twelve notes above the root of a chord, as 9 11 13."""
    tones = set(chord.tones)
    if chord.extension == "13" and _THIRD in tones:
        tones.discard(_BY_THIRDS_ONLY)
    found = []
    for degree in chord.upper_names:
        available = degree in chord.tensions
        altered = chord.is_dominant and degree.number > 7 and degree.alter != 0
        found.append(Standing(degree, degree in tones, available, altered,
                              not available or (altered and not chord.altered)))
    return tuple(found)


def role_of(standing: Standing, line: Line) -> Role:
    """The role of a note that has a chord: rules 2 to 7."""
    if standing.is_chord_tone:
        return "chord tone"
    if line.is_short:
        moving = _moving(standing, line)
        if moving is not None:
            return moving
    if standing.is_available:
        return "altered tone" if standing.is_altered else "tension"
    if standing.is_altered:
        return "altered tone"
    if line.is_short and any(head.is_chord_tone and abs(head.midi - line.midi) == 2 for head in line.after):
        return "approach note"
    return "tension" if line.in_key else "altered tone"


def _moving(standing: Standing, line: Line) -> Role | None:
    midi = line.midi
    targets = [head.midi - midi for head in line.after if head.is_chord_tone and abs(head.midi - midi) <= 2]
    came = [midi - head.midi for head in line.before]
    if any(move and -move in came for move in targets):
        return "neighbour"
    half_steps = [move for move in targets if abs(move) == 1]
    if not half_steps or not standing.may_pass:
        return None
    if any(move in came for move in half_steps):
        return "passing half step"
    if standing.is_available:
        return None
    return "passing half step" if any(2 * move in came for move in half_steps) else "approach note"
