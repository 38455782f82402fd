"""Meter, key, changes and rhythm of a planted line. Ticks are twelfths of a quarter."""

from __future__ import annotations

from random import Random
from typing import NamedTuple

from core.study import Key, Meter
from tests.line.trade import Harmony

QUARTER = 12
BARS = 8
# meter, ticks of a beat, beats of a bar, bars a chord lasts at the least
_METERS = ((Meter((4,)), 12, 4, 1), (Meter((4,)), 12, 4, 1), (Meter((3,)), 12, 3, 1), (Meter((2,)), 12, 2, 2),
           (Meter((5,)), 12, 5, 1), (Meter((6,), 8), 18, 2, 1))
_FORMS: dict[str, tuple[tuple[int, str], ...]] = {  # semitones above the tonic
    "ii-V-I": ((2, "minor-seventh"), (7, "dominant"), (0, "major-seventh"), (0, "major-seventh")),
    "turnaround": ((0, "major-seventh"), (9, "dominant"), (2, "minor-seventh"), (7, "dominant")),
    "blues": ((0, "dominant"), (5, "dominant"), (0, "dominant"), (0, "dominant"), (5, "dominant"), (5, "dominant"),
              (0, "dominant"), (9, "dominant"), (2, "minor-seventh"), (7, "dominant"), (0, "dominant"),
              (7, "dominant")),
    "minor": ((2, "half-diminished"), (7, "dominant-flat-ninth"), (0, "minor-seventh"), (0, "major-minor")),
    "diminished": ((0, "major-seventh"), (1, "diminished-seventh"), (2, "minor-seventh"), (7, "dominant")),
    "static": ((0, "minor-seventh"),),
}
_F = 5
_EIGHTHS = ("eighths", "eighths", "eighths", "offbeat", "sixteenths", "triplets")
_FREE = (*_EIGHTHS, "mixed", "syncopated")
_MIXED = ((6, 6), (12,), (6, 3, 3), (3, 3, 6), (3, 3, 3, 3), (9, 3))


class Frame(NamedTuple):
    """Meter, key and changes of a line. changes: where each chord begins; end: ticks in all."""

    meter: Meter
    beat: int
    beats: int
    key: Key
    changes: tuple[tuple[int, Harmony], ...]
    end: int

    @property
    def bar(self) -> int:
        return self.beat * self.beats

    def chord(self, tick: int) -> Harmony:
        return next(harmony for start, harmony in reversed(self.changes) if start <= tick)

    def next_change(self, tick: int) -> tuple[int, Harmony | None]:
        return next(((start, harmony) for start, harmony in self.changes if start > tick), (self.end, None))

    @property
    def scale(self) -> frozenset[int]:
        naturals = zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11), strict=True)
        return frozenset((note + self.key.alter_of(step)) % 12 for step, note in naturals)


def frame_of(chance: Random, tonic: int) -> Frame:
    meter, beat, beats, bars_a_chord = chance.choice(_METERS)
    form = chance.choice([name for name in _FORMS if name != "blues" or tonic != _F])
    is_minor = form == "minor" or (form == "static" and chance.random() < 0.5)
    key = keyed(tonic, "minor" if is_minor else "major", flat=chance.random() < 0.5)
    bars_a_chord *= chance.choice((1, 1, 2))
    chords = [Harmony((tonic + above) % 12, kind, key.fifths > 0) for above, kind in _FORMS[form]]
    changes: list[tuple[int, Harmony]] = []
    for at in range(0, BARS, bars_a_chord):
        harmony = chords[at // bars_a_chord % len(chords)]
        if not changes or changes[-1][1] != harmony:
            changes.append((at * beat * beats, harmony))
    return Frame(meter, beat, beats, key, tuple(changes), BARS * beat * beats)


def keyed(tonic: int, mode: str = "major", *, flat: bool = False) -> Key:
    """The key on a tonic, 0 to 11 above C, that needs the fewest signs. flat: six flats rather than six sharps."""
    fifths = (tonic + (3 if mode == "minor" else 0)) % 12 * 7 % 12
    return Key(fifths - 12 if fifths > 6 or (fifths == 6 and flat) else fifths, mode)


def lengths_of(chance: Random, within: Frame, start: int, count: int, even: bool) -> tuple[int, ...]:
    """In ticks, up to a beat, the last one longer where need be; a first -1: begin an eighth late."""
    style = chance.choice(_EIGHTHS if even else _FREE)
    if within.beat != QUARTER and style in ("triplets", "mixed", "syncopated"):
        style = "eighths"
    late = style == "offbeat"
    grains = {"eighths": [6], "offbeat": [6], "sixteenths": [3], "triplets": [4], "syncopated": [6, 12, 6],
              "mixed": [length for _ in range(count) for length in chance.choice(_MIXED)]}[style]
    lengths = [grains[k % len(grains)] for k in range(count)]
    stop = start + 6 * late + sum(lengths)
    lengths[-1] += -stop % within.beat
    if chance.random() < 0.3 and style != "triplets":
        lengths[-1] += within.beat
    return (*([-1] if late else []), *lengths)
