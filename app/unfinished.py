"""What a study still lacks, bar by bar: words, decisions, notes a hand can take, clean ink."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

from app import page_faults
from app import words_about as words
from app.notices import notices_of
from core.handout import Layout
from core.handout.inspect import Flaw
from core.line.telling import Told
from core.study import Study

Kind = Literal["words", "hand", "finding", "ink"]


class Gap(NamedTuple):
    """bar: index; what: in a few words."""

    bar: int
    kind: Kind
    what: str


def gaps(layout: Layout, told: Told, flaws: Sequence[Flaw]) -> list[Gap]:
    """All that is missing, in the order of the bars. flaws: what is known to be wrong with the pages' ink."""
    found = [*_unspoken(layout.study), *_at_fault(layout), *_undecided(told), *_ink(flaws)]
    return sorted(found, key=lambda gap: gap.bar)


def _unspoken(study: Study) -> Iterator[Gap]:
    """Bars that sound, with no comment of their own and no callout about any of their notes."""
    reached = -1
    for index, bar in enumerate(study.bars):
        reached = max([reached, *(index + callout.bars_on for callout in bar.callouts)])
        sounds = any(event.notes for event in bar.events)
        if sounds and not bar.comment.strip() and reached < index:
            yield Gap(index, "words", words.NO_WORDS)


def _at_fault(layout: Layout) -> Iterator[Gap]:
    return (Gap(notice.bar, "hand", notice.what) for notice in notices_of(layout))


def _undecided(told: Told) -> Iterator[Gap]:
    for bar, chosen in enumerate(told.chosen):
        if chosen:
            name = words.TO_DECIDE.get(len(chosen), words.TO_DECIDE[2])
            yield Gap(bar, "finding", name.format(count=len(chosen)))


def _ink(flaws: Sequence[Flaw]) -> Iterator[Gap]:
    return (Gap(flaw.bar or 0, "ink", page_faults.words_for(flaw)) for flaw in flaws)


def next_with_gap(found: Sequence[Gap], bar: int, by: int) -> int | None:
    """The nearest bar after (by 1) or before (by -1) this one that lacks something; None where none does."""
    bars = [gap.bar for gap in found if (gap.bar - bar) * by > 0]
    return (min(bars) if by > 0 else max(bars)) if bars else None
