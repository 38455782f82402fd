"""Clefs, key signatures, meters and barlines: what stands between the bars."""

from __future__ import annotations

from core.engraving.drawing import Glyph, Line, Mark, Tag
from core.engraving.measures import BARLINE_GAP, REPEAT_DOT_GAP, THICK_BARLINE, THIN_BARLINE
from core.engraving.smufl import MusicFont
from core.engraving.style import Style
from core.study import Key, Meter

_SHARPS = (0.0, 1.5, -0.5, 1.0, 2.5, 0.5, 2.0)
_FLATS = (2.0, 0.5, 2.5, 1.0, 3.0, 1.5, 3.5)
"""y of each accidental of a treble signature (common practice, no source)."""
DIGIT_HEIGHT = 2.0
"""Of a meter's digits at most: two rows share a staff (SMuFL 3.3)."""
_TALL = 2.5
"""Where a font's digits are as tall as this, made for a meter over the staff, its narrow ones are set."""


def key_marks(key: Key, before: Key | None, x: float, font: MusicFont) -> tuple[list[Mark], float]:
    """A signature from x on, and its width. A change to no accidentals prints naturals over the old ones."""
    marks: list[Mark] = []
    name, places, count = "accidentalSharp", _SHARPS, key.fifths
    if key.fifths < 0:
        name, places, count = "accidentalFlat", _FLATS, -key.fifths
    elif key.fifths == 0 and before is not None and before.fifths:
        name, places = "accidentalNatural", _SHARPS if before.fifths > 0 else _FLATS
        count = abs(before.fifths)
    at = x
    for y in places[:count]:
        box = font.box(name)
        marks.append(Glyph(at - box.left, y, name))
        at += box.width + (0.1 if "Flat" not in name else 0.06)
    return marks, at - x


def meter_marks(meter: Meter, x: float, font: MusicFont) -> tuple[list[Mark], float]:
    """A time signature from x on, and its width."""
    if meter.symbol:
        name = "timeSigCommon" if meter.symbol == "common" else "timeSigCutCommon"
        return [Glyph(x, 2.0, name)], font.box(name).right
    cut = "" if font.box("timeSig0").bottom - font.box("timeSig0").top < _TALL else "Narrow"
    rows = [_digits("+".join(map(str, meter.groups)), cut), _digits(str(meter.unit), cut)]
    boxes = [font.box(name) for row in rows for name in row]
    scale = min(1.0, DIGIT_HEIGHT / max(box.bottom - box.top for box in boxes))
    widths = [sum(font.box(name).advance for name in row) * scale for row in rows]
    marks: list[Mark] = []
    for names, wide, y in zip(rows, widths, (1.0, 3.0), strict=True):
        at = x + (max(widths) - wide) / 2
        for name in names:
            marks.append(Glyph(at, y, name, scale))
            at += font.box(name).advance * scale
    return marks, max(widths)


def _digits(text: str, cut: str) -> list[str]:
    return [f"timeSig{'Plus' if sign == '+' else sign}{cut}" for sign in text]


def barline_marks(kind: str, x: float, staves: tuple[tuple[float, float], ...], style: Style) -> list[Mark]:
    """A barline whose right edge is x, over the staves' y ranges joined from first to last."""
    top, bottom = staves[0][0], staves[-1][1]
    tag = Tag("bar")

    def line(right: float, width: float) -> Mark:
        dash = (0.5, 0.25) if kind == "dashed" else None  # SMuFL dashedBarlineDashLength, GapLength
        return Line(right - width / 2, top, right - width / 2, bottom, width, "ink", tag, dash)

    if kind == "double":
        return [line(x, THIN_BARLINE), line(x - THIN_BARLINE - BARLINE_GAP, THIN_BARLINE)]
    if kind in ("final", "repeat"):
        thin = x - THICK_BARLINE - BARLINE_GAP
        marks = [line(x, THICK_BARLINE), line(thin, THIN_BARLINE)]
        if kind == "repeat":
            dot = style.music.box("augmentationDot").right
            marks += repeat_dots(thin - THIN_BARLINE - REPEAT_DOT_GAP - dot, staves, style.tab_step)
        return marks
    return [line(x, THIN_BARLINE)]


def repeat_start_marks(x: float, staves: tuple[tuple[float, float], ...], style: Style) -> tuple[list[Mark], float]:
    """A repeat that begins: thick, thin, dots, from its left edge x; and its width."""
    top, bottom = staves[0][0], staves[-1][1]
    thin = x + THICK_BARLINE + BARLINE_GAP
    marks: list[Mark] = [
        Line(x + THICK_BARLINE / 2, top, x + THICK_BARLINE / 2, bottom, THICK_BARLINE),
        Line(thin + THIN_BARLINE / 2, top, thin + THIN_BARLINE / 2, bottom, THIN_BARLINE),
    ]
    dots = thin + THIN_BARLINE + REPEAT_DOT_GAP
    marks += repeat_dots(dots, staves, style.tab_step)
    return marks, dots + style.music.box("augmentationDot").right - x


def repeat_dots(x: float, staves: tuple[tuple[float, float], ...], tab_step: float) -> list[Mark]:
    """Two dots either side of each staff's middle, in spaces: of a tab with a middle space, in those beside it."""
    marks: list[Mark] = []
    for top, bottom in staves:
        is_notation = round(2 * (bottom - top)) / 2 == 4
        has_space = not is_notation and round((bottom - top) / tab_step) % 2
        step = 0.5 if is_notation else tab_step if has_space else tab_step / 2
        for y in ((top + bottom) / 2 - step, (top + bottom) / 2 + step):
            marks.append(Glyph(x, y, "augmentationDot"))
    return marks
