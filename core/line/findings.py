"""What the devices find in a study, bar by bar; a bar is searched once.

A device sees the bar before and the two after, so a finding ends two bars after the one it begins in
at the latest, and a bar's findings hang on the tones of four bars alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import chain
from typing import NamedTuple

from core.line.analysis import Analysis
from core.line.devices import DEVICES
from core.line.finding import Finding
from core.line.tones import Tone, Tones, tones_of
from core.study import NotePlace, Study

_BEFORE, _AFTER = 1, 2


class _Window(NamedTuple):
    """The bars a bar's devices see; at: which of them is its own."""

    at: int
    bars: tuple[tuple[Tone, ...], ...]


@dataclass(frozen=True)
class Findings:
    """What was found, by the bar it begins in, in playing order."""

    bars: tuple[tuple[Finding, ...], ...]
    tones: Tones = field(repr=False)


def find(study: Study, analysis: Analysis, before: Findings | None = None) -> Findings:
    """Everything the devices notice. before: the findings as they were before an edit, to build on."""
    tones = tones_of(study, analysis, before.tones if before else None)
    old = before.tones.bars if before else ()
    kept = [at < len(old) and own is old[at] for at, own in enumerate(tones.bars)]
    ends = len(old) == len(kept)
    bars = []
    for at in range(len(kept)):
        start, stop = max(0, at - _BEFORE), at + _AFTER + 1
        if before is not None and all(kept[start:stop]) and (ends or stop <= min(len(old), len(kept))):
            bars.append(before.bars[at])
        else:
            bars.append(_search(_Window(at - start, tones.bars[start:stop])))
    return Findings(tuple(bars), tones)


def _search(window: _Window) -> tuple[Finding, ...]:
    start = sum(map(len, window.bars[:window.at]))
    stop = start + len(window.bars[window.at])
    if start == stop:
        return ()
    line = tuple(chain.from_iterable(window.bars))
    found = [finding for device in DEVICES for finding in device.find(line, start, stop)]
    return tuple(sorted(found, key=_playing_order))


def _playing_order(finding: Finding) -> tuple[NotePlace, NotePlace, str]:
    return finding.first, finding.last, finding.kind
