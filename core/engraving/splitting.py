"""A bar wider than its column, in parts that stand on systems of their own.

It is cut where a beat begins and no beam or tuplet goes on, as near as may be to parts of one width; where that
is not enough, between any notes. A dashed barline ends a part, so that nobody takes it for a bar (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil
from typing import Any

from core.engraving.bar import BarShape, shape_bar
from core.engraving.beaming import beam_groups
from core.engraving.drawing import Mark
from core.engraving.spacing import width_at
from core.engraving.view import BarView, Part
from core.study import Bar, Callout


@lru_cache(maxsize=256)
def parts_of(shape: BarShape, room: float) -> tuple[BarShape, ...]:
    """In as few parts as fit; the bar itself where it fits, or cannot be cut. room: for the music of a part, in
    staff spaces."""
    if shape.least <= room:
        return (shape,)
    parts: tuple[BarShape, ...] = (shape,)
    for places in (_beats(shape.view), _notes(shape.view)):
        for count in range(ceil(shape.natural / room), len(places) + 2):
            parts = tuple(map(shape_bar, _cut(shape.view, _even(shape, places, count))))
            if all(part.least <= room for part in parts):
                return parts
    return parts


def _notes(view: BarView) -> list[int]:
    """Events that a part may begin with: their own grace notes stand before them, and no tuplet runs through."""
    events = view.bar.events
    found = []
    for index, before in enumerate(events[:-1], 1):
        main = next((event for event in events[index:] if not event.grace), None)  # a grace note tells of no tuplet
        if not before.grace and main is not None and all(tuplet.starts for tuplet in main.tuplets[:1]):
            found.append(index)
    return found


def _beats(view: BarView) -> list[int]:
    """Those of them that begin a beat and no beam runs through."""
    events, meter = view.bar.events, view.meter
    beams = beam_groups(events, meter, view.shift)
    inside = {index for group in beams for index in range(group[0] + 1, group[-1] + 1)}
    return [index for index in _notes(view)
            if index not in inside and (events[index].onset + view.shift) % meter.length in meter.beats]


def _even(shape: BarShape, places: Sequence[int], count: int) -> list[int]:
    """Of the places, where cuts leave `count` parts of about one width."""
    at = {column.event: width_at(shape.gaps[:index + 1], shape.view.style.eighth)
          for index, column in enumerate(shape.columns) if column.event is not None}
    wanted = [shape.natural * part / count for part in range(1, count)]
    return sorted({min(places, key=lambda place: abs(at[place] - x)) for x in wanted})


def _cut(view: BarView, places: Sequence[int]) -> Iterator[BarView]:
    """The parts that begin with the bar's start and with these events."""
    ends = (*places, len(view.bar.events))
    tied_in, heard, reading = view.tied_in, view.heard, view.reading_in
    style = replace(view.style, courtesy="plain") if view.style.courtesy == "none" else view.style
    for first, end in pairwise((0, *ends)):
        bar, part = _part(view, first, end, places)
        opens, closes = first == 0, end == ends[-1]
        start = view.bar.events[first].onset
        yield replace(
            view, bar=bar, style=view.style if opens else style, length=bar.filled, shift=view.shift + start, part=part,
            key_changed=opens and view.key_changed, meter_changed=opens and view.meter_changed,
            key_before=view.key_before if opens else view.key, label=view.label if opens else "",
            analysis=replace(view.analysis, notes=view.analysis.notes[first:end]),
            fingering=replace(view.fingering, events=view.fingering.events[first:end]),
            necks=tuple([view.necks[index] for index in part.callouts]),
            tied_in=tied_in, heard=heard, reading_in=reading, barline=view.barline if closes else "dashed",
            ending_in=view.ending_in if opens else bool(bar.ending),
            ending_on=view.ending_on if closes else bool(bar.ending),
        )
        tied_in = tuple([note.pitch for note in bar.events[-1].notes if note.tie])
        heard = tuple(dict((*heard, *bar.last_alters)).items())
        reading = bar.readings[-1].harmony if bar.readings else reading


