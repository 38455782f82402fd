"""Spelling: a key number to a named pitch, by the chord, the direction and the key (common practice, no source).

In this order: a tone of the chord is spelled as the chord has it; a note of the key as the key has
it; a chromatic half step up is written as a raised note, one down as a lowered note; a tension of
the chord as the chord has it; anything else as the harmonic chromatic scale of the tonic has it,
the twelve names from b2 to #4 on the line of fifths, with a natural for Cb, Fb, E#, B# and doubles.
"""

from __future__ import annotations

from core.harmony.chord import ChordSymbol
from core.harmony.degree import note_above
from core.study import STEPS, Key, Pitch, PitchClass

_FIFTHS_BELOW_TONIC = 5  # b2 is the flattest name of the harmonic chromatic scale
_NATURALS = tuple(PitchClass(step) for step in STEPS)
_ODD_NAMES = tuple(PitchClass(step, alter) for step, alter in (("C", -1), ("F", -1), ("E", 1), ("B", 1)))


def spell(midi: int, key: Key, chord: ChordSymbol | None = None, following: int | None = None) -> Pitch:
    """The name of a sounding key number (middle C is 60). following: the key number it moves to, where known."""
    name = _name(midi % 12, key, chord, None if following is None else following - midi)
    return Pitch(name.step, name.alter, (midi - name.alter) // 12 - 1)


def _name(chroma: int, key: Key, chord: ChordSymbol | None, move: int | None) -> PitchClass:
    in_chord = () if chord is None else chord.spelled
    in_key = tuple(PitchClass(step, key.alter_of(step)) for step in STEPS)
    passing = () if move not in (-1, 1) else _passing(chroma, key, move)
    tensions = () if chord is None else tuple(note_above(chord.root, tension) for tension in chord.tensions)
    lowest = key.tonic.fifths - _FIFTHS_BELOW_TONIC
    chromatic = tuple(name for name in map(PitchClass.at_fifths, range(lowest, lowest + 12)) if _is_plain(name))
    return next(name for name in (*in_chord, *in_key, *passing, *tensions, *chromatic, *_NATURALS)
                if name.chroma == chroma)


def _passing(chroma: int, key: Key, move: int) -> tuple[PitchClass, ...]:
    target = _name((chroma + move) % 12, key, None, None)
    step = STEPS[(STEPS.index(target.step) - move) % 7]
    alter = (chroma - PitchClass(step).chroma + 6) % 12 - 6
    name = PitchClass(step, alter)
    return (name,) if _is_plain(name) else ()


def _is_plain(name: PitchClass) -> bool:
    return abs(name.alter) <= 1 and name not in _ODD_NAMES
