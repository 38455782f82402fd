"""A whole study in a few figures: its range, how dense it is, what it does and where, what to practise first.

Listeners agree only so far on what a solo is made of (Frieler et al., Musicae Scientiae 20(2), 2016, second-hand),
and no share of chord tones on strong beats is established (Järvinen, Music Perception 12(4), 1995, gives none):
the summary counts, with what it counts from, and rates nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from typing import NamedTuple, TypeVar

from core.errors import BarglossError
from core.harmony import parse_harmony
from core.line.finding import Finding, Kind
from core.line.tones import Tone
from core.study import Key, Pitch, Study

Count = tuple[str, int]
_T = TypeVar("_T")
_Bars = Sequence[Sequence[_T]]

_FIRST_BEAT = 3  # the strength of the strong beats: the first of the bar and of its second half
_TO_PRACTISE = 3  # bars named at most
_BARS_FOR_ONE = 4  # one of so many is named
_AS_NOTES = 2  # a sure finding weighs as so many notes
_SHOWN = 6  # degrees and cells named
_NAMES: dict[Kind, str] = {"altered": "altered dominant", "guide-tone": "guide-tone line", "return": "returning idea"}


class Departure(NamedTuple):
    """Where the line leaves the written harmony. bar, to: indices; evidence: "" where the teacher set the reading."""

    bar: int
    to: int
    written: str
    heard: str
    evidence: str


@dataclass(frozen=True, slots=True)
class Summary:
    """lowest, highest: None where nothing sounds. seconds: at the study's tempo, rests counted.

    devices: how many findings of each kind, readings apart; strong: degrees on strong beats; cells: digital
    patterns in their plainest reading; all from the most frequent down. practise: indices of bars.
    """

    lowest: Pitch | None
    highest: Pitch | None
    bars: int
    notes: int
    seconds: Fraction
    devices: tuple[tuple[Kind, int], ...]
    strong: tuple[Count, ...]
    cells: tuple[Count, ...]
    departures: tuple[Departure, ...]
    practise: tuple[int, ...]

    @property
    def notes_a_bar(self) -> float:
        """To one place."""
        return round(self.notes / self.bars, 1)

    @property
    def notes_a_second(self) -> float:
        """To one place."""
        return round(float(self.notes / self.seconds), 1)


def summarise(study: Study, tones: _Bars[Tone], noticed: _Bars[Finding], chosen: _Bars[Finding]) -> Summary:
    """The figures of the whole study. noticed: all of it, dismissed or not; chosen: only for the readings proposed."""
    line = tuple(chain.from_iterable(tones))
    found = tuple(chain.from_iterable(noticed))
    by_height = sorted((tone.pitch for tone in line), key=lambda pitch: pitch.midi)
    quarters = sum((here.length for here in study.in_force), Fraction(0))
    kinds: Counter[Kind] = Counter(finding.kind for finding in found if finding.kind != "reading")
    return Summary(
        by_height[0] if by_height else None, by_height[-1] if by_height else None,
        len(study.bars), len(line), quarters * 60 / study.tempo, tuple(kinds.most_common()),
        _counted(tone.degree for tone in line if tone.strength == _FIRST_BEAT and tone.degree),
        _counted(str(finding.fact("plain")) for finding in found if finding.kind == "cell"),
        tuple(sorted({*_stored(study), *_proposed(chain.from_iterable(chosen))})), _practise(study, tones, noticed))


def _counted(names: Iterable[str]) -> tuple[Count, ...]:
    return tuple(Counter(names).most_common())


def _stored(study: Study) -> Iterator[Departure]:
    """The teacher's own readings, those that run on from bar to bar as one."""
    run: Departure | None = None
    for here in study.in_force:
        for reading in here.bar.readings:
            if not reading.harmony.strip():
                continue
            if run and run.heard == reading.harmony and here.index - run.to == 1 and not reading.offset:
                run = run._replace(to=here.index)
                continue
            if run:
                yield run
            run = Departure(here.index, here.index, "", reading.harmony, "")
    if run:
        yield run


def _proposed(chosen: Iterable[Finding]) -> Iterator[Departure]:
    for finding in chosen:
        if finding.kind == "reading":
            yield Departure(finding.first.bar, finding.last.bar, str(finding.fact("chord")),
                            str(finding.fact("harmony")), str(finding.fact("fits")))


