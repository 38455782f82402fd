"""Articulations of a tab that stands alone: over the staff, the first to sound nearest (common practice, no source)."""

from __future__ import annotations

from collections.abc import Sequence

from core.engraving.articulations import ARTICULATION_GLYPHS
from core.engraving.boxes import mark_box
from core.engraving.crossing import LaidBar
from core.engraving.drawing import Glyph, Mark, Tag
from core.engraving.tab import TabShape, centre_of

_GLYPHS = {name: f"{glyph}Above" for name, glyph in ARTICULATION_GLYPHS.items()} | {"turn": "ornamentTurn"}
_SCALE = 0.85
_GAP = 0.3
_HALF = 0.7
"""Half the width kept free for a sign."""


def add_accents(bars: Sequence[LaidBar], marks: Sequence[list[Mark]]) -> None:
    """Put each event's signs over its numbers and over those of the system's marks that are in the way."""
    font = bars[0].view.style.music
    boxes = [(bar.left, mark_box(mark, font)) for bar, mine in zip(bars, marks, strict=True) for mark in mine]
    for bar, mine in zip(bars, marks, strict=True):
        assert isinstance(bar.row, TabShape)
        for column, x, numbers in zip(bar.columns, bar.xs, bar.row.numbers, strict=True):
            if column.event is None or not numbers:
                continue
            middle = centre_of(numbers[0], x, bar.view.style)
            at = bar.left + middle
            near = [box.top for left, box in boxes if left + box.left < at + _HALF and left + box.right > at - _HALF]
            edge = min([bar.row.numbers_top if numbers[-1].string == 1 else 0.0, *near])
            for name, glyph in _GLYPHS.items():
                if name in bar.view.bar.events[column.event].articulations:
                    shape = font.box(glyph)
                    y = edge - _GAP - shape.bottom * _SCALE
                    left = middle - (shape.left + shape.right) / 2 * _SCALE
                    mine.append(Glyph(left, y, glyph, _SCALE, "ink", Tag("note", column.event)))
                    edge = y + shape.top * _SCALE
