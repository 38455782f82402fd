"""Degrees: where a note lies above a root, named the way the trade writes it (b9, #11, bb7)."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from core.study import STEPS, Key, Pitch, PitchClass

_MAJOR_SCALE = (0, 2, 4, 5, 7, 9, 11)
_SIMPLEST_ALTER = 2  # a double flat or sharp is the most a page should carry


class Degree(NamedTuple):
    """A step of the major scale above a root. number: 1 to 13; alter: semitones off that step, -1 a flat."""

    number: int
    alter: int = 0

    @property
    def name(self) -> str:
        """ASCII: `5`, `b9`, `#11`, `bb7`."""
        return ("#" if self.alter > 0 else "b") * abs(self.alter) + str(self.number)

    @property
    def semitones(self) -> int:
        """Above the root; 9, 11 and 13 lie above the octave."""
        octaves, step = divmod(self.number - 1, 7)
        return 12 * octaves + _MAJOR_SCALE[step] + self.alter

    @property
    def chroma(self) -> int:
        """Semitones above the root within one octave, 0 to 11."""
        return self.semitones % 12


def degree_between(root: PitchClass, note: PitchClass) -> Degree:
    """The degree 1 to 7 that two spelled names make: Eb above C is b3, D# above C is #2."""
    number = (STEPS.index(note.step) - STEPS.index(root.step)) % 7 + 1
    natural = PitchClass(note.step).chroma - PitchClass(root.step).chroma
    return Degree(number, natural % 12 - _MAJOR_SCALE[number - 1] + note.alter - root.alter)


def note_above(root: PitchClass, degree: Degree) -> PitchClass:
    """The note at a degree above a root, by letter; respelled where it would need three signs or more."""
    place = STEPS.index(root.step) + degree.number - 1
    chroma = root.chroma + degree.semitones
    spelled = _with_letter(place, chroma)
    while abs(spelled.alter) > _SIMPLEST_ALTER:
        place += 1 if spelled.alter > 0 else -1
        spelled = _with_letter(place, chroma)
    return spelled


@lru_cache(maxsize=4096)
def _against_tonic(step: str, alter: int, key: Key) -> Degree:
    return degree_between(key.tonic, PitchClass(step, alter))


def degree_in_key(pitch: Pitch, key: Key) -> Degree:
    """The degree 1 to 7 against the tonic, off its major scale whatever the mode: Eb in C minor is b3."""
    return _against_tonic(pitch.step, pitch.alter, key)


def _with_letter(place: int, chroma: int) -> PitchClass:
    step = STEPS[place % 7]
    return PitchClass(step, (chroma - PitchClass(step).chroma + 6) % 12 - 6)
