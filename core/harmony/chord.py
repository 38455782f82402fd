"""Chord symbols as values: what they are made of, their tones, tensions and the degree of every note over them.

Sources. Tones: chords by thirds, as the kinds of W3C MusicXML 4.0 have them (so a thirteenth chord
holds the eleventh). Available tensions and the names of the twelve notes over a chord: Nettles &
Graf 1997 and Levine 1995, from memory. Where a symbol names a ninth or thirteenth itself, the
tensions that contradict it are not available (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from core.errors import BarglossError
from core.harmony.degree import Degree, note_above
from core.study import Pitch, PitchClass

Triad = Literal["major", "minor", "diminished", "augmented", "power"]
Extension = Literal["", "6", "6/9", "7", "9", "11", "13"]
Suspension = Literal["", "2", "4", "24"]
Family = Literal["major", "minor", "dominant", "half-diminished", "diminished", "augmented", "suspended", "power"]
Tensions = Literal["upper", "lower"]


def degrees(text: str) -> tuple[Degree, ...]:
    """Read a row of degree names, as `1 b3 #11`."""
    found = []
    for name in text.split():
        number = name.lstrip("b#")
        found.append(Degree(int(number), name.count("#") - name.count("b")))
    return tuple(found)


FLAT_FIVE, SHARP_FIVE = degrees("b5 #5")
DIMINISHED_SEVENTH, MINOR_SEVENTH, MAJOR_SEVENTH = degrees("bb7 b7 7")
ALTERED = degrees("b9 #9 #11 b13")

_TRIADS = {
    "major": degrees("1 3 5"), "minor": degrees("1 b3 5"), "diminished": degrees("1 b3 b5"),
    "augmented": degrees("1 3 #5"), "power": degrees("1 5"),
}
_SUSPENSIONS = {"": (), "2": degrees("2"), "4": degrees("4"), "24": degrees("2 4")}
_UPPER = {
    "": (), "7": (), "6": degrees("6"), "6/9": degrees("6 9"),
    "9": degrees("9"), "11": degrees("9 11"), "13": degrees("9 11 13"),
}
_NAMED_BY_EXTENSION = _UPPER | {"13": degrees("9 13")}  # a 13 chord does not rule out the #11
_TENSIONS: dict[Family, tuple[Degree, ...]] = {
    "major": degrees("9 #11 13"), "dominant": degrees("b9 9 #9 #11 b13 13"), "minor": degrees("9 11 13"),
    "half-diminished": degrees("9 11 b13"), "diminished": degrees("9 11 b13 7"), "augmented": degrees("9 #11"),
    "suspended": degrees("9 13"), "power": (),
}
_DOMINANT_NAMES = degrees("1 b9 9 #9 3 11 #11 5 b13 13 b7 7")
_MINOR_NAMES = degrees("1 b9 9 b3 3 11 b5 5 b13 13 b7 7")
_NAMES: dict[Family, tuple[Degree, ...]] = {
    "major": degrees("1 b9 9 #9 3 11 #11 5 #5 13 b7 7"), "augmented": degrees("1 b9 9 #9 3 11 #11 5 #5 13 b7 7"),
    "dominant": _DOMINANT_NAMES, "suspended": _DOMINANT_NAMES,
    "minor": _MINOR_NAMES, "half-diminished": _MINOR_NAMES,
    "diminished": degrees("1 b9 9 b3 3 11 b5 5 b13 bb7 b7 7"),
    "power": degrees("1 b9 9 b3 3 11 #11 5 b13 13 b7 7"),
}


class ChordSymbolError(BarglossError):
    """A chord symbol that cannot be read; the sentence names the character and its place."""


@dataclass(frozen=True)
class NoChord:
    """`N.C.`: no harmony; again: `%`, the chord before goes on."""

    again: bool = False


@dataclass(frozen=True)
class ChordSymbol:
    """A chord symbol. Make one by `parse_chord`, or pass a hand-made one through `normal`.

    seventh: the one the extensions 7 to 13 stand on. alterations replace the tone of their number
    or join the chord; additions join it; omissions are numbers left out. altered: `7alt`, whose
    tones are 1 3 b7 and whose four altered tones are its tensions.
    """

    root: PitchClass
    triad: Triad = "major"
    seventh: Degree | None = None
    extension: Extension = ""
    suspension: Suspension = ""
    alterations: tuple[Degree, ...] = ()
    additions: tuple[Degree, ...] = ()
    omissions: tuple[int, ...] = ()
    altered: bool = False
    bass: PitchClass | None = None

    @cached_property
    def tones(self) -> tuple[Degree, ...]:
        """The chord's degrees, low to high by number, each sound once; the bass of a slash chord is not counted."""
        tones = list(_TRIADS[self.triad])
        if self.suspension:
            tones[1:2] = _SUSPENSIONS[self.suspension]
        if self.seventh is not None:
            tones.append(self.seventh)
        tones += _UPPER[self.extension]
        replaced = {degree.number for degree in self.alterations} | ({5} if self.altered else set())
        tones = [tone for tone in tones if tone.number not in replaced]
        tones = [tone for tone in (*tones, *self.alterations, *self.additions) if tone.number not in self.omissions]
        once: dict[int, Degree] = {}
        for tone in sorted(tones):
            once.setdefault(tone.chroma, tone)
        return tuple(once.values())

    @cached_property
    def pitch_classes(self) -> tuple[int, ...]:
        """The tones as 0 to 11 above C, in the order of `tones`."""
        return tuple((self.root.chroma + tone.semitones) % 12 for tone in self.tones)

    @cached_property
    def spelled(self) -> tuple[PitchClass, ...]:
        """The tones as note names, in the order of `tones`."""
        return tuple(note_above(self.root, tone) for tone in self.tones)

    @cached_property
    def family(self) -> Family:
        if self.triad == "power":
            return "power"
        if self.suspension:
            return "suspended"
        if self.triad == "diminished" and self.seventh == MINOR_SEVENTH:
            return "half-diminished"
        if self.triad == "major" and self.seventh == MINOR_SEVENTH:
            return "dominant"
        return self.triad

    @cached_property
    def is_dominant(self) -> bool:
        """True of dominant seventh chords, suspended ones among them."""
        return self.triad == "major" and self.seventh == MINOR_SEVENTH

    @cached_property
    def tensions(self) -> tuple[Degree, ...]:
        """The available tensions that are not in the symbol already."""
        if self.altered:
            return ALTERED
        named = (*_NAMED_BY_EXTENSION[self.extension], *self.alterations, *self.additions)
        sounding = {tone.chroma for tone in self.tones}
        return tuple(tension for tension in _TENSIONS[self.family]
                     if tension.chroma not in sounding and not any(_contradict(tension, tone) for tone in named))

    @cached_property
    def upper_names(self) -> tuple[Degree, ...]:
        """The degree of each of the twelve notes above the root, tensions as 9 11 13."""
        named = {tone.chroma: tone for tone in reversed(self.tones)}
        return tuple(named.get(chroma, usual) for chroma, usual in enumerate(_NAMES[self.family]))

    @cached_property
    def lower_names(self) -> tuple[Degree, ...]:
        """The same, tensions as 2 4 6; chord tones keep the name the symbol gives them."""
        return tuple(name if name.number < 8 or name in self.tones else Degree(name.number - 7, name.alter)
                     for name in self.upper_names)


