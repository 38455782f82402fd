"""About how high a bar stands in a system, told from its shape alone: what breaking weighs pages by.

A guess within a few staff spaces. True heights are known only once a system is set, and pages are
then broken by those.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import ceil
from typing import NamedTuple

from core.engraving.bar import BarShape
from core.engraving.measures import ROW_GAP, STEM_LENGTH
from core.engraving.notation import NotationShape
from core.engraving.overhead import is_bare
from core.engraving.word_boxes import words_area

_CHORDS = 0.3
"""Beside the height of the symbols, as of the degrees and readings."""
_LABEL = 3.0
_RHYTHM = 4.0
_SMALL_ROW = 1.8
"""Fingers or positions."""
_DYNAMICS = 3.0
_DEGREES = 0.7
_READINGS = 0.4
_BRACKETS = 3.0
_FILLED = 1.1
"""Room under a system that words take, in parts of their area at a middle width: at widths of their own they take
less, their columns being of unlike height more. Fitted to the demo studies."""


class BarHeight(NamedTuple):
    """In staff spaces. above, below: from the first staff's top line; readings: of their row; words: area of
    its words; tallest: height of its highest words at their widest."""

    above: float
    below: float
    readings: float
    words: float
    tallest: float


@lru_cache(maxsize=2048)
def bar_height(shape: BarShape) -> BarHeight:
    """Of one bar by itself."""
    view, rows = shape.view, shape.rows
    top, bottom = _reach(shape)
    above = -top
    if "chords" in rows:
        above = max(above, 1.2) + _CHORDS + view.style.chord_size
    if not is_bare(view):
        above += _LABEL
    is_loud = any([event.dynamic or event.hairpin for event in view.bar.events])
    below = bottom + _DYNAMICS * ("dynamics" in rows and is_loud)
    staff = view.style.tab_step * (len(view.instrument.tuning) - 1)
    if "tab" in rows and "notation" in rows:
        below = max(below + ROW_GAP, 7.7) + staff
    elif "tab" in rows:
        below = staff + (_RHYTHM if view.style.tab_bears_rhythm else 0.75)
    below += _SMALL_ROW * (("fingers" in rows) + ("positions" in rows))
    if "degrees" in rows:
        below += _DEGREES + view.style.degree_size
    words = words_area(view) if "callouts" in view.style.rows else (0.0, 0.0)
    second = _READINGS + view.style.degree_size if "readings" in rows and view.bar.readings else 0.0
    # Whole spaces: a guess need not change with every edit.
    return BarHeight(ceil(above), ceil(below), second, ceil(words[0]), ceil(words[1]))


def system_height(bars: Sequence[BarHeight], width: float) -> float:
    """Of these bars as one system `width` wide."""
    words = sum([bar.words for bar in bars])
    height = max([bar.above for bar in bars]) + max([bar.below for bar in bars])
    height += max([bar.readings for bar in bars])
    if words:
        height += _BRACKETS + max(words / (_FILLED * width), *[bar.tallest for bar in bars])
    return height


def _reach(shape: BarShape) -> tuple[float, float]:
    """Top and bottom of the notation's ink, its stems as long as a free note's."""
    row = shape.rows.get("notation")
    top, bottom = 0.0, 4.0
    if not isinstance(row, NotationShape):
        return top, bottom
    for event in row.shapes:
        if event.heads:
            top = min(top, event.top - (STEM_LENGTH if event.up else 0.5))
            bottom = max(bottom, event.bottom + (0.5 if event.up else STEM_LENGTH))
    return top, bottom
