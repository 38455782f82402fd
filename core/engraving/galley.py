"""From a study and what was computed of it to its engraved bars, each engraved once.

What a bar looks like depends on its value and a few facts around it, so an edit re-does one
bar: bars are looked up by identity first, for comparing them by value at every keystroke would
cost more than the frame has.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from core.engraving.bar import BarShape, shape_bar
from core.engraving.style import Style
from core.engraving.view import BarView
from core.guitar import BarFingering, Fingering
from core.line import Analysis, BarAnalysis
from core.study import InForce, Pitch, Study

_Key = tuple[object, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Galley:
    """A study engraved, not yet on pages. bars: one shape a bar of the study. keys: what each was made from."""

    bars: tuple[BarShape, ...]
    keys: tuple[_Key, ...]
    style: Style


def engrave(
    study: Study, analysis: Analysis, fingering: Fingering, style: Style, before: Galley | None = None
) -> Galley:
    """Shapes of all bars; those of `before` whose bar and surroundings are the same are taken over as they are."""
    known = dict(zip(before.keys, before.bars, strict=True)) if before and before.style == style else {}
    bars, keys = [], []
    for here, heard, played, facts in _facts(study, analysis, fingering):
        key = (id(here.bar), id(heard), id(played), here.key, here.meter, here.key_changed, here.meter_changed,
               id(study.instrument), *facts)
        shape = known.get(key)
        if shape is None:
            shift, tied_in, reading_in, label, barline = facts
            shape = shape_bar(BarView(
                here.bar, here.key, here.meter, here.length, shift, here.key_changed, here.meter_changed, heard,
                played, tied_in, reading_in, label, barline, study.instrument, style,
            ))
            known[key] = shape
        bars.append(shape)
        keys.append(key)
    return Galley(tuple(bars), tuple(keys), style)


_Facts = tuple[Fraction, tuple[Pitch, ...], str, str, str]


def _facts(
    study: Study, analysis: Analysis, fingering: Fingering
) -> Iterator[tuple[InForce, BarAnalysis, BarFingering, _Facts]]:
    """Each bar with its shift in the metre, what is tied and read into it, its label, and how it closes."""
    labels = {chorus.bar: chorus.label for chorus in study.choruses}
    tied_in: tuple[Pitch, ...] = ()
    reading_in = ""
    for here, heard, played in zip(study.in_force, analysis.bars, fingering.bars, strict=True):
        bar = here.bar
        shift = Fraction(0)
        if here.index == 0 and bar.length is not None and bar.length < here.meter.length:
            shift = here.meter.length - bar.length
        barline: str = bar.barline
        if bar.repeat_end:
            barline = "repeat"
        elif not barline and here.index + 1 in labels and not shift:
            barline = "double"
        yield here, heard, played, (shift, tied_in, reading_in, labels.get(here.index, ""), barline)
        tied_in = tuple(note.pitch for note in bar.events[-1].notes if note.tie) if bar.events else ()
        reading_in = bar.readings[-1].harmony if bar.readings else ""
