"""Where strings and frets lie in the picture of the neck, in logical pixels.

As in the tab the highest string is on top, with low frets to the left; for a left-handed guitarist it is turned round.
Frets lie evenly, not to scale, so that the high ones can be clicked as well.
"""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import QPointF

from core.guitar import Place

RADIUS = 9.0
"""Of a mark."""
_MARGIN, _HEAD, _TOP, _FOOT, _STEP = 10.0, 54.0, 14.0, 32.0, 21.0
"""At the sides; the strings' names and their open places; over and under the strings; between them."""


class Neck(NamedTuple):
    """wires: frets from the nut on; mirrored: for a left-handed guitarist; width: of the whole picture."""

    strings: int
    wires: int
    capo: int
    mirrored: bool
    width: float

    @property
    def cell(self) -> float:
        return (self.width - 2 * _MARGIN - _HEAD) / self.wires

    @property
    def frets(self) -> int:
        """The highest that can be played, from the capo."""
        return self.wires - self.capo

    @property
    def height(self) -> float:
        return _TOP + _STEP * (self.strings - 1) + _FOOT

    def turned(self, x: float) -> float:
        """As it stands on the widget."""
        return self.width - x if self.mirrored else x

    def wire(self, fret: int) -> float:
        """x of a fret's wire, of the nut for 0; from the nut, before it is turned round."""
        return _MARGIN + _HEAD + self.cell * fret

    @property
    def names_x(self) -> float:
        """Middle of the strings' names."""
        return self.turned(_MARGIN + RADIUS)

    def y(self, string: int) -> float:
        return _TOP + _STEP * (string - 1)

    def middle(self, place: Place) -> QPointF:
        """Of a fret, as a finger stops it; of an open string before the nut, or on the capo."""
        wire = place.fret + self.capo
        x = (self.wire(wire - 1) + self.wire(wire)) / 2 if wire else _MARGIN + _HEAD - 1.6 * RADIUS
        return QPointF(self.turned(x), self.y(place.string))

    def place_at(self, where: QPointF) -> Place | None:
        """The place that is meant by a point; None beside the strings. All behind the capo is an open string."""
        string = round((where.y() - _TOP) / _STEP) + 1
        x = self.turned(where.x())
        if not 1 <= string <= self.strings or not _MARGIN <= x <= self.wire(self.wires):
            return None
        wire = int((x - self.wire(0)) // self.cell) + 1
        return Place(string, max(0, wire - self.capo))
