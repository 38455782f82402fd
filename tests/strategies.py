"""Hypothesis strategies for whole valid studies, with every feature the values have."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from core.study import (
    ARTICULATIONS,
    DYNAMICS,
    HAIRPINS,
    JUMPS,
    MODES,
    Bar,
    Callout,
    Change,
    Chorus,
    Dismissed,
    Event,
    Guitarist,
    Instrument,
    Key,
    Meter,
    Note,
    Pitch,
    Reading,
    Study,
    Tuplet,
    written,
)
from core.study.guitarist import OPEN_STRINGS, PICKINGS, SPANS
from core.study.values import GUITAR, height

# Whole studies are slow to draw on a busy machine: use as @settings(CALM, max_examples=…).
CALM = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
RATIOS = ((3, 2), (3, 4), (2, 3), (4, 3), (5, 4), (6, 4), (7, 4), (7, 8), (5, 3), (9, 8), (11, 8), (13, 12))
SYMBOLS = ("C-7", "F7", "Bb△7", "Eø7", "A7(b9,#11)", "D-(maj7)", "G7sus4", "C6/9", "N.C.", "%", "Ab7/Gb", "F#°7")
HARMONIES = ("", "key of Eb major", "key of F# dorian", "Db7", "A-7b5")
PHRASES = (
    "{Bb7} to {b9}, then {F# half step}",
    "Aim at the *third* on beat one.\nHear it before you play it.",
    "naïve — ♭9, △7, 日本, 𝄞",
    "<note pitch='C4'/> & \"quotes\" ]]>",
    "  blanks before and after \t ",
)

legal_characters = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), include_characters="\t\n\r\x85",
                                 exclude_characters="\ufffe\uffff")  # the characters XML 1.0, 2.2 allows
texts = st.one_of(st.just(""), st.sampled_from(PHRASES), st.text(legal_characters, max_size=12))
keys = st.builds(Key, st.integers(-7, 7), st.sampled_from(MODES))
meters = st.one_of(
    st.sampled_from([Meter(), Meter((3,)), Meter((6,), 8), Meter((4,), 4, "common"), Meter((2,), 2, "cut"),
                     Meter((5,)), Meter((3, 2), 8), Meter((7,), 8), Meter((12,), 8), Meter((1,), 16)]),
    st.builds(Meter, st.lists(st.integers(1, 4), min_size=1, max_size=2).map(tuple), st.sampled_from((2, 4, 8, 16))),
)
pitches = st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-2, 2), st.integers(2, 6))
seconds = st.one_of(st.none(), st.integers(0, 400), st.floats(0, 1e6, allow_nan=False))


def maybe(strategy: st.SearchStrategy, common: object) -> st.SearchStrategy:
    """Mostly the common value, sometimes one of the strategy's."""
    return st.one_of(st.just(common), st.just(common), st.just(common), strategy)


YES = maybe(st.just(True), False)
FRETS = st.one_of(st.none(), st.integers(0, 22))
FINGERS = maybe(st.integers(0, 4), None)
DEGREES = maybe(st.sampled_from(("#9", "b13", "△7")), "")
SLURS = maybe(st.sampled_from(("start", "stop", "both")), "")
MARKS = maybe(st.lists(st.sampled_from(ARTICULATIONS), unique=True, max_size=3).map(tuple), ())
STROKES = maybe(st.sampled_from(("down", "up")), "")
REMARKS = maybe(texts, "")
LOUDNESS = maybe(st.sampled_from(DYNAMICS), "")
SWELLS = maybe(st.sampled_from(HAIRPINS), "")
NOTE_COUNTS = st.sampled_from((1, 1, 1, 0, 2, 3))
HEAD_COUNTS = st.sampled_from((1, 1, 2))
LEVELS = st.integers(0, 4)
GRACE_LENGTHS = st.sampled_from((Fraction(1, 2), Fraction(1, 4)))


@st.composite
def lengths(draw, length: Fraction, depth: int = 0) -> list[tuple[Fraction, tuple[Tuplet, ...]]]:
    """How `length` written quarters are cut into single notes: sounding length and tuplets of each."""
    ratio, unit = draw(st.sampled_from(RATIOS)), None
    if depth < 2 and draw(LEVELS) == 4:
        unit = length / ratio[1]
    if unit is not None and written(unit) is not None and unit >= Fraction(1, 32):
        actual, normal = ratio
        inner = draw(lengths(unit * actual, depth + 1))
        return [(sounding * normal / actual, (Tuplet(actual, normal, place == 0), *tuplets))
                for place, (sounding, tuplets) in enumerate(inner)]
    if written(length) is not None and (length <= Fraction(1, 8) or draw(LEVELS) < 2 + depth):
        return [(length, ())]
    piece = Fraction(8)
    while piece >= length:
        piece /= 2
    return draw(lengths(piece, depth)) + draw(lengths(length - piece, depth))


@st.composite
def notes(draw, strings: int = 6, counts: st.SearchStrategy = NOTE_COUNTS) -> tuple[Note, ...]:
    """One head, a double stop of two or three, or (a rest) none."""
    heads = []
    free = list(range(1, strings + 1))
    for _ in range(draw(counts)):
        string = draw(maybe(st.sampled_from(free), None))
        if string is not None:
            free.remove(string)
        heads.append(Note(draw(pitches), draw(YES), draw(YES), string, draw(FRETS) if string else None,
                          draw(FINGERS), draw(DEGREES)))
    return tuple(sorted(heads, key=height))


