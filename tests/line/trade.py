"""What the trade calls things, written down apart from the program so that tests can judge it.

Chord kinds: W3C MusicXML 4.0 `kind-value`. Degree names over a chord: Nettles & Graf 1997 and Levine 1995, from
memory. Bebop scales: Baker, "How to Play Bebop", second-hand, but for bebop dorian and melodic minor (common
practice, no source). The other scales: common practice, no source. Digital patterns: Coker et al., "Patterns for
Jazz", 1970, from memory.
"""

from __future__ import annotations

from itertools import accumulate
from typing import NamedTuple

FLATS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
SHARPS = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
_DOMINANT = "1 b9 9 #9 3 11 #11 5 b13 13 b7 7"
_MINOR = "1 b9 9 b3 3 11 b5 5 b13 13 b7 7"
_MAJOR = "1 b9 9 #9 3 11 #11 5 #5 13 b7 7"
# kind: what is written after the root, semitones above it, the names of the twelve notes
KINDS = {
    "major": ("", (0, 4, 7), _MAJOR),
    "minor": ("m", (0, 3, 7), _MINOR),
    "diminished": ("dim", (0, 3, 6), "1 b9 9 b3 3 11 b5 5 b13 bb7 b7 7"),
    "augmented": ("+", (0, 4, 8), _MAJOR),
    "dominant": ("7", (0, 4, 7, 10), _DOMINANT),
    "major-seventh": ("maj7", (0, 4, 7, 11), _MAJOR),
    "minor-seventh": ("m7", (0, 3, 7, 10), _MINOR),
    "major-minor": ("m(maj7)", (0, 3, 7, 11), _MINOR),
    "half-diminished": ("m7b5", (0, 3, 6, 10), _MINOR),
    "diminished-seventh": ("dim7", (0, 3, 6, 9), "1 b9 9 b3 3 11 b5 5 b13 bb7 b7 7"),
    "dominant-flat-ninth": ("7b9", (0, 1, 4, 7, 10), _DOMINANT),
}
ALTERED = {1: "b9", 3: "#9", 6: "#11", 8: "b13"}

_MODES = {
    "2 2 1 2 2 2 1": "ionian dorian phrygian lydian mixolydian aeolian locrian",
    "2 1 2 2 2 2 1": "melodic_minor dorian_b2 lydian_augmented lydian_dominant mixolydian_b6 locrian_natural_2 altered",
    "2 1 2 2 1 3 1": "harmonic_minor locrian_natural_6 ionian_augmented dorian_#4 phrygian_dominant lydian_#2 "
                     "altered_bb7",
}
_OTHERS = {
    "whole tone": "2 2 2 2 2 2", "half-whole diminished": "1 2 1 2 1 2 1 2", "whole-half diminished": "2 1 2 1 2 1 2 1",
    "blues": "3 2 1 1 3 2", "major pentatonic": "2 2 3 2 3", "minor pentatonic": "3 2 2 3 2",
    "bebop dominant": "2 2 1 2 2 1 1 1", "bebop major": "2 2 1 2 1 1 2 1", "bebop dorian": "2 1 1 1 2 2 1 2",
    "bebop melodic minor": "2 1 2 2 1 1 2 1", "chromatic": "1 1 1 1 1 1 1 1 1 1 1 1",
}
# Which scales a player would run over a chord, from its root.
OVER = {
    "major-seventh": ("ionian", "lydian", "bebop major", "major pentatonic"),
    "dominant": ("mixolydian", "lydian dominant", "bebop dominant", "whole tone", "blues", "half-whole diminished",
                 "altered", "phrygian dominant", "chromatic"),
    "dominant-flat-ninth": ("half-whole diminished", "phrygian dominant", "altered"),
    "minor-seventh": ("dorian", "aeolian", "bebop dorian", "minor pentatonic", "chromatic"),
    "half-diminished": ("locrian", "locrian natural 2"),
    "major-minor": ("melodic minor", "harmonic minor", "bebop melodic minor"),
    "diminished-seventh": ("whole-half diminished",),
}


def _steps(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split()))


def _above(steps: tuple[int, ...]) -> tuple[int, ...]:
    return (0, *accumulate(steps[:-1]))


def _scales() -> dict[str, tuple[int, ...]]:
    found = {name: _above(_steps(text)) for name, text in _OTHERS.items()}
    for text, names in _MODES.items():
        steps = _steps(text)
        for place, name in enumerate(names.split()):
            found[name.replace("_", " ")] = _above(steps[place:] + steps[:place])
    return found


SCALES = _scales()


class Harmony(NamedTuple):
    """A chord: the root 0 to 11 above C, a kind of KINDS, and whether its key is written in sharps."""

    root: int
    kind: str
    sharp: bool = False

    @property
    def symbol(self) -> str:
        return (SHARPS if self.sharp else FLATS)[self.root] + KINDS[self.kind][0]

    @property
    def tones(self) -> frozenset[int]:
        """0 to 11 above C."""
        return frozenset((self.root + above) % 12 for above in KINDS[self.kind][1])

    def has(self, midi: int) -> bool:
        return midi % 12 in self.tones

    def degree(self, midi: int) -> str:
        return KINDS[self.kind][2].split()[(midi - self.root) % 12]

    @property
    def third(self) -> int:
        """Semitones above C."""
        return (self.root + (4 if 4 in KINDS[self.kind][1] else 3)) % 12

    @property
    def seventh(self) -> int | None:
        return next(((self.root + above) % 12 for above in KINDS[self.kind][1] if 9 <= above <= 11), None)

    @property
    def is_dominant(self) -> bool:
        return self.kind.startswith("dominant")


def low(degree: str) -> str:
    """A degree as digital patterns name it: 9 is 2, b13 is b6."""
    number = int(degree.lstrip("b#"))
    sign = degree[:len(degree) - len(str(number))]
    return f"{sign}{number - 7 if number > 7 else number}"
