"""Things of a page that stand in each other's way.

By default no two things may meet; what may is listed here, pair by pair.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from core.engraving.drawing import Frame, Glyph, Line, Text
from core.engraving.solids import depth
from core.handout.things import Thing

TOUCH = 0.3
"""Points by which inks may overlap: a tenth of a millimetre is not seen."""
_WORDS = frozenset({"tab", "degree", "reading", "chord", "callout", "comment", "remark", "title", "foot", "label",
                    "bar number", "text", "dot", "neck"})
"""What no staff line may run through."""


def _pairs(text: str) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(pair.split("+")) for pair in text.split())


_OF_ONE_NOTE = _pairs("head+stem head+ledger stem+ledger flag+ledger gesture+ledger stem+flag head "
                      "gesture+stem gesture+flag dot rest bracket+ledger dot+ledger")
"""Kinds of which those of one event may meet; a kind alone: with its like (heads a second apart)."""
_OF_ANY = _pairs("arc+barline gesture+barline hairpin+barline arc+ledger hook+barline barline beam")
"""Kinds that may meet whosever they are: slurs and hairpins cross barlines, lesser beams lie along the first."""


def collisions(found: Sequence[Thing]) -> Iterator[tuple[Thing, Thing]]:
    """Pairs of things whose inks meet and may not, the one painted later second."""
    if not found:
        return
    boxes = np.array([one.box for one in found])
    left, top, right, bottom = boxes.T
    lines = np.array([one.kind == "staff line" for one in found])
    meet = (np.minimum(right[:, None], right) - np.maximum(left[:, None], left) > TOUCH) & (
        np.minimum(bottom[:, None], bottom) - np.maximum(top[:, None], top) > TOUCH)
    meet &= ~(lines[:, None] & lines)
    for first, second in zip(*np.nonzero(np.triu(meet, 1)), strict=True):
        one, other = found[first], found[second]
        if not _may_meet(one, other) and _meet(one, other):
            yield one, other


def _meet(one: Thing, other: Thing) -> bool:
    box = other.box
    pieces = other.on_page()
    for mine in one.on_page():
        if (mine.box.right <= box.left or mine.box.left >= box.right or mine.box.bottom <= box.top
                or mine.box.top >= box.bottom):
            continue
        for theirs in pieces:
            if depth(mine, theirs) > TOUCH:
                return True
    return False


def _may_meet(one: Thing, other: Thing) -> bool:
    kinds = frozenset((one.kind, other.kind))
    if "staff line" in kinds:
        return not kinds & _WORDS
    if one.owner == other.owner and (one.event is None or kinds in _OF_ONE_NOTE):
        return True
    if kinds in _OF_ANY:
        return True
    return _SPECIAL[kinds](one, other) if kinds in _SPECIAL else False


def _beamed(one: Thing, other: Thing) -> bool:
    """A stem and a beam: the beam lies at the stem's end, or between its end and its head as a lesser one does."""
    stem, beam = (one, other) if one.kind == "stem" else (other, one)
    assert isinstance(stem.mark, Line)
    tip = stem.placed.y + stem.mark.y2 * stem.scale
    reach = 3.0 * stem.scale  # four beams
    return one.placed is other.placed and beam.box.top - reach < tip < beam.box.bottom + reach


def _joined(one: Thing, other: Thing) -> bool:
    """Two strokes of a bracket: an end of each lies at the other's."""
    first, second = one.mark, other.mark
    if not (isinstance(first, Line) and isinstance(second, Line)):
        return False
    ends = [((mark.x1, mark.y1), (mark.x2, mark.y2)) for mark in (first, second)]
    return any(abs(a[0] - b[0]) < 0.2 and abs(a[1] - b[1]) < 0.2 for a in ends[0] for b in ends[1])


def _hanging(one: Thing, other: Thing) -> bool:
    """Two strokes of callouts about the same notes: an end of one lies on the other, and none goes through."""
    return any(_ends_on(first, second) for first, second in ((one, other), (other, one)))


def _ends_on(one: Thing, other: Thing) -> bool:
    first, second = one.mark, other.mark
    if not (isinstance(first, Line) and isinstance(second, Line)):
        return False
    line, near = other.box, 0.2 * one.scale
    left, top = one.placed.x, one.placed.y
    return any(line.grown(near).holds(left + x * one.scale, top + y * one.scale)
               for x, y in ((first.x1, first.y1), (first.x2, first.y2)))


def _in_a_row(one: Thing, other: Thing) -> bool:
    """Figures of one number stand on one line."""
    return (isinstance(one.mark, Glyph) and isinstance(other.mark, Glyph) and one.placed is other.placed
            and one.mark.y == other.mark.y)


def _boxed(one: Thing, other: Thing) -> bool:
    """A neck picture and its callout's box: it lies inside."""
    neck, box = (one, other) if one.kind == "neck" else (other, one)
    frame, tag = box.mark, neck.mark.tag
    if not isinstance(frame, Frame) or neck.bar != box.bar or tag is None or tag._replace(note=0) != frame.tag:
        return False
    inside = box.box.grown(-frame.width * box.scale)
    return inside.holds(neck.box.left, neck.box.top) and inside.holds(neck.box.right, neck.box.bottom)


def _on_one_neck(one: Thing, other: Thing) -> bool:
    """Strings, frets and rings meet; what names a place or a fret stands clear."""
    return one.placed is other.placed and not isinstance(one.mark, Text | Glyph) and (
        not isinstance(other.mark, Text | Glyph))


_SPECIAL = {
    frozenset(("stem", "beam")): _beamed, frozenset(("hook",)): _joined, frozenset(("callout",)): _hanging,
    frozenset(("tuplet",)): _in_a_row,
    frozenset(("meter",)): _in_a_row, frozenset(("callout", "neck")): _boxed, frozenset(("neck",)): _on_one_neck,
}
