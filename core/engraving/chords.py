"""Chord symbols: root, quality, raised figures, alterations in a stack, slash bass; and their row.

A symbol's root stands with its left edge on the beat where it takes effect (SMuFL 4.74; Brandt &
Roemer, *Standardized Chord Symbol Notation*, 1976, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.engraving.boxes import mark_box
from core.engraving.drawing import Drawing, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.pieces import Piece, set_pieces, sign, signs_of, width_of
from core.engraving.style import Style
from core.engraving.view import NOTHING, BarView, Column, Reach, RowInk, Span
from core.errors import BarglossError
from core.harmony import ChordSymbol, HouseChord, NoChord, house, parse_chord

_GAP = 1.0
"""Least white between two symbols."""


def _body(parts: HouseChord, size: float, name: str) -> list[Piece]:
    """Root, quality, extension and suspension."""
    pieces = [Piece(parts.root, name, size)] if parts.root else []
    if parts.root_accidental:
        pieces.append(sign(signs_of(parts.root_accidental), size * 0.95, 0.08 * size))
    quality = parts.quality.replace("-", "–")  # the minus of a chord is as wide as its figures
    if quality:
        small = size if not parts.root else size * (0.78 if quality in "△ø°+" else 0.86)
        # Raised a little, so that minus and triangle sit at the height of the figures.
        pieces.append(Piece(quality, _carrying(quality, name), small, 0.06 * size if parts.root else 0.0))
    if parts.extension:
        pieces.append(Piece(parts.extension, name, size * 0.78, 0.16 * size))
    if parts.suspension:
        pieces.append(Piece(parts.suspension, name, size * 0.7, 0.06 * size))
    return pieces


def _carrying(text: str, name: str) -> str:
    """The face, or one like it that has every sign of the text (italics and the hand have no triangle)."""
    return next((one for one in (name, name.partition("-")[0]) if all(sign in face(one) for sign in text)), "sans")


def _bass(parts: HouseChord, size: float, name: str) -> list[Piece]:
    if not parts.bass:
        return []
    pieces = [Piece("/", name, size), Piece(parts.bass, name, size * 0.9)]
    if parts.bass_accidental:
        pieces.append(sign(signs_of(parts.bass_accidental), size * 0.86))
    return pieces


def _raised(parts: HouseChord, size: float, name: str, lift: float) -> list[list[Piece]]:
    """One run of pieces for each element of the raised list."""
    rows = []
    for element in parts.raised:
        row = [Piece(element.word, name, size, lift)] if element.word else []
        if element.accidental:
            row.append(sign(signs_of(element.accidental), size, lift))
        if element.number:
            row.append(Piece(element.number, name, size, lift))
        rows.append(row)
    return rows


def _grown(pieces: list[Piece], least: float) -> list[Piece]:
    """The pieces, none smaller than `least`; what had to grow comes down to the baseline."""
    return [piece if piece.size >= least else piece._replace(size=least, lift=0.0) for piece in pieces]


def chord_pieces(chord: ChordSymbol | NoChord, style: Style, size: float, name: str) -> tuple[Piece, ...]:
    """A symbol in one line, for running text."""
    parts = house(chord, style.chord_style)
    pieces = _body(parts, size, name)
    small, lift = size * 0.74, size * 0.18
    for index, row in enumerate(_raised(parts, small, name, lift)):
        if parts.in_brackets or index:
            pieces.append(Piece("(" if index == 0 else ",", name, small, lift))
        pieces += row
    if parts.in_brackets:
        pieces.append(Piece(")", name, small, lift))
    return tuple(_grown([*pieces, *_bass(parts, size, name)], style.smallest))


def chord_marks(
    symbol: str, x: float, y: float, size: float, style: Style, tag: Tag | None = None, cut: str = "-semibold"
) -> tuple[list[Mark], float]:
    """A symbol on the baseline y, alterations stacked, and its width. Text that is no chord stands as it is."""
    name = style.signs + cut
    font = style.music
    try:
        parts = house(parse_chord(symbol), style.chord_style)
    except BarglossError:
        return [Text(x, y, symbol, name, size, "ink", tag)], face(name).width(symbol, size)
    body = _grown(_body(parts, size, name), style.smallest)
    marks = set_pieces(body, x, y, font, "ink", tag)
    at = x + width_of(body, font)
    if parts.raised:
        more, width = _stack(parts, at, y, size, style, tag, name)
        marks += more
        at += width
    bass = _grown(_bass(parts, size, name), style.smallest)
    marks += set_pieces(bass, at, y, font, "ink", tag)
    return marks, at + width_of(bass, font) - x


def _stack(
    parts: HouseChord, x: float, y: float, size: float, style: Style, tag: Tag | None, name: str
) -> tuple[list[Mark], float]:
    """The raised list: one line in brackets, or several on top of each other."""
    font = style.music
    count = len(parts.raised)
    small = max(size * (0.7 if count == 1 else 0.58), style.smallest)
    rows = _raised(parts, small, name, 0.0)
    wide = max(width_of(row, font) for row in rows)
    step = small * 0.86
    base = y - size * (0.2 if count == 1 else 0.02)
    if count == 2:
        base = y + size * 0.04
    marks: list[Mark] = []
    at = x + size * 0.05
    tall = small if count == 1 else small * (0.6 + 0.75 * count)
    bracket = face(name).width("(", tall) if parts.in_brackets else 0.0
    middle = base - step * (count - 1) / 2 - small * 0.33
    if parts.in_brackets:
        drop = 0.26 * tall  # a bracket's ink is centred so far above its baseline
        marks.append(Text(at, middle + drop, "(", name, tall, "ink", tag))
        marks.append(Text(at + bracket + wide, middle + drop, ")", name, tall, "ink", tag))
    for index, row in enumerate(rows):
        marks += set_pieces(row, at + bracket, base - step * (count - 1 - index), font, "ink", tag)
    return marks, size * 0.05 + 2 * bracket + wide


class _Placed(NamedTuple):
    column: int
    marks: list[Mark]
    width: float


@dataclass(frozen=True, eq=False)
class ChordShape:
    """The row before it is stretched. symbols: marks from x 0 on, and the column each stands at; top: of their ink."""

    symbols: tuple[_Placed, ...]
    reaches: tuple[Reach, ...]
    spans: tuple[Span, ...]
    top: float
    gap: float = 0.0

    def ink(self, xs: Sequence[float], width: float) -> RowInk:
        """Symbols with their left edge over the head they fall on; y 0 is the baseline."""
        marks: list[Mark] = []
        for symbol in self.symbols:
            marks += [shifted(mark, xs[symbol.column]) for mark in symbol.marks]
        return RowInk(Drawing(tuple(marks)), self.top, 0.5 if marks else 0.0)


def shifted(mark: Mark, dx: float) -> Mark:
    """A glyph or text moved to the right."""
    assert hasattr(mark, "x")
    return mark._replace(x=mark.x + dx)  # type: ignore[union-attr,call-arg]


def chord_shape(view: BarView, columns: tuple[Column, ...]) -> ChordShape:
    """The bar's changes as the house spells them."""
    at: dict[object, int] = {}
    for index, column in enumerate(columns):
        if column.event is None or not view.bar.events[column.event].grace:
            at.setdefault(column.onset, index)
    symbols = []
    for index, change in enumerate(view.bar.changes):
        marks, width = chord_marks(change.symbol, 0.0, 0.0, view.style.chord_size, view.style, Tag("chord", index))
        symbols.append(_Placed(at[change.offset], marks, width))
    spans = []
    for index, symbol in enumerate(symbols):
        until = symbols[index + 1].column if index + 1 < len(symbols) else None
        spans.append(Span(symbol.column, until, symbol.width + (_GAP if until is not None else 0.0)))
    font = view.style.music
    top = min([mark_box(mark, font).top for symbol in symbols for mark in symbol.marks], default=0.0)
    return ChordShape(tuple(symbols), (NOTHING,) * len(columns), tuple(spans), min(top, -2.3) if symbols else 0.0)



