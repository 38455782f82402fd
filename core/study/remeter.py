"""Another meter for a study: its notes barred anew under it; where there are none, bar for bar."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

from core.errors import BarglossError
from core.study.edits import nearest_onset, set_events
from core.study.fit import PlainEvent, with_groups
from core.study.passages import Standing, under
from core.study.pitch import Meter
from core.study.rebar import join_bars, split_bar
from core.study.study import InForce, Study
from core.study.values import Bar, Callout, Change, Chorus, Reading
from core.study.writing import heads_of


def set_meter(study: Study, meter: Meter) -> Study:
    """Beginning in this meter, up to the bar where the next one is written.

    Notes keep their lengths and are barred anew; a pickup stays one, and the last bar is filled with rests. Bars
    without a note keep their number, and their chord symbols go to the beats nearest after their share of the bar.
    Raises BarglossError, told with the printed bar number, where a bar would run over a sign at a barline.
    """
    old = study.in_force[0].meter
    if meter == old:
        return study
    bare = study
    if study.bars[0].meter is not None:
        bare = replace(study, meter=old, bars=(replace(study.bars[0], meter=None), *study.bars[1:]))
    stop = next((index for index, bar in enumerate(bare.bars) if bar.meter is not None), len(bare.bars))
    if meter.length == old.length:
        return replace(bare, meter=meter)
    if any(event.notes for bar in bare.bars[:stop] for event in bar.events):
        return _barred_anew(bare, meter, stop)
    return _moved_bar_for_bar(bare, meter, stop)


def _moved_bar_for_bar(study: Study, meter: Meter, stop: int) -> Study:
    for index in range(stop):
        study = set_events(study, index, ())
    bars = [bar if bar.length is not None else _rescaled(bar, here, meter)
            for bar, here in zip(study.bars[:stop], study.in_force, strict=False)]
    return replace(study, meter=meter, bars=(*bars, *study.bars[stop:]))


def _rescaled(bar: Bar, here: InForce, meter: Meter) -> Bar:
    def moved(offset: Fraction) -> Fraction:
        share = offset * meter.length / here.length
        found = next((beat for beat in meter.beats if beat >= share), None)
        if found is None:
            raise fault
        return found

    fault = BarglossError(f"its chord symbols do not fit on the beats of {meter.text}; take some away first",
                          bar=here.number)
    changes = tuple(Change(moved(one.offset), one.symbol) for one in bar.changes)
    readings = tuple(Reading(moved(one.offset), one.harmony) for one in bar.readings)
    if any(len({one[0] for one in row}) < len(row) for row in (changes, readings)):
        raise fault
    return bar if (changes, readings) == (bar.changes, bar.readings) else replace(
        bar, changes=changes, readings=readings)


def _barred_anew(study: Study, meter: Meter, stop: int) -> Study:
    """The music of the bars before `stop` in bars of the meter, and what follows them as it is."""
    first, number = study.bars[0].length, study.in_force[0].number
    start = 1 if first is not None and first < min(study.in_force[0].meter.length, meter.length) else 0
    bare = replace(study, bars=tuple(replace(bar, callouts=()) if at < stop and bar.callouts else bar
                                     for at, bar in enumerate(study.bars)))
    bars, choruses = list(bare.bars[:start]), [one for one in study.choruses if one.bar < start]
    for begin, end in _stretches(study, start, stop, meter):
        piece = _recut(_piece(bare, begin, end, meter), meter)
        choruses += [Chorus(one.label, one.bar + len(bars)) for one in piece.choruses]
        bars += piece.bars
    choruses += [Chorus(one.label, one.bar + len(bars) - stop) for one in study.choruses if one.bar >= stop]
    at = len(bars)
    new = replace(study, meter=meter, bars=(*bars, *study.bars[stop:]), choruses=tuple(choruses))
    if stop < len(study.bars):
        bars.append(under(new.bars[at], study.in_force[stop], Standing.before(new, at)))
        new = replace(new, bars=(*bars, *new.bars[at + 1:]))
    if new.in_force[0].number != number:
        new = replace(new, first_number=number)
    return _with_callouts(new, study, stop)


def _stretches(study: Study, start: int, stop: int, meter: Meter) -> Iterator[tuple[int, int]]:
    """Bars from one place where the old barlines and the new meet to the next: first, and one past the last."""
    time, begin = Fraction(0), start
    for index in range(start, stop):
        time += study.in_force[index].length
        if time % meter.length == 0 or index == stop - 1:
            yield begin, index + 1
            begin = index + 1


def _piece(study: Study, begin: int, end: int, meter: Meter) -> Study:
    """These bars as a study in the meter, in which each holds its own length, and says its chord symbols for itself."""
    return Study(
        meter=meter, instrument=study.instrument, first_number=study.in_force[begin].number,
        bars=tuple(replace(here.bar, length=here.length, changes=here.changes) for here in study.in_force[begin:end]),
        choruses=tuple(Chorus(one.label, one.bar - begin) for one in study.choruses if begin <= one.bar < end))


def _recut(piece: Study, meter: Meter) -> Study:
    barlines = dict(zip(accumulate(here.length for here in piece.in_force), piece.in_force[1:], strict=False))
    at, time = 0, Fraction(0)
    while at < len(piece.bars):
        while piece.in_force[at].length < meter.length and at + 1 < len(piece.bars):
            piece = _joined(piece, at, meter, barlines.get(time + piece.in_force[at].length))
        if piece.in_force[at].length > meter.length:
            piece = split_bar(piece, at, meter.length)
        time += meter.length
        at += 1
    last = _filled(piece.in_force[-1], meter)
    bars = [replace(bar, length=None) for bar in (*piece.bars[:-1], last)]
    return replace(piece, bars=tuple(bars))


def _joined(study: Study, at: int, meter: Meter, there: InForce | None) -> Study:
    """there: the bar that began where the two meet."""
    try:
        return join_bars(study, at)
    except BarglossError:
        raise BarglossError(
            f"a bar of {meter.text} would run over the start of this bar, where a label, repeat, key or other sign "
            "stands; take it away first, or split and join bars by hand", bar=there.number if there else None) from None


def _filled(here: InForce, meter: Meter) -> Bar:
    """The bar, with rests up to its meter's length."""
    missing = meter.length - here.length
    if not missing or not here.bar.events:
        return here.bar
    rests = heads_of(PlainEvent(here.length, missing), meter)
    return replace(here.bar, events=tuple(with_groups([*here.bar.events, *rests])), length=None)


def _with_callouts(new: Study, old: Study, stop: int) -> Study:
    """With the callouts of the old bars before `stop` about the same notes."""
    before, after = ([Fraction(0), *accumulate(here.length for here in study.in_force)] for study in (old, new))
    homes: dict[int, list[Callout]] = {}
    for index, bar in enumerate(old.bars[:stop]):
        for callout in bar.callouts:
            ends = before[index] + callout.start, before[index + callout.bars_on] + callout.stop
            first, last = (bisect_right(after, end, hi=len(new.bars)) - 1 for end in ends)
            start, end = (nearest_onset(new.bars[at], time - after[at])
                          for at, time in zip((first, last), ends, strict=True))
            homes.setdefault(first, []).append(replace(callout, start=start, stop=end, bars_on=last - first))
    bars = [replace(bar, callouts=tuple(dict.fromkeys(homes[at]))) if at in homes else bar
            for at, bar in enumerate(new.bars)]
    return replace(new, bars=tuple(bars))
