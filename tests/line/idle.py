"""Lines in which nothing is meant, and how much is found in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from itertools import chain
from random import Random

from core.harmony import parse_chord, spell
from core.harmony.chord import ChordSymbol
from core.line import analyse
from core.line.telling import told
from core.study import Bar, Change, Event, Key, Note, Study
from tests.line.planted_frame import keyed
from tests.line.trade import Harmony

ATONAL_BARS = 100
_LOWEST, _HIGHEST = 52, 76
_EIGHTH = Fraction(1, 2)
_CHANGES = ((2, "minor-seventh"), (7, "dominant"), (0, "major-seventh"), (9, "dominant"))


def atonal(seed: int) -> Study:
    """Eighths drawn from two octaves, each as likely, over a turnaround in a random key."""
    chance = Random(seed)
    tonic = chance.randrange(12)
    rows = [[chance.randint(_LOWEST, _HIGHEST) for _ in range(8)] for _ in range(ATONAL_BARS)]
    return _study(tonic, [Harmony((tonic + above) % 12, kind) for above, kind in _CHANGES], rows)


def scales() -> list[Study]:
    """In every key, over the chord it belongs to: a major scale up an octave and down again, and a rest."""
    above = (0, 2, 4, 5, 7, 9, 11)
    found = []
    for tonic in range(12):
        for start, kind in ((0, "major-seventh"), (1, "minor-seventh"), (4, "dominant")):
            up = [60 + tonic - 12 * (tonic > 5) + 12 * ((start + k) // 7) + above[(start + k) % 7] for k in range(8)]
            row = [*up, *up[-2::-1]]
            found.append(_study(tonic, [Harmony(up[0] % 12, kind)], [row[:8], [*row[8:], None]] * 4))
    return found


def _study(tonic: int, changes: list[Harmony], rows: list[list[int | None]]) -> Study:
    key = keyed(tonic)
    bars = []
    for at, row in enumerate(rows):
        harmony = changes[at % len(changes)]._replace(sharp=key.fifths > 0)
        bars.append(Bar(tuple(_events(row, harmony, key)), (Change(Fraction(0), harmony.symbol),)))
    return Study(bars=tuple(bars), key=key)


def _events(row: list[int | None], harmony: Harmony, key: Key) -> Iterable[Event]:
    chord = parse_chord(harmony.symbol)
    for place, midi in enumerate(row):
        notes = () if midi is None else (Note(spell(midi, key, chord if isinstance(chord, ChordSymbol) else None)),)
        yield Event(place * _EIGHTH, _EIGHTH, notes)


def rates(studies: Iterable[Study]) -> dict[str, float]:
    """Findings in 100 notes, by kind; a `substitution` is an arpeggio of that relation, counted on its own too."""
    counts: Counter[str] = Counter()
    notes = 0
    for study in studies:
        found = told(study, analyse(study))
        notes += sum(map(len, found.tones.bars))
        for one in chain.from_iterable(found.noticed):
            counts[one.kind] += 1
            counts["substitution"] += one.kind == "arpeggio" and one.fact("relation") == "substitution"
    return {kind: 100 * count / notes for kind, count in sorted(counts.items())}
