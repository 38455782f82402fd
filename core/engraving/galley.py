"""From a study and what was computed of it to its engraved bars, each engraved once.

What a bar looks like depends on its value and a few facts around it, so an edit re-does one
bar: bars are looked up by identity first, for comparing them by value at every keystroke would
cost more than the frame has.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from core.engraving.bar import BarShape, shape_bar
from core.engraving.multirest import rest_runs
from core.engraving.pictures import pictured_in, pictures_of
from core.engraving.style import Style
from core.engraving.view import BarView
from core.guitar import Fingering
from core.line import Analysis
from core.study import Bar, Event, Key, Pitch, Study

_Key = tuple[object, ...]
_AT_ONCE = Fraction(0)


@dataclass(frozen=True, eq=False, slots=True)
class Galley:
    """A study engraved, not yet on pages. bars: one shape a bar of the study. keys: what each was made from."""

    bars: tuple[BarShape, ...]
    keys: tuple[_Key, ...]
    style: Style


class _Around(NamedTuple):
    """What a bar's ink depends on beside the bar: see BarView."""

    shift: Fraction
    tied_in: tuple[Pitch, ...]
    slid_from: Pitch | None
    heard: tuple[tuple[int, int], ...]
    key_before: Key
    reading_in: str
    label: str
    barline: str
    ending_in: bool
    ending_on: bool
    rests: int


def engrave(
    study: Study, analysis: Analysis, fingering: Fingering, style: Style, before: Galley | None = None,
    held: tuple[Pitch, ...] = (),
) -> Galley:
    """Shapes of all bars; those of `before` whose bar and surroundings are the same are taken over as they are.

    held: what sounds on into the first bar from one that is not there.
    """
    known = _Known(before if before and before.style == style else None)
    bars, keys = [], []
    for here, found, played, around in zip(
        study.in_force, analysis.bars, fingering.bars, _surroundings(study, style, held), strict=True
    ):
        key = (id(here.bar), id(found), id(played), here.key, here.meter, here.key_changed, here.meter_changed,
               id(study.instrument), pictured_in(study, analysis, fingering, here.index), *around)
        shape = known.shape(here.index, key)
        if shape is None:
            shape = shape_bar(BarView(
                bar=here.bar if around.rests == 1 else replace(here.bar, events=()), key=here.key, meter=here.meter,
                length=here.length, key_changed=here.key_changed,
                meter_changed=here.meter_changed, analysis=found, fingering=played, instrument=study.instrument,
                style=style, necks=pictures_of(study, analysis, fingering, here.index, style), **around._asdict(),
            ))
        bars.append(shape)
        keys.append(key)
    return Galley(tuple(bars), tuple(keys), style)


class _Known:
    """The shapes of a galley by their keys: first where a bar stood before, then by the bar. Keys are compared and
    not hashed, for most of what is in them is the very same object."""

    def __init__(self, galley: Galley | None) -> None:
        self._galley = galley
        self._of_bar: dict[object, list[int]] | None = None

    def shape(self, index: int, key: _Key) -> BarShape | None:
        if self._galley is None:
            return None
        keys, bars = self._galley.keys, self._galley.bars
        if index < len(keys) and keys[index] == key:
            return bars[index]
        if self._of_bar is None:
            self._of_bar = {}
            for at, (made, after) in enumerate(pairwise((*keys, ()))):
                if made != after:
                    self._of_bar.setdefault(made[0], []).append(at)
        return next((bars[at] for at in self._of_bar.get(key[0], ()) if keys[at] == key), None)


def _surroundings(study: Study, style: Style, held: tuple[Pitch, ...]) -> Iterator[_Around]:
    labels = {chorus.bar: chorus.label for chorus in study.choruses}
    runs = rest_runs(study) if style.multirests and "notation" in style.rows else {}
    tied_in = held
    last_pitch: Pitch | None = None
    heard: tuple[tuple[int, int], ...] = ()
    key_before = study.key
    reading_in = ""
    ending_on = False
    for here in study.in_force:
        bar = here.bar
        shift = _AT_ONCE
        if here.index == 0 and bar.length is not None and bar.length < here.meter.length:
            shift = here.meter.length - bar.length
        barline: str = bar.barline
        if bar.repeat_end:
            barline = "repeat"
        elif not barline and here.index + 1 in labels and not shift:
            barline = "double"
        rests = runs.get(here.index, 1)
        if rests > 1:  # it closes as the last bar of its run does
            last = here.index + rests - 1
            barline = study.bars[last].barline or ("double" if last + 1 in labels else "")
        ending_in, ending_on = ending_on, _goes_on(bar, study.bars[here.index + 1 : here.index + 2])
        slid_from = last_pitch if bar.events and "slide" in _first_note(bar.events).articulations else None
        yield _Around(shift, tied_in, slid_from, heard, key_before, reading_in, labels.get(here.index, ""), barline,
                      ending_in, ending_on, rests)
        last_pitch = next((event.notes[-1].pitch for event in reversed(bar.events) if event.notes), last_pitch)
        tied_in = tuple([note.pitch for note in bar.events[-1].notes if note.tie]) if bar.events else ()
        heard, key_before = bar.last_alters, here.key
        reading_in = bar.readings[-1].harmony if bar.readings else ""


def _first_note(events: Sequence[Event]) -> Event:
    """The first event that sounds, or the first of all."""
    return next((event for event in events if event.notes), events[0])


def _goes_on(bar: Bar, after: tuple[Bar, ...]) -> bool:
    """Whether the ending over a bar goes on over the next."""
    return bool(bar.ending and not bar.repeat_end and after and after[0].ending == bar.ending)
