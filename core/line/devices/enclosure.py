"""Enclosure: a chord tone, and directly before it notes from both sides within a step (common practice,
no source).

Facts: target (its degree), type, first (above, below), notes (2 to 4, without the target), beat (of the target, 0 off
the beat), chord (of the target). A side has one note, or two foreign to the chord that close in by half steps, as in
D D# F E. type: diatonic where all of them and the target are in the key, or in the plainest scale of the chord if that
has seven notes; chromatic where none of them is in either; else mixed.

No enclosures: two chord tones, or notes of an arpeggio that goes on past the target; a scale in thirds, where
every other note stands between its neighbours; a scale begun again, C D E C D; a target in a weaker place than the
notes round it, but for one with foreign notes or three of them, which is told as doubtful.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.harmony import ChordSymbol, chord_scales, key_bits, scale_bits
from core.line.finding import Finding, in_words, on_beat, symbol
from core.line.tones import Tone

KIND: Final = "enclosure"
_THIRDS = (3, 4)
_DIATONIC = 7  # notes of a scale


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for at in range(start + 2, min(stop + 4, len(line))):
        target, last = line[at], line[at - 1]
        if target.is_chord_tone and target.joined and last.length <= 1 and 1 <= abs(last.midi - target.midi) <= 2:
            first = _first(line, at)
            if first is not None and start <= first < stop:
                found = _finding(line, first, at)
                if found is not None:
                    yield found


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    target, kind, first, count, beat = (finding.fact(name) for name in ("target", "type", "first", "notes", "beat"))
    where = f" {on_beat(finding, beat)}" if beat else ""
    goal = f"the {{{target}}} of {{{finding.fact('chord')}}}"
    many = f"{in_words(count)} notes"
    shapes = (
        f"A {kind} enclosure of {goal}{where}: {many}, {first} first.",
        f"{many.capitalize()} close in on {goal}{where}, {first} first: a {kind} enclosure.",
        f"The line encloses {goal}{where} with {many}, {first} first; the enclosure is {kind}.",
    )
    if finding.score < 0.5:
        shapes = (
            f"This might be a {kind} enclosure of {goal}: {many}, {first} first.",
            f"{many.capitalize()} might be closing in on {goal}, {first} first.",
            f"You may hear {goal} enclosed here, {first} first.",
        )
    return shapes[shape % len(shapes)]


def _first(line: Sequence[Tone], at: int) -> int | None:
    """Where the notes that enclose line[at] begin, None where none do."""
    near = _side(line, at, at)
    far = _side(line, at, near)
    if near in (at, far) or (line[near].midi > line[at].midi) == (line[far].midi > line[at].midi):
        return None
    return far


def _side(line: Sequence[Tone], at: int, end: int) -> int:
    """Where the notes before line[end] begin that close in on line[at] from one side: one, or two by half steps."""
    if end == 0 or not line[end].joined:
        return end
    away = line[end - 1].midi - line[at].midi
    if not 1 <= abs(away) <= 2 or line[end - 1].length > 1:
        return end
    if (abs(away) == 1 and end > 1 and line[end - 1].joined and line[end - 2].length <= 1
            and line[end - 2].midi - line[at].midi == 2 * away
            and not (line[end - 1].is_chord_tone or line[end - 2].is_chord_tone)):
        return end - 2
    return end - 1


def _finding(line: Sequence[Tone], first: int, at: int) -> Finding | None:
    target, around = line[at], line[first:at]
    chord = target.chord
    if chord is None or all(tone.is_chord_tone for tone in around) or _is_figure(line, first, at):
        return None
    kind = _kind(around, target, chord)
    is_weak = target.length <= max(tone.length for tone in around) and (
        min(target.strength, 2) < max(min(tone.strength, 2) for tone in around))
    if is_weak and kind == "diatonic" and len(around) == 2:
        return None
    side = "above" if line[first].midi > target.midi else "below"
    facts = (("target", target.degree), ("type", kind), ("first", side),
             ("notes", len(around)), ("beat", target.beat), ("chord", symbol(chord)))
    telling = 0.5 + 0.15 * (kind != "diatonic") + 0.1 * (target.beat > 0) + 0.1 * (len(around) > 2)
    return Finding(KIND, line[first].place, target.place, facts, 0.35 if is_weak else telling)


def _kind(around: Sequence[Tone], target: Tone, chord: ChordSymbol) -> str:
    scales = [scale_bits(scale, chord.root)
              for scale in chord_scales(chord, target.key)[:1] if len(scale.steps) == _DIATONIC]
    known = [key_bits(target.key), *scales]
    notes = sum(1 << chroma for chroma in {tone.midi % 12 for tone in (*around, target)})
    if any(not notes & ~bits for bits in known):
        return "diatonic"
    own = [tone for tone in around if any(bits >> tone.midi % 12 & 1 for bits in known)]
    return "mixed" if own else "chromatic"


def _is_figure(line: Sequence[Tone], first: int, at: int) -> bool:
    """Whether two notes round a target belong to an arpeggio, a scale in thirds, or a scale begun again (C D E C D)."""
    if at - first != 2:
        return False
    wide = line[first + 1].midi - line[first].midi
    moves = [line[k + 1].midi - line[k].midi if line[k + 1].joined else 0
             for k in range(max(0, first - 2), min(len(line) - 1, at + 2))]
    here = first - max(0, first - 2)
    before, after = moves[:here], moves[here + 2:]
    begun_again = line[first - 2:first] if first > 1 and line[first - 1].joined and line[first].joined else ()
    if [tone.midi for tone in begun_again] == [line[at - 1].midi, line[at].midi]:
        return True
    third = 1 if wide > 0 else -1
    if before and _is_third(before[-1], third) and _is_third(wide, third):
        return True
    follows = len(after) == 2 and _is_third(after[0], third) and _is_step(after[1], -third)
    led = len(before) == 2 and _is_third(before[0], third) and _is_step(before[1], -third)
    return _is_third(wide, third) and (follows or led)


def _is_third(move: int, way: int) -> bool:
    return move * way in _THIRDS


def _is_step(move: int, way: int) -> bool:
    return move * way in (1, 2)
