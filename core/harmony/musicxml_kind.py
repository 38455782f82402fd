"""Chord symbols and the kinds of W3C MusicXML 4.0 (`kind-value`, `degree`), both ways.

Degrees follow `degree-type` and `degree-alter` of the standard: alter and subtract speak of a degree
the kind has, add is relative to a dominant chord, so its natural seventh is minor. The functional
kinds have their tonic as root and become the chord a lead sheet would write: Neapolitan the major
triad on b2 over its third; Italian, French and German the seventh chords on b6; Tristan a
half-diminished seventh. Where degrees make a chord that has a symbol of its own, that one is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import Literal, NamedTuple

from core.harmony.chord import (
    ALTERED,
    DIMINISHED_SEVENTH,
    MAJOR_SEVENTH,
    MINOR_SEVENTH,
    ChordSymbol,
    ChordSymbolError,
    Extension,
    NoChord,
    Suspension,
    Triad,
    degrees,
    is_sound,
    normal,
)
from core.harmony.degree import Degree, note_above
from core.harmony.grammar import ADDED, OMITTED, parse_chord
from core.harmony.house import house
from core.study import PitchClass


class KindDegree(NamedTuple):
    """One `degree` element: its value, alter (semitones) and type."""

    value: int
    alter: int
    type: Literal["add", "alter", "subtract"]


KINDS = {kind: degrees(names) for kind, names in {
    "major": "1 3 5", "minor": "1 b3 5", "augmented": "1 3 #5", "diminished": "1 b3 b5",
    "dominant": "1 3 5 b7", "major-seventh": "1 3 5 7", "minor-seventh": "1 b3 5 b7",
    "diminished-seventh": "1 b3 b5 bb7", "augmented-seventh": "1 3 #5 b7", "half-diminished": "1 b3 b5 b7",
    "major-minor": "1 b3 5 7", "major-sixth": "1 3 5 6", "minor-sixth": "1 b3 5 6",
    "dominant-ninth": "1 3 5 b7 9", "major-ninth": "1 3 5 7 9", "minor-ninth": "1 b3 5 b7 9",
    "dominant-11th": "1 3 5 b7 9 11", "major-11th": "1 3 5 7 9 11", "minor-11th": "1 b3 5 b7 9 11",
    "dominant-13th": "1 3 5 b7 9 11 13", "major-13th": "1 3 5 7 9 11 13", "minor-13th": "1 b3 5 b7 9 11 13",
    "suspended-second": "1 2 5", "suspended-fourth": "1 4 5", "power": "1 5", "pedal": "1",
}.items()}

# kind: (root above the written one, symbol after it, bass above the written root)
_FUNCTIONAL: dict[str, tuple[Degree, str, Degree | None]] = {
    "Neapolitan": (Degree(2, -1), "", Degree(4)), "Italian": (Degree(6, -1), "7(no5)", None),
    "French": (Degree(6, -1), "7(b5)", None), "German": (Degree(6, -1), "7", None),
    "Tristan": (Degree(1), "ø7", None),
}

# What a reader in Python calls the same kinds (music21), and the lower-case tristan of its demo file.
_OTHER_NAMES = {
    "dominant-seventh": "dominant", "half-diminished-seventh": "half-diminished", "tristan": "Tristan",
    "minor-major": "major-minor", "minor-major-seventh": "major-minor",
}

_SEVENTH_CHORDS: tuple[tuple[Triad, Degree], ...] = (
    ("major", MINOR_SEVENTH), ("major", MAJOR_SEVENTH), ("minor", MINOR_SEVENTH), ("minor", MAJOR_SEVENTH),
    ("diminished", MINOR_SEVENTH), ("diminished", DIMINISHED_SEVENTH), ("augmented", MINOR_SEVENTH),
)
_OMISSION, _COLOUR_OF_CHORD, _ADDITION, _NOT_THE_KIND = 2.0, 3.0, 1.5, 1.5  # our own weights


def symbol_from_kind(root: PitchClass, kind: str, kind_text: str, given: Sequence[KindDegree],
                     bass: PitchClass | None = None) -> str:
    """The house spelling of a `harmony` element, which `parse_chord` reads.

    kind_text (the element's `text`) decides only where the kind cannot: `alt`, `other`, an unknown kind.
    Raises ChordSymbolError where neither says what chord it is.
    """
    kind = _OTHER_NAMES.get(kind, kind)
    if kind == "none":
        return house(NoChord()).text
    if kind in _FUNCTIONAL:
        above, suffix, lowest = _FUNCTIONAL[kind]
        under = bass or (note_above(root, lowest) if lowest else None)
        return _read(note_above(root, above), suffix, under)
    if kind_text and ("alt" in kind_text or (kind not in KINDS and not given)):
        return _read(root, kind_text, bass)
    if kind not in KINDS and kind != "other":
        raise ChordSymbolError(f"{kind!r} is not a kind of chord in MusicXML; give the symbol as text")
    chord = _symbol_of(apply_degrees(KINDS.get(kind, KINDS["pedal"]), given), KINDS.get(kind, ()))
    return house(replace(chord, root=root, bass=bass)).text


def kind_of(chord: ChordSymbol | NoChord) -> tuple[str, tuple[KindDegree, ...]]:
    """The kind that needs the fewest degrees to say this chord, and those degrees."""
    if isinstance(chord, NoChord):
        return "none", ()
    tones = (*chord.tones, *(ALTERED if chord.altered else ()))
    return min(((kind, _changes(base, tones)) for kind, base in KINDS.items()), key=lambda found: len(found[1]))


def apply_degrees(kind: tuple[Degree, ...], given: Sequence[KindDegree]) -> tuple[Degree, ...]:
    """The tones of a kind after its `degree` elements."""
    tones = list(kind)
    for value, alter, what in given:
        had = next((tone for tone in tones if tone.number == value), None)
        if what == "subtract" and had:
            tones.remove(had)
        elif what == "alter" and had:
            tones[tones.index(had)] = Degree(value, had.alter + alter)
        elif what != "subtract":
            tones.append(_added(value, alter))
    return tuple(sorted(set(tones)))


def _added(value: int, alter: int) -> Degree:
    return Degree(value, alter - 1 if value == 7 else alter)


def _changes(base: tuple[Degree, ...], tones: Sequence[Degree]) -> tuple[KindDegree, ...]:
    changes: list[KindDegree] = []
    left = [tone for tone in tones if tone not in base]
    for had in base:
        if had in tones:
            continue
        instead = next((tone for tone in left if tone.number == had.number), None)
        if instead is None:
            changes.append(KindDegree(had.number, 0, "subtract"))
        else:
            left.remove(instead)
            changes.append(KindDegree(had.number, instead.alter - had.alter, "alter"))
    changes += [KindDegree(tone.number, tone.alter + (1 if tone.number == 7 else 0), "add") for tone in left]
    return tuple(changes)


@lru_cache(maxsize=1024)
def _symbol_of(tones: tuple[Degree, ...], kind: tuple[Degree, ...]) -> ChordSymbol:
    """The plainest symbol on C with these tones, near its kind where that is as good."""
    alt = ChordSymbol(PitchClass("C"), seventh=MINOR_SEVENTH, extension="7", altered=True)
    if set(tones) == {*alt.tones, *ALTERED}:
        return alt
    found = [(cost + (0 if base.tones == kind else _NOT_THE_KIND), place, chord)
             for place, base in enumerate(_bases())
             for cost, chord in _reaching(base, tones)]
    if not found:
        names = " ".join(tone.name for tone in tones)
        raise ChordSymbolError(f"no chord symbol says the degrees {names or '(none)'}; leave out what alters them")
    return min(found, key=lambda one: one[:2])[2]


@lru_cache(maxsize=1)
def _bases() -> tuple[ChordSymbol, ...]:
    root = PitchClass("C")
    triads: tuple[Triad, ...] = ("major", "minor", "diminished", "augmented", "power")
    sixths: tuple[Extension, ...] = ("6", "6/9")
    upper: tuple[Extension, ...] = ("7", "9", "11", "13")
    suspensions: tuple[Suspension, ...] = ("", "4", "2", "24")
    plain = [ChordSymbol(root, triad) for triad in triads]
    plain += [ChordSymbol(root, triad, extension=sixth) for triad, sixth in product(triads[:2], sixths)]
    plain += [ChordSymbol(root, triad, seventh, extension)
              for (triad, seventh), extension in product(_SEVENTH_CHORDS, upper)]
    suspended = [replace(chord, suspension=suspension) for suspension in suspensions for chord in plain]
    return tuple(dict.fromkeys(chord for chord in map(normal, suspended) if is_sound(chord)))


def _reaching(base: ChordSymbol, tones: tuple[Degree, ...]) -> Iterator[tuple[float, ChordSymbol]]:
    extra = [tone for tone in tones if tone not in base.tones]
    alterations = [tone for tone in extra if abs(tone.alter) == 1 and tone.number in (5, 9, 11, 13)]
    additions = [tone for tone in extra if tone not in alterations]
    changed = {tone.number for tone in alterations}
    missing = {tone.number for tone in base.tones if tone not in tones} - changed
    if not missing.issubset(OMITTED) or any(tone.number not in ADDED or abs(tone.alter) > 2 for tone in additions):
        return  # the grammar has no words for it
    chord = normal(replace(base, alterations=(*base.alterations, *alterations), additions=tuple(additions),
                           omissions=tuple(missing)))
    if is_sound(chord) and set(chord.tones) == set(tones):
        colours = sum(_COLOUR_OF_CHORD if tone.number < 8 and tone.number != 2 else _ADDITION for tone in additions)
        yield len(alterations) + colours + _OMISSION * len(missing), chord


def _read(root: PitchClass, suffix: str, bass: PitchClass | None) -> str:
    chord = parse_chord(root.name + suffix)
    return house(chord if isinstance(chord, NoChord) else replace(chord, bass=bass or chord.bass)).text
