"""Readings that the line proposes: stretches that another harmony explains clearly better than the chart.

Over the halves of all bars, the harmonies are chosen that explain the notes best in sum, a price being
paid each time the line leaves the chart for another harmony; found exactly, by dynamic programming.

Facts: harmony (as a reading writes it), chord (written), relation (of the harmony to the chart where the
stretch begins), fits (`6 of 8` notes), strong (`2 of 2` notes on the strongest beats), length (quarters, as text).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import chain
from typing import Final, NamedTuple

from core.harmony import ChordSymbol, parse_harmony
from core.line.analysis import Analysis, BarAnalysis
from core.line.finding import Finding, in_words
from core.line.hearings import Half, belongs, halves_of
from core.line.tones import Tone, Tones
from core.study import InForce, Key, Study

KIND: Final = "reading"
CHART: Final = ""

_STRONGEST = 3
_SURE = 0.6
_WHY = {
    "last chord": "the line stays where it was", "next chord": "the line is there early",
    "tritone substitute": "the tritone substitute", "related minor": "the minor chord that goes with it",
    "diminished on the third": "a diminished chord on the third",
    "diminished on the seventh": "a diminished chord on the seventh",
    "chord of the key": "another chord of the key", "the key": "the key goes on through the chord",
}
_Totals = dict[str, int]  # by harmony ("" for the chart): the best sum that ends in it, above the chart's
_Back = dict[str, str]  # by harmony: the one before it in the best row that ends in it


class _Weighed(NamedTuple):
    """A bar's halves and what they were weighed from."""

    found: BarAnalysis
    tones: tuple[Tone, ...]
    here: InForce
    last: ChordSymbol | None
    following: ChordSymbol | None
    halves: tuple[Half, ...]


class _Passed(NamedTuple):
    """A bar as the programme passed it: the totals before and after, and the way back through its halves."""

    halves: tuple[Half, ...]
    before: _Totals
    after: _Totals
    back: tuple[_Back, ...]


@dataclass(frozen=True)
class Proposals:
    """What is proposed, by the bar it begins in."""

    bars: tuple[tuple[Finding, ...], ...]
    _weighed: tuple[_Weighed, ...] = field(default=(), repr=False, compare=False)
    _passed: tuple[_Passed, ...] = field(default=(), repr=False, compare=False)


def proposals(study: Study, analysis: Analysis, tones: Tones, before: Proposals | None = None) -> Proposals:
    """The readings the line proposes. before: those of the study as it was before an edit, to build on."""
    weighed = _weigh(study, analysis, tones, before)
    passed = _pass([one.halves for one in weighed], before)
    bars: list[tuple[Finding, ...]] = [()] * len(weighed)
    rows = [one.halves for one in weighed]
    for span in _spans(rows, _way_back(passed)):
        finding = _finding(span)
        bars[finding.first.bar] += (finding,)
    return Proposals(tuple(bars), tuple(weighed), tuple(passed))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    harmony, evidence = _named(str(finding.fact("harmony"))), _evidence(finding)
    chart = _and([f"{{{chord}}}" for chord in str(finding.fact("chord")).split()])
    why = _WHY[str(finding.fact("relation"))]
    sure = finding.score >= _SURE
    shapes = (
        f"{evidence[0].upper()}{evidence[1:]} belong to {harmony}, while the chart says {chart}: {why}.",
        f"The chart says {chart}, but the line {'speaks' if sure else 'might speak'} {harmony}, {why}: "
        f"{evidence} belong there.",
        f"{'Hear' if sure else 'It might be'} {harmony} here and not {chart}: {why}, and {evidence} belong to it.",
    )
    return shapes[shape % len(shapes)]


def best_hearing(rows: Sequence[Sequence[Half]]) -> tuple[str, ...]:
    """The harmony of each half in turn, "" for the chart, that the sum of all gains less all prices is highest for."""
    return tuple(_way_back(_pass(rows, None)))


def _weigh(study: Study, analysis: Analysis, tones: Tones, before: Proposals | None) -> list[_Weighed]:
    known = {id(one.tones): one for one in before._weighed} if before else {}
    lasts, followings = _neighbours(analysis)
    weighed = []
    for here, found, own, last, following in zip(study.in_force, analysis.bars, tones.bars, lasts, followings,
                                                 strict=True):
        old = known.get(id(own))
        if (old is not None and old.found is found and old.tones is own and old.last is last
                and old.following is following and _alike(old.here, here)):
            weighed.append(old)
        else:
            weighed.append(_Weighed(found, own, here, last, following, halves_of(here, found, own, last, following)))
    return weighed


def _alike(one: InForce, other: InForce) -> bool:
    return one.key == other.key and one.meter == other.meter and one.bar.length == other.bar.length