@st.composite
def lines(draw, length: Fraction, strings: int = 6) -> tuple[Event, ...]:
    """Events that fill a bar of `length` quarters, with graces here and there."""
    events: list[Event] = []
    at = Fraction(0)

    def grace() -> None:
        if draw(LEVELS) == 4:
            events.append(Event(at, draw(GRACE_LENGTHS), draw(notes(strings, HEAD_COUNTS)), grace=True))

    for duration, tuplets in draw(lengths(length)):
        grace()
        events.append(Event(at, duration, draw(notes(strings)), tuplets, False, draw(SLURS), draw(MARKS),
                            draw(STROKES), draw(REMARKS), draw(LOUDNESS), draw(SWELLS)))
        at += duration
    grace()
    return tuple(events)


@st.composite
def marks(draw, length: Fraction, words: tuple[str, ...]) -> list[tuple[Fraction, str]]:
    """Words at ascending offsets inside the bar."""
    offsets = draw(st.lists(st.integers(0, 11), unique=True, max_size=2).map(sorted))
    return [(length * offset / 12, draw(st.sampled_from(words))) for offset in offsets]


@st.composite
def bars(draw, meter: Meter = Meter(), strings: int = 6, *, may_change: bool = True) -> Bar:  # noqa: B008  (frozen)
    """A bar under this meter, with callouts on its own notes only."""
    own_key = draw(maybe(keys, None)) if may_change else None
    own_meter = draw(maybe(meters, None)) if may_change else None
    full = (own_meter or meter).length
    length = draw(maybe(st.sampled_from((full / 2, full * 3 / 4, full * 2)), None))
    real = length or full
    events = () if draw(st.integers(0, 5)) == 0 else draw(lines(real, strings))
    bar = Bar(
        events=events, key=own_key, meter=own_meter, length=length,
        changes=tuple(Change(*mark) for mark in draw(marks(real, SYMBOLS))),
        readings=tuple(Reading(*mark) for mark in draw(marks(real, HARMONIES))),
        comment=draw(texts), barline=draw(maybe(st.sampled_from(("double", "final", "dashed")), "")),
        repeat_start=draw(maybe(st.just(True), False)), repeat_end=draw(maybe(st.integers(2, 4), 0)),
        ending=draw(maybe(st.sampled_from(("1", "2", "1, 3")), "")),
        rehearsal=draw(maybe(texts, "")), break_before=draw(maybe(st.sampled_from(("system", "page")), "")),
        recording=draw(maybe(seconds, None)), sign=draw(maybe(st.sampled_from(("segno", "coda")), "")),
        jump=draw(maybe(st.sampled_from(JUMPS), "")),
        dismissed=tuple(sorted({Dismissed(*mark) for mark in draw(marks(real, ("enclosure", "reading")))})))
    onsets = sorted(bar.onsets)
    spans = draw(st.lists(st.tuples(st.sampled_from(onsets), st.sampled_from(onsets)), max_size=2))
    return _with_callouts(bar, [draw(callouts(min(span), max(span))) for span in spans])


@st.composite
def callouts(draw, start: Fraction, stop: Fraction, bars_on: int = 0) -> Callout:
    source = draw(st.sampled_from(("teacher", "enclosure", "")))
    return Callout(start, stop, bars_on, draw(texts), draw(texts), source, draw(st.booleans()))


def _with_callouts(bar: Bar, more: list[Callout]) -> Bar:
    once = tuple(dict.fromkeys((*bar.callouts, *more)))
    return Bar(**{**{name: getattr(bar, name) for name in Bar.__dataclass_fields__}, "callouts": once})


guitarists = maybe(st.builds(
    Guitarist, st.sampled_from(SPANS), st.one_of(st.none(), st.integers(1, 24)), st.sampled_from(OPEN_STRINGS),
    st.sampled_from(PICKINGS), st.lists(st.integers(1, 10), unique=True).map(sorted).map(tuple), st.booleans()),
    Guitarist())
instruments = st.one_of(st.just(Instrument()), st.builds(
    Instrument, texts, st.sampled_from((GUITAR, (Pitch("B", 0, 1), *GUITAR), (Pitch("D", 0, 2), *GUITAR[1:]))),
    st.integers(19, 27), st.integers(0, 5)))


@st.composite
def studies(draw, max_bars: int = 5) -> Study:
    """A whole valid study, with callouts over the barline, choruses, a pickup, changes of key and meter."""
    instrument = draw(instruments)
    opening = meter = draw(meters)
    row = []
    for _ in range(draw(st.integers(1, max_bars))):
        row.append(draw(bars(meter, len(instrument.tuning))))
        meter = row[-1].meter or meter
    for index in range(len(row) - 1):
        if draw(st.booleans()):
            on = draw(st.integers(1, len(row) - 1 - index))
            row[index] = _with_callouts(row[index], [draw(callouts(
                draw(st.sampled_from(sorted(row[index].onsets))), draw(st.sampled_from(sorted(row[index + on].onsets))),
                on))])
    begins = draw(st.lists(st.integers(0, len(row) - 1), unique=True, max_size=3).map(sorted))
    words = {name: draw(texts) for name in ("title", "tune", "player", "transcriber", "recording", "rights")}
    return Study(
        **words, starts_at=draw(seconds), tempo=draw(st.integers(10, 500)),
        feel=draw(st.sampled_from(("swing", "straight"))), key=draw(keys), meter=opening, instrument=instrument,
        guitarist=draw(guitarists),
        choruses=tuple(Chorus(draw(texts), bar) for bar in begins), bars=tuple(row),
        first_number=draw(maybe(st.integers(0, 300), None)))
