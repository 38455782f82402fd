"""A bar's commentary as it could stand under it: one to three sentences on the chosen findings, in playing order.

A sentence takes the wording that its facts point to; where that shape has just been used it takes the next,
so that a page does not repeat itself and an edit rewords no more bars than it must.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple
from zlib import crc32

from core.line.accepting import callout_of
from core.line.finding import Fact, Finding, Kind
from core.line.telling import tell
from core.study import NotePlace, Study, edits

_MOST = 3  # sentences a bar
_ALIKE = 2  # of one kind in a bar
_IN_A_ROW = 4  # bars with one shape
_SURE = 0.5  # a score below it is told as what might be
_IN_ITS_KEY = ("tonic", "chord", "over", "into", "heard", "harmony")  # facts that a transposition changes

Shape = tuple[Kind, int]
"""Which of its device's wordings a sentence has."""


class Draft(NamedTuple):
    """What could be said about a bar, and from which note to which; kinds: of the findings it joins, in order."""

    bar: int
    text: str
    kinds: tuple[Kind, ...]
    first: NotePlace
    last: NotePlace

    @property
    def source(self) -> str:
        """What a callout made from it keeps as its source."""
        return ", ".join(dict.fromkeys(self.kinds))


class _Used(NamedTuple):
    """The shapes of two bars ago, of the last bar and of this one, each with how many bars in a row have had it."""

    earlier: dict[Shape, int]
    before: dict[Shape, int]
    said: dict[Shape, int]

    def rank(self, shape: Shape) -> tuple[bool, int, bool]:
        """The fresher the lower."""
        return shape in self.said, self.before.get(shape, 0), shape in self.earlier


def drafts(study: Study, chosen: Sequence[Sequence[Finding]]) -> tuple[Draft | None, ...]:
    """One draft a bar, None where nothing was chosen. chosen: by the bar each begins in, in playing order."""
    found: list[Draft | None] = []
    used = _Used({}, {}, {})
    for bar, all_of_bar in enumerate(chosen):
        used = _Used(used.before, used.said, {})
        told = []
        for finding in _telling(all_of_bar):
            sentence, shape = _worded(finding, used)
            row = used.before.get(shape, 0) + 1
            if row <= _IN_A_ROW:
                used.said[shape] = row
                told.append((finding, sentence))
        found.append(_draft(study, bar, told) if told else None)
    return tuple(found)


def _draft(study: Study, bar: int, told: Sequence[tuple[Finding, str]]) -> Draft:
    findings = [finding for finding, _ in told]
    return Draft(bar, " ".join(_joined(study, told)), tuple(finding.kind for finding in findings),
                 findings[0].first, max(finding.last for finding in findings))


def accept_draft(study: Study, draft: Draft) -> Study:
    """The study with the draft as a callout of its notes; itself where it stands there already."""
    callout = callout_of(study, draft.first, draft.last, draft.text, draft.source)
    return study if callout in study.bars[draft.bar].callouts else edits.add_callout(study, draft.bar, callout)


def _telling(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The few that are told: the surest, of each kind two at most; in the order they came in."""
    ranked = sorted(range(len(findings)), key=lambda at: -findings[at].score)
    kept: list[int] = []
    for at in ranked:
        alike = sum(findings[other].kind == findings[at].kind for other in kept)
        if len(kept) < _MOST and alike < _ALIKE:
            kept.append(at)
    return tuple(findings[at] for at in sorted(kept))


def _worded(finding: Finding, used: _Used) -> tuple[str, Shape]:
    """Of the device's wordings, from the one its facts point to on, the first of those that are least used."""
    wordings = _wordings(_at_the_start(finding))
    first = _seed(finding.kind, finding.facts)
    shape = min([(finding.kind, (first + turn) % len(wordings)) for turn in range(len(wordings))], key=used.rank)
    return wordings[shape[1]], shape


def _at_the_start(finding: Finding) -> Finding:
    """As it would be in the first bar: where it stands changes no word."""
    bar = finding.first.bar
    return finding._replace(first=finding.first._replace(bar=0), last=finding.last._replace(bar=finding.last.bar - bar))


@lru_cache(maxsize=4096)
def _wordings(finding: Finding) -> tuple[str, ...]:
    """All that its device has for it."""
    found = [tell(finding)]
    while (sentence := tell(finding, len(found))) != found[0]:
        found.append(sentence)
    return tuple(found)


@lru_cache(maxsize=4096)
def _seed(kind: Kind, facts: tuple[tuple[str, Fact], ...]) -> int:
    """The same in every process, key and place."""
    return crc32(repr((kind, [fact for fact in facts if fact[0] not in _IN_ITS_KEY])).encode())


def _joined(study: Study, told: Sequence[tuple[Finding, str]]) -> Iterator[str]:
    """The sentences, the later ones opened by where they begin or what they follow."""
    yield told[0][1]
    opened = ""
    for (before, _), (finding, sentence) in pairwise(told):
        ways = [way for way in _openings(study, before, finding, sentence) if way != opened]
        opened = ways[_seed(finding.kind, finding.facts) // 8 % len(ways)] if ways else ""
        yield f"{opened} {_in_mid_sentence(sentence)}" if opened else sentence


def _openings(study: Study, before: Finding, finding: Finding, sentence: str) -> list[str]:
    """Words that may stand before a later sentence, "" among them."""
    ways = [""]
    if finding.score < _SURE:  # "Then this might be" says nothing surely
        return ways
    if finding.first >= before.last:
        ways.append("Then")
    here = study.in_force[finding.first.bar]
    onset = study.event_at(finding.first).onset
    if "beat" not in sentence and here.length == here.meter.length and onset in here.meter.beats:
        ways.append(f"From beat {here.meter.beats.index(onset) + 1},")
    if finding.last.bar > finding.first.bar and "bar" not in sentence:
        ways.append("Across the barline,")
    return ways


def _in_mid_sentence(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]