def _neighbours(analysis: Analysis) -> tuple[list[ChordSymbol | None], list[ChordSymbol | None]]:
    """For each bar the last chord before it that is not its first, and the first after it that is not its last."""
    rows = [[span.chord for span in bar.chords if span.chord is not None] for bar in analysis.bars]
    followings = _nearest_other([row[::-1] for row in reversed(rows)])
    return _nearest_other(rows), followings[::-1]


def _nearest_other(rows: Sequence[Sequence[ChordSymbol]]) -> list[ChordSymbol | None]:
    """For each row the last chord of the rows before that is not its first."""
    found: list[ChordSymbol | None] = []
    last: ChordSymbol | None = None  # the chord that sounds, and the one it came after
    other: ChordSymbol | None = None
    for row in rows:
        found.append(other if row and row[0] is last else last)
        for chord in row:
            if chord is not last:
                last, other = chord, last
    return found


def _pass(rows: Sequence[Sequence[Half]], before: Proposals | None) -> list[_Passed]:
    known = {id(one.halves): one for one in before._passed} if before else {}
    passed = []
    totals: _Totals = {CHART: 0}
    for halves in rows:
        old = known.get(id(halves))
        if old is not None and old.halves is halves and old.before == totals:
            passed.append(old)
        else:
            passed.append(_pass_bar(tuple(halves), totals))
        totals = passed[-1].after
    return passed


def _pass_bar(halves: tuple[Half, ...], before: _Totals) -> _Passed:
    totals, backs = before, []
    for half in halves:
        best = max(totals, key=totals.__getitem__)  # of equals the first: the chart, or what was listed before
        back = {CHART: best}
        after = {CHART: totals[best]}
        for hearing in half.hearings:
            name, begun = hearing.harmony, totals[best] - hearing.price
            stayed = totals.get(name)
            if stayed is not None and stayed > begun:
                after[name], back[name] = stayed + hearing.gain, name
            else:
                after[name], back[name] = begun + hearing.gain, best
        base = after[CHART]
        totals = {name: total - base for name, total in after.items()}
        backs.append(back)
    return _Passed(halves, before, totals, tuple(backs))


def _way_back(passed: Sequence[_Passed]) -> list[str]:
    if not passed:
        return []
    totals = passed[-1].after
    at = max(totals, key=totals.__getitem__)
    way = []
    for one in reversed(passed):
        for back in reversed(one.back):
            way.append(at)
            at = back[at]
    way.reverse()
    return way


def _spans(rows: Sequence[Sequence[Half]], way: Sequence[str]) -> Iterator[tuple[str, list[Half]]]:
    """The stretches of one harmony other than the chart."""
    harmony, span = CHART, list[Half]()
    for half, name in zip(chain.from_iterable(rows), way, strict=True):
        if name != harmony:
            if harmony:
                yield harmony, span
            harmony, span = name, []
        span.append(half)
    if harmony:
        yield harmony, span


def _finding(span: tuple[str, list[Half]]) -> Finding:
    name, halves = span
    harmony = parse_harmony(name)
    tones = [tone for half in halves for tone in half.tones]
    strong = [tone for tone in tones if tone.strength == _STRONGEST]
    first = next(hearing for hearing in halves[0].hearings if hearing.harmony == name)
    gain = sum(hearing.gain for half in halves for hearing in half.hearings if hearing.harmony == name)
    facts = (
        ("harmony", name), ("chord", " ".join(dict.fromkeys(chain.from_iterable(half.written for half in halves)))),
        ("relation", first.relation), ("fits", _share(tones, harmony)), ("strong", _share(strong, harmony)),
        ("length", str(sum((half.length for half in halves), Fraction(0)))),
    )
    return Finding(KIND, tones[0].place, tones[-1].place, facts, round(min(0.95, 0.3 + 0.2 * gain / first.price), 2))


def _share(tones: Sequence[Tone], harmony: ChordSymbol | Key) -> str:
    return f"{sum(belongs(tone, harmony) for tone in tones)} of {len(tones)}"


def _named(harmony: str) -> str:
    heard = parse_harmony(harmony)
    return f"{{{heard.tonic.name}}} {heard.mode}" if isinstance(heard, Key) else f"{{{harmony}}}"


def _evidence(finding: Finding) -> str:
    """`six of eight notes, and both strong beats,`."""
    fits, notes = map(int, str(finding.fact("fits")).split(" of "))
    on_beat, beats = map(int, str(finding.fact("strong")).split(" of "))
    share = f"all {in_words(notes)} notes" if fits == notes else f"{in_words(fits)} of {in_words(notes)} notes"
    if not on_beat or beats == 1:
        return share
    if on_beat < beats:
        return f"{share}, and {in_words(on_beat)} of {in_words(beats)} strong beats,"
    return f"{share}, and {'both' if beats == 2 else 'all'} strong beats,"


def _and(words: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))
