"""Brackets under the notes that callouts speak of, and the lines that drop from them to the boxes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count

from core.engraving.drawing import Line, Mark
from core.engraving.measures import HAIRLINE
from core.engraving.word_boxes import Note

Span = tuple[float, float]
"""Left and right edge."""
LEVEL, DROP, HOOK = 0.95, 0.7, 0.45
"""From one level of brackets to the next, from the lowest to the boxes, and from a bracket up to its notes."""
_APART, _CLEAR = 0.4, 0.3
"""White between two brackets on a level, and between a bracket and a line that goes down past it."""


def bracket_levels(notes: Sequence[Note]) -> list[int]:
    """A level for each bracket, so that none overlaps another on its level and a part of each is not under another.

    The longest first, as high as they go; brackets of the very same notes share one level, and are one.
    """
    levels: dict[int, int] = {}
    for index in sorted(range(len(notes)), key=lambda at: (notes[at].left - notes[at].right, notes[at].left)):
        note = notes[index]
        met = [at for at in levels if notes[at].left - _APART < note.right and note.left < notes[at].right + _APART]
        same = [levels[at] for at in met if span_of(notes[at]) == span_of(note)]
        taken = {levels[at] for at in met}
        least = max([levels[at] + 1 for at in met if notes[at].left <= note.left and note.right <= notes[at].right],
                    default=0)
        levels[index] = same[0] if same else next(level for level in count(least) if level not in taken)
    return [levels[index] for index in range(len(notes))]


def span_of(note: Note) -> Span:
    return note.left, note.right


def free_of(note: Note, level: int, others: Sequence[tuple[Note, int]]) -> list[Span]:
    """The stretches of a bracket from which a line can go straight down past those on lower levels."""
    found = []
    at = note.left
    for other in sorted([other for other, deeper in others if deeper > level], key=span_of):
        if other.left - _CLEAR > at:
            found.append((at, min(other.left - _CLEAR, note.right)))
        at = max(at, other.right + _CLEAR)
    if at <= note.right:
        found.append((at, note.right))
    return [(left, right) for left, right in found if left <= right]


def bracket_marks(note: Note, y: float) -> list[Mark]:
    marks: list[Mark] = [
        Line(note.left, y, note.right, y, HAIRLINE, "rule", note.tag),
        Line(note.left, y - HOOK, note.left, y, HAIRLINE, "rule", note.tag),
    ]
    if not note.runs_on:
        marks.append(Line(note.right, y - HOOK, note.right, y, HAIRLINE, "rule", note.tag))
    return marks


def drop_marks(note: Note, free: Sequence[Span], box: Span, y: float, top: float) -> list[Mark]:
    """From the bracket to the box: straight down where they overlap, else with one bend. free: stretches of the
    bracket that nothing stands under; box: its left and right edge."""
    start, end = box
    left, right = min(free or [span_of(note)], key=lambda one: max(start - one[1], one[0] - end, 0.0))
    inside, until = max(left, start), min(right, end)
    if until >= inside:
        x = (inside + until) / 2 if until - inside < 3 else inside + 1.5
        return [Line(x, y, x, top, HAIRLINE, "rule", note.tag)]
    away = start > right
    x = right if away else left
    target = start + 0.6 if away else end - 0.6
    bend = top - DROP * 0.45
    return [
        Line(x, y, x, bend, HAIRLINE, "rule", note.tag),
        Line(min(x, target) - HAIRLINE / 2, bend, max(x, target) + HAIRLINE / 2, bend, HAIRLINE, "rule", note.tag),
        Line(target, bend, target, top, HAIRLINE, "rule", note.tag),
    ]
