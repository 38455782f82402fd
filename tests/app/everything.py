"""A study with something in every row and every sign there is, for the painters' tests."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from core.study import (
    ARTICULATIONS,
    DYNAMICS,
    Bar,
    Callout,
    Change,
    Chorus,
    Key,
    Meter,
    Reading,
    Study,
)
from tests.engraving.scenes import events

_LINES = (
    "C4:4 ^D4 E4 F#4? G4:4. A4~", "A4:4 [3:2 Bb4 A4 G#4 ] F4:16 E4:16 D4:16 C4:16 r:4", "C3+E3+Bb3:2 D4+E4:4. r",
    "E2:4 G2:8. Bb2:16 C#5:32 D5:32 E5:32 F5:32 G5 Ab4:4", "B3:1", "F#4:2. r:4", "C4:4. D4 E4:2", "r C4 r:4 G3:2",
)


def _marked(index: int, line: str) -> Bar:
    row = [replace(event, articulations=(ARTICULATIONS[(index + at) % len(ARTICULATIONS)],) if event.notes else (),
                   dynamic=DYNAMICS[(3 * index + at) % len(DYNAMICS)] if at % 3 == 0 else "",
                   hairpin="cresc" if at == 1 else "", stroke=("down", "up", "")[at % 3] if event.notes else "",
                   remark="see above" if at == 2 else "",
                   notes=tuple(replace(note, finger=1 + at % 4) for note in event.notes))
           for at, event in enumerate(events(line))]
    timed = [at for at, event in enumerate(row) if event.notes and not event.grace]
    row[timed[0]] = replace(row[timed[0]], slur="start")
    row[timed[-1]] = replace(row[timed[-1]], slur="stop") if len(timed) > 1 else replace(row[timed[-1]], slur="")
    return Bar(tuple(row), changes=(Change(Fraction(0), ("C7(b9,#11)", "F-7", "Bbmaj7", "Eø7/A", "G7alt")[index % 5]),
                                    Change(Fraction(2), "A7")))


def everything() -> Study:
    """Two choruses of eight bars."""
    bars = [_marked(index, line) for index, line in enumerate(_LINES * 2)]
    stop = bars[1].events[-2].onset
    bars[0] = replace(bars[0], sign="segno", rehearsal="A", readings=(Reading(Fraction(0), "Gb7"),),
                      callouts=(Callout(Fraction(0), stop, 1, "Across", "words over {b9} and *two* bars, long enough "
                                        "to be wrapped onto several lines of a box"),))
    bars[1] = replace(bars[1], comment="See https://example.org for **more** of it.", ending="1", repeat_end=2)
    bars[2] = replace(bars[2], ending="2", barline="double", key=Key(-3))
    bars[3] = replace(bars[3], readings=(Reading(Fraction(1), "key of Eb major"),))
    bars[4] = replace(bars[4], sign="coda", jump="To Coda", key=Key(4), repeat_start=True)
    bars[5] = replace(bars[5], barline="dashed")
    bars[7] = replace(bars[7], repeat_end=3, jump="D.S. al Coda")
    bars[9] = Bar(meter=Meter((3,), 4))
    bars[10] = Bar(events("r:2."))
    bars[11] = replace(bars[11], meter=Meter())
    return Study(title="Everything", tune="A test (nobody)", player="Someone", transcriber="Someone else",
                 rights="No rights", tempo=144, choruses=(Chorus("First", 0), Chorus("Second", 8)), bars=tuple(bars))


