"""The chord-symbol grammar: text in any of the trade's spellings to a ChordSymbol.

    symbol    = root [quality [mark]] [extension] {modifier} ["/" bass] | "N.C." | "%"
    modifier  = alteration | "add" degree | "no" number | suspension | "alt" | "maj7" …,
                bare or in brackets, with commas; in brackets or after a comma 9, 11, 13 may stand alone

Each stage is a table of spellings, and the longest spelling that matches is taken. Only the quality
is tried again shorter where the rest cannot be read (`Cmadd9` begins with the spelling `ma`). Spaces
count only between a root and its accidental: `Bb b5` is Bb(b5), `Bbb5` is Bbb5.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from typing import NamedTuple, TypeVar

from core.harmony.chord import (
    DIMINISHED_SEVENTH,
    MAJOR_SEVENTH,
    MINOR_SEVENTH,
    SHARP_FIVE,
    ChordSymbol,
    ChordSymbolError,
    Extension,
    NoChord,
    Suspension,
    Triad,
    is_sound,
    normal,
)
from core.harmony.degree import Degree
from core.study import STEPS, PitchClass

_LONGEST = 60  # characters; no symbol on paper comes near it
_Entry = TypeVar("_Entry")
_Modify = Callable[[ChordSymbol], ChordSymbol | None]  # None: it does not go with what stands before it


class _Quality(NamedTuple):
    """seventh: the one an extension brings; alone: the extension it means where none is written."""

    triad: Triad
    seventh: Degree
    alone: Extension = ""


_SAME_CHARACTERS = {
    "♭": "b", "♯": "#", "𝄫": "bb", "𝄪": "##", "Δ": "△", "∆": "△", "▵": "△", "º": "°", "˚": "°", "Ø": "ø",
    "−": "-", "–": "-", "‐": "-", "‑": "-", "[": "(", "]": ")",
}


def _cases(words: str) -> list[str]:
    return [form for word in words.split() for form in (word, word.capitalize(), word.upper())]


def _spellings(signs: str, words: str, entry: _Entry) -> dict[str, _Entry]:
    return dict.fromkeys([*signs.split(), *_cases(words)], entry)


_PLAIN = _Quality("major", MINOR_SEVENTH)
_QUALITIES = {
    **_spellings("- m", "mi min minor", _Quality("minor", MINOR_SEVENTH)),
    **_spellings("M", "ma maj major", _Quality("major", MAJOR_SEVENTH)),
    **_spellings("△", "", _Quality("major", MAJOR_SEVENTH, "7")),
    **_spellings("° o", "dim", _Quality("diminished", DIMINISHED_SEVENTH)),
    **_spellings("ø", "", _Quality("diminished", MINOR_SEVENTH, "7")),
    **_spellings("+ +5", "aug", _Quality("augmented", MINOR_SEVENTH)),
    **_spellings("", "dom", _PLAIN),
}
_MARKS = _spellings("△ M #7", "ma maj", None)
_EXTENSIONS: dict[str, Extension] = {
    "6": "6", "6/9": "6/9", "69": "6/9", "7": "7", "9": "9", "11": "11", "13": "13",
}
_NO_CHORD = {**_spellings("", "n.c. n.c nc", NoChord()), "%": NoChord(again=True)}
_SIGNS = {"bb": -2, "b": -1, "": 0, "#": 1, "##": 2}
ADDED = (2, 3, 4, 5, 6, 7, 9, 11, 13)  # numbers that `add` takes, flat or sharp up to twice
OMITTED = (1, 3, 5, 7, 9, 11)  # numbers that `no` takes
_HALF_STEPS = {"b": -1, "-": -1, "#": 1, "+": 1}
_OCTAVE_UP = {2: 9, 4: 11, 6: 13}


def _alter(degree: Degree) -> _Modify:
    return lambda chord: replace(chord, alterations=(*chord.alterations, degree))


def _add(degree: Degree) -> _Modify:
    return lambda chord: replace(chord, additions=(*chord.additions, degree))


def _omit(number: int) -> _Modify:
    return lambda chord: replace(chord, omissions=(*chord.omissions, number))


def _suspend(suspension: Suspension, extension: Extension = "") -> _Modify:
    def modify(chord: ChordSymbol) -> ChordSymbol | None:
        if chord.suspension or (extension and chord.extension):
            return None
        if extension:
            return replace(chord, suspension=suspension, extension=extension, seventh=MINOR_SEVENTH)
        return replace(chord, suspension=suspension)
    return modify


def _major_seventh(extension: Extension) -> _Modify:
    def modify(chord: ChordSymbol) -> ChordSymbol | None:
        return None if chord.extension else replace(chord, extension=extension, seventh=MAJOR_SEVENTH)
    return modify


def _alt(chord: ChordSymbol) -> ChordSymbol:
    return replace(chord, altered=True, extension=chord.extension or "7", seventh=chord.seventh or MINOR_SEVENTH)


_ALTERATIONS = {sign + str(number): _alter(Degree(_OCTAVE_UP.get(number, number), alter))
                for (sign, alter), number in product(_HALF_STEPS.items(), (2, 4, 5, 6, 9, 11, 13))}
_ADDITIONS = {word + sign + str(number): _add(Degree(number, alter))
              for word, (sign, alter), number in product(_cases("add"), _SIGNS.items(), ADDED)}
_OMISSIONS = {word + str(number): _omit(number) for word, number in product(_cases("no omit"), OMITTED)}
_SUSPENDED = {
    **_spellings("", "sus sus4", _suspend("4")), **_spellings("", "sus2", _suspend("2")),
    **_spellings("", "sus24 sus42", _suspend("24")), **_spellings("", "sus7", _suspend("4", "7")),
    **_spellings("", "sus9", _suspend("4", "9")), **_spellings("", "sus13", _suspend("4", "13")),
}
_MAJOR_SEVENTHS = {mark + extension: _major_seventh(extension)
                   for mark in _MARKS if mark != "#7" for extension in ("7", "9", "11", "13")}
_MODIFIERS: dict[str, _Modify] = {
    **_ALTERATIONS, **_ADDITIONS, **_OMISSIONS, **_SUSPENDED, **_MAJOR_SEVENTHS,
    **_spellings("", "alt", _alt), **_spellings("+", "aug", _alter(SHARP_FIVE)), "#7": _major_seventh("7"),
}
_LISTED: dict[str, _Modify] = {**_MODIFIERS, **{str(number): _add(Degree(number)) for number in (9, 11, 13)}}
_ROOT_ALONE: dict[str, _Modify] = {
    "5": lambda chord: replace(chord, triad="power"), "2": _add(Degree(2)), "4": _suspend("4"),
}


class _MisreadError(Exception):
    """Inside the parser: a fault at an index of the squeezed text."""

    def __init__(self, at: int, why: str) -> None:
        super().__init__(why)
        self.at = at
        self.why = why


@dataclass(frozen=True)
class _Text:
    """The symbol without spaces and with one character a sign; places: where each stood, from 0."""

    squeezed: str
    places: tuple[int, ...]

    def matches(self, at: int, table: Mapping[str, _Entry]) -> Iterator[tuple[int, _Entry]]:
        """Each entry whose spelling stands at an index, with the index after it, the longest first."""
        for length in range(max(map(len, table)), 0, -1):
            spelling = self.squeezed[at:at + length]
            if len(spelling) == length and spelling in table:
                yield at + length, table[spelling]

    def match(self, at: int, table: Mapping[str, _Entry]) -> tuple[int, _Entry | None]:
        return next(self.matches(at, table), (at, None))


@lru_cache(maxsize=4096)
def parse_chord(text: str) -> ChordSymbol | NoChord:
    """What a chord symbol says, in normal form. Raises ChordSymbolError, naming the character and its place."""
    if len(text) > _LONGEST:
        raise _error(text, _LONGEST, f"comes after {_LONGEST} others; no chord symbol is as long as that")
    marks = [(mark, place) for place, character in enumerate(text) if not character.isspace()
             for mark in _SAME_CHARACTERS.get(character, character)]
    read = _Text("".join(mark for mark, _ in marks), tuple(place for _, place in marks))
    if not read.squeezed:
        raise ChordSymbolError("a chord symbol of no characters; write a root such as Bb, or N.C. for none")
    if read.squeezed in _NO_CHORD:
        return _NO_CHORD[read.squeezed]
    try:
        return _symbol(read)
    except _MisreadError as fault:
        raise _error(text, read.places[min(fault.at, len(read.places) - 1)], fault.why) from None


def _error(text: str, place: int, why: str) -> ChordSymbolError:
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "…"
    return ChordSymbolError(f"{shown if shown.isprintable() else ascii(shown)}: "
                            f"{ascii(text[place]) if not text[place].isprintable() else repr(text[place])} "
                            f"(character {place + 1}) {why}")


def _symbol(read: _Text) -> ChordSymbol:
    at, root = _note(read, 0)
    if root is None:
        raise _MisreadError(0, "is not a root; begin with a capital letter from A to G, or write N.C. or %")
    faults = []
    for after, quality in [*read.matches(at, _QUALITIES), (at, None)]:
        try:
            return _rest(read, after, root, quality)
        except _MisreadError as fault:
            faults.append(fault)
    raise max(faults, key=lambda fault: fault.at)


def _note(read: _Text, at: int) -> tuple[int, PitchClass | None]:
    if at >= len(read.squeezed) or read.squeezed[at] not in STEPS:
        return at, None
    end = at + 1
    while end < min(at + 3, len(read.squeezed)) and read.squeezed[end] in "b#" and (
            read.squeezed[end] == read.squeezed[at + 1] and read.places[end] - read.places[end - 1] <= 1):
        end += 1
    return end, PitchClass(read.squeezed[at], _SIGNS[read.squeezed[at + 1:end]])


def _rest(read: _Text, at: int, root: PitchClass, quality: _Quality | None) -> ChordSymbol:
    chord = ChordSymbol(root)
    alone = read.match(at, _ROOT_ALONE)
    extended = read.match(at, _EXTENSIONS)
    if quality is None and alone[1] is not None:
        at, chord = alone[0], alone[1](chord) or chord
    else:
        quality = quality or _PLAIN
        if quality.triad != "major" and quality.alone == "":
            marked, _ = read.match(at, _MARKS)
            if marked > at:
                at, quality = marked, _Quality(quality.triad, MAJOR_SEVENTH, "7")
                extended = read.match(at, _EXTENSIONS)
        at, written = extended
        extension = written or quality.alone
        seventh = None if extension in ("", "6", "6/9") else quality.seventh
        chord = normal(replace(chord, triad=quality.triad, extension=extension, seventh=seventh))
    at, chord = _modifiers(read, at, chord)
    if at == len(read.squeezed):
        return chord
    end, bass = _note(read, at + 1)
    if bass is None:
        raise _MisreadError(at, "names no bass note; write a capital letter from A to G after it")
    if end < len(read.squeezed):
        raise _MisreadError(end, "stands after the bass note; the bass ends the symbol")
    return replace(chord, bass=bass)


def _modifiers(read: _Text, at: int, chord: ChordSymbol) -> tuple[int, ChordSymbol]:
    opened: int | None = None
    listing = False  # a bracket or comma stands just before: an element must follow
    while at < len(read.squeezed):
        mark = read.squeezed[at]
        if mark == "/" and opened is None and not listing:
            break
        if mark == "(" and opened is None:
            opened, listing = at, True
        elif mark == ")" and opened is not None and not listing:
            opened = None
        elif (mark == "," or (mark == "/" and opened is not None)) and not listing:
            listing = True
        else:
            end, modify = read.match(at, _LISTED if listing else _MODIFIERS)
            if modify is None:
                raise _MisreadError(at, "is not part of a chord symbol here; write it as in C-7(b5) or C7(b9,#11)/E")
            changed = modify(chord)
            chord = chord if changed is None else normal(changed)
            if changed is None or not is_sound(chord):
                raise _MisreadError(at, "does not go with what stands before it; leave one of the two out")
            at, listing = end - 1, False
        at += 1
    if opened is not None:
        raise _MisreadError(opened, "opens a bracket that is not closed; add the closing one")
    if listing:
        raise _MisreadError(at - 1, "ends the symbol with nothing after it; leave it out")
    return at, chord
