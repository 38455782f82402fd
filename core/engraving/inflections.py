"""How a note begins and ends in jazz: falls, doits, bends, scoops, slides and turns, beside their heads.

The fonts carry none of them but the turn, so they are drawn, after the forms SMuFL 1.4 describes in
its ranges "Brass techniques" and "Ornaments": thin brush strokes that leave the head level and end in
a point. Sizes are ours, by eye. Everything begins past whatever else the note has on that side:
dots, ledger lines, brackets, accidentals, a flag.
"""

from __future__ import annotations

from typing import NamedTuple

from core.engraving.boxes import ARC_PEN
from core.engraving.drawing import Arc, Glyph, Line, Mark, Polygon, Tag
from core.engraving.heads import EventShape
from core.engraving.smufl import MusicFont
from core.engraving.view import BarView, Reach

_GAP = 0.2
_FALL, _SCOOP, _BEND, _SLIDE = (1.5, 1.5), (1.15, 0.95), (0.95, 1.05), (1.3, 0.75)
"""Out and down (or up) from the gap beside the head; of a bend to the foot of its arrow."""
_ARROW = (0.24, 0.5)
"""Half the width and the length of an arrow's head."""
_THICK, _SLIDE_THICK = 0.2, 0.16
_TURN_GAP = 0.45

Point = tuple[float, float]


class Sides(NamedTuple):
    """How far the note's own ink reaches to either side of its column."""

    left: float
    right: float


def is_slid_down(view: BarView, index: int) -> bool:
    """Whether the note before the event, in this bar or the last, is higher: a slide then comes from above."""
    notes = [event.notes for event in view.bar.events[:index] if event.notes]
    before = notes[-1][-1].pitch if notes else view.slid_from
    return before is not None and before.midi > view.bar.events[index].notes[-1].pitch.midi


def inflection_reach(shape: EventShape, sides: Sides, font: MusicFont) -> Reach:
    """Room the event takes with its inflections."""
    marks, scale = shape.event.articulations, shape.scale
    out = [size[0] for name, size in (("fall", _FALL), ("doit", _FALL), ("bend", (_BEND[0] + _ARROW[0], 0.0)))
           if name in marks]
    overhang = max(0.0, (font.box("ornamentTurn").width - shape.head_width) / 2) if "turn" in marks else 0.0
    into = [size[0] for name, size in (("scoop", _SCOOP), ("slide", _SLIDE)) if name in marks]
    return Reach(max(sides.left + (_GAP + max(into) * scale if into else 0.0), overhang),
                 max(sides.right + (_GAP + max(out) * scale if out else 0.0), shape.head_width + overhang))


def inflection_marks(shape: EventShape, x: float, index: int, sides: Sides, *, from_above: bool) -> list[Mark]:
    """Marks of the event whose column stands at x. from_above: a slide comes from there."""
    scale, tag = shape.scale, Tag("note", index)
    right, left = x + sides.right + _GAP, x - sides.left - _GAP
    marks: list[Mark] = []
    for name in shape.event.articulations:
        if name == "fall":
            marks.append(_tail(right, shape.bottom, scale, 1, tag))
        elif name == "doit":
            marks.append(_tail(right, shape.top, scale, -1, tag))
        elif name == "bend":
            marks += _arrow(right, shape.top, scale, tag)
        elif name == "scoop":
            out, down = _SCOOP[0] * scale, _SCOOP[1] * scale
            y = shape.bottom
            marks.append(brush((left - out, y + down), (left - 0.5 * out, y + down),
                               (left - 0.12 * out, y + 0.65 * down), (left, y + 0.05), tag))
        elif name == "slide":
            out, down = _SLIDE[0] * scale, _SLIDE[1] * scale * (-1 if from_above else 1)
            marks.append(Line(left - out, shape.top + down, left, shape.top + 0.1 * down, _SLIDE_THICK, "ink", tag))
    return marks


def turn_mark(shape: EventShape, x: float, edge: float, index: int, font: MusicFont) -> Glyph:
    """A turn over everything the note has above its head, which ends at `edge`, and over the staff."""
    box = font.box("ornamentTurn")
    middle = x + shape.head_width / 2 - (box.left + box.right) / 2
    return Glyph(middle, min(edge, 0.0) - _TURN_GAP - box.bottom, "ornamentTurn", 1.0, "ink", Tag("note", index))


def _tail(x: float, y: float, scale: float, way: int, tag: Tag) -> Arc:
    """A fall (way 1) or doit (-1)."""
    out, down = _FALL[0] * scale, way * _FALL[1] * scale
    return brush((x, y), (x + 0.5 * out, y), (x + 0.85 * out, y + 0.35 * down), (x + out, y + down), tag)


def _arrow(x: float, y: float, scale: float, tag: Tag) -> list[Mark]:
    """A bend: level off the head, then straight up to an arrow's head."""
    out, up = _BEND[0] * scale, _BEND[1] * scale
    half, long = _ARROW[0] * scale, _ARROW[1] * scale
    tip = x + out
    return [brush((x, y), (x + 0.75 * out, y), (tip, y - 0.3 * up), (tip, y - up - 0.1), tag),
            Polygon(((tip - half, y - up), (tip, y - up - long), (tip + half, y - up)), "ink", tag)]


def brush(start: Point, first: Point, second: Point, end: Point, tag: Tag, thick: float = _THICK) -> Arc:
    """A stroke along a cubic curve, pointed at its ends and `thick` in its middle."""
    half = (thick - ARC_PEN) / 1.5  # the curve stands off its controls by three quarters; painters add their pen
    (x1, y1), (x2, y2) = _normal(start, second, half), _normal(first, end, half)
    return Arc(start, end, ((first[0] - x1, first[1] - y1), (second[0] - x2, second[1] - y2)),
               ((first[0] + x1, first[1] + y1), (second[0] + x2, second[1] + y2)), "ink", tag)


def _normal(one: Point, other: Point, length: float) -> Point:
    """At right angles to the way from one point to the other."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    whole = (dx * dx + dy * dy) ** 0.5 or 1.0
    return dy / whole * length, -dx / whole * length