def degree_in_chord(pitch: Pitch, chord: ChordSymbol, tensions: Tensions = "upper") -> Degree:
    """The degree of a note over a chord, named by the kind of chord and not by how the note is spelled."""
    names = chord.upper_names if tensions == "upper" else chord.lower_names
    return names[(pitch.midi - chord.root.chroma) % 12]


def normal(chord: ChordSymbol) -> ChordSymbol:
    """The same chord in the one form that all its spellings share: C-7(b5) is Cø7, C+7 is C7(#5)."""
    triad, extension = chord.triad, chord.extension
    alterations, additions = set(chord.alterations), set(chord.additions)
    if triad == "augmented":
        triad = "major"
        alterations.add(SHARP_FIVE)
    if triad == "diminished":
        triad = "minor"
        alterations.add(FLAT_FIVE)
    if triad == "minor" and chord.suspension:
        triad = "major"
    fifths = {degree for degree in alterations if degree.number == 5}
    if triad == "minor" and fifths == {FLAT_FIVE}:
        triad = "diminished"
        alterations -= fifths
    if triad == "major" and fifths == {SHARP_FIVE} and not (extension or chord.suspension or 5 in chord.omissions):
        triad = "augmented"
        alterations -= fifths
    if extension == "6" and Degree(9) in additions:
        extension = "6/9"
        additions.remove(Degree(9))
    source, target = (additions, alterations) if extension else (alterations, additions)
    moved = {degree for degree in source if degree.number > 7 and abs(degree.alter) == 1}
    source -= moved
    target |= moved
    return replace(chord, triad=triad, extension=extension, alterations=tuple(sorted(alterations)),
                   additions=tuple(sorted(additions)), omissions=tuple(sorted(set(chord.omissions))))


def is_sound(chord: ChordSymbol) -> bool:
    """Whether the parts of a normal symbol go together and leave a note to play."""
    if chord.altered:
        plain = replace(chord, altered=False, bass=None)
        return plain == ChordSymbol(chord.root, seventh=MINOR_SEVENTH, extension="7")
    if chord.seventh == DIMINISHED_SEVENTH and chord.triad != "diminished":
        return False
    if chord.triad == "power" and (chord.suspension or chord.extension):
        return False
    return bool(chord.tones)


def _contradict(tension: Degree, tone: Degree) -> bool:
    if tone == SHARP_FIVE:
        return tension == Degree(13)  # a raised fifth sounds as b13
    if tone.number != tension.number or tone == tension:
        return False
    return not (tone.number == 9 and tone.alter and tension.alter)  # b9 and #9 go together
