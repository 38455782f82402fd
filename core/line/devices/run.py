"""Run: four notes or more up or down a scale, each the next of it (common practice, no source).

Facts: scale, tonic ("" of the chromatic scale), from and to (degrees over their own chords), direction (up, down),
notes, into (the chord it ends over, "" where it begins over it too). The scale is the plainest on the root of a chord
it is played over, or else of the key (`scale_of`). It is the whole of the way in one direction, but where no one scale
holds that, its longest stretches that have a name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from core.harmony import ChordSymbol, ScaleOn, passage, scale_of
from core.line.finding import Finding, in_words, symbol
from core.line.tones import Tone

KIND: Final = "run"
_LEAST = 4
_WIDEST = 3  # semitones between neighbours of a pentatonic or harmonic minor scale
_SURE_BEFORE_LONG = 2  # so many notes more does a run need to be preferred to one whose scale is sure
_SPOKEN = {"ionian": "major", "aeolian": "natural minor"}


class _Stretch(NamedTuple):
    """line[first:last + 1] and its scale."""

    first: int
    last: int
    found: ScaleOn


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    first = start
    while first > 0 and _way(line, first - 1) and (first == start or _way(line, first - 1) == _way(line, first)):
        first -= 1
    while first < min(stop, len(line) - _LEAST + 1):
        way, last = _way(line, first), first + 1
        while way and last + 1 < len(line) and _way(line, last) == way:
            last += 1
        if way and last - first >= _LEAST - 1:
            for stretch in _stretches(line, first, last):
                if start <= stretch.first < stop:
                    yield _finding(line, stretch, way)
        first = last if way else first + 1


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    name, tonic, way, count = (finding.fact(fact) for fact in ("scale", "tonic", "direction", "notes"))
    scale = "the chromatic scale" if not tonic else f"{{{tonic}}} {_spoken(str(name))}"
    first, last, into = finding.fact("from"), finding.fact("to"), finding.fact("into")
    end = f" to {{{last}}}{f' of {{{into}}}' if into else ''}" if last else ""
    reach = f" from {{{first}}}{end}" if first else end
    shapes: tuple[str, ...] = (
        f"{str(way).capitalize()} {scale}{reach}, {in_words(count)} notes.",
        f"A run of {in_words(count)} notes {way} {scale}{reach}.",
        f"The line goes {way} {scale} step by step{reach}.",
        f"{in_words(count).capitalize()} notes of {scale} in a row, {way}{reach or 'ward'}.",
    )
    if finding.score < 0.5:
        shapes = (
            f"What might be happening: {in_words(count)} notes {way} {scale}{reach}.",
            f"This might be a run {way} {scale}{reach}.",
            f"You may hear {scale} here, {way}{reach or 'ward'}.",
        )
    return shapes[shape % len(shapes)]


def _spoken(name: str) -> str:
    """Its last word as a token where it is a degree: `mixolydian {b6}`."""
    name = _SPOKEN.get(name, name)
    *words, last = name.split()
    return " ".join((*words, f"{{{last}}}")) if any(letter.isdigit() for letter in last) else name


def _way(line: Sequence[Tone], at: int) -> int:
    """1 where the line goes on from here by step upward, -1 downward, 0 where it does not."""
    tone, following = line[at], line[at + 1]
    move, length = following.midi - tone.midi, tone.length
    if not (following.joined and 1 <= abs(move) <= _WIDEST and length.numerator <= length.denominator):
        return 0  # the lengths are compared so because `<= 1` takes several times as long, once a note
    return 1 if move > 0 else -1


def _stretches(line: Sequence[Tone], first: int, last: int) -> list[_Stretch]:
    """The longest with a name, and what is left on either side of it, in playing order."""
    best: tuple[int, int, _Stretch] | None = None
    for count in range(last - first + 1, _LEAST - 1, -1):
        if best is not None and best[0] >= count + _SURE_BEFORE_LONG:
            break
        for at in range(first, last - count + 2):
            found = _scale(line[at:at + count])
            if found is not None:
                rank = count + (_SURE_BEFORE_LONG if found.is_sure else 0)
                if best is None or rank > best[0]:
                    best = rank, -at, _Stretch(at, at + count - 1, found)
    if best is None:
        return []
    stretch = best[2]
    return [*_stretches(line, first, stretch.first), stretch, *_stretches(line, stretch.last, last)]


def _scale(tones: Sequence[Tone]) -> ScaleOn | None:
    first = tones[0].chord
    if first is not None and all(tone.chord is first for tone in tones):
        by_weight: tuple[ChordSymbol, ...] = (first,)
    else:
        weights = Counter(tone.chord for tone in tones).most_common()
        by_weight = tuple(chord for chord, _ in weights if chord is not None)
    return scale_of(passage([tone.midi for tone in tones]), by_weight, tones[0].key)


def _finding(line: Sequence[Tone], stretch: _Stretch, way: int) -> Finding:
    first, last, (tonic, scale, is_sure) = line[stretch.first], line[stretch.last], stretch.found
    count = stretch.last - stretch.first + 1
    facts = (("scale", scale.name), ("tonic", "" if tonic is None else tonic.name), ("from", first.degree),
             ("to", last.degree), ("direction", "up" if way > 0 else "down"), ("notes", count),
             ("into", "" if last.chord is None or last.chord == first.chord else symbol(last.chord)))
    telling = min(0.8, 0.5 + 0.03 * (count - _LEAST)) + 0.1 * (scale.rarity > 0 and count > _LEAST)
    return Finding(KIND, first.place, last.place, facts, telling if is_sure else 0.4)
