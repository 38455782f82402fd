"""Each event as it stands in its column: heads, accidentals, dots, and which way its stem goes.

x is from the left edge of the event's undisplaced heads, y from the top staff line down, in
staff spaces. A guitar's notation prints an octave above sounding, under a treble clef with an
8 below (MusicXML 4.0, `clef-octave-change`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from core.engraving.accidentals import Sign, sign_box
from core.engraving.boxes import Box
from core.engraving.drawing import Glyph, Mark, Tag
from core.engraving.measures import GRACE, LEDGER_OVERHANG
from core.engraving.smufl import MusicFont
from core.study import Event, Pitch, Written

_MIDDLE_LINE = 27
"""Letters above C0 of the sounding pitch on the middle line: B3, printed as B4."""
_DOT_GAP = 0.45
_SIGN_GAP = 0.28
_SIGN_CLEAR = 0.2
"""White between two accidentals over each other."""
_GLYPH_OF_VALUE = {8: "noteheadDoubleWhole", 4: "noteheadWhole", 2: "noteheadHalf"}
_REST_OF_VALUE = {
    Fraction(8): "restDoubleWhole", Fraction(4): "restWhole", Fraction(2): "restHalf", Fraction(1): "restQuarter",
    Fraction(1, 2): "rest8th", Fraction(1, 4): "rest16th", Fraction(1, 8): "rest32nd", Fraction(1, 16): "rest64th",
}  # fmt: skip


def position_of(pitch: Pitch) -> int:
    """Half spaces above the middle line (negative: below)."""
    return pitch.diatonic - _MIDDLE_LINE


def y_of(pitch: Pitch) -> float:
    """Of the centre of its head."""
    return 2 - position_of(pitch) / 2


class Head(NamedTuple):
    """One notehead. x: its left edge; sign: its accidental or None, the glyph's origin at sign_x."""

    y: float
    x: float
    sign: Sign | None
    sign_x: float
    ghost: bool


@dataclass(frozen=True, slots=True)
class EventShape:
    """heads low to high, none for a rest. up: the stem's direction. flags: 0 from a quarter on.
    left, right: how far its ink reaches to either side of the column. scale: a grace note is small.
    """

    event: Event
    glyph: str
    heads: tuple[Head, ...]
    head_width: float
    up: bool
    flags: int
    dots: int
    dot_x: float
    left: float
    right: float
    scale: float = 1.0

    @property
    def is_rest(self) -> bool:
        return not self.heads

    @property
    def top(self) -> float:
        """y of the highest head's centre."""
        return self.heads[-1].y

    @property
    def bottom(self) -> float:
        return self.heads[0].y

    @property
    def has_stem(self) -> bool:
        return bool(self.heads) and self.event.written.value < 4


def flags_of(value: Fraction) -> int:
    """Tails of a written value: 1 for an eighth, 2 for a sixteenth …"""
    count = 0
    while value < 1:
        value *= 2
        count += 1
    return count


def rest_glyph(value: Fraction) -> str:
    """The rest of a written value, by SMuFL name."""
    return _REST_OF_VALUE.get(value, "rest64th")


def bar_rest(length: Fraction) -> str:
    """The rest of a silent bar: a whole rest in any metre but 4/2, whose bars last as long as a double whole."""
    return "restDoubleWhole" if length == 8 else "restWhole"


def rest_right(rest: Written, font: MusicFont) -> float:
    """How far right a rest reaches, its dots included."""
    width = font.box(rest_glyph(rest.value)).right
    return width + (_DOT_GAP + 0.4) * min(rest.dots, 1) + 0.55 * max(0, rest.dots - 1)


def rest_marks(rest: Written, x: float, y: float, font: MusicFont, tag: Tag) -> list[Mark]:
    """A rest of the notation from x on, and its dots. y: of its line; the dots stand in the space over the middle."""
    name = rest_glyph(rest.value)
    marks: list[Mark] = [Glyph(x, y, name, 1.0, "ink", tag)]
    dot_x = x + font.box(name).right + _DOT_GAP
    return marks + [Glyph(dot_x + 0.55 * dot, 1.5, "augmentationDot", 1.0, "ink", tag) for dot in range(rest.dots)]


