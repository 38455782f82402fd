"""Tuplet numbers and brackets.

The number stands at the middle of the group on the stems' side; the bracket is left out where
one beam spans exactly the tuplet (Gould ch. 7, from memory). Digits are SMuFL's, brackets drawn
(SMuFL 4.75).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from core.engraving.drawing import Glyph, Line, Mark
from core.engraving.measures import BRACKET
from core.engraving.smufl import MusicFont
from core.study import Event, Tuplet

_DIGIT_HEIGHT = 1.2
"""Of a 3; the fonts draw it 1.5 or 1.9 high."""
_HOOK = 0.7
_CLEAR = 0.55


class TupletGroup(NamedTuple):
    """level: 0 the outermost; events first..last."""

    level: int
    first: int
    last: int
    tuplet: Tuplet


def tuplet_groups(events: Sequence[Event]) -> tuple[TupletGroup, ...]:
    """The bar's tuplets, outer ones first."""
    groups = []
    for level in range(max((len(event.tuplets) for event in events), default=0)):
        start: int | None = None
        for index, event in enumerate(events):
            here = event.tuplets[level] if level < len(event.tuplets) else None
            if start is not None and (here is None or here.starts) and not event.grace:
                groups.append(TupletGroup(level, start, index - 1, events[start].tuplets[level]))
                start = None
            if here is not None and start is None:
                start = index
        if start is not None:
            groups.append(TupletGroup(level, start, len(events) - 1, events[start].tuplets[level]))
    return tuple(groups)


def label_of(tuplet: Tuplet) -> str:
    """`3`, or `7:6` where the number alone would mean another ratio."""
    usual = 1
    while usual * 2 < tuplet.actual:
        usual *= 2
    return str(tuplet.actual) if tuplet.normal == usual else f"{tuplet.actual}:{tuplet.normal}"


def tuplet_marks(
    label: str, left: float, right: float, y: float, above: bool, font: MusicFont, *, bracket: bool
) -> tuple[list[Mark], float]:
    """Number and bracket at y, the near edge of the ink they must clear, and the far edge of their own."""
    names = ["tupletColon" if sign == ":" else f"tuplet{sign}" for sign in label]
    boxes = [font.box(name) for name in names]
    scale = _DIGIT_HEIGHT / -font.box("tuplet3").top
    width = sum(box.advance for box in boxes) * scale
    height = max(-box.top for box in boxes) * scale
    x = (left + right - width) / 2
    line = y - _CLEAR - height / 2 if above else y + _CLEAR + height / 2
    marks: list[Mark] = []
    at = x
    for name, box in zip(names, boxes, strict=True):
        marks.append(Glyph(at, line + height / 2, name, scale))
        at += box.advance * scale
    if bracket:
        hook = _HOOK if above else -_HOOK
        for edge, near in ((left, x - 0.35), (right, x + width + 0.35)):
            marks.append(Line(edge, line, near, line, BRACKET))
            marks.append(Line(edge, line - (BRACKET / 2 if above else -BRACKET / 2), edge, line + hook, BRACKET))
    return marks, line - height / 2 if above else line + height / 2