def _practise(study: Study, tones: _Bars[Tone], noticed: _Bars[Finding]) -> tuple[int, ...]:
    """The fullest whole bars, the fullest first: notes, and findings by their scores, against the time they take."""
    full = []
    heard: set[tuple[tuple[int, Fraction], ...]] = set()
    for here, notes, findings in zip(study.in_force, tones, noticed, strict=True):
        music = tuple((tone.midi, tone.onset) for tone in notes)
        if findings and music not in heard and here.length >= here.meter.length:  # no pickup, and no bar twice
            weight = len(notes) + _AS_NOTES * sum(finding.score for finding in findings)
            full.append((-weight / here.length, here.index))
        heard.add(music)
    return tuple(index for _, index in sorted(full)[:min(_TO_PRACTISE, 1 + len(study.bars) // _BARS_FOR_ONE)])


def summary_lines(summary: Summary, study: Study) -> tuple[str, ...]:
    """The summary in sentences, with music tokens; bars by their printed numbers."""
    return tuple(_lines(summary, study)) if summary.notes else ("Nothing sounds in this study yet.",)


def _lines(summary: Summary, study: Study) -> Iterator[str]:
    if summary.lowest and summary.highest:
        width = summary.highest.midi - summary.lowest.midi
        yield f"Range: {_height(summary.lowest)} to {_height(summary.highest)}, {_number(width, 'half step')}."
    yield (f"Density: {summary.notes_a_bar} notes a bar, {summary.notes_a_second} a second at {study.tempo} "
           "quarter notes a minute, rests counted in.")
    if summary.devices:
        yield ("What may be heard in it: "
               + _listed([_number(count, _NAMES.get(kind, kind.replace("-", " ")))
                          for kind, count in summary.devices]) + ".")
    if summary.strong:
        notes = sum(count for _, count in summary.strong)
        yield (f"On strong beats, {_number(notes, 'note')} in all: "
               + _listed([f"{{{degree}}} ({count})" for degree, count in summary.strong[:_SHOWN]]) + ".")
    often = [(cell, count) for cell, count in summary.cells if count > 1][:_SHOWN // 2]
    if often:
        yield ("Favourite cells: "
               + _listed([f"{_tokens(cell)} ({count})" for cell, count in often]) + ".")
    yield from _departed(summary.departures, study)
    if summary.practise:
        bars = _listed([str(study.in_force[index].number) for index in summary.practise])
        yield (f"Practise first: bar{'s' if len(summary.practise) > 1 else ''} {bars}, the fullest by the notes and "
               "the devices in them.")


def _departed(departures: Sequence[Departure], study: Study) -> Iterator[str]:
    """The teacher's readings, those of one harmony together; then what is proposed."""
    read: dict[str, list[str]] = {}
    for departure in departures:
        if not departure.evidence:
            read.setdefault(departure.heard, []).append(_bars(departure, study))
    for heard, where in read.items():
        yield f"Read in {_harmony(heard)}: {_listed(where)}."
    for departure in departures:
        if departure.evidence:
            yield (f"Might be heard in {_harmony(departure.heard)}: {_bars(departure, study)}, where "
                   f"{departure.evidence} notes fit; the chart has {_tokens(departure.written)}.")


def _bars(departure: Departure, study: Study) -> str:
    first, last = (study.in_force[index].number for index in (departure.bar, departure.to))
    return f"bar {first}" if first == last else f"bars {first} to {last}"


def _harmony(text: str) -> str:
    """`key of Bb major` as the key of {Bb} major; a chord as a token; as it stands where it cannot be read."""
    try:
        heard = parse_harmony(text)
    except BarglossError:
        return text
    return f"the key of {{{heard.tonic.name}}} {heard.mode}" if isinstance(heard, Key) else f"{{{text}}}"


def _height(pitch: Pitch) -> str:
    return f"{{{pitch.pitch_class.name}}}{pitch.octave}"


def _tokens(row: str) -> str:
    return " ".join(f"{{{name}}}" for name in row.split())


def _number(count: int, one: str) -> str:
    return f"{count} {one}" + ("" if count == 1 else "s")


def _listed(parts: Sequence[str]) -> str:
    """`a, b and c`."""
    return " and ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))
