"""What a note does over its chord (common practice, no source, but where one is named).

A note is judged by its chord and by the sounding notes just before and after it; a rest longer than
a quarter parts them. The first rule that fits gives the role:

1. No chord in force: "no chord".
2. Struck early and judged by the chord to come (see `analysis`), and no tone of the chord in force:
   "anticipation" (Open Music Theory, "Embellishing tones").
3. In the chord: "chord tone". The eleventh that a thirteenth chord has only by thirds is not counted
   where the third sounds: it lies a half step above it.
4. Where a chord begins, the same pitch as before, a chord tone there, that moves by step to a tone
   of the new chord: "delay" (a suspension in Open Music Theory).
5. Between two of the same pitch: "pedal".

The next rules are for notes that are short: up to a quarter, grace notes too, and no part of a tie.

6. A step away from the one chord tone that stands before and after it: "neighbour" (Open Music Theory).
7. A half step from a chord tone that comes next (of the chord in force there), not an available tension,
   and reached by step from the other side: "passing half step". An altered tone of a dominant is one
   too where the line moves by half steps in one direction, unless the symbol itself is `alt`.
8. Of the key, off the beat, between two chord tones a third apart, by step in one direction: "passing
   note" (Open Music Theory).
9. One of two notes that stand a step above and a step below the chord tone they lead to, off the beat
   or not an available tension: "enclosure". A tension with a chord tone is none, but a piece of arpeggio.
10. Not an available tension, and a half step from the chord tone that comes next: "chromatic approach";
    the first of two half steps in one direction to it: "double chromatic approach".

For notes of any length again:

11. A minor third or diminished fifth above the tonic of a major key, over the tonic's
    dominant or plain chord: "blue note".
12. An available tension: "altered tone" where a dominant has it altered (b9 #9 #11 b13), else "tension".
13. Left over: any other altered tone of a dominant is an "altered tone"; a short note a whole step
    from a chord tone that comes next is a "diatonic approach"; of the rest, a note of the key is a
    "tension" and any other an "altered tone".
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, NamedTuple

from core.harmony import ChordSymbol, Degree

Role = Literal[
    "chord tone", "tension", "altered tone", "passing half step", "passing note", "neighbour", "chromatic approach",
    "double chromatic approach", "diatonic approach", "enclosure", "anticipation", "delay", "pedal", "blue note",
    "no chord",
]

_BY_THIRDS_ONLY = Degree(11)
_THIRD = Degree(3)
_WHOLE_STEP = 2  # semitones


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
    """Where a note stands in the line.

    before, after, then: the heads just before and after it and those after these; none where a rest parts
    them. is_short: see the module; in_key: diatonic; is_weak: not on a beat; is_early: judged by the chord to
    come; at_change: a chord begins with it; is_blue: see rule 11.
    """

    midi: int
    before: tuple[Head, ...]
    after: tuple[Head, ...]
    then: tuple[Head, ...]
    is_short: bool
    in_key: bool
    is_weak: bool
    is_early: bool
    at_change: bool
    is_blue: bool


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
    """The role of a note that has a chord: rules 2 to 13."""
    if line.is_early:
        return "anticipation"
    if standing.is_chord_tone:
        return "chord tone"
    if _is_delay(line):
        return "delay"
    if line.before and any(head.midi == line.midi for head in line.before) and any(
            head.midi == line.midi for head in line.after):
        return "pedal"
    moving = _moving(standing, line) if line.is_short else None
    if moving is not None:
        return moving
    if line.is_blue:
        return "blue note"
    if standing.is_available:
        return "altered tone" if standing.is_altered else "tension"
    if standing.is_altered:
        return "altered tone"
    if line.is_short and any(head.is_chord_tone and abs(head.midi - line.midi) == 2 for head in line.after):
        return "diatonic approach"
    return "tension" if line.in_key else "altered tone"


def _is_delay(line: Line) -> bool:
    return (line.at_change and any(head.midi == line.midi and head.is_chord_tone for head in line.before)
            and any(head.is_chord_tone and 1 <= abs(head.midi - line.midi) <= 2 for head in line.after))


def _moving(standing: Standing, line: Line) -> Role | None:
    midi = line.midi
    targets = [head.midi - midi for head in line.after if head.is_chord_tone and abs(head.midi - midi) <= 2]
    came = [midi - head.midi for head in line.before]
    half_steps = [move for move in targets if abs(move) == 1]
    if any(move and -move in came for move in targets):
        return "neighbour"
    if standing.may_pass and any(move in came for move in half_steps):
        return "passing half step"
    if not standing.is_available and any(2 * move in came for move in half_steps):
        return "passing half step"
    if line.in_key and line.is_weak and not standing.is_altered and _passes(midi, targets, line.before):
        return "passing note"
    if (line.is_weak or not standing.is_available) and _encloses(midi, targets, line, standing.is_available):
        return "enclosure"
    if standing.is_available:
        return None
    if half_steps:
        return "chromatic approach"
    if any(abs(head.midi - midi) == 1 and not head.is_chord_tone
           and any(last.is_chord_tone and last.midi - head.midi == head.midi - midi for last in line.then)
           for head in line.after):
        return "double chromatic approach"
    return None


def _passes(midi: int, targets: list[int], before: tuple[Head, ...]) -> bool:
    came = [midi - head.midi for head in before if head.is_chord_tone and 1 <= abs(midi - head.midi) <= 2]
    return any(one * move > 0 and abs(one + move) >= 3 for one in came for move in targets)


def _encloses(midi: int, targets: list[int], line: Line, may_be_tension: bool) -> bool:
    """Whether the note before it, or the one after, stands on the other side of the chord tone they lead to.

    A tension needs a partner outside the chord: with a chord tone it is a piece of arpeggio.
    """
    def is_partner(head: Head, target: int, side: int) -> bool:
        across = (head.midi - target) * (1 if side > 0 else -1)
        return 0 < across <= _WHOLE_STEP and not (may_be_tension and head.is_chord_tone)

    if any(is_partner(head, midi + move, move) for move in targets for head in line.before):
        return True
    return any(last.is_chord_tone and 1 <= abs(last.midi - midi) <= _WHOLE_STEP
               and any(is_partner(head, last.midi, last.midi - midi) for head in line.after)
               for last in line.then)
