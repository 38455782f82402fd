"""Where hairpins go on over barlines, and a hairpin over a passage."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from core.study.edits import set_hairpin
from core.study.study import NotePlace, Study
from core.study.values import Bar


def hairpins_in(bars: Sequence[Bar]) -> tuple[str, ...]:
    """Per bar, the hairpin ("cresc", "dim", "" for none) that comes in from the bar before and goes on in it."""
    found = []
    is_open = ""
    for bar in bars:
        is_ended = bool(bar.events) and bool(bar.events[0].hairpin or bar.events[0].dynamic)
        found.append("" if is_ended else is_open)
        if bar.hairpin_out is not None:
            is_open = bar.hairpin_out
    return tuple(found)


def hairpin_over(study: Study, first: NotePlace, last: NotePlace, hairpin: Literal["", "cresc", "dim"]) -> Study:
    """With this hairpin from the event `first` on, ended before the event after `last`; "" takes those there away.

    Where a dynamic or another hairpin stands after `last`, that one ends it; at the end of the study, nothing need.
    """
    first, last = first._replace(note=0), last._replace(note=0)
    after = next(_events_after(study, last), None)
    for place in [first, *_events_after(study, first)]:
        if place > last:
            break
        study = set_hairpin(study, place, hairpin if place == first else "")
    if after is None:
        return study
    event = study.event_at(after)
    if hairpin and not event.hairpin and not event.dynamic:
        return set_hairpin(study, after, "stop")
    return set_hairpin(study, after, "") if not hairpin and event.hairpin == "stop" else study


def _events_after(study: Study, place: NotePlace) -> Iterator[NotePlace]:
    for bar in range(place.bar, len(study.bars)):
        for event in range(len(study.bars[bar].events)):
            if (bar, event) > place[:2]:
                yield NotePlace(bar, event)
