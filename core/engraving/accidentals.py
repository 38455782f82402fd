"""Which heads need an accidental, and the accidental as glyphs.

An accidental holds to the barline, on its own line or space only; another octave needs its own
(Dzubay & Freund, *Music Notation Style Guide*, "Accidentals"). A tie carries it over without a
new sign, and the next separate note needs it again (Gould ch. 3); where the tie comes from the
system before, the reader is reminded of it (from memory). A courtesy sign stands where a letter
comes back to what the key says, in the bar after one that altered it (Dzubay & Freund).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from core.engraving.boxes import Box
from core.engraving.drawing import Glyph, Tag
from core.engraving.smufl import MusicFont
from core.study import STEPS, Event, Key, Pitch

GLYPHS = {
    -3: "accidentalTripleFlat", -2: "accidentalDoubleFlat", -1: "accidentalFlat", 0: "accidentalNatural",
    1: "accidentalSharp", 2: "accidentalDoubleSharp", 3: "accidentalTripleSharp",
}  # fmt: skip
_BRACKET_GAP = 0.1
"""White between a sign and its brackets."""


class Sign(NamedTuple):
    """A printed accidental. alter: semitones; bracketed: a reminder, in brackets."""

    alter: int
    bracketed: bool = False


def altered(heard: Sequence[tuple[int, int]], key: Key) -> dict[int, int]:
    """Of the last alterations heard in a bar (`Bar.last_alters`), those that its key does not give."""
    return {place: alter for place, alter in heard if alter != key.alter_of(STEPS[place % 7])}


def shown_accidentals(
    events: Sequence[Event], key: Key, tied_in: Collection[Pitch] = (), before: Mapping[int, int] | None = None,
    *, brackets: bool = False,
) -> tuple[tuple[Sign | None, ...], ...]:
    """Per event and note, the sign to print, or None. tied_in: pitches held over the barline; before: what
    the bar before altered, to print courtesy signs against; brackets: around those.
    """  # fmt: skip
    in_force: dict[int, int] = {}
    to_recall = dict(before or {})
    held: Collection[Pitch] = tied_in
    shown = []
    for event in events:
        signs: list[Sign | None] = []
        for note in event.notes:
            pitch = note.pitch
            usual = in_force.get(pitch.diatonic)
            if usual is None:
                usual = key.alter_of(pitch.step)
            is_held = pitch in held and not event.grace
            if is_held:
                signs.append(None)
                continue
            is_courtesy = to_recall.pop(pitch.diatonic, usual) != usual and pitch.diatonic not in in_force
            if pitch.alter == usual and not is_courtesy:
                signs.append(None)
            else:
                signs.append(Sign(pitch.alter, brackets and pitch.alter == usual))
                in_force[pitch.diatonic] = pitch.alter
        if not event.grace:
            held = [note.pitch for note in event.notes if note.tie]
        shown.append(tuple(signs))
    return tuple(shown)


@lru_cache(maxsize=64)
def sign_box(sign: Sign, font: MusicFont) -> Box:
    """From the sign's origin, brackets included."""
    box = font.box(GLYPHS[sign.alter])
    whole = Box(box.left, box.top, box.right, box.bottom)
    if not sign.bracketed:
        return whole
    left, right = font.box("accidentalParensLeft"), font.box("accidentalParensRight")
    return Box(whole.left - _BRACKET_GAP - left.width, min(whole.top, left.top),
               whole.right + _BRACKET_GAP + right.width, max(whole.bottom, left.bottom))


def sign_marks(sign: Sign, at: tuple[float, float], scale: float, font: MusicFont, tag: Tag) -> list[Glyph]:
    """The sign with its origin at x, y, and its brackets."""
    x, y = at
    marks = [Glyph(x, y, GLYPHS[sign.alter], scale, "ink", tag)]
    if sign.bracketed:
        box = font.box(GLYPHS[sign.alter])
        left, right = font.box("accidentalParensLeft"), font.box("accidentalParensRight")
        marks.append(Glyph(x + (box.left - _BRACKET_GAP - left.right) * scale, y, "accidentalParensLeft", scale, "ink",
                           tag))
        marks.append(Glyph(x + (box.right + _BRACKET_GAP - right.left) * scale, y, "accidentalParensRight", scale,
                           "ink", tag))
    return marks