def stem_goes_up(ys: Sequence[float]) -> bool:
    """The note farthest from the middle line decides; in balance the stem goes down (Gould p. 13-14)."""
    return max(ys) - 2 > 2 - min(ys)


def shape_event(event: Event, signs: Sequence[Sign | None], up: bool, font: MusicFont) -> EventShape:
    """The event's column. signs: what `shown_accidentals` says of each note."""
    value, dots = event.written
    if event.is_rest:
        glyph = rest_glyph(value)
        width = font.box(glyph).right
        return EventShape(event, glyph, (), width, False, 0, dots, 0.0, 0.0, rest_right(event.written, font))
    glyph = _GLYPH_OF_VALUE.get(int(value), "noteheadBlack") if value >= 2 else "noteheadBlack"
    scale = GRACE if event.grace else 1.0
    width = font.box(glyph).right * scale
    heads, left = _place_heads(event, signs, up, width, font, scale)
    right = max(head.x for head in heads) + width
    if any(head.ghost for head in heads):
        left, right = max(left, 0.5), right + 0.5
    dot_x = right + _DOT_GAP * scale
    ledger = any(head.y < -0.5 or head.y > 4.5 for head in heads)
    if ledger:
        left, right = max(left, LEDGER_OVERHANG - min(head.x for head in heads)), right + LEDGER_OVERHANG
    flags = flags_of(value)
    if dots:
        right = max(right, dot_x + 0.4 + 0.55 * (dots - 1))
    return EventShape(event, glyph, heads, width, up, flags, dots, dot_x, left, right, scale)


def _place_heads(
    event: Event, signs: Sequence[Sign | None], up: bool, width: float, font: MusicFont, scale: float
) -> tuple[tuple[Head, ...], float]:
    """The heads, those a second apart on either side of the stem, and how far left their accidentals reach."""
    ys = [y_of(note.pitch) for note in event.notes]
    xs = [0.0] * len(ys)
    order = range(len(ys)) if up else range(len(ys) - 1, -1, -1)
    before: int | None = None
    for index in order:
        if before is not None and abs(ys[index] - ys[before]) < 0.75 and xs[before] == 0.0:
            xs[index] = (width - 0.1) if up else -(width - 0.1)
        before = index
    taken: list[Box] = []  # by accidentals
    placed: dict[int, float] = {}
    for index in range(len(ys) - 1, -1, -1):
        sign = signs[index]
        if sign is None:
            continue
        gap = (_SIGN_GAP + (0.5 * scale if event.notes[index].ghost else 0.0)) * scale
        box = sign_box(sign, font)
        mine = _beside(min(xs) - gap, ys[index], (box.left * scale, box.top, box.right * scale, box.bottom), taken, gap)
        taken.append(mine)
        placed[index] = mine.left - box.left * scale
    reach = -min([min(xs), *(box.left for box in taken)])
    heads = tuple(
        Head(y, x, signs[index], placed.get(index, 0.0), event.notes[index].ghost)
        for index, (y, x) in enumerate(zip(ys, xs, strict=True))
    )
    return heads, reach


def _beside(right: float, y: float, sign: tuple[float, float, float, float], taken: Sequence[Box], gap: float) -> Box:
    """Where a sign's box stands clear of those taken, as far right as it can: its right edge at `right`, or left
    of one of them. sign: left, top, right, bottom from its origin."""
    left, top, edge, bottom = sign
    places = [Box(at - edge + left, y + top, at, y + bottom)
              for at in sorted([right, *(box.left - gap for box in taken)], reverse=True)]
    return next(mine for mine in places if all(
        mine.right + gap <= box.left + 1e-9 or mine.left >= box.right + _SIGN_CLEAR
        or mine.top - _SIGN_CLEAR >= box.bottom or mine.bottom + _SIGN_CLEAR <= box.top for box in taken))
