"""Barlines moved: a bar split in two, two joined, bars written again, bars between repeat signs.

What stands on a bar goes with the half it is on, and callouts keep to their notes. Nothing that stands at a barline
is lost in silence: joining over it raises.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import partial, reduce
from typing import Literal

from core.errors import BarglossError
from core.study.edits import change_reaching
from core.study.fit import PlainEvent, with_groups
from core.study.passages import Standing, check_span, insert_bars, under
from core.study.pitch import Meter
from core.study.study import InForce, Study
from core.study.values import Bar, Callout, Chorus, Dismissed, Event, Reading
from core.study.writing import heads_of, plain_of, settle_ties, tied

_START = Fraction(0)


def split_bar(study: Study, index: int, at: Fraction) -> Study:
    """With the bar as two, cut at `at` quarters; a note that sounds there is tied over the new barline."""
    check_span(study, index, index)
    here = study.in_force[index]
    if not 0 < at < here.length:
        raise BarglossError("a bar is split inside it, not at its barline; choose a note after the first",
                            bar=here.number)
    bar = here.bar
    left, right = _cut(here, at)
    callouts = [_split_callout(callout, at) for callout in bar.callouts]
    first = Bar(left, tuple(one for one in here.changes if one.offset < at),
                tuple(one for one in bar.readings if one.offset < at),
                tuple(one for half, one in callouts if not half), bar.comment, bar.key, bar.meter, at,
                repeat_start=bar.repeat_start, ending=bar.ending, rehearsal=bar.rehearsal,
                break_before=bar.break_before, recording=bar.recording, sign=bar.sign,
                dismissed=tuple(one for one in bar.dismissed if one.onset < at))
    second = Bar(right, tuple(one._replace(offset=one.offset - at) for one in here.changes if one.offset >= at),
                 _readings_from(bar, at), tuple(one for half, one in callouts if half), length=here.length - at,
                 barline=bar.barline, repeat_end=bar.repeat_end, ending=bar.ending, jump=bar.jump,
                 dismissed=tuple(Dismissed(one.onset - at, one.kind) for one in bar.dismissed if one.onset >= at))

    def moved(start: int, callout: Callout) -> Callout:
        last = start + callout.bars_on
        if last > index or (last == index and callout.stop >= at):
            stop = callout.stop - at if last == index else callout.stop
            return replace(callout, bars_on=callout.bars_on + 1, stop=stop)
        return callout

    return _rebarred(study, index, 1, (first, second), moved)


def join_bars(study: Study, index: int) -> Study:
    """With the bar and the next as one. Raises BarglossError where something stands at the barline between them."""
    check_span(study, index, index)
    here = study.in_force[index]
    if index + 1 >= len(study.bars):
        raise BarglossError("there is no bar after the last to join it with; choose an earlier one", bar=here.number)
    left, after = here.bar, study.in_force[index + 1]
    right = after.bar
    marked = (right.key, right.meter, right.repeat_start, right.rehearsal, right.sign, right.break_before,
              left.barline, left.repeat_end, left.jump, right.ending != left.ending,
              any(chorus.bar == index + 1 for chorus in study.choruses))
    if any(marked):
        raise BarglossError("a repeat, key, meter, label or other sign stands at the barline after this bar; "
                            "take it away, then join", bar=here.number)
    events = () if not left.events and not right.events else tuple(with_groups(
        [*_full(here, here.meter), *[replace(one, onset=one.onset + here.length) for one in _full(after, here.meter)]]))
    shift = here.length if events else _START

    def pulled(start: int, callout: Callout) -> Callout:
        last = start + callout.bars_on
        if last <= index:
            return callout
        stop = callout.stop + shift if last == index + 1 else callout.stop
        return replace(callout, bars_on=callout.bars_on - 1, stop=stop)

    callouts = [pulled(index, one) for one in left.callouts] + [
        replace(one, start=one.start + shift, stop=one.stop if one.bars_on else one.stop + shift)
        for one in right.callouts]
    length = here.length + after.length
    readings = [one._replace(offset=one.offset + here.length) for one in right.readings]
    if left.readings and left.readings[-1].harmony and not (right.readings and right.readings[0].offset == 0):
        readings.insert(0, Reading(here.length, ""))
    joined = replace(
        left, events=events, changes=(*here.changes, *(one._replace(offset=one.offset + here.length)
                                                       for one in after.changes)),
        readings=(*left.readings, *readings), callouts=tuple(dict.fromkeys(callouts)),
        comment="\n".join(filter(None, (left.comment, right.comment))),
        length=None if length == here.meter.length else length, barline=right.barline, repeat_end=right.repeat_end,
        jump=right.jump, dismissed=(*left.dismissed, *(Dismissed(one.onset + here.length, one.kind)
                                                       for one in right.dismissed)))
    return _rebarred(study, index, 2, (joined,), pulled)


def repeat_bars(study: Study, first: int, last: int) -> Study:
    """With the music and the harmony of these bars written once more, right after them."""
    check_span(study, first, last)
    copies = [Bar(bar.events, bar.changes, bar.readings, key=bar.key, meter=bar.meter, length=bar.length)
              for bar in study.bars[first:last + 1]]
    standing = Standing.before(study, last + 1)
    copies[0] = under(copies[0], study.in_force[first], standing)
    longer = insert_bars(study, last + 1, copies)
    return settle_ties(longer, last, last + len(copies))


def toggle_repeat_signs(study: Study, first: int, last: int) -> Study:
    """With the bars between repeat signs, to be played twice; without them where they stand there."""
    check_span(study, first, last)
    there = study.bars[first].repeat_start and study.bars[last].repeat_end > 0
    bars = list(study.bars)
    bars[first] = replace(bars[first], repeat_start=not there)
    bars[last] = replace(bars[last], repeat_end=0 if there else 2)
    return replace(study, bars=tuple(bars))


def _rebarred(study: Study, index: int, old: int, new: tuple[Bar, ...],
              reach: Callable[[int, Callout], Callout]) -> Study:
    """With `new` for so many `old` bars. reach: what a callout that begins before them becomes."""
    more = len(new) - old
    before = [change_reaching(bar, partial(reach, at)) for at, bar in enumerate(study.bars[:index])]
    choruses = tuple(Chorus(one.label, one.bar + more if one.bar > index else one.bar) for one in study.choruses)
    first_number = study.first_number if index else study.in_force[0].number
    row = [*before, *new, *study.bars[index + old:]]
    if index + old < len(study.bars):
        standing = reduce(Standing.after, row[:index + len(new)], Standing(study.key, study.meter))
        row[index + len(new)] = under(row[index + len(new)], study.in_force[index + old], standing)
    return replace(study, bars=tuple(row), choruses=choruses, first_number=first_number)


def _full(here: InForce, meter: Meter) -> list[Event]:
    """The bar's events; of a silent bar the rests that fill it."""
    return list(here.bar.events) or heads_of(PlainEvent(_START, here.length), meter)


