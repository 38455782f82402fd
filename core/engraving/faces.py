"""Text faces: widths, heights and outlines of the serif, sans and handwritten fonts in their packages."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Any, Literal, get_args

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
_MISSING = ".notdef"
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
        self._metrics: dict[str, tuple[int, int]] = self._font["hmtx"].metrics
        os2 = self._font["OS/2"]
        self.cap_height: float = os2.sCapHeight / self._em
        self.x_height: float = os2.sxHeight / self._em
        self._outlines: dict[str, Outline] = {}
        self._widths: dict[str, float] = {}

    @cached_property
    def descent(self) -> float:
        """How far the deepest letters and signs reach under the baseline."""
        glyphs = self._font["glyf"]
        lowest: int = min([glyphs[self._cmap[ord(character)]].yMin for character in _DEEPEST])
        return -lowest / self._em

    @cached_property
    def _glyphs(self) -> Any:
        return self._font.getGlyphSet()

    def __contains__(self, character: str) -> bool:
        return ord(character) in self._cmap

    def width(self, text: str, size: float) -> float:
        """Of a run at an em of `size`, in the unit of `size`. No kerning: painters set none."""
        known = self._widths.get(text)
        if known is None:
            metrics, cmap = self._metrics, self._cmap
            known = sum([metrics[cmap.get(ord(character), _MISSING)][0] for character in text]) / self._em
            if len(self._widths) > _MOST_WIDTHS:
                self._widths.clear()
            self._widths[text] = known
        return known * size

    def outline(self, character: str) -> Outline:
        """The shape of one character at an em of 1; filled by the nonzero rule."""
        known = self._outlines.get(character)
        if known is None:
            pen = OutlinePen(1 / self._em, self._glyphs)
            self._glyphs[self._cmap.get(ord(character), _MISSING)].draw(pen)
            known = self._outlines[character] = tuple(pen.segments)
        return known


@lru_cache(maxsize=16)
def face(name: str) -> Face:
    """The face of that name (see FILES), read once."""
    return Face(name)
