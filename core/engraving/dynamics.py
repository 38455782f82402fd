"""The dynamics row: how loud, by SMuFL's ready-made dynamic glyphs (SMuFL 1.4, section 4.51 "Dynamics")."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.engraving.drawing import Drawing, Glyph, Tag
from core.engraving.measures import GRACE
from core.engraving.view import BarView, Column, Reach, RowInk, Span

GLYPHS = {
    "ppp": "dynamicPPP", "pp": "dynamicPP", "p": "dynamicPiano", "mp": "dynamicMP", "mf": "dynamicMF",
    "f": "dynamicForte", "ff": "dynamicFF", "fff": "dynamicFFF", "sf": "dynamicSforzando1", "sfz": "dynamicSforzato",
    "fp": "dynamicFortePiano",
}  # fmt: skip
HAIRPIN_ROOM = 2.2
"""What a hairpin needs after its dynamic, so that it is long enough to be read."""


@dataclass(frozen=True, eq=False)
class DynamicShape:
    """The row before it is stretched. dynamics: by column, "" for none; centres: of the heads over them."""

    view: BarView
    columns: tuple[Column, ...]
    dynamics: tuple[str, ...]
    centres: tuple[float, ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.8

    def half(self, place: int) -> float:
        """Half the width of a column's letters."""
        return self.view.style.music.box(GLYPHS[self.dynamics[place]]).width / 2 if self.dynamics[place] else 0.0

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Letters standing on the baseline y 0, centred under their heads."""
        font = self.view.style.music
        marks = []
        for x, column, dynamic, centre in zip(xs, self.columns, self.dynamics, self.centres, strict=True):
            if dynamic:
                box = font.box(GLYPHS[dynamic])
                middle = (box.left + box.right) / 2
                marks.append(Glyph(x + centre - middle, 0.0, GLYPHS[dynamic], 1.0, "ink",
                                   Tag("dynamic", column.event or 0)))
        boxes = [font.box(mark.name) for mark in marks]
        return RowInk(Drawing(tuple(marks)), min((box.top for box in boxes), default=0.0),
                      max((box.bottom for box in boxes), default=0.0))


def dynamic_shape(view: BarView, columns: tuple[Column, ...]) -> DynamicShape:
    """The dynamic of each event that has one."""
    font = view.style.music
    dynamics, centres, reaches = [], [], []
    for column in columns:
        event = None if column.event is None else view.bar.events[column.event]
        dynamic = event.dynamic if event is not None else ""
        centre = font.head / 2 * (GRACE if event is not None and event.grace else 1.0)
        half = font.box(GLYPHS[dynamic]).width / 2 if dynamic else 0.0
        dynamics.append(dynamic)
        centres.append(centre)
        opens = HAIRPIN_ROOM if event is not None and event.hairpin in ("cresc", "dim") else 0.0
        reaches.append(Reach(half - centre, half + centre + opens) if dynamic else Reach(0.0, opens))
    return DynamicShape(view, columns, tuple(dynamics), tuple(centres), tuple(reaches))
