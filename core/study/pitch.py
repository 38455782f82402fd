"""Spelled pitches, keys and meters: the values every other room reads."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Literal, NamedTuple

from core.errors import BarglossError

STEPS = "CDEFGAB"
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {-3: "bbb", -2: "bb", -1: "b", 0: "", 1: "#", 2: "##", 3: "###"}
_ALTERS = {sign: alter for alter, sign in _SIGNS.items()} | {"x": 2}
_FIFTHS = {step: place for place, step in enumerate("FCGDAEB")}


class PitchClass(NamedTuple):
    """A spelled note of no particular octave. alter: semitones, -1 is a flat."""

    step: str
    alter: int = 0

    @property
    def chroma(self) -> int:
        """0 to 11, semitones above C."""
        return (_SEMITONES[self.step] + self.alter) % 12

    @property
    def name(self) -> str:
        """ASCII: `Bb`, `F#`, `C`."""
        return self.step + _SIGNS[self.alter]

    @property
    def fifths(self) -> int:
        """Place on the line of fifths; C is 0, G 1, F -1, F# 6."""
        return _FIFTHS[self.step] - 1 + 7 * self.alter

    @staticmethod
    def at_fifths(place: int) -> PitchClass:
        """The note at a place on the line of fifths."""
        alter, step = divmod(place + 1, 7)
        return PitchClass("FCGDAEB"[step], alter)


class Pitch(NamedTuple):
    """A spelled pitch at sounding height. octave 4 starts at middle C, by the letter."""

    step: str
    alter: int
    octave: int

    @property
    def midi(self) -> int:
        """Key number; middle C is 60 (MIDI 1.0)."""
        return 12 * (self.octave + 1) + _SEMITONES[self.step] + self.alter

    @property
    def name(self) -> str:
        """ASCII: `Bb4`, `F#3`."""
        return f"{self.step}{_SIGNS[self.alter]}{self.octave}"

    @property
    def pitch_class(self) -> PitchClass:
        return PitchClass(self.step, self.alter)

    @property
    def diatonic(self) -> int:
        """Letters above C0: the staff position, whatever the accidental."""
        return 7 * self.octave + STEPS.index(self.step)


@lru_cache(maxsize=4096)
def parse_pitch(text: str) -> Pitch:
    """Read `Bb4`, `F##3`, `C-1`. Raises BarglossError."""
    step, rest = text[:1], text[1:]
    sign = rest.rstrip("0123456789").rstrip("-")
    octave = rest[len(sign):]
    if step not in _SEMITONES or sign not in _ALTERS or not re.fullmatch(r"-?[0-9]|[0-9]{2}", octave):
        raise BarglossError(f"{text!r} is not a pitch; write a letter, # or b, and an octave, as in Bb4")
    return Pitch(step, _ALTERS[sign], int(octave))


def parse_pitch_class(text: str) -> PitchClass:
    """Read `Bb`, `F##`, `C`. Raises BarglossError."""
    step, sign = text[:1], text[1:]
    if step not in _SEMITONES or sign not in _ALTERS:
        raise BarglossError(f"{text!r} is not a note name; write a letter with # or b, as in Bb")
    return PitchClass(step, _ALTERS[sign])


MODES = ("major", "minor", "ionian", "dorian", "phrygian", "lydian", "mixolydian", "aeolian", "locrian")
_TONIC_ABOVE_MAJOR = {"major": 0, "ionian": 0, "dorian": 2, "phrygian": 4, "lydian": -1,
                      "mixolydian": 1, "minor": 3, "aeolian": 3, "locrian": 5}


@dataclass(frozen=True, slots=True)
class Key:
    """A key signature and its mode. fifths: sharps above 0, flats below, -7 to 7."""

    fifths: int = 0
    mode: str = "major"

    def __post_init__(self) -> None:
        if not -7 <= self.fifths <= 7:
            raise BarglossError(f"a key of {abs(self.fifths)} sharps or flats cannot be written; use 7 at most")
        if self.mode not in MODES:
            raise BarglossError(f"{self.mode!r} is not a mode; use one of {', '.join(MODES)}")

    @property
    def tonic(self) -> PitchClass:
        return PitchClass.at_fifths(self.fifths + _TONIC_ABOVE_MAJOR[self.mode])

    @property
    def name(self) -> str:
        """ASCII: `Eb major`, `F# dorian`."""
        return f"{self.tonic.name} {self.mode}"

    def alter_of(self, step: str) -> int:
        """What the signature does to a letter: -1, 0 or 1."""
        place = _FIFTHS[step]
        if self.fifths > place:
            return 1
        return -1 if self.fifths < 0 and 7 + self.fifths <= place else 0


def parse_key(text: str) -> Key:
    """Read `Eb major`, `F# dorian`. Raises BarglossError."""
    tonic, _, mode = text.partition(" ")
    if mode not in MODES:
        raise BarglossError(f"{text!r} is not a key; write its tonic and one of {', '.join(MODES)}, as in Eb major")
    return Key(parse_pitch_class(tonic).fifths - _TONIC_ABOVE_MAJOR[mode], mode)


@dataclass(frozen=True)
class Meter:
    """A time signature. groups: beats on top, one number or, if additive, several (3+2).

    symbol: "common" prints 4/4 as C, "cut" prints 2/2 as C with a stroke.
    """

    groups: tuple[int, ...] = (4,)
    unit: int = 4
    symbol: Literal["", "common", "cut"] = ""

    def __post_init__(self) -> None:
        if not self.groups or min(self.groups) < 1 or sum(self.groups) > 64:
            raise BarglossError("a meter counts from 1 to 64 beats; change the upper number")
        if self.unit not in (1, 2, 4, 8, 16, 32, 64):
            raise BarglossError(f"a meter cannot count {self.unit}ths; the lower number is 1, 2, 4, 8, 16, 32 or 64")
        if self.symbol and (self.symbol, self.groups, self.unit) not in (("common", (4,), 4), ("cut", (2,), 2)):
            raise BarglossError(f"the sign {self.symbol!r} cannot stand for {self.text}; "
                                "'common' means 4/4 and 'cut' 2/2, any other meter is written in numbers")

    @cached_property
    def length(self) -> Fraction:
        """Of a full bar, in quarter notes."""
        return Fraction(4 * sum(self.groups), self.unit)

    @property
    def text(self) -> str:
        """`4/4`, `3+2/8`."""
        return f"{'+'.join(map(str, self.groups))}/{self.unit}"

    @cached_property
    def beats(self) -> tuple[Fraction, ...]:
        """Onset of each felt beat, in quarter notes, from the bar's start.

        Compound meters (6/8, 9/8, 12/8, 6/16 …) are felt in dotted beats, additive ones by
        their groups, the rest in their unit (common practice, no source).
        """
        unit = Fraction(4, self.unit)
        if len(self.groups) > 1:
            steps = list(self.groups)
        elif self.unit >= 8 and self.groups[0] % 3 == 0:
            steps = [3] * (self.groups[0] // 3)
        else:
            steps = [1] * self.groups[0]
        onsets, at = [], 0
        for step in steps:
            onsets.append(unit * at)
            at += step
        return tuple(onsets)


def parse_meter(text: str) -> Meter:
    """Read `4/4`, `3+2/8`. Raises BarglossError."""
    if not re.fullmatch(r"[0-9]{1,2}(\+[0-9]{1,2})*/[0-9]{1,2}", text):
        raise BarglossError(f"{text!r} is not a meter; write it as 4/4 or 3+2/8")
    top, _, bottom = text.partition("/")
    return Meter(tuple(int(group) for group in top.split("+")), int(bottom))
