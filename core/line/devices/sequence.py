"""Sequence: a shape said again at once at another pitch level, by the same step each time, in the same rhythm
(common practice, no source).

The shape has two to six notes; one of two or three must come three times or more, a longer one twice. A
line that never turns (a scale, an arpeggio) is none. Exact: all moves the same in semitones; diatonic: the
same in steps of the scale, and every note of the key or the chord.

Facts: step (from one to the next, below 0 down), unit (half steps, scale steps), count (how many times), notes
(of the shape), form (exact, diatonic).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from operator import sub
from typing import Final, NamedTuple

from core.line.finding import Finding, in_words
from core.line.tones import Tone

KIND: Final = "sequence"
_LONGEST: Final = 6  # notes of a shape
_SHORT: Final = 3  # a shape of so many notes needs a third time


class _Found(NamedTuple):
    first: int
    notes: int
    times: int
    form: str

    @property
    def after(self) -> int:
        return self.first + self.notes * self.times


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    if not _all(line[start:stop + 2 * _LONGEST]):  # most bars have none, and the longest that must be seen is so long
        return
    found = _all(line)
    for each in sorted(found, key=_best_first):
        if start <= each.first < stop and not any(_covers(other, each) for other in found):
            yield _finding(line, each)


def _all(line: Sequence[Tone]) -> set[_Found]:
    return {found for form in ("exact", "diatonic") for heights in [_heights(line, form)]
            for notes in range(2, _LONGEST + 1) for found in _sequences(line, heights, notes, form)}


def _heights(line: Sequence[Tone], form: str) -> list[int]:
    return [tone.midi for tone in line] if form == "exact" else [tone.pitch.diatonic for tone in line]


def _best_first(found: _Found) -> tuple[int, int, int, bool]:
    return found.first, -found.after, found.notes, found.form != "exact"


def _covers(other: _Found, found: _Found) -> bool:
    """Whether another tells these notes better: more of them, else in the smaller shape, else exactly."""
    if other == found or not (other.first < found.after and found.first < other.after):
        return False
    return _worth(other) > _worth(found)


def _worth(found: _Found) -> tuple[int, int, bool, int]:
    return found.after - found.first, -found.notes, found.form == "exact", -found.first


def _sequences(line: Sequence[Tone], heights: list[int], notes: int, form: str) -> Iterator[_Found]:
    """The stretches in which every note comes again, so many notes on, at the same distance."""
    apart = list(map(sub, heights[notes:], heights))
    shortest = notes * ((3 if notes <= _SHORT else 2) - 1)
    at = shortest - 1  # a stretch that is long enough holds one of every so many places
    while at < len(apart):
        step = apart[at]
        if step and (apart[at - 1] == step or apart[at:at + 2] == [step, step]):
            first = last = at
            while first and apart[first - 1] == step:
                first -= 1
            while last + 1 < len(apart) and apart[last + 1] == step:
                last += 1
            if last + 1 - first >= shortest:
                yield from _in_stretch(line, _Found(first, notes, (last + 1 - first) // notes + 1, form), last + notes)
            at = max(at, last)
        at += shortest


def _in_stretch(line: Sequence[Tone], longest: _Found, last: int) -> Iterator[_Found]:
    """The sequence at the strongest place of a stretch, if it really is one."""
    room = last + 1 - longest.notes * longest.times
    starts = sorted(range(longest.first, room + 1), key=lambda i: (-line[i].strength, i))
    for start in starts:
        found = longest._replace(first=start)
        if _is_sequence(line, found):
            yield found
            return


def _is_sequence(line: Sequence[Tone], found: _Found) -> bool:
    tones = line[found.first:found.after]
    moves = [b.midi - a.midi for a, b in pairwise(tones)]
    if all(move >= 0 for move in moves) or all(move <= 0 for move in moves):
        return False
    if found.notes == 2 and abs(moves[0]) <= 2:
        return False
    if not all(tone.joined for tone in tones[1:]) or any(tone.length > 1 for tone in tones[:-1]):
        return False
    if found.form == "diatonic" and not all(tone.in_key or tone.is_chord_tone for tone in tones):
        return False
    apart = [_time(a, b) for a, b in pairwise(tones)]
    return all(a == b for a, b in zip(apart, apart[found.notes:], strict=False))


def _time(tone: Tone, after: Tone) -> Fraction:
    """From one note to the next, in quarters; over a barline as long as it sounds."""
    return after.onset - tone.onset if after.place.bar == tone.place.bar else tone.length


def _finding(line: Sequence[Tone], found: _Found) -> Finding:
    one, other = _heights((line[found.first], line[found.first + found.notes]), found.form)
    step = other - one
    facts = (("step", step), ("unit", "half steps" if found.form == "exact" else "scale steps"), ("count", found.times),
             ("notes", found.notes), ("form", found.form))
    score = 0.55 + 0.1 * (found.times > 2) + 0.1 * (found.notes > 2) + 0.05 * (line[found.first].strength >= 2)
    return Finding(KIND, line[found.first].place, line[found.after - 1].place, facts, round(score, 2))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    step, count, notes = int(facts["step"]), int(facts["count"]), in_words(facts["notes"])
    way = f"{_distance(abs(step), str(facts['unit']))} {'higher' if step > 0 else 'lower'}"
    times, each = (f"{in_words(count)} times", "each time") if count > 2 else ("twice", "the second time")
    again = "twice more" if count == 3 else f"{in_words(count - 1)} times more"
    kind = "note for note" if facts["form"] == "exact" else "inside the scale"
    shapes = (
        f"A sequence: {notes} notes, then {f'{again}, each time' if count > 2 else 'the same'} {way}, {kind}.",
        f"One shape of {notes} notes comes {times}, {each} {way}, {kind}.",
        f"Hear one idea of {notes} notes {times}, {each} {way}, {kind}.",
    )
    return shapes[shape % len(shapes)]


def _distance(step: int, unit: str) -> str:
    if unit == "half steps":
        return {1: "a half step", 2: "a whole step"}.get(step, f"{step} half steps")
    interval = {1: "a step", 2: "a third", 3: "a fourth", 4: "a fifth", 5: "a sixth", 6: "a seventh", 7: "an octave"}
    return interval.get(step, f"{step} steps")
