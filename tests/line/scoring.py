"""How much of what is planted is found, and how much of what is found is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import NamedTuple

from core.errors import BarglossError
from core.line import analyse
from core.line.finding import Finding
from core.line.findings import find
from core.study import parse_pitch_class
from tests.line.naive import is_true, same_chord
from tests.line.planted import Line, Planted
from tests.line.trade import Harmony

# What a device holds by definition: found inside one, it is no surprise (and must still be true).
CONTAINS: dict[str, dict[str, str]] = {
    "run": {
        "passing-half-step": "bebop, blues and chromatic scales have two half steps in a row",
        "target": "a chord tone on a beat is reached by step",
        "arpeggio": "adjacent tones of a pentatonic may spell a chord",
        "altered": "altered, half-whole and phrygian dominant scales hold altered tensions, resolved inside the run",
    },
    "passing-half-step": {
        "target": "it makes a chord tone land on a beat",
        "altered": "over a dominant the half step may be an altered tension that goes on to a chord tone",
    },
    "enclosure": {
        "target": "an enclosure aims at its last tone",
        "passing-half-step": "two half steps in one direction on one side of the target",
        "altered": "the notes round a chord tone of a dominant may be altered tensions",
        "delay": "around the first beat of a chord its target is late",
    },
    "turn": {
        "neighbour": "its middle is one or two neighbours",
        "target": "its main tone may fall on a beat, reached by step",
        "altered": "over a dominant its upper neighbour may be altered",
    },
    "neighbour": {"target": "it comes back on a beat, by step", "altered": "its note away may be altered"},
    "arpeggio": {
        "target": "a chord tone on a beat, reached by leap",
        "altered": "an upper structure holds altered tensions",
        "cell": "a broken triad is the 1 3 5 of a digital pattern",
    },
    "cell": {
        "target": "as in an arpeggio",
        "altered": "over a dominant a pattern may hold altered tensions",
    },
    "sequence": {
        kind: "its shape may be any other device, once or each time"
        for kind in ("run", "passing-half-step", "enclosure", "neighbour", "turn", "arpeggio", "cell", "target",
                     "altered")
    },
    "guide-tone": {"target": "the second tone lands with the chord", "altered": "the b9 is an altered tension"},
    "altered": {
        "guide-tone": "b9 to 5 is a guide line too", "target": "the tension resolves with the chord",
        "run": "three altered tones and the tone they lead to may be stepwise",
    },
    "anticipation": {"target": "struck again, it lands with the chord"},
    "delay": {"target": "the resolution is a chord tone by step", "guide-tone": "7 held over the change falls to 3"},
    "target": {"guide-tone": "3 and 7 are what a line aims at"},
}


class Score(NamedTuple):
    """Of one kind. found is hit (planted), held (inside another device, see CONTAINS), chance (true of notes that
    came together by chance) and false; missed: planted and not found so."""

    hit: tuple[Planted, ...] = ()
    missed: tuple[tuple[Line, Planted], ...] = ()
    held: int = 0
    chance: tuple[tuple[Line, Finding], ...] = ()
    false: tuple[tuple[Line, Finding], ...] = ()

    @property
    def planted(self) -> int:
        return len(self.hit) + len(self.missed)

    @property
    def found(self) -> int:
        return len(self.hit) + self.held + len(self.chance) + len(self.false)

    @property
    def recall(self) -> float:
        return len(self.hit) / self.planted if self.planted else 1.0

    @property
    def precision(self) -> float:
        return 1 - len(self.false) / self.found if self.found else 1.0


def score(lines: Iterable[Line]) -> dict[str, Score]:
    """By kind."""
    rows: dict[str, list[list]] = {}
    for line in lines:
        found = [*chain.from_iterable(find(line.study, analyse(line.study)).bars)]
        for kind in {one.kind for one in line.planted} | {one.kind for one in found}:
            hit, missed, held, chance, false = rows.setdefault(kind, [[], [], [], [], []])
            left = [one for one in found if one.kind == kind]
            for planted in (one for one in line.planted if one.kind == kind):
                same = next((one for one in left if matches(one, planted)), None)
                if same is None:
                    missed.append((line, planted))
                else:
                    left.remove(same)
                    hit.append(planted)
            for one in left:
                right = is_true(one, line.tones)
                (false if not right else held if _is_held(one, line) else chance).append((line, one))
    return {kind: Score(tuple(hit), tuple(missed), len(held), tuple(chance), tuple(false))
            for kind, (hit, missed, held, chance, false) in sorted(rows.items())}


def matches(found: Finding, planted: Planted) -> bool:
    """The same tones and all the facts that are claimed."""
    return (found.kind == planted.kind and planted.first in (None, found.first) and planted.last in (None, found.last)
            and all(_same(found.fact(name), value) for name, value in planted.facts.items()))


def _same(fact: object, claimed: object) -> bool:
    if isinstance(claimed, Harmony):
        return same_chord(fact, claimed)
    if isinstance(fact, str) and isinstance(claimed, int):  # a tonic, by its sound
        try:
            return parse_pitch_class(fact).chroma == claimed
        except BarglossError:
            return False
    return fact == claimed


def _is_held(found: Finding, line: Line) -> bool:
    return any(found.kind in CONTAINS[planted.kind] and first <= found.first and found.last <= last
               for planted, first, last in _spans(line))


def _spans(line: Line) -> Iterator[tuple[Planted, object, object]]:
    places = [tone.place for tone in line.tones]
    for planted in line.planted:
        first = planted.first or planted.last
        last = planted.last or planted.first
        if planted.first is None:
            first = places[max(0, places.index(planted.last) - 1)]
        if planted.last is None:
            last = places[min(len(places) - 1, places.index(planted.first) + 1)]
        yield planted, first, last


def table(scores: dict[str, Score]) -> str:
    """A line a kind, for a person to read."""
    head = f"{'kind':18}{'planted':>8}{'found':>7}{'held':>6}{'chance':>7}{'false':>6}{'recall':>8}{'precision':>10}"
    rows = [f"{kind:18}{one.planted:8}{one.found:7}{one.held:6}{len(one.chance):7}{len(one.false):6}"
            f"{one.recall:8.3f}{one.precision:10.3f}" for kind, one in scores.items()]
    return "\n".join((head, *rows))
