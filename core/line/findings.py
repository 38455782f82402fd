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
    _windows: tuple[_Window, ...] = field(default=(), repr=False, compare=False)


def find(study: Study, analysis: Analysis, before: Findings | None = None) -> Findings:
    """Everything the devices notice. before: the findings as they were before an edit, to build on."""
    tones = tones_of(study, analysis, before.tones if before else None)
    known = dict(zip(map(_names, before._windows), before.bars, strict=True)) if before else {}
    windows = tuple(_Window(min(at, _BEFORE), tones.bars[max(0, at - _BEFORE):at + _AFTER + 1])
                    for at in range(len(tones.bars)))
    bars = []
    for window in windows:
        found = known.get(_names(window))
        bars.append(found if found is not None else _search(window))
    return Findings(tuple(bars), tones, windows)


def _names(window: _Window) -> tuple[int, ...]:
    """By identity: equal tones of other bars stand elsewhere."""
    return window.at, *map(id, window.bars)


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
