"""Bars of rest that print as one: which they are, and the thick bar with its number.

The first bar of a run stands for all of it; the others keep shapes of their own, of no width and no
ink, so that bars can be counted and found as ever. The breaker never parts them.
"""

from __future__ import annotations

from dataclasses import replace

from core.engraving.drawing import Glyph, Line, Mark, Tag
from core.engraving.measures import H_BAR, THIN_BARLINE
from core.engraving.signatures import DIGIT_HEIGHT
from core.engraving.smufl import MusicFont
from core.study import Bar, Study

_MARGIN = 1.3
"""From the bar's ends to those of the thick line."""
_FIGURES = -1.75
"""y of the figures' middle, over the staff."""


def rest_runs(study: Study) -> dict[int, int]:
    """How many bars each bar of rest prints: of a run its first bar all of them and the others 0; bars that
    are not in the answer print themselves. A run ends at a barline that is more than a plain one, and
    before a chorus.
    """
    free = [_is_only_rest(bar) for bar in study.bars]
    labelled = {chorus.bar for chorus in study.choruses}
    for index, bar in enumerate(study.bars):
        for callout in bar.reaching:
            free[index : index + callout.bars_on + 1] = [False] * (callout.bars_on + 1)
    found: dict[int, int] = {}
    first: int | None = None
    for index in range(len(free) + 1):
        goes_on = first is not None and not study.bars[index - 1].barline and index not in labelled
        if index < len(free) and free[index] and goes_on:
            assert first is not None
            found[first] = found.get(first, 1) + 1
            found[index] = 0
        else:
            first = index if index < len(free) and free[index] else None
    return found


def _is_only_rest(bar: Bar) -> bool:
    """Rests, and at most a barline after them."""
    if any(event.notes for event in bar.events):
        return False
    if any(event.slur or event.articulations or event.stroke or event.remark or event.dynamic or event.hairpin
           for event in bar.events):
        return False
    return replace(bar, events=(), barline="", recording=None) == Bar()


def run_marks(count: int, width: float, font: MusicFont) -> list[Mark]:
    """A thick line on the middle of the staff, its upright ends, and the number of bars over it (SMuFL 1.4,
    engravingDefaults hBarThickness; figures: those of meters, common practice, no source)."""
    left, right = _MARGIN, width - _MARGIN
    tag = Tag("rest")
    marks: list[Mark] = [Line(left, 2.0, right, 2.0, H_BAR, "ink", tag)]
    marks += [Line(x, 1.0, x, 3.0, THIN_BARLINE, "ink", tag) for x in (left, right)]
    boxes = [font.box(f"timeSig{digit}") for digit in str(count)]
    scale = min(1.0, DIGIT_HEIGHT / max(box.bottom - box.top for box in boxes))
    at = width / 2 - sum(box.advance for box in boxes) * scale / 2
    for digit, box in zip(str(count), boxes, strict=True):
        marks.append(Glyph(at, _FIGURES, f"timeSig{digit}", scale, "ink", tag))
        at += box.advance * scale
    return marks
