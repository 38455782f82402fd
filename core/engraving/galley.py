"""From a study and what was computed of it to its engraved bars, each engraved once.

What a bar looks like depends on its value and a few facts around it, so an edit re-does one
bar: bars are looked up by identity first, for comparing them by value at every keystroke would
cost more than the frame has.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from core.engraving.accidentals import altered
from core.engraving.bar import BarShape, shape_bar
from core.engraving.multirest import rest_runs
from core.engraving.pictures import pictured_in, pictures_of
from core.engraving.style import Style
from core.engraving.view import BarView
from core.guitar import Fingering
from core.line import Analysis
from core.study import Bar, Event, Instrument, Key, Pitch, Study, shared_ends

_Key = tuple[object, ...]
_AT_ONCE = Fraction(0)


class _Made(NamedTuple):
    """What a galley was made of. runs: see `rest_runs`; rows: bars in force, their analyses and fingerings."""

    style: Style
    instrument: Instrument
    left_handed: bool
    labels: dict[int, str]
    held: tuple[Pitch, ...]
    runs: dict[int, int]
    rows: tuple[Sequence[object], Sequence[object], Sequence[object]]


@dataclass(frozen=True, eq=False, slots=True)
class Galley:
    """A study engraved, not yet on pages. bars: one shape a bar of the study. keys: what each was made from."""

    bars: tuple[BarShape, ...]
    keys: tuple[_Key, ...]
    made: _Made


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
    made = _Made(style, study.instrument, study.guitarist.left_handed,
                 {chorus.bar: chorus.label for chorus in study.choruses}, held,
                 rest_runs(study) if style.multirests and "notation" in style.rows else {},
                 (study.in_force, analysis.bars, fingering.bars))
    old = before if before and before.made.style == style else None
    lead, trail = _untouched(study, old, made)
    known = _Known(old)
    bars: list[BarShape] = []
    keys: list[_Key] = []
    for here in study.in_force[lead:len(study.bars) - trail]:
        found, played = analysis.bars[here.index], fingering.bars[here.index]
        around = _around(study, made, here.index)
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
    if old is not None:
        end = len(old.bars) - trail
        bars, keys = [*old.bars[:lead], *bars, *old.bars[end:]], [*old.keys[:lead], *keys, *old.keys[end:]]
    return Galley(tuple(bars), tuple(keys), made)


def _untouched(study: Study, old: Galley | None, made: _Made) -> tuple[int, int]:
    """How many bars in front and at the end are as they were, with all they look at."""
    if old is None or old.made[:-1] != made[:-1]:
        return 0, 0
    ends = [shared_ends(was, row) for was, row in zip(old.made.rows, made.rows, strict=True)]
    lead, trail = min(lead for lead, _ in ends), min(trail for _, trail in ends)
    bars = study.bars
    if lead == len(bars) == len(old.bars):
        return lead, 0
    lead = max(0, lead - 1)  # it looks at the bar that follows
    lead = next((at for at, bar in enumerate(bars[:lead]) if bar.reaching and at + _reach(bar) >= lead), lead)
    return lead, max(0, trail - 1)  # it looks at the bar before; a slide farther, but so does the analysis of its note


def _reach(bar: Bar) -> int:
    return max(callout.bars_on for callout in bar.reaching)


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


def _around(study: Study, made: _Made, index: int) -> _Around:
    here, bar = study.in_force[index], study.bars[index]
    last = study.bars[index - 1] if index else None
    shift = _AT_ONCE
    if not index and bar.length is not None and bar.length < here.meter.length:
        shift = here.meter.length - bar.length
    barline: str = bar.barline
    if bar.repeat_end:
        barline = "repeat"
    elif not barline and index + 1 in made.labels and not shift:
        barline = "double"
    rests = made.runs.get(index, 1)
    if rests > 1:  # it closes as the last bar of its run does
        end = index + rests - 1
        barline = study.bars[end].barline or ("double" if end + 1 in made.labels else "")
    slides = bool(bar.events) and "slide" in _first_note(bar.events).articulations
    tied_in = made.held
    if last is not None:
        tied_in = tuple([note.pitch for note in last.events[-1].notes if note.tie]) if last.events else ()
    heard = last.last_alters if last else ()
    if not here.key_changed:  # what its key gives leaves no trace: so most edits of a bar leave the next one alone
        heard = tuple(sorted(altered(heard, here.key).items()))
    return _Around(
        shift, tied_in, _last_pitch(study.bars[:index]) if slides else None, heard,
        study.in_force[index - 1].key if last else study.key,
        last.readings[-1].harmony if last and last.readings else "", made.labels.get(index, ""), barline,
        last is not None and _goes_on(last, bar), index + 1 < len(study.bars) and _goes_on(bar, study.bars[index + 1]),
        rests)


def _last_pitch(bars: Sequence[Bar]) -> Pitch | None:
    return next((event.notes[-1].pitch for bar in reversed(bars) for event in reversed(bar.events) if event.notes),
                None)


def _first_note(events: Sequence[Event]) -> Event:
    """The first event that sounds, or the first of all."""
    return next((event for event in events if event.notes), events[0])


def _goes_on(bar: Bar, after: Bar) -> bool:
    """Whether the ending over a bar goes on over the next."""
    return bool(bar.ending and not bar.repeat_end and after.ending == bar.ending)
