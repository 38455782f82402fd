"""Short runs of text and music signs on one baseline: the stuff of chord symbols, degrees and tokens.

The text faces have no flat, sharp or natural; those are set from the music font.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from core.engraving.drawing import Glyph, Ink, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.smufl import GlyphBox, MusicFont

SIGN_GLYPHS = {
    "bb": "accidentalDoubleFlat", "b": "accidentalFlat", "n": "accidentalNatural", "#": "accidentalSharp",
    "##": "accidentalDoubleSharp",
}  # fmt: skip
_FLAT_HEIGHT = 0.85
"""Of a flat, in ems of the text it stands in: it then rises a little over the capitals."""
_TALLEST = 0.97
"""Of any other sign, likewise: some fonts draw their naturals long."""


class Piece(NamedTuple):
    """text in a face, or (face "") the accidental named by SIGN_GLYPHS. lift: baseline raised by, in staff spaces."""

    text: str
    face: str
    size: float
    lift: float = 0.0


def sign(name: str, size: float, lift: float = 0.0) -> Piece:
    """An accidental: `b`, `#`, `n`, `bb` or `##`."""
    return Piece(name, "", size, lift)


def signs_of(alter: int) -> str:
    """The name `sign` takes for an alteration; "" for none."""
    return {-2: "bb", -1: "b", 1: "#", 2: "##"}.get(alter, "")


def split_signs(text: str, name: str, size: float, lift: float = 0.0) -> list[Piece]:
    """A degree's or tension's name (`b9`, `#11`, `bb7`) as pieces."""
    figure = text.lstrip("b#")
    prefix = text[: len(text) - len(figure)]
    pieces = [sign(prefix, size, lift)] if prefix in SIGN_GLYPHS else []
    return [*pieces, Piece(figure if pieces else text, name, size, lift)]


def width_of(pieces: Iterable[Piece], font: MusicFont) -> float:
    """In staff spaces."""
    return sum(_width(piece, font) for piece in pieces)


def _width(piece: Piece, font: MusicFont) -> float:
    if piece.face:
        return face(piece.face).width(piece.text, piece.size)
    _, box, scale = _sign_of(piece.text, font)
    return (box.width * scale + 0.11) * piece.size


@lru_cache(maxsize=64)
def _sign_of(text: str, font: MusicFont) -> tuple[str, GlyphBox, float]:
    """The glyph of a sign, its box, and its scale in text of one em."""
    name = SIGN_GLYPHS[text]
    box, flat = font.box(name), font.box("accidentalFlat")
    return name, box, min(_FLAT_HEIGHT / (flat.bottom - flat.top), _TALLEST / (box.bottom - box.top))


def set_pieces(
    pieces: Sequence[Piece], x: float, y: float, font: MusicFont, ink: Ink = "ink", tag: Tag | None = None
) -> list[Mark]:
    """Marks of the pieces from x on, on the baseline y."""
    marks: list[Mark] = []
    for piece in pieces:
        if piece.face:
            marks.append(Text(x, y - piece.lift, piece.text, piece.face, piece.size, ink, tag))
        else:
            name, box, scale = _sign_of(piece.text, font)
            scale *= piece.size
            # A flat's bowl rests on the baseline; the others are centred on the height of the capitals.
            rise = box.bottom * scale * 0.92 if "Flat" in name else 0.33 * piece.size
            marks.append(Glyph(x + 0.05 * piece.size - box.left * scale, y - piece.lift - rise, name, scale, ink, tag))
        x += _width(piece, font)
    return marks
