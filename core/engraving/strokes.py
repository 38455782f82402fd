"""The stroke row: where the pick goes down or up, by SMuFL's bow signs (MusicXML: up-bow, down-bow)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.engraving.drawing import Drawing, Glyph, Tag
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span

_SCALE = 0.8
_GLYPHS = {"down": "stringsDownBow", "up": "stringsUpBow"}


@dataclass(frozen=True, eq=False)
class StrokeShape:
    """The row before it is stretched. strokes: by column, "" for none."""

    view: BarView
    columns: tuple[Column, ...]
    strokes: tuple[str, ...]
    reaches: tuple[Reach, ...]
    spans: Sequence[Span] = ()
    gap: float = 0.3

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Signs standing on y 0, centred over their numbers."""
        font = self.view.style.music
        marks = []
        for x, column, stroke in zip(xs, self.columns, self.strokes, strict=True):
            if stroke:
                name = _GLYPHS[stroke]
                half = font.box(name).right * _SCALE / 2
                marks.append(Glyph(x + font.head / 2 - half, 0.0, name, _SCALE, "ink", Tag("note", column.event or 0)))
        top = min((font.box(mark.name).top * _SCALE for mark in marks), default=0.0)
        return RowInk(Drawing(tuple(marks)), top, 0.0)


def stroke_shape(view: BarView, columns: tuple[Column, ...]) -> StrokeShape:
    """The strokes the teacher set, or all of them, as the style asks."""
    strokes = []
    for column in columns:
        if column.event is None:
            strokes.append("")
        elif view.style.strokes == "all":
            strokes.append(view.fingering.events[column.event].stroke)
        else:
            strokes.append(view.bar.events[column.event].stroke)
    reaches = tuple(Reach(0.0, view.style.music.head) if stroke else NOTHING for stroke in strokes)
    return StrokeShape(view, columns, tuple(strokes), reaches)
