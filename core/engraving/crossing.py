"""What a row draws across barlines: its bars as they lie in a system, and the ink that comes of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from core.engraving.boxes import mark_box
from core.engraving.drawing import Drawing, Mark
from core.engraving.smufl import MusicFont
from core.engraving.view import BarView, Column, RowInk, RowShape


class LaidBar(NamedTuple):
    """A bar of one row in its system. left, right: of its music, x of the system; xs: of its columns, from left."""

    view: BarView
    columns: tuple[Column, ...]
    row: RowShape
    xs: Sequence[float]
    left: float
    right: float


class Beyond(NamedTuple):
    """start, right: x where the system's music begins and ends; before, after: the row in the bar on the
    systems before and after it, or None; hairpins: the ones that come in and go on, "" for none."""

    start: float
    right: float
    before: RowShape | None = None
    after: RowShape | None = None
    hairpins: tuple[str, str] = ("", "")


def joined(
    rows: Sequence[RowInk], more: Sequence[Sequence[Mark]], bars: Sequence[LaidBar], font: MusicFont
) -> list[RowInk]:
    """The rows with more marks, each from its bar's left edge; one that reaches into later bars takes room there."""
    tops, bottoms = [row.top for row in rows], [row.bottom for row in rows]
    for place, marks in enumerate(more):
        for mark in marks:
            box = mark_box(mark, font)
            for at in range(place, len(rows)):
                if at == place or bars[place].left + box.right > bars[at].left:
                    tops[at], bottoms[at] = min(tops[at], box.top), max(bottoms[at], box.bottom)
    return [
        row._replace(drawing=Drawing((*row.drawing.marks, *marks)) if marks else row.drawing, top=top, bottom=bottom)
        for row, marks, top, bottom in zip(rows, more, tops, bottoms, strict=True)
    ]
