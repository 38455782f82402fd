"""What chord some notes spell out, and what chord they make together with the one below them.

Chords by thirds, as the kinds of W3C MusicXML 4.0 have them. Which name is plainest: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import combinations
from typing import Final

from core.harmony import ChordSymbol, Degree, parse_chord
from core.harmony.chord import MAJOR_SEVENTH, MINOR_SEVENTH, Extension, is_sound, normal
from core.study import STEPS, PitchClass

# The plainest first: of two names for the same notes the earlier is meant where nothing else decides.
_KINDS: Final = ("", "m", "dim", "+", "7", "maj7", "m7", "m7b5", "dim7", "m(maj7)", "m6", "6", "7#5", "maj7#5")
_TWELVE: Final = range(12)


def mask_of(chromas: Iterable[int]) -> int:
    """Notes of no octave as twelve bits, C the lowest."""
    mask = 0
    for chroma in chromas:
        mask |= 1 << chroma % 12
    return mask


_NOTES: Final = tuple(PitchClass(step, alter) for step in STEPS for alter in (0, -1, 1))
_ON_C: Final = {kind: chord for kind in _KINDS if isinstance(chord := parse_chord(f"C{kind}"), ChordSymbol)}
PARTS: Final = frozenset(  # everything that is all or part of a chord that has a name
    mask_of(root + above for above in part)
    for chord in _ON_C.values() for size in range(1, 5) for part in combinations(chord.pitch_classes, size)
    for root in _TWELVE)


def _by_notes() -> dict[int, tuple[tuple[int, str], ...]]:
    found: dict[int, tuple[tuple[int, str], ...]] = {}
    for kind, chord in _ON_C.items():
        for root in _TWELVE:
            mask = mask_of(root + above for above in chord.pitch_classes)
            found[mask] = (*found.get(mask, ()), (root, kind))
    return found


_NAMES: Final = _by_notes()


def names_of(mask: int) -> tuple[tuple[int, str], ...]:
    """The triads and sevenths of exactly these notes, as root (0 to 11) and kind, the plainest first."""
    return _NAMES.get(mask, ())


def plainest(mask: int, lowest: int, over: ChordSymbol | None) -> tuple[int, str]:
    """The one of `names_of` that a player would say: the written chord, else root position, else the written root."""
    names = names_of(mask)
    if len(names) == 1:
        return names[0]
    written = -1 if over is None else over.root.chroma
    inside = over is not None and not mask & ~mask_of(over.pitch_classes)
    return min(names, key=lambda name: (not (inside and name[0] == written), name[0] != lowest, name[0] != written))


def chord_on(root: int, kind: str, played: Sequence[PitchClass]) -> ChordSymbol:
    """The chord, its root spelled as it was played, else so that the chord looks most like the notes that were."""
    chords = [_chord(name, kind) for name in played if name.chroma == root and abs(name.alter) <= 1]
    if chords:
        return chords[0]
    chords = [_chord(name, kind) for name in _NOTES if name.chroma == root]
    return max(chords, key=lambda chord: len(set(chord.spelled).intersection(played)))


@lru_cache(maxsize=1024)
def _chord(root: PitchClass, kind: str) -> ChordSymbol:
    return replace(_ON_C[kind], root=root)


@lru_cache(maxsize=1024)
def together(chord: ChordSymbol, degrees: tuple[Degree, ...]) -> ChordSymbol | None:
    """The chord with these degrees (named as `upper_names` has them) in it; None where they bring nothing new.

    An eleventh makes a dominant a suspended chord.
    """
    sounding = {tone.chroma for tone in (*chord.tones, *(chord.tensions if chord.altered else ()))}
    new = {degree for degree in degrees if degree.chroma not in sounding}
    if not new:
        return None
    chord = _with_seventh(chord, new)
    if chord.is_dominant and Degree(11) in new:
        new.remove(Degree(11))
        chord = replace(chord, suspension="4")
    if chord.extension == "6" and Degree(9) in new:
        new.remove(Degree(9))
        chord = replace(chord, extension="6/9")
    if chord.extension in ("7", "9", "11"):
        extension = _extension(chord, new.union(chord.tones))
        new -= {degree for degree in new if degree.alter == 0 and degree.number <= int(extension)}
        chord = replace(chord, extension=extension)
    altered = {degree for degree in new if degree.alter}
    found = normal(replace(chord, alterations=(*chord.alterations, *sorted(altered)),
                           additions=(*chord.additions, *sorted(new - altered))))
    return found if is_sound(found) else None


def _with_seventh(chord: ChordSymbol, new: set[Degree]) -> ChordSymbol:
    """A triad with its seventh or sixth, taken from the new degrees."""
    if chord.extension or chord.triad == "power":
        return chord
    for seventh in (MINOR_SEVENTH, MAJOR_SEVENTH):
        if seventh in new:
            new.remove(seventh)
            return replace(chord, seventh=seventh, extension="7")
    if Degree(13) in new:
        new.remove(Degree(13))
        return replace(chord, extension="6")
    return chord


def _extension(chord: ChordSymbol, sounding: set[Degree]) -> Extension:
    """How far up it is filled; but a dominant's thirteenth does not need the ninth below it."""
    if Degree(13) in sounding and (chord.is_dominant or Degree(9) in sounding):
        return "13"
    if Degree(9) in sounding:
        return "11" if Degree(11) in sounding else "9"
    return "7"
