"""How a page is to look, as far as the engraver needs to know: rows, faces and sizes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from core.engraving.faces import Family
from core.engraving.measures import TAB_STEP
from core.engraving.smufl import MusicFont, music_font
from core.harmony import ChordStyle

COURTESY = ("plain", "brackets", "none")
NECKS = ("fingers", "degrees", "none")


@dataclass(frozen=True, slots=True)
class Style:
    """rows: top to bottom. Sizes are ems in staff spaces; words is the family of callouts and
    titles, signs that of chords, degrees and fret numbers.
    """

    rows: tuple[str, ...] = ("chords", "notation", "dynamics", "strokes", "tab", "degrees", "readings", "callouts")
    font: str = "Bravura"
    words: Family = "serif"
    signs: Family = "sans"
    italics: bool = True
    """Whether the page has italics; without them emphasis is semibold and what is said aside plain."""
    chord_size: float = 2.62
    degree_size: float = 1.71
    fret_size: float = 1.95
    word_size: float = 1.71
    word_leading: float = 2.22
    label_size: float = 1.9
    number_size: float = 1.5
    neck_size: float = 1.41
    """Of the names in the rings of a callout's neck picture; all of the picture goes with it."""
    letter_size: float = 1.35
    """Of the letters at remarked notes."""
    smallest: float = 0.0
    """No part of a symbol or of the key is set smaller."""
    eighth: float = 2.9
    """Staff spaces an eighth note takes when nothing presses."""
    tensions: Literal["upper", "lower"] = "upper"
    """Names of the notes beyond the seventh: 9 11 13, or 2 4 6."""
    chord_style: ChordStyle = field(default_factory=ChordStyle)
    multirests: bool = False
    """Whether bars of rest in a row print as one."""
    courtesy: Literal["plain", "brackets", "none"] = "plain"
    """How a sign stands that only reminds: where a letter comes back to the key's form in the next bar, and
    at a note held over from the system before."""
    strokes: Literal["teacher", "all"] = "teacher"
    fingers: Literal["teacher", "all"] = "teacher"
    """Whose finger numbers the fingers row shows: those the teacher set, or every one."""
    necks: Literal["fingers", "degrees", "none"] = "fingers"
    """What a callout's neck picture says of its places; "none": no such pictures."""
    shift_marks: bool = False
    """Whether a short slanted dash stands before a position's numeral where the hand moves."""
    tab_letters: bool = False
    """Whether H and P stand over hammer-ons and pull-offs."""
    tab_step: float = TAB_STEP
    """Between two lines of the tab: no less than its numbers are high."""
    tab_rhythm: bool = True
    """Whether the tab carries stems and rests where no notation row does."""

    @property
    def tab_stands_alone(self) -> bool:
        return "tab" in self.rows and "notation" not in self.rows

    @property
    def tab_bears_rhythm(self) -> bool:
        return self.tab_rhythm and self.tab_stands_alone

    @property
    def music(self) -> MusicFont:
        return music_font(self.font)

    @property
    def emphasis(self) -> str:
        """The cut of words that stand out."""
        return "-italic" if self.italics else "-semibold"

    @property
    def aside(self) -> str:
        """The cut of what stands back: readings, the key's last words."""
        return "-italic" if self.italics else ""
