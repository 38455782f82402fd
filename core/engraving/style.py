"""How a page is to look, as far as the engraver needs to know: rows, faces and sizes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from core.engraving.smufl import MusicFont, music_font
from core.harmony import ChordStyle


@dataclass(frozen=True, slots=True)
class Style:
    """rows: top to bottom. Sizes are ems in staff spaces; words is the family of callouts and
    titles, signs that of chords, degrees and fret numbers ("serif" or "sans").
    """

    rows: tuple[str, ...] = ("chords", "notation", "strokes", "tab", "degrees", "readings", "callouts")
    font: str = "Bravura"
    words: Literal["serif", "sans"] = "serif"
    signs: Literal["serif", "sans"] = "sans"
    chord_size: float = 2.62
    degree_size: float = 1.71
    fret_size: float = 1.95
    word_size: float = 1.71
    word_leading: float = 2.22
    label_size: float = 1.9
    number_size: float = 1.5
    eighth: float = 2.9
    """Staff spaces an eighth note takes when nothing presses."""
    tensions: Literal["upper", "lower"] = "upper"
    """Names of the notes beyond the seventh: 9 11 13, or 2 4 6."""
    chord_style: ChordStyle = field(default_factory=ChordStyle)
    strokes: Literal["teacher", "all"] = "teacher"

    @property
    def music(self) -> MusicFont:
        return music_font(self.font)
