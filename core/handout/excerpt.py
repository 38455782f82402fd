"""Some bars of a study, read and fingered as the whole study is and only then cut out.

What a note is, and how a hand takes it, depends on what comes before and after it: an excerpt must say of its notes
what the whole handout says of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from core.guitar import Fingering, finger
from core.line import Analysis, BarAnalysis, analyse
from core.study import Pitch, Study, bars_between


@dataclass(frozen=True)
class Excerpt:
    """The bars from index `first` to `last` of the whole study."""

    whole: Study
    first: int
    last: int

    @cached_property
    def study(self) -> Study:
        """The bars as a study of their own; the whole one itself where they are all of it."""
        return bars_between(self.whole, self.first, self.last)

    @cached_property
    def analysis(self) -> Analysis:
        """Of these bars; the chord that the first of them begins under counts as written there."""
        opening, *others = analyse(self.whole).bars[self.first:self.last + 1]
        return Analysis((_opened(opening, self.study), *others))

    @cached_property
    def fingering(self) -> Fingering:
        """Of these bars, with the notices that are about them."""
        found = finger(self.whole)
        notices = [(place._replace(bar=place.bar - self.first), what) for place, what in found.notices
                   if self.first <= place.bar <= self.last]
        return Fingering(found.bars[self.first:self.last + 1], tuple(notices))

    @property
    def held(self) -> tuple[Pitch, ...]:
        """What sounds on into the first bar from the one before it."""
        before = self.whole.bars[self.first - 1].events[-1:] if self.first else ()
        return tuple([note.pitch for event in before for note in event.notes if note.tie])


def all_of(study: Study) -> Excerpt:
    return Excerpt(study, 0, len(study.bars) - 1)


def _opened(bar: BarAnalysis, study: Study) -> BarAnalysis:
    if not bar.chords or bar.chords[0].offset:
        return bar
    opening = bar.chords[0]._replace(symbol=study.bars[0].changes[0].symbol, carried=False)
    return replace(bar, chords=(opening, *bar.chords[1:]))
