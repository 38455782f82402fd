"""Whole bars in and out of a study: inserting, deleting, a passage as a study of its own, and laid over other bars.

Bars that stay keep the key, the meter and the chord they stood under. Callouts keep to the notes that
are left, choruses to the bars that are left; where nothing is left of one, it goes.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial, reduce
from itertools import pairwise

from core.errors import BarglossError
from core.study.edits import change_reaching, replace_bar
from core.study.pitch import Key, Meter
from core.study.study import AGAIN, NO_CHORD, Harmony, InForce, NotePlace, Study, bar_length, says_again
from core.study.values import Bar, Callout, Change, Chorus
from core.study.writing import settle_ties

_SILENT = Harmony()


def chorus_span(study: Study, chorus: int) -> tuple[int, int]:
    """Indices of the first and last bar of a chorus, counted from 1. Raises BarglossError."""
    starts = [one.bar for one in study.choruses]
    if not 1 <= chorus <= len(starts):
        there = f"it has {len(starts)}" if starts else "none is marked in it, name bars instead"
        raise BarglossError(f"the study has no chorus {chorus}; {there}")
    return starts[chorus - 1], [*starts[1:], len(study.bars)][chorus - 1] - 1


def bars_between(study: Study, first: int, last: int) -> Study:
    """The bars from index `first` to `last` as a study of their own, under the numbers they had.

    It opens in the key, meter, chord and chorus that were in force. Raises BarglossError where there are no such bars.
    """
    check_span(study, first, last)
    if (first, last) == (0, len(study.bars) - 1):
        return study
    return _keep(study, range(first, last + 1), study.in_force[first].number)


def delete_bars(study: Study, first: int, last: int) -> Study:
    """The study without the bars from index `first` to `last`. Raises BarglossError where none would be left."""
    check_span(study, first, last)
    if (first, last) == (0, len(study.bars) - 1):
        raise BarglossError("a study needs at least one bar; leave one, or start a new study")
    return _keep(study, [*range(first), *range(last + 1, len(study.bars))], study.first_number)


def insert_bars(study: Study, index: int, bars: Sequence[Bar]) -> Study:
    """The study with these bars before the one at `index` (at the end where index is the number of bars).

    They join the chorus of the bar before them. Raises Faults where they do not fit the meter there.
    """
    if not 0 <= index <= len(study.bars):
        raise BarglossError(f"there is no place {index + 1} among {len(study.bars)} bars; choose a bar of the study")
    if not bars:
        return study
    more = len(bars)

    def widened(callout: Callout, at: int) -> Callout:
        spans = at + callout.bars_on >= index
        return replace(callout, bars_on=callout.bars_on + more) if spans else callout

    before = [change_reaching(bar, partial(widened, at=at)) for at, bar in enumerate(study.bars[:index])]
    row = [*before, *bars, *study.bars[index:]]
    if index < len(study.bars):
        standing = reduce(Standing.after, row[:index + more], Standing(study.key, study.meter))
        row[index + more] = under(row[index + more], study.in_force[index], standing)
    choruses = tuple(Chorus(one.label, one.bar + more if one.bar >= index else one.bar) for one in study.choruses)
    return replace(study, bars=tuple(row), choruses=choruses)


def covers_bars(study: Study, first: NotePlace, last: NotePlace) -> bool:
    """Whether nothing sounds before the first event in its bar, or after the last one in its own."""
    before = study.bars[first.bar].events[:first.event]
    after = study.bars[last.bar].events[last.event + 1:]
    return not any(event.notes for event in (*before, *after))


def bars_over(study: Study, index: int, passage: Study) -> Study | None:
    """The study with the bars of a passage laid over its own from `index` on, and over new ones at its end.

    They bring their notes, readings and callouts, and their chord symbols and comments where they have any. What
    belongs to the form stays (key, meter, barlines, signs, …), and the bars after keep the chord they stood under.
    None where a bar is not as long as the one it would lie on.
    """
    end = index + len(passage.bars)
    longer = replace(study, bars=(*study.bars, *[Bar()] * (end - len(study.bars))))
    if any(here.length != new.length for here, new in zip(longer.in_force[index:end], passage.in_force, strict=True)):
        return None
    changed = any(bar.changes for bar in passage.bars)
    laid = longer
    for at, new in reversed([*enumerate(passage.bars, index)]):  # so that callouts find the notes they end on
        old = longer.bars[at]
        laid = replace_bar(laid, at, replace(
            old, events=new.events, readings=new.readings, callouts=new.callouts, dismissed=new.dismissed,
            changes=new.changes if changed else old.changes, comment=new.comment or old.comment))
    if end < len(study.bars) and study.in_force[end].chord:
        after = under(laid.bars[end], study.in_force[end], Standing.before(laid, end))
        laid = replace_bar(laid, end, after)
    return settle_ties(laid, index, end - 1)


@dataclass(frozen=True, slots=True)
class Standing:
    """The key and meter in force after some bars, and the chords of the last of them."""

    key: Key
    meter: Meter
    harmony: Harmony = _SILENT

    @staticmethod
    def before(study: Study, index: int) -> Standing:
        """What is in force before the bar at `index`, which may be the end."""
        return reduce(Standing.after, study.bars[:index], Standing(study.key, study.meter))

    def after(self, bar: Bar) -> Standing:
        meter = bar.meter or self.meter
        return Standing(bar.key or self.key, meter, self.harmony.after(bar.changes, bar_length(bar, meter)))


def check_span(study: Study, first: int, last: int) -> None:
    if not 0 <= first <= last < len(study.bars):
        raise BarglossError(f"places {first + 1} to {last + 1} are no stretch of the study's {len(study.bars)} bars; "
                            "give its first and its last bar")


def _keep(study: Study, kept: Sequence[int], first_number: int | None) -> Study:
    """The study of the bars at these old indices, in order."""
    bars = _with_callouts_cut(study, kept)
    key, meter, starts_at = study.key, study.meter, study.starts_at
    if kept[0] > 0:
        opening = study.in_force[kept[0]]
        key, meter, starts_at = opening.key, opening.meter, opening.bar.recording
    standing = Standing(key, meter)
    for place, old in enumerate(kept):
        if old != (kept[place - 1] + 1 if place else 0):
            bars[place] = under(bars[place], study.in_force[old], standing)
        standing = standing.after(bars[place])
    return replace(study, bars=tuple(bars), key=key, meter=meter, starts_at=starts_at, first_number=first_number,
                   choruses=_choruses_left(study, kept))


def under(bar: Bar, was: InForce, standing: Standing) -> Bar:
    """The bar, saying for itself what it stood under and no longer would."""
    key = was.key if bar.key is None and was.key != standing.key else bar.key
    meter = was.meter if bar.meter is None and was.meter != standing.meter else bar.meter
    changes = bar.changes
    begins = bool(changes) and changes[0].offset == 0
    opening = (Change(Fraction(0), was.chord or NO_CHORD),)
    if says_again(changes):
        if standing.after(bar).harmony.changes != was.changes:
            changes = was.changes or opening
    elif was.chord != standing.harmony.last and not (begins and changes[0].symbol != AGAIN):
        changes = (*opening, *changes[begins:])
    if (key, meter, changes) == (bar.key, bar.meter, bar.changes):
        return bar
    return replace(bar, key=key, meter=meter, changes=changes)


def _with_callouts_cut(study: Study, kept: Sequence[int]) -> list[Bar]:
    """The bars at these indices, with the callouts cut to the notes in them."""
    homes: list[list[Callout]] = [[] for _ in kept]
    for index, bar in enumerate(study.bars):
        for callout in bar.callouts:
            last = index + callout.bars_on
            begin, end = bisect_left(kept, index), bisect_right(kept, last) - 1
            if begin > end:
                continue
            start = callout.start if kept[begin] == index else min(study.bars[kept[begin]].onsets)
            stop = callout.stop if kept[end] == last else max(study.bars[kept[end]].onsets)
            homes[begin].append(replace(callout, start=start, stop=stop, bars_on=end - begin))
    bars = []
    for index, home in zip(kept, homes, strict=True):
        bar, callouts = study.bars[index], tuple(dict.fromkeys(home))
        bars.append(bar if callouts == bar.callouts else replace(bar, callouts=callouts))
    return bars


def _choruses_left(study: Study, kept: Sequence[int]) -> tuple[Chorus, ...]:
    starts = [bisect_left(kept, one.bar) for one in study.choruses]
    spans = pairwise([*starts, len(kept)])
    return tuple(Chorus(one.label, start) for one, (start, end) in zip(study.choruses, spans, strict=True)
                 if start < end)
