"""Text faces: widths, heights and outlines of the serif, sans and handwritten fonts in their packages."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, get_args

from fontTools.ttLib import TTFont

from core.engraving.outline import Outline, OutlinePen
from core.engraving.packages import folder_of

FILES = {
    "serif": ("font_source_serif_pro", "SourceSerifPro-Regular.ttf"),
    "serif-italic": ("font_source_serif_pro", "SourceSerifPro-It.ttf"),
    "serif-semibold": ("font_source_serif_pro", "SourceSerifPro-Semibold.ttf"),
    "serif-light": ("font_source_serif_pro", "SourceSerifPro-Light.ttf"),
    "sans": ("font_source_sans_pro", "SourceSansPro-Regular.ttf"),
    "sans-italic": ("font_source_sans_pro", "SourceSansPro-It.ttf"),
    "sans-semibold": ("font_source_sans_pro", "SourceSansPro-Semibold.ttf"),
    "sans-light": ("font_source_sans_pro", "SourceSansPro-Light.ttf"),
    "hand": ("fontpkg_kalam", "Kalam-Regular.ttf"),
    "hand-semibold": ("fontpkg_kalam", "Kalam-Bold.ttf"),
    "hand-light": ("fontpkg_kalam", "Kalam-Light.ttf"),
}
Family = Literal["serif", "sans", "hand"]
FAMILIES: tuple[Family, ...] = get_args(Family)


_MOST_WIDTHS = 20_000
_DEEPEST = "gjpqyQ(),;"
"""What reaches under the baseline. The metrics the files give are of a line, not of its ink."""


class Face:
    """One text font. Lengths are in ems, y downward from the baseline."""

    def __init__(self, name: str) -> None:
        package, file = FILES[name]
        self.name = name
        self.path = folder_of(package) / "files" / file
        self._font = TTFont(self.path, lazy=True)
        self._em: int = self._font["head"].unitsPerEm
        self._cmap: dict[int, str] = self._font.getBestCmap()
        metrics = self._font["hmtx"].metrics
        self._advances: dict[str, float] = {
            chr(code): metrics[glyph][0] / self._em for code, glyph in self._cmap.items()
        }
        self._missing: float = metrics[".notdef"][0] / self._em
        os2 = self._font["OS/2"]
        self.cap_height: float = os2.sCapHeight / self._em
        self.x_height: float = os2.sxHeight / self._em
        deepest = [self._font["glyf"][self._cmap[ord(character)]].yMin for character in _DEEPEST]
        self.descent: float = -min(deepest) / self._em
        self._outlines: dict[str, Outline] = {}
        self._widths: dict[str, float] = {}

    def __contains__(self, character: str) -> bool:
        return character in self._advances

    def width(self, text: str, size: float) -> float:
        """Of a run at an em of `size`, in the unit of `size`. No kerning: painters set none."""
        known = self._widths.get(text)
        if known is None:
            advances, missing = self._advances, self._missing
            known = sum([advances.get(character, missing) for character in text])
            if len(self._widths) > _MOST_WIDTHS:
                self._widths.clear()
            self._widths[text] = known
        return known * size

    def outline(self, character: str) -> Outline:
        """The shape of one character at an em of 1; filled by the nonzero rule."""
        known = self._outlines.get(character)
        if known is None:
            glyphs = self._font.getGlyphSet()
            pen = OutlinePen(1 / self._em, glyphs)
            glyphs[self._cmap.get(ord(character), ".notdef")].draw(pen)
            known = self._outlines[character] = tuple(pen.segments)
        return known


@lru_cache(maxsize=16)
def face(name: str) -> Face:
    """The face of that name (see FILES), read once."""
    return Face(name)
