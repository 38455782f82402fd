"""A neck diagram read from its ink alone."""

from __future__ import annotations

from itertools import pairwise

from core.engraving.drawing import Line, NeckDiagram, Text
from core.engraving.faces import face


class Board:
    """String lines, fret lines, fret numbers."""

    def __init__(self, made: NeckDiagram) -> None:
        lines = [mark for mark in made.drawing.marks if isinstance(mark, Line) and mark.ink == "staff"]
        self.texts = [mark for mark in made.drawing.marks if isinstance(mark, Text)]
        self.strings = sorted({line.y1 for line in lines if line.y1 == line.y2})
        self.frets = sorted({line.x1 for line in lines if line.x1 == line.x2})
        self.numbers = {self.cell(middle(mark)): mark.text for mark in self.texts if mark.ink == "quiet"}

    def cell(self, x: float) -> int | None:
        """Which space between fret lines; None outside them."""
        return next((at for at, (left, right) in enumerate(pairwise(self.frets)) if left < x < right), None)

    def names(self) -> set[tuple[int, str, str]]:
        """String, fret as numbered under it ("0" beside the neck), and what is written there."""
        found = set()
        for mark in self.texts:
            y = mark.y - face(mark.face).cap_height * mark.size / 2
            string = next((at for at, line in enumerate(self.strings, 1) if abs(line - y) < 0.05), None)
            if string is not None:
                found.add((string, self.numbers.get(self.cell(middle(mark)), "0"), mark.text))
        return found


def middle(mark: Text) -> float:
    return mark.x + face(mark.face).width(mark.text, mark.size) / 2
