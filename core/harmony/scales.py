"""Scales: what they are made of, which of them hold a chord, and which one a stepwise passage is made of.

Sources. Bebop dominant and bebop major: Baker, "How to Play Bebop", second-hand; the altered scale, lydian
dominant and the two diminished scales: computed (the altered scale is melodic minor a half step above, lydian
dominant melodic minor a fifth above). The rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import NamedTuple

from core.harmony.chord import ChordSymbol
from core.study import STEPS, Key, PitchClass

_ALL = (1 << 12) - 1
_NEVER_NAMED = 4  # what is so rare holds chords, but no player says its name for a passage
_CERTAIN_RUN = 5  # shorter, and 1 2 3 5 would be pentatonic, 6 b6 5 4 bebop, and what is unsure any scale


@dataclass(frozen=True)
class Scale:
    """steps: semitones above its tonic, the tonic first, within one octave. added: the one of them that is only the
    passing half step of a bebop scale. rarity: 0 for the modes of major up to 4 for what is seldom played.

    signs: the steps that tell a rarer scale from a plainer one; a passage has to play so many (`enough`) of them.
    """

    name: str
    steps: tuple[int, ...]
    rarity: int = 0
    added: int | None = None
    signs: tuple[int, ...] = ()
    enough: int = 0

    @cached_property
    def body(self) -> int:
        """Its steps as bits 0 to 11, without the added half step."""
        return _bits(step for step in self.steps if step != self.added)

    @cached_property
    def bits(self) -> int:
        """All its steps as bits 0 to 11."""
        return _bits(self.steps)

    def tells(self, played: int) -> bool:
        """Whether so many of its signs are among these bits, counted from the tonic."""
        return sum(played >> step & 1 for step in self.signs) >= self.enough


class Passage(NamedTuple):
    """A stepwise passage, as bits 0 to 11 above C. played: its notes; skipped: those it steps over; inside: its notes
    but for the two outermost; flanked: its notes that only ever stand between both their half steps.
    """

    played: int
    skipped: int
    inside: int
    flanked: int
    size: int
    is_chromatic: bool


class ScaleOn(NamedTuple):
    """A scale on its tonic, None for the chromatic one. is_sure: no plainer or nearer reading was passed over."""

    tonic: PitchClass | None
    scale: Scale
    is_sure: bool = True


def _bits(steps: Iterable[int]) -> int:
    return sum(1 << step for step in set(steps))


def _modes(between: str, names: str) -> dict[str, tuple[int, ...]]:
    """The modes of a scale given by its steps from note to note, on the first note, the second, and so on."""
    row = [int(step) for step in between]
    return {name.replace("_", " "): tuple(accumulate((row[place:] + row[:place])[:-1], initial=0))
            for place, name in enumerate(names.split())}


_MAJOR = _modes("2212221", "ionian dorian phrygian lydian mixolydian aeolian locrian")
_MELODIC = _modes("2122221", "melodic_minor dorian_b2 lydian_augmented lydian_dominant mixolydian_b6 "
                             "locrian_natural_2 altered")
_HARMONIC = _modes("2122131", "harmonic_minor locrian_natural_6 ionian_augmented dorian_#4 phrygian_dominant "
                              "lydian_#2 altered_bb7")
_OTHER = (
    Scale("melodic minor", _MELODIC["melodic minor"], 1, signs=(9, 11), enough=2),
    Scale("harmonic minor", _HARMONIC["harmonic minor"], 1, signs=(8, 11), enough=2),
    Scale("major pentatonic", (0, 2, 4, 7, 9), 1),
    Scale("minor pentatonic", (0, 3, 5, 7, 10), 1),
    Scale("blues", (0, 3, 5, 6, 7, 10), 1, signs=(6,), enough=1),
    Scale("bebop dominant", (0, 2, 4, 5, 7, 9, 10, 11), 1, added=11),
    Scale("bebop major", (0, 2, 4, 5, 7, 8, 9, 11), 1, added=8),
    Scale("bebop dorian", (0, 2, 3, 4, 5, 7, 9, 10), 1, added=4),
    Scale("bebop melodic minor", (0, 2, 3, 5, 7, 8, 9, 11), 1, added=8),
)
_RARER = {  # rarity, signs, how many of them
    "lydian dominant": (2, (6,), 1), "phrygian dominant": (2, (1,), 1), "mixolydian b6": (2, (2, 8), 2),
    "locrian natural 2": (2, (2,), 1),
    "altered": (3, (1, 3, 6, 8), 2), "lydian augmented": (4, (6, 8), 2), "dorian b2": (4, (1, 9), 2),
    "locrian natural 6": (4, (1, 9), 2), "ionian augmented": (4, (5, 8), 2), "dorian #4": (4, (6, 9), 2),
    "lydian #2": (4, (3, 6), 2), "altered bb7": (4, (1, 8, 9), 3),
}
_SYMMETRIC = (
    Scale("whole tone", (0, 2, 4, 6, 8, 10), 3, signs=(6, 8), enough=2),
    Scale("whole-half diminished", (0, 2, 3, 5, 6, 8, 9, 11), 3, signs=(2, 5, 8, 11), enough=2),
    Scale("half-whole diminished", (0, 1, 3, 4, 6, 7, 9, 10), 3, signs=(1, 3, 6), enough=2),
)
CHROMATIC = Scale("chromatic", tuple(range(12)))
_PLAINEST = ("ionian", "mixolydian", "dorian", "aeolian", "lydian", "phrygian", "locrian")
SCALES: tuple[Scale, ...] = (  # plainest first
    *(Scale(name, _MAJOR[name]) for name in _PLAINEST), *_OTHER, *_SYMMETRIC,
    *(Scale(name, (_MELODIC | _HARMONIC)[name], rarity, None, signs, enough)
      for name, (rarity, signs, enough) in _RARER.items()),
)
_BY_NAME = {scale.name: scale for scale in SCALES}
_MODES_OF_MAJOR = SCALES[:7]
_ON_THE_TONIC = tuple(_BY_NAME[name] for name in (
    "harmonic minor", "melodic minor", "major pentatonic", "minor pentatonic", "blues"))
_KEY_MODES = {"major": "ionian", "minor": "aeolian"}


@lru_cache(maxsize=1024)
def chord_scales(chord: ChordSymbol, key: Key | None = None) -> tuple[Scale, ...]:
    """The scales that hold a chord, on its root, plainest first; among equals the one nearest the key.

    The added half step of a bebop scale holds nothing. The plain fifth of a dominant need not be there, nor the
    eleventh that a thirteenth chord has only by thirds. What contradicts the chord is shut out: the plain 9 or 13 of
    `7alt`, over a minor third the major one, over a diminished fifth the plain one. Over another altered fifth a scale
    that has the plain one too comes after the rest.
    """
    tones = {tone.chroma for tone in chord.tones}
    if chord.extension == "13" and 4 in tones:
        tones.discard(5)
    whole = _bits(tones)
    needed = whole & ~(1 << 7) if chord.is_dominant and 4 in tones else whole
    signature = _ALL if key is None else _turned(key_bits(key), chord.root.chroma)
    has_altered_fifth = chord.altered or (7 not in tones and not tones.isdisjoint({6, 8}))
    ranks = []
    for place, scale in enumerate(SCALES):
        if not needed & ~scale.body and not _contradicted(chord, tones) & scale.body:
            clash = has_altered_fifth and 7 in scale.steps
            ranks.append((clash, scale.rarity, whole & ~scale.body, (scale.body & ~signature).bit_count(), place))
    return tuple(SCALES[place] for *_, place in sorted(ranks))


def _contradicted(chord: ChordSymbol, tones: set[int]) -> int:
    if chord.altered:
        return _bits({2, 9})
    if 4 in tones or 3 not in tones:
        return 0
    return _bits({4, 7}) if 6 in tones and 7 not in tones else _bits({4})


def scales_holding(scales: Iterable[Scale], tonic: PitchClass, pitch_classes: Iterable[int]) -> tuple[Scale, ...]:
    """Those of the scales that hold all these notes, 0 to 11 above C, in the order given."""
    played = _turned(_bits(pitch_classes), tonic.chroma)
    return tuple(scale for scale in scales if not played & ~scale.bits)


def passage(midis: Sequence[int]) -> Passage:
    """A stepwise passage by its key numbers, no two of them alike, in any order."""
    row = sorted(midis)
    low, high = row[0], row[-1]
    heights = set(row)
    flanked = {midi for midi in row if midi - 1 in heights and midi + 1 in heights}
    elsewhere = {midi % 12 for midi in row if midi not in flanked}
    return Passage(_bits(midi % 12 for midi in row),
                   _bits(midi % 12 for midi in range(low, high) if midi not in heights),
                   _bits(midi % 12 for midi in row[1:-1]),
                   _bits(midi % 12 for midi in flanked if midi % 12 not in elsewhere),
                   len(row), high - low + 1 == len(row))


@lru_cache(maxsize=4096)
def scale_of(run: Passage, chords: tuple[ChordSymbol, ...], key: Key) -> ScaleOn | None:
    """The plainest scale whose neighbouring notes a passage plays, on a chord's root or else on the key's tonic.

    chords: those it is played over, the weightiest first. A rarer scale has to show its signs before the key's own
    scale is passed over for it. Where no scale holds every note, a mode of major may be filled by passing half steps.
    None for four notes that only fit without signs or so filled: they may be of many scales.
    """
    if run.is_chromatic:
        return ScaleOn(None, CHROMATIC)
    for sure, candidates in ((True, _near(chords, key)), (False, _far(chords, key))):
        for tonic, scale in candidates:
            if _made_of(run, scale, tonic.chroma) and (not sure or _shows(run, scale, tonic.chroma)):
                return ScaleOn(tonic, scale, sure)
        if run.size < _CERTAIN_RUN:
            return None
    filled = ((tonic, scale) for tonic, scale in (*_near(chords, key), *_far(chords, key)) if not scale.rarity)
    return next((ScaleOn(tonic, scale, False) for tonic, scale in filled if _fills(run, scale, tonic.chroma)), None)


def scale_bits(scale: Scale, tonic: PitchClass) -> int:
    """The scale on a tonic, without an added half step, as bits 0 to 11 above C."""
    return _turned(scale.body, -tonic.chroma)


@lru_cache(maxsize=256)
def key_bits(key: Key) -> int:
    """The seven notes of the signature as bits 0 to 11 above C."""
    return _bits(PitchClass(step, key.alter_of(step)).chroma for step in STEPS)


def key_scale(key: Key) -> Scale:
    """The mode of the key."""
    return _BY_NAME[_KEY_MODES.get(key.mode, key.mode)]


def _near(chords: tuple[ChordSymbol, ...], key: Key) -> Iterator[tuple[PitchClass, Scale]]:
    for chord in chords:
        for scale in (*chord_scales(chord, key), *_short_scales(chord)):
            if scale.rarity < _NEVER_NAMED:
                yield chord.root, scale
    for scale in (key_scale(key), *_ON_THE_TONIC):
        yield key.tonic, scale


def _short_scales(chord: ChordSymbol) -> Iterator[Scale]:
    """Scales that are played over a chord though they do not hold all of it: a dominant has the blues."""
    tones = {tone.chroma for tone in chord.tones}
    if 4 in tones and 8 not in tones:
        yield _BY_NAME["major pentatonic"]
    if chord.is_dominant or {3, 7} <= tones:
        yield from (_BY_NAME["minor pentatonic"], _BY_NAME["blues"])


def _far(chords: tuple[ChordSymbol, ...], key: Key) -> Iterator[tuple[PitchClass, Scale]]:
    for chord in chords:
        for scale in chord_scales(chord, key):
            if scale.rarity < 3:
                yield chord.root, scale
    own = key_scale(key).body
    for scale in sorted(_MODES_OF_MAJOR, key=lambda mode: (mode.body & ~own).bit_count()):
        yield key.tonic, scale


def _made_of(run: Passage, scale: Scale, tonic: int) -> bool:
    """Whether it plays notes of the scale and steps over none."""
    if run.size < _CERTAIN_RUN and (scale.added is not None or len(scale.steps) < 7) and scale.name != "whole tone":
        return False
    return not (_turned(run.played, tonic) & ~scale.bits or _turned(run.skipped, tonic) & scale.body)


def _shows(run: Passage, scale: Scale, tonic: int) -> bool:
    if scale.added is not None:
        return bool(_turned(run.inside, tonic) >> scale.added & 1)
    return scale.tells(_turned(run.played, tonic))


def _fills(run: Passage, scale: Scale, tonic: int) -> bool:
    """Whether all that it plays beside the scale, two notes at most, are half steps between two notes of it."""
    played = _turned(run.played, tonic)
    extra = played & ~scale.body
    return (extra.bit_count() <= 2 and (played & scale.body).bit_count() >= 4
            and not _turned(run.skipped, tonic) & scale.body and not extra & ~_turned(run.flanked, tonic)
            and not (_turned(extra, 1) | _turned(extra, -1)) & ~scale.body)


def _turned(bits: int, tonic: int) -> int:
    """Bits above C counted from another note, 0 to 11 above C."""
    tonic %= 12
    return (bits >> tonic | bits << (12 - tonic)) & _ALL
