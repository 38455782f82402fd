"""Music glyphs: boxes, anchors and outlines of the SMuFL fonts in the verovio package.

SMuFL 1.4, section 3.3: one em is four staff spaces. Everything here is in staff spaces,
y downward from the glyph's origin.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from fontTools.svgLib.path import parse_path
from lxml import etree

from core.engraving.measures import PENS, Pen
from core.engraving.outline import Outline, OutlinePen
from core.engraving.packages import folder_of

MUSIC_FONTS = ("Bravura", "Petaluma")
"""Upright and handwritten."""
UNITS_PER_SPACE = 250  # 1000 units an em, four spaces an em


class GlyphBox(NamedTuple):
    """Ink box, advance width and anchors (SMuFL's names: stemUpSE, stemDownNW, …) of a glyph."""

    codepoint: int
    left: float
    top: float
    right: float
    bottom: float
    advance: float
    anchors: dict[str, tuple[float, float]]

    @property
    def width(self) -> float:
        return self.right - self.left


class MusicFont:
    """One SMuFL font. Raises KeyError for a glyph it does not carry.

    head: width of a black notehead; half_head: half its height; pen: how thick its strokes are.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        data = folder_of("verovio") / "data"
        self._folder = data / name
        tree = etree.fromstring((data / f"{name}.xml").read_bytes())
        self._boxes = {glyph.get("n", ""): _box(glyph) for glyph in tree.iter("g")}
        self._outlines: dict[str, Outline] = {}
        black = self._boxes["noteheadBlack"]
        self.head, self.half_head = black.right, black.bottom
        self.pen = PENS.get(name, Pen())

    def __contains__(self, name: str) -> bool:
        return name in self._boxes

    def box(self, name: str) -> GlyphBox:
        return self._boxes[name]

    def outline(self, name: str) -> Outline:
        """The glyph's shape; filled by the nonzero rule."""
        known = self._outlines.get(name)
        if known is None:
            pen = OutlinePen(1 / UNITS_PER_SPACE)
            source = self._folder / f"{self._boxes[name].codepoint:04X}.xml"
            for path in etree.fromstring(source.read_bytes()).iter("{*}path"):
                parse_path(path.get("d", ""), pen)
            known = self._outlines[name] = tuple(pen.segments)
        return known


def _box(glyph: etree._Element) -> GlyphBox:
    left, bottom, width, height, advance = (float(glyph.get(key, "0")) / UNITS_PER_SPACE
                                            for key in ("x", "y", "w", "h", "h-a-x"))
    anchors = {a.get("n", ""): (float(a.get("x", "0")), -float(a.get("y", "0"))) for a in glyph.iter("a")}
    return GlyphBox(int(glyph.get("c", "0"), 16), left, -(bottom + height), left + width, -bottom, advance, anchors)


@lru_cache(maxsize=8)
def music_font(name: str) -> MusicFont:
    """Of MUSIC_FONTS, read once."""
    return MusicFont(name)
