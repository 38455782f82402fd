"""One house spelling for chord symbols, in parts an engraver can set: root, quality, extension, raised list, bass."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

from core.harmony.chord import MAJOR_SEVENTH, MINOR_SEVENTH, ChordSymbol, NoChord
from core.harmony.degree import Degree

_SIGNS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}


@dataclass(frozen=True, slots=True)
class ChordStyle:
    """How minor and major sevenths are written."""

    minor: Literal["-", "mi", "m"] = "-"
    major: Literal["△", "maj"] = "△"


class Raised(NamedTuple):
    """One element of the raised list: a word (add, no, maj, alt) or none, an accidental (-2 to 2), a number."""

    word: str
    accidental: int
    number: str

    @property
    def text(self) -> str:
        return self.word + _SIGNS[self.accidental] + self.number


@dataclass(frozen=True, slots=True)
class HouseChord:
    """The parts of a printed symbol, left to right; raised is set in brackets, but for the word alt.

    `N.C.` and `%` have nothing but their quality. Accidentals count semitones, -1 a flat.
    """

    root: str = ""
    root_accidental: int = 0
    quality: str = ""
    extension: str = ""
    suspension: str = ""
    raised: tuple[Raised, ...] = ()
    bass: str = ""
    bass_accidental: int = 0

    @property
    def in_brackets(self) -> bool:
        """Whether the raised list stands in brackets."""
        return bool(self.raised) and self.raised[0].word != "alt"

    @property
    def text(self) -> str:
        """Plain text, with b and # for accidentals, that `parse_chord` reads back."""
        raised = ",".join(element.text for element in self.raised)
        if self.in_brackets:
            raised = f"({raised})"
        bass = f"/{self.bass}{_SIGNS[self.bass_accidental]}" if self.bass else ""
        return (self.root + _SIGNS[self.root_accidental] + self.quality + self.extension + self.suspension
                + raised + bass)


@lru_cache(maxsize=4096)
def house(chord: ChordSymbol | NoChord, style: ChordStyle = ChordStyle()) -> HouseChord:
    """The house spelling of a chord symbol."""
    if isinstance(chord, NoChord):
        return HouseChord(quality="%" if chord.again else "N.C.")
    quality = {"major": "", "power": "", "minor": style.minor, "diminished": "°", "augmented": "+"}[chord.triad]
    extension: str = "5" if chord.triad == "power" else chord.extension
    raised = _raised(chord)
    if chord.seventh == MINOR_SEVENTH and chord.triad == "diminished":
        quality = "ø"
    if chord.seventh == MAJOR_SEVENTH:
        if quality and style.major == "maj":  # C-(maj7): run together it would be hard to read
            raised = (Raised("maj", 0, extension), *raised)
            extension = ""
        else:
            quality += style.major
    bass = chord.bass
    return HouseChord(chord.root.step, chord.root.alter, quality, extension,
                      {"": "", "4": "sus", "2": "sus2", "24": "sus24"}[chord.suspension], raised,
                      bass.step if bass else "", bass.alter if bass else 0)


def _raised(chord: ChordSymbol) -> tuple[Raised, ...]:
    if chord.altered:
        return (Raised("alt", 0, ""),)
    elements = [(degree, "") for degree in chord.alterations]
    elements += [(degree, _word(degree, chord)) for degree in chord.additions]
    return (*(Raised(word, degree.alter, str(degree.number)) for degree, word in sorted(elements)),
            *(Raised("no", 0, str(number)) for number in chord.omissions))


def _word(added: Degree, chord: ChordSymbol) -> str:
    return "" if chord.extension and added.alter == 0 and added.number > 7 else "add"