def _part(view: BarView, first: int, end: int, places: Sequence[int]) -> tuple[Bar, Part]:
    """The music of events first..end (excluded) as a bar, and what of the whole bar it begins with."""
    whole = view.bar
    opens, closes = first == 0, end == len(whole.events)
    start, stop = whole.events[first].onset, whole.events[end - 1].end

    def since(rows: Sequence[Any]) -> tuple[Any, ...]:
        return tuple([one._replace(offset=one.offset - start) for one in rows
                      if start <= one.offset and (closes or one.offset < stop)])

    spoken = [index for index, callout in enumerate(whole.callouts)
              if start <= callout.start and (closes or callout.start < stop)]
    bar = replace(
        whole, events=tuple([replace(event, onset=event.onset - start) for event in whole.events[first:end]]),
        changes=since(whole.changes), readings=since(whole.readings), length=stop - start,
        callouts=tuple([_callout(whole, whole.callouts[index], start, stop, places) for index in spoken]),
        comment=whole.comment if opens else "", break_before=whole.break_before if opens else "system",
        repeat_start=opens and whole.repeat_start, rehearsal=whole.rehearsal if opens else "",
        sign=whole.sign if opens else "", repeat_end=whole.repeat_end if closes else 0,
        jump=whole.jump if closes else "",
    )
    return bar, Part(first, sum(change.offset < start for change in whole.changes), tuple(spoken))


def _callout(whole: Bar, callout: Callout, start: Fraction, stop: Fraction, places: Sequence[int]) -> Callout:
    """With its onsets told from its part's start, later parts counted as bars."""
    starts = [whole.events[place].onset for place in places]
    later = [onset for onset in starts if onset >= stop]
    if callout.bars_on:
        return replace(callout, start=callout.start - start, bars_on=callout.bars_on + len(later))
    passed = [onset for onset in later if onset <= callout.stop]
    base = passed[-1] if passed else start
    return replace(callout, start=callout.start - start, stop=callout.stop - base, bars_on=len(passed))


def reaching_parts(shape: BarShape, whole: Bar, after: Sequence[tuple[BarShape, ...]]) -> BarShape:
    """The bar, or a part of it, with the ends of its callouts told by the parts of the bars that they run into.

    whole: the bar as the study has it; after: the later bars in their parts.
    """
    bar, part = shape.view.bar, shape.view.part
    spoken = part.callouts if part else range(len(bar.callouts))
    ends = tuple([_end(mine, whole.callouts[index].bars_on, after)
                  for mine, index in zip(bar.callouts, spoken, strict=True)])
    return shape if ends == bar.callouts else _with_callouts(shape, ends)


def _end(callout: Callout, bars_on: int, after: Sequence[tuple[BarShape, ...]]) -> Callout:
    """bars_on: in bars of the study; the callout has counted the parts of its own bar."""
    if not bars_on:
        return callout
    passed, parts = after[:bars_on - 1], after[bars_on - 1]
    starts = [part.view.shift - parts[0].view.shift for part in parts]
    begun = [start for start in starts if start <= callout.stop]
    more = sum(len(bar) - 1 for bar in passed) + len(begun) - 1
    return replace(callout, bars_on=callout.bars_on + more, stop=callout.stop - begun[-1])


@lru_cache(maxsize=256)
def _with_callouts(shape: BarShape, callouts: tuple[Callout, ...]) -> BarShape:
    """Remembered, so that a system is known again."""
    return shape_bar(replace(shape.view, bar=replace(shape.view.bar, callouts=callouts)))


def retagged(marks: Sequence[Mark], part: Part) -> tuple[Mark, ...]:
    """The marks of a part's row, tagged by their place in the whole bar."""
    return tuple([_retagged(mark, part) for mark in marks])


def _retagged(mark: Mark, part: Part) -> Mark:
    tag = mark.tag
    if tag is None or tag.kind == "bar":
        return mark
    return mark._replace(tag=tag._replace(event=tag.event + (part.chord if tag.kind == "chord" else part.event)))