def _cut(here: InForce, at: Fraction) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    left: list[Event] = []
    right: list[Event] = []
    for event in here.bar.events:
        if event.onset >= at:
            right.append(replace(event, onset=event.onset - at))
        elif event.end <= at:
            left.append(event)
        else:
            plain = plain_of(event)
            try:
                left += heads_of(replace(plain, duration=at - event.onset, notes=tied(event.notes, True), slur=_head(
                    event.slur)), here.meter)
                right += heads_of(PlainEvent(_START, event.end - at, event.notes, event.tuplets, slur=_tail(
                    event.slur)), here.meter)
            except BarglossError as fault:
                raise BarglossError(fault.what, bar=here.number) from None
    return tuple(with_groups(left)), tuple(with_groups(right))


def _head(slur: str) -> Literal["", "stop"]:
    """Of the first of two tied heads: a slur that arrives."""
    return "stop" if slur in ("stop", "both") else ""


def _tail(slur: str) -> Literal["", "start"]:
    return "start" if slur in ("start", "both") else ""


def _readings_from(bar: Bar, at: Fraction) -> tuple[Reading, ...]:
    """Those of the second half, the one that is still heard there first."""
    later = [one._replace(offset=one.offset - at) for one in bar.readings if one.offset >= at]
    heard = next((one.harmony for one in reversed(bar.readings) if one.offset < at), "")
    if heard and not (later and later[0].offset == 0):
        later.insert(0, Reading(_START, heard))
    return tuple(later)


def _split_callout(callout: Callout, at: Fraction) -> tuple[bool, Callout]:
    """Whether it begins in the second half, and the callout as it is then."""
    if callout.start >= at:
        stop = callout.stop if callout.bars_on else callout.stop - at
        return True, replace(callout, start=callout.start - at, stop=stop)
    if callout.bars_on:
        return False, replace(callout, bars_on=callout.bars_on + 1)
    if callout.stop >= at:
        return False, replace(callout, bars_on=1, stop=callout.stop - at)
    return False, callout
