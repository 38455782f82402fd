"""Short lines for the fingering tests: written as text, and drawn at random."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from core.guitar import Fingered, Fingering
from core.study import Bar, Event, Guitarist, Instrument, Note, Pitch, Study, parse_pitch
from core.study.guitarist import OPEN_STRINGS, PICKINGS, SPANS

EIGHTH = Fraction(1, 2)
NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def pitch(midi: int) -> Pitch:
    return parse_pitch(f"{NAMES[midi % 12]}{midi // 12 - 1}")


def note(what: int | str, **own: object) -> Note:
    return Note(pitch(what) if isinstance(what, int) else parse_pitch(what), **own)


def events(rows: list[tuple[Note, ...]], lengths: list[Fraction] | None = None,
           slurs: dict[int, str] | None = None) -> tuple[Event, ...]:
    """One event a row of notes, end to end; eighths unless told."""
    made, at = [], Fraction(0)
    for place, notes in enumerate(rows):
        length = lengths[place] if lengths else EIGHTH
        made.append(Event(at, length, notes, slur=(slurs or {}).get(place, "")))
        at += length
    return tuple(made)


def study(*rows: tuple[Event, ...], **facts: object) -> Study:
    """One bar a row of events, as long as they are."""
    return Study(bars=tuple(Bar(row, length=row[-1].end) if row else Bar() for row in rows), **facts)


def line(text: str, slurs: dict[int, str] | None = None, **facts: object) -> Study:
    """One bar of eighths: `C4 D4 r Eb4+G4`."""
    rows = [() if word == "r" else tuple(note(name) for name in word.split("+")) for word in text.split()]
    return study(events(rows, slurs=slurs), **facts)


def with_note(whole: Study, place: int, **own: object) -> Study:
    """The first bar's event `place` with the teacher's own string, fret, finger on its lowest note."""
    bar = whole.bars[0]
    event = bar.events[place]
    changed = replace(event, notes=(replace(event.notes[0], **own), *event.notes[1:]))
    row = (*bar.events[:place], changed, *bar.events[place + 1:])
    return replace(whole, bars=(replace(bar, events=row), *whole.bars[1:]))


def taken(fingering: Fingering) -> list[Fingered | None]:
    """Every note in order."""
    return [grip for bar in fingering.bars for event in bar.events for grip in event.notes]


def picked(fingering: Fingering) -> list[str]:
    """How every event that sounds is reached: down, up, or slur."""
    return [event.stroke or "slur" for bar in fingering.bars for event in bar.events if event.notes]


def frets(fingering: Fingering) -> list[int]:
    return [grip.fret for grip in taken(fingering) if grip]


GUITARISTS = st.builds(
    Guitarist, span=st.sampled_from(SPANS), position=st.sampled_from((None, None, 2, 7)),
    open_strings=st.sampled_from(OPEN_STRINGS), picking=st.sampled_from(PICKINGS),
    strings=st.sampled_from(((), (), (1, 2, 3))))
INSTRUMENTS = st.builds(Instrument, frets=st.sampled_from((12, 21, 22, 24)), capo=st.sampled_from((0, 0, 0, 3)))
LENGTHS = st.sampled_from([Fraction(1, 4), EIGHTH, EIGHTH, Fraction(1), Fraction(2)])


@st.composite
def rows(draw: st.DrawFn, low: int = 40, high: int = 86, most: int = 9, double: bool = True) -> tuple[Event, ...]:
    """One bar of single notes, double stops and rests, slurred and tied here and there."""
    made = []
    for _ in range(draw(st.integers(1, most))):
        count = draw(st.sampled_from((1, 1, 1, 1, 0, 2) if double else (1, 1, 1, 1, 0)))
        pitches = sorted(draw(st.lists(st.integers(low, high), min_size=count, max_size=count, unique=True)))
        made.append(tuple(note(midi, tie=draw(st.integers(0, 7)) == 0) for midi in pitches))
    lengths = [draw(LENGTHS) for _ in made]
    slurs = {place: draw(st.sampled_from(("", "", "", "start", "stop", "both"))) for place in range(len(made))}
    return events(made, lengths, slurs)


@st.composite
def studies(draw: st.DrawFn, bars: int = 3, most: int = 9) -> Study:
    return study(*(draw(rows(most=most)) for _ in range(draw(st.integers(1, bars)))),
                 instrument=draw(INSTRUMENTS), guitarist=draw(GUITARISTS), tempo=draw(st.sampled_from((60, 120, 220))),
                 feel=draw(st.sampled_from(("swing", "straight"))))
