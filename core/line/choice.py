"""Which findings to tell: the few that together say most of each bar without saying the same notes twice.

Two that are chosen may share one note, where the one ends and the next begins; of one note alone only one
thing is told, and a bar begins three at most. Of all such choices the heaviest is found, by dynamic programming.

Readings stand apart: they say what the notes belong to, not what they do, and so may lie over the others.
They never overlap (see `readings`), all that are sure enough are told, and each takes one of its bar's three
places. A target lies in the same row as the others: the run or the enclosure that arrives on it says it too.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from core.line.finding import Finding, Kind

MOST: Final = 3
"""Findings that begin in one bar."""

_TOO_WEAK = 0.35
_IN_A_BAR = 8  # events a bar, where a finding crosses a barline
_LONGEST = 16  # notes from which length counts no more
_TELLING: dict[Kind, int] = {
    "enclosure": 10, "guide-tone": 10, "cell": 9, "arpeggio": 9, "altered": 9, "passing-half-step": 9, "sequence": 9,
    "return": 10, "anticipation": 7, "delay": 7, "run": 7, "target": 6, "turn": 6, "neighbour": 4, "reading": 10,
}
_Found = Sequence[tuple[Finding, ...]]
_Edge = tuple[int, int, int]  # bar, event, and 1 for just after it
_Rival = tuple[_Edge, _Edge, int, int, Finding]  # from, to, weight, bar


class _Stretch(NamedTuple):
    """Bars over whose ends no finding reaches, and what was chosen in each."""

    found: tuple[tuple[Finding, ...], ...]
    chosen: tuple[tuple[Finding, ...], ...]


class _Span(NamedTuple):
    """From where to where the findings that begin in a bar take up the line; begins: None where there are none."""

    found: tuple[Finding, ...]
    begins: _Edge | None
    stops: _Edge


@dataclass(frozen=True)
class Choice:
    """The chosen findings, by the bar each begins in, in playing order."""

    bars: tuple[tuple[Finding, ...], ...]
    _stretches: tuple[_Stretch, ...] = field(default=(), repr=False, compare=False)
    _spans: tuple[_Span, ...] = field(default=(), repr=False, compare=False)


def choose(found: _Found, before: Choice | None = None) -> Choice:
    """The findings to tell. found: by the bar each begins in. before: the choice before an edit, to build on."""
    known = {tuple(map(id, one.found)): one for one in before._stretches} if before else {}
    spans = _spans(found, before._spans if before else ())
    stretches = []
    for start, stop in _cut(spans):
        bars = tuple(found[start:stop])
        stretches.append(known.get(tuple(map(id, bars))) or _Stretch(bars, _choose(bars)))
    return Choice(tuple([bar for one in stretches for bar in one.chosen]), tuple(stretches), spans)


def weight(finding: Finding) -> int:
    """What telling it is worth: by its kind, its score and its length; 0 where it is too weak to tell."""
    if finding.score < _TOO_WEAK:
        return 0
    notes = _IN_A_BAR * (finding.last.bar - finding.first.bar) + finding.last.event - finding.first.event + 1
    return round(100 * finding.score) * _TELLING[finding.kind] * (_IN_A_BAR + min(notes, _LONGEST))


def reach(finding: Finding) -> tuple[_Edge, _Edge]:
    """From where to where it takes up the line: its end notes are shared, a note alone is taken whole."""
    first, last = finding.first[:2], finding.last[:2]
    return ((*first, 0), (*first, 1)) if first == last else ((*first, 1), (*last, 0))


def _spans(found: _Found, before: Sequence[_Span]) -> tuple[_Span, ...]:
    return tuple([before[bar] if bar < len(before) and before[bar].found is own else _span(own)
                  for bar, own in enumerate(found)])


def _span(own: tuple[Finding, ...]) -> _Span:
    rivals = [reach(finding) for finding in own if finding.kind != "reading"]
    return _Span(own, min((begin for begin, _ in rivals), default=None),
                 max((stop for _, stop in rivals), default=(0, 0, 0)))


def _cut(spans: Sequence[_Span]) -> Iterator[tuple[int, int]]:
    """Stretches of bars that no finding reaches out of."""
    start = 0
    end: _Edge = (0, 0, 0)
    for bar, span in enumerate(spans):
        if bar > start and end <= (span.begins or (bar + 1, 0, 0)):
            yield start, bar
            start = bar
        end = max(end, span.stops)
    if spans:
        yield start, len(spans)


def _choose(found: _Found) -> tuple[tuple[Finding, ...], ...]:
    rivals = sorted(((*reach(finding), weight(finding), bar, finding) for bar, own in enumerate(found)
                     for finding in own if finding.kind != "reading" and weight(finding)), key=lambda one: one[:2])
    readings = [[finding for finding in own if finding.kind == "reading" and weight(finding)] for own in found]
    chosen = [list(own[:MOST]) for own in readings]
    for bar, finding in _heaviest(rivals, [MOST - len(own) for own in chosen]):
        chosen[bar].append(finding)
    return tuple(tuple(sorted(own, key=lambda one: (one.first, one.last))) for own in chosen)


def _heaviest(rivals: Sequence[_Rival], room: Sequence[int]) -> Iterator[tuple[int, Finding]]:
    """The heaviest row of rivals, sorted by where they begin, that do not overlap; room: how many each bar takes."""
    begins = [begin for begin, *_ in rivals]
    count = len(rivals)
    after = [bisect_left(begins, end) for _, end, *_ in rivals]
    best = [[0] * (MOST + 1) for _ in range(count + 1)]  # from each rival on, with so much room left in its bar

    def going_on(at: int, bar: int, left: int) -> int:
        if at == count:
            return 0
        return best[at][left if rivals[at][3] == bar else room[rivals[at][3]]]

    for at in range(count - 1, -1, -1):
        _, _, own, bar, _ = rivals[at]
        for left in range(MOST + 1):
            skipped = going_on(at + 1, bar, left)
            best[at][left] = max(skipped, own + going_on(after[at], bar, left - 1)) if left else skipped
    at, left = 0, room[rivals[0][3]] if rivals else 0
    while at < count:
        _, _, own, bar, finding = rivals[at]
        told = left > 0 and best[at][left] > going_on(at + 1, bar, left)
        if told:
            yield bar, finding
        at, left = (after[at], left - 1) if told else (at + 1, left)
        if at < count and rivals[at][3] != bar:
            left = room[rivals[at][3]]
