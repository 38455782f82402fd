"""A finding: something the line does that is worth telling, as a value."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, NamedTuple

from core.harmony import ChordStyle, ChordSymbol, house
from core.study import NotePlace

_PLAIN = ChordStyle(minor="m", major="maj")

Kind = Literal[
    "run", "passing-half-step", "enclosure", "neighbour", "turn", "arpeggio", "cell", "sequence", "guide-tone",
    "altered", "anticipation", "delay", "target", "return", "reading",
]
Fact = str | int

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


class Finding(NamedTuple):
    """What was noticed, of which notes (both ends counted), and how sure and how telling it is, 0 to 1.

    facts: names and values in a fixed order, each kind its own (its module lists them); degrees as `b9`,
    chords by `symbol`. They hold nothing that depends on the bar's number.
    """

    kind: Kind
    first: NotePlace
    last: NotePlace
    facts: tuple[tuple[str, Fact], ...]
    score: float

    def fact(self, name: str) -> Fact:
        """The value of one fact. Raises KeyError."""
        return dict(self.facts)[name]


@lru_cache(maxsize=1024)
def symbol(chord: ChordSymbol) -> str:
    """A chord as a finding names it, in plain letters that `parse_chord` reads back: `Dm7`, `Bbmaj7`."""
    return house(chord, _PLAIN).text


def on_beat(finding: Finding, beat: Fact) -> str:
    """`on beat 3`, `on beat 1 of the next bar`: where its last note lands."""
    return f"on beat {beat}" + (" of the next bar" if finding.last.bar > finding.first.bar else "")


def in_words(count: Fact) -> str:
    """A number in letters, up to twelve."""
    return _NUMBERS[int(count)] if int(count) < len(_NUMBERS) else str(count)
