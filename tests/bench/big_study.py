"""A long study to measure with: choruses of an invented twelve-bar form in C minor, lines and words made from cells.

A cell is half a bar: degrees over its chord, each above (+) or below (-) the one before it. The next
cell is one of those that begin closest to where the line stands, so the line steps from chord to
chord; a seeded choice among them keeps every chorus different and every run the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random
from typing import NamedTuple

from core.harmony import ChordSymbol, Degree, note_above, parse_chord
from core.study import Bar, Callout, Change, Chorus, Event, Key, Note, Pitch, Reading, Study, Tuplet

_FORM = ("Cm7", "Fm7", "Cm7", "Gm7b5 C7b9", "Fm7", "Bb7", "Cm7", "Eb7", "Ab7", "G7b9", "Cm7 Ab7", "Dm7b5 G7b9")
_BREATHING = (3, 5, 10)  # bars of the form whose second half is a note and a rest
_LOWEST, _HIGHEST = 53, 76  # key numbers: F3 to E5
_SLACK = 4  # how much further, in semitones of leap, a cell may lie than the best one
_HALF, _EIGHTH, _THIRD, _QUARTER = Fraction(2), Fraction(1, 2), Fraction(1, 3), Fraction(1)
_TRIPLET, _TRIPLET_START = Tuplet(3, 2), Tuplet(3, 2, starts=True)


class Cell(NamedTuple):
    """Half a bar: four eighths, five notes with a triplet first, or one quarter and a rest."""

    name: str
    line: str
    words: str


_UP = "The root is left to the bass."
_DOWN = "Hear the chord tones fall on the beats."
_CLOSE = "The first two notes lie on either side of the third."
_REST = "Count the silence as carefully as the notes."
_FIVE = "Keep the triplet even and land squarely on the next beat."
_CELLS: dict[str, tuple[Cell, ...]] = {
    "m7": (
        Cell("Upper structure", "b3 +5 +b7 +9", _UP),
        Cell("Down the arpeggio", "b7 -5 -b3 -1", _DOWN),
        Cell("Digital pattern", "1 +9 +b3 +5", "A cell to know in every key."),
        Cell("Scale down", "5 -11 -b3 -9", "Two tones of the chord, each followed by a step."),
        Cell("Diatonic enclosure", "11 -9 +b3 +5", _CLOSE),
        Cell("Ninth to seventh", "9 -1 -b7 -5", "The ninth leans on the root before it."),
        Cell("Triplet arpeggio", "1 +b3 +5 +b7 -5", _FIVE),
        Cell("Triplet turn", "b3 +11 -b3 -9 -1", _FIVE),
    ),
    "7": (
        Cell("From the third", "3 +5 +b7 +9", _UP),
        Cell("Bebop half step", "1 -7 -b7 -13", "The seventh of the major scale is only passing."),
        Cell("Down from the seventh", "b7 -13 -5 -3", _DOWN),
        Cell("Ninth to fifth", "9 -1 -b7 -5", "The ninth leans on the root before it."),
        Cell("Enclosure", "11 -9 +3 +5", _CLOSE),
        Cell("Root in the middle", "5 -3 -1 -b7", _DOWN),
        Cell("Triplet arpeggio", "1 +3 +5 +b7 -13", _FIVE),
    ),
    "7b9": (
        Cell("Diminished arpeggio", "3 +5 +b7 +b9", _UP),
        Cell("Diminished arpeggio", "b9 -b7 -5 -3", "It repeats itself every three frets."),
        Cell("Minor colour", "b7 -b13 -5 -3", "The flat thirteenth belongs to the minor key."),
        Cell("Chromatic enclosure", "11 -#9 +3 +5", _CLOSE),
        Cell("Flat nine to root", "b9 -1 -b7 -5", "The flat nine falls a half step at once."),
        Cell("Triplet arpeggio", "3 +5 +b7 +b9 -1", _FIVE),
    ),
    "m7b5": (
        Cell("Arpeggio", "1 +b3 +b5 +b7", "Its upper three notes are a minor triad."),
        Cell("Down the arpeggio", "b7 -b5 -b3 -1", _DOWN),
        Cell("Scale down", "b5 -11 -b3 -1", _DOWN),
        Cell("Triplet arpeggio", "1 +b3 +b5 +b7 -b5", _FIVE),
    ),
}
_BREATHS = {
    "m7": (Cell("Land and breathe", "b3", _REST), Cell("Land and breathe", "5", _REST)),
    "7": (Cell("Land and breathe", "3", _REST), Cell("Land and breathe", "5", _REST)),
    "7b9": (Cell("Land and breathe", "3", _REST), Cell("Land and breathe", "5", _REST)),
}


@dataclass(frozen=True)
class _Placed:
    """A cell over a chord, at a height."""

    cell: Cell
    symbol: str
    degrees: tuple[str, ...]
    pitches: tuple[Pitch, ...]


def big_study(choruses: int = 6) -> Study:
    """A study of 12 * `choruses` bars (six: the 72-bar benchmark), the same at every call; choruses: 1 or more."""
    halves = _line(choruses, Random(72))
    bars = [_bar(index, first, second, following)
            for index, (first, second, following) in enumerate(_in_pairs(halves))]
    bars = [replace(bar, barline="double" if index % 12 == 11 else "") for index, bar in enumerate(bars)]
    bars[-1] = replace(bars[-1], barline="final")
    return Study(title="The long way round", tune="Twelve bars in C minor (invented)", player="a table of cells",
                 transcriber="the Bargloss benchmark", rights="Invented for Bargloss; use it as you like.",
                 tempo=160, key=Key(-3, "minor"),
                 choruses=tuple(Chorus(f"Chorus {number + 1}", 12 * number) for number in range(choruses)),
                 bars=tuple(bars))


def _line(choruses: int, random: Random) -> list[_Placed]:
    """Two placed cells a bar."""
    line: list[_Placed] = []
    for index in range(12 * choruses):
        symbols = _FORM[index % 12].split()
        for half, symbol in enumerate((symbols[0], symbols[-1])):
            kind = symbol.lstrip("ABCDEFG").removeprefix("b")
            breathes = half == 1 and (index % 12 in _BREATHING or index == 12 * choruses - 1)
            cells = _BREATHS[kind] if breathes else _CELLS[kind]
            line.append(_next(cells, symbol, line[-3:], random))
    return line


def _next(cells: tuple[Cell, ...], symbol: str, before: list[_Placed], random: Random) -> _Placed:
    """One of the cells, three at most, that lie best behind the line so far."""
    last = before[-1].pitches[-1].midi if before else 60
    recent = {placed.cell.line for placed in before}
    options: list[tuple[int, int, _Placed]] = []
    for cell in cells:
        for octave in (3, 4, 5):
            placed = _place(cell, symbol, octave)
            heights = [pitch.midi for pitch in placed.pitches]
            if min(heights) >= _LOWEST and max(heights) <= _HIGHEST:
                leap = abs(heights[0] - last)
                options.append((leap + 4 * (leap == 0) + 5 * (cell.line in recent), len(options), placed))
    best = sorted(options, key=lambda option: option[:2])[:3]
    return random.choice([placed for cost, _, placed in best if cost <= best[0][0] + _SLACK])


def _place(cell: Cell, symbol: str, octave: int) -> _Placed:
    chord = parse_chord(symbol)
    assert isinstance(chord, ChordSymbol)
    pitches: list[Pitch] = []
    names = cell.line.split()
    for name in names:
        number = name.lstrip("+-b#")
        note = note_above(chord.root, Degree(int(number), name.count("#") - name.count("b")))
        pitch = Pitch(note.step, note.alter, octave)
        if name[0] in "+-":
            up = name[0] == "+"
            while (pitch.midi > pitches[-1].midi) != up or pitch.midi == pitches[-1].midi:
                pitch = pitch._replace(octave=pitch.octave + (1 if up else -1))
            while abs(pitch.midi - pitches[-1].midi) > 12:
                pitch = pitch._replace(octave=pitch.octave + (-1 if up else 1))
        pitches.append(pitch)
    return _Placed(cell, symbol, tuple(name.lstrip("+-") for name in names), tuple(pitches))


def _in_pairs(halves: list[_Placed]) -> Iterator[tuple[_Placed, _Placed, _Placed | None]]:
    """The two cells of each bar and the one that opens the next."""
    for at in range(0, len(halves), 2):
        yield halves[at], halves[at + 1], halves[at + 2] if at + 2 < len(halves) else None


def _bar(index: int, first: _Placed, second: _Placed, following: _Placed | None) -> Bar:
    opening, closing = _events(first, Fraction(0)), _events(second, _HALF)
    spoken, span = (first, opening) if index % 2 == 0 or len(second.pitches) == 1 else (second, closing)
    callout = Callout(span[0].onset, span[-1].onset, heading=spoken.cell.name, text=_callout_text(spoken))
    changes = [Change(Fraction(0), first.symbol)]
    if second.symbol != first.symbol:
        changes.append(Change(_HALF, second.symbol))
    readings = (Reading(Fraction(0), "key of C minor"),) if index % 12 in (9, 11) else ()
    return Bar(opening + closing, tuple(changes), readings, (callout,), _comment(second, following))


def _events(placed: _Placed, at: Fraction) -> tuple[Event, ...]:
    notes = [(Note(pitch),) for pitch in placed.pitches]
    if len(notes) == 1:
        return (Event(at, _QUARTER, notes[0], articulations=("tenuto",)), Event(at + 1, _QUARTER))
    if len(notes) == 4:
        accents = [("accent",) if index == 0 and placed.cell.words == _UP else () for index in range(4)]
        return tuple(Event(at + index * _EIGHTH, _EIGHTH, note, articulations=accents[index])
                     for index, note in enumerate(notes))
    triplet = tuple(Event(at + index * _THIRD, _THIRD, note, (_TRIPLET if index else _TRIPLET_START,),
                          slur=("start", "stop", "")[index]) for index, note in enumerate(notes[:3]))
    pair = tuple(Event(at + 1 + index * _EIGHTH, _EIGHTH, note) for index, note in enumerate(notes[3:]))
    return triplet + pair


def _callout_text(placed: _Placed) -> str:
    notes = " ".join(f"{{{pitch.pitch_class.name}}}" for pitch in placed.pitches)
    degrees = " ".join(f"{{{degree}}}" for degree in placed.degrees)
    return f"{notes}: {degrees} of {{{placed.symbol}}}. {placed.cell.words}"


def _comment(second: _Placed, following: _Placed | None) -> str:
    """What the last note of the bar does."""
    if following is None:
        return "The last bar of the form; let it ring."
    leaving, landing = second.pitches[-1], following.pitches[0]
    steps = landing.midi - leaving.midi
    target = f"{{{landing.pitch_class.name}}}, the {{{following.degrees[0]}}} of {{{following.symbol}}}"
    if len(second.pitches) == 1:
        return f"The phrase ends on {{{leaving.pitch_class.name}}}. After the rest comes {target}."
    if steps == 0:
        return f"{{{leaving.pitch_class.name}}} is said again: {target}."
    how = {1: "a half step", 2: "a whole step"}.get(abs(steps), "a leap")
    return f"{{{leaving.pitch_class.name}}} goes {how} {'up' if steps > 0 else 'down'} to {target}."
