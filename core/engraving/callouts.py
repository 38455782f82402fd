"""Words under the bars of one system: callouts in boxes tied to their notes, and comments.

A bracket runs under the notes a callout speaks of, a line drops from it to the box. Each callout
heads a column, a bar's comment stands under its first callout or in a column of its own, named
after the bar. Columns stand side by side: their widths are those that make the tallest as low as
it can be (exactly, over widths in steps), their places the nearest to what they speak of (least
squares, exactly, by pooling neighbours that would overlap). Where the columns of a system cannot
share a row, comments without a callout move under a neighbour; where that does not help they
stand in several rows, and numbers take the place of the lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from core.engraving.drawing import Drawing, Frame, Mark, Tag, Text
from core.engraving.drawing import Line as Stroke
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE
from core.engraving.style import Style
from core.engraving.words import Word, count_lines, set_lines, words_of, wrap
from core.study import Bar

_GAP = 1.5
"""White between two boxes."""
_PAD_X, _PAD_Y = 0.75, 0.45
_LOWERED = 0.07
"""Ems by which words in a frame stand under its middle: most lines have ascenders, few descenders."""
_LEVEL = 0.95
"""From one level of brackets to the next."""
_DROP = 0.95
_STACK = 0.55
"""White between a callout's box and the comment under it."""
_WIDTHS = tuple(10.5 + 1.17 * step for step in range(17))  # ems of the words: about 20 to 60 characters
_HOOK = 0.45
_NUMBER_GAP = 0.35


@dataclass(frozen=True, slots=True)
class Note:
    """Words to place. left, right: what they speak of, in staff spaces from the system's left edge.

    bar: place of its bar in the system; tag: its own; runs_on: the notes go on in the next system.
    """

    bar: int
    tag: Tag
    heading: str
    text: str
    left: float
    right: float
    is_comment: bool = False
    runs_on: bool = False


class Column(NamedTuple):
    """Notes stacked under each other; the first says where the column would like to stand."""

    notes: tuple[Note, ...]


class Placed(NamedTuple):
    """A column with its left edge and width."""

    column: Column
    left: float
    width: float


class Words(NamedTuple):
    """Drawings by the system's bar they belong to, and the y where they end."""

    drawings: tuple[tuple[int, Drawing], ...]
    bottom: float


def columns_of(notes: Sequence[Note]) -> list[Column]:
    """A column a callout, in playing order; a comment under its bar's first callout, or alone."""
    columns: list[list[Note]] = []
    for note in notes:
        if not note.is_comment:
            columns.append([note])
    for note in notes:
        if note.is_comment:
            mine = next((column for column in columns if column[0].bar == note.bar), None)
            if mine is None:
                columns.append([note])
            else:
                mine.append(note)
    columns.sort(key=lambda column: (column[0].bar, column[0].left))
    return [Column(tuple(column)) for column in columns]


@lru_cache(maxsize=4096)
def _heights(words: tuple[Word, ...], framed: bool, style: Style) -> tuple[float, ...]:
    """Of one note's words at each of the widths."""
    pad = 2 * (_PAD_Y if framed else 0.0)
    return tuple(
        count_lines(words, width * style.word_size - 2 * _PAD_X, style) * style.word_leading + pad for width in _WIDTHS
    )


def _column_heights(column: Column, style: Style) -> list[float]:
    """Of a column at each of the widths."""
    each = [_heights(words_of(note.heading, note.text, style), not note.is_comment, style) for note in column.notes]
    return [sum(heights) + _STACK * (len(heights) - 1) for heights in zip(*each, strict=True)]


def least_room(words: Sequence[tuple[Word, ...]], style: Style) -> float:
    """Width that these callouts need at the least to share a row."""
    least = _WIDTHS[0] * style.word_size
    return sum(min(least, sum(word.width + 0.5 for word in one) + 2 * _PAD_X) for one in words) + _GAP * max(
        0, len(words) - 1
    )


def words_area(bar: Bar, style: Style) -> tuple[float, float]:
    """About what a bar's words take: area in square staff spaces, and height of the highest at their widest."""
    notes = [(one.heading, one.text, True) for one in bar.callouts]
    comment = " ".join([bar.comment, *(event.remark for event in bar.events if event.remark)]).strip()
    if comment:
        notes.append(("Bar 10", comment, False))
    heights = [_heights(words_of(heading, text, style), framed, style) for heading, text, framed in notes]
    middle = len(_WIDTHS) // 3
    return (sum([each[middle] + _STACK for each in heights]) * (_WIDTHS[middle] * style.word_size + _GAP),
            max([each[-1] for each in heights], default=0.0))


def share_row(columns: Sequence[Column], width: float, style: Style) -> tuple[Placed, ...] | None:
    """The columns side by side, the tallest as low as can be; None where they cannot stand in one row."""
    room = width - _GAP * (len(columns) - 1)
    widths = [width * style.word_size for width in _WIDTHS]
    if widths[0] * len(columns) > room:
        return None
    heights = [_column_heights(column, style) for column in columns]

    def sizes_for(limit: float) -> list[float] | None:
        sizes = []
        for row in heights:
            size = next((size for size, height in zip(widths, row, strict=True) if height <= limit), None)
            if size is None:
                return None
            sizes.append(size)
        return sizes if sum(sizes) <= room else None

    limits = sorted({height for row in heights for height in row})
    low, high = 0, len(limits)
    while low < high:
        middle = (low + high) // 2
        if sizes_for(limits[middle]) is None:
            low = middle + 1
        else:
            high = middle
    sizes = sizes_for(limits[low]) if low < len(limits) else None
    if sizes is None:
        return None
    sizes = [_snug(column, size, style) for column, size in zip(columns, sizes, strict=True)]
    wanted = [_wish(column.notes[0], size) for column, size in zip(columns, sizes, strict=True)]
    return tuple(map(Placed, columns, nearest_places(wanted, sizes, width), sizes))


def _snug(column: Column, width: float, style: Style) -> float:
    """The width its widest line really takes."""
    lines = [
        line.width for note in column.notes
        for line in wrap(words_of(note.heading, note.text, style), width - 2 * _PAD_X, style)
    ]
    widest = max(lines, default=_WIDTHS[0] * style.word_size - 2 * _PAD_X)
    return min(width, widest + 2 * _PAD_X + 0.05)


def _wish(note: Note, size: float) -> float:
    """Where a column would stand: under the middle of its bracket, but from the bracket's left edge
    where that is wider; a comment from its bar's left edge."""
    if note.is_comment or note.right - note.left >= size:
        return note.left
    return max(0.0, (note.left + note.right - size) / 2)


def nearest_places(wanted: Sequence[float], sizes: Sequence[float], width: float) -> list[float]:
    """Left edges in the order given, none overlapping, inside 0..width, with the least sum of squared moves.

    Isotonic regression by pooling adjacent violators (Barlow et al. 1972, from memory), then clipped
    to the range, which keeps the optimum.
    """
    offsets = [0.0]
    for size in sizes[:-1]:
        offsets.append(offsets[-1] + size + _GAP)
    pools: list[tuple[float, int]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        mean, count = want - offset, 1
        while pools and pools[-1][0] > mean:
            other, members = pools.pop()
            mean = (mean * count + other * members) / (count + members)
            count += members
        pools.append((mean, count))
    limit = width - offsets[-1] - sizes[-1]
    flat = [min(max(mean, 0.0), max(limit, 0.0)) for mean, count in pools for _ in range(count)]
    return [place + offset for place, offset in zip(flat, offsets, strict=True)]


def merged(columns: Sequence[Column], width: float, style: Style) -> list[Column]:
    """The columns, comments moved under a neighbour one by one until a row holds them or none is left to move."""
    now = list(columns)
    while len(now) > 1 and share_row(now, width, style) is None:
        ways = []
        for index, column in enumerate(now):
            if not column.notes[0].is_comment:
                continue
            if index:
                ways.append([*now[: index - 1], Column((*now[index - 1].notes, *column.notes)), *now[index + 1 :]])
            if index + 1 < len(now):
                after = now[index + 1]
                joined = sorted((*after.notes, *column.notes), key=lambda note: (note.is_comment, note.bar))
                ways.append([*now[:index], Column(tuple(joined)), *now[index + 2 :]])
        if not ways:
            return list(columns)
        now = min(ways, key=lambda way: _tallest(way, style))
    return now


def _tallest(columns: Sequence[Column], style: Style) -> float:
    """Of the columns at equal widths: enough to compare ways of stacking them."""
    return max(_column_heights(column, style)[4] for column in columns)


def rows_of(columns: Sequence[Column], width: float, style: Style) -> list[tuple[Placed, ...]]:
    """The columns in as few rows as hold them, in playing order."""
    rows: list[tuple[Placed, ...]] = []
    start = 0
    while start < len(columns):
        for end in range(len(columns), start, -1):
            row = share_row(columns[start:end], width, style)
            if row is None and end == start + 1:
                row = (Placed(columns[start], 0.0, width),)
            if row is not None:
                rows.append(row)
                start = end
                break
    return rows


def bracket_levels(notes: Sequence[Note]) -> list[int]:
    """A level for each bracket, so that none overlaps another on its level; as few levels as there can be."""
    levels = [0] * len(notes)
    ends: list[float] = []
    for index in sorted(range(len(notes)), key=lambda i: notes[i].left):
        note = notes[index]
        free = next((level for level, end in enumerate(ends) if end + 0.4 <= note.left), len(ends))
        if free == len(ends):
            ends.append(note.right)
        ends[free] = note.right
        levels[index] = free
    return levels


def set_words(
    notes: Sequence[Note], carried: Sequence[tuple[float, float]], y: float, width: float, style: Style
) -> Words:
    """Everything under the rows of a system. carried: brackets that come in from the system before;
    y: where the ink above ends.
    """
    drawings: list[tuple[int, Drawing]] = []
    bottom = y
    for left, right in carried:
        at = y + 0.5
        drawings.append((0, Drawing((
            Stroke(left, at, right, at, HAIRLINE, "rule"), Stroke(right, at - _HOOK, right, at, HAIRLINE, "rule"),
        ))))
        bottom = max(bottom, at)
    if notes:
        start = bottom + (0.35 if carried else 0.0)
        bottom = _set_columns(rows_of(merged(columns_of(notes), width, style), width, style), start, style, drawings)
    return Words(tuple(drawings), bottom)


def _set_columns(
    rows: list[tuple[Placed, ...]], y: float, style: Style, drawings: list[tuple[int, Drawing]]
) -> float:
    """Brackets, lines and boxes; returns the lowest edge."""
    numbered = len(rows) > 1
    heads = [placed for row in rows for placed in row if not placed.column.notes[0].is_comment]
    levels = bracket_levels([placed.column.notes[0] for placed in heads])
    top = y + 0.4
    name, size = f"{style.signs}-semibold", style.number_size
    number_drop = _NUMBER_GAP + face(name).cap_height * size  # its baseline under the bracket
    box_top = top + _LEVEL * max(levels) + max(_DROP, number_drop + 0.2 if numbered else 0.0) if heads else y + 0.3
    numbers: dict[int, int] = {}
    for number, (placed, level) in enumerate(zip(heads, levels, strict=True), 1):
        note = placed.column.notes[0]
        at = top + _LEVEL * level
        marks = _bracket(note, at)
        if numbered:
            numbers[id(note)] = number
            marks.append(Text(note.left + 0.2, at + number_drop, str(number), name, size, "ink", note.tag))
        else:
            marks += _drop(note, placed, at, box_top)
        drawings.append((note.bar, Drawing(tuple(marks))))
    for row in rows:
        bottom = box_top
        for placed in row:
            bottom = max(bottom, _set_column(placed, box_top, style, drawings, numbers))
        box_top = bottom + 0.8
    return box_top - 0.8


def _bracket(note: Note, y: float) -> list[Mark]:
    marks: list[Mark] = [
        Stroke(note.left, y, note.right, y, HAIRLINE, "rule", note.tag),
        Stroke(note.left, y - _HOOK, note.left, y, HAIRLINE, "rule", note.tag),
    ]
    if not note.runs_on:
        marks.append(Stroke(note.right, y - _HOOK, note.right, y, HAIRLINE, "rule", note.tag))
    return marks


def _drop(note: Note, box: Placed, y: float, top: float) -> list[Mark]:
    """From the bracket to the box: straight down where they overlap, else with one bend."""
    left, right = max(note.left, box.left), min(note.right, box.left + box.width)
    if right >= left:
        x = (left + right) / 2 if right - left < 3 else left + 1.5
        return [Stroke(x, y, x, top, HAIRLINE, "rule", note.tag)]
    away = box.left > note.right
    x = note.right if away else note.left
    target = box.left + 0.6 if away else box.left + box.width - 0.6
    bend = top - _DROP * 0.45
    return [
        Stroke(x, y, x, bend, HAIRLINE, "rule", note.tag),
        Stroke(min(x, target) - HAIRLINE / 2, bend, max(x, target) + HAIRLINE / 2, bend, HAIRLINE, "rule", note.tag),
        Stroke(target, bend, target, top, HAIRLINE, "rule", note.tag),
    ]


def _set_column(
    placed: Placed, y: float, style: Style, drawings: list[tuple[int, Drawing]], numbers: dict[int, int]
) -> float:
    """The notes of a column under each other from y down; returns the lowest edge."""
    cap = face(style.words).cap_height * style.word_size
    for index, note in enumerate(placed.column.notes):
        framed = not note.is_comment
        number = numbers.get(id(note))
        words = words_of(f"{number} {note.heading}" if number else note.heading, note.text, style)
        lines = wrap(words, placed.width - 2 * _PAD_X, style)
        pad = _PAD_Y if framed or index == 0 else 0.0
        lowered = _LOWERED * style.word_size if framed else 0.0
        baseline = y + pad + cap + 0.1 + lowered
        under = 0.26 * style.word_size - lowered + (_PAD_Y if framed else 0.0)
        end = baseline + style.word_leading * (len(lines) - 1) + under
        indent = 0.0 if placed.column.notes[0].is_comment else _PAD_X
        marks = set_lines(lines, placed.left + indent, baseline, style, note.tag)
        if framed:
            marks.insert(0, Frame(placed.left, y, placed.left + placed.width, end, HAIRLINE, "rule", note.tag))
        drawings.append((note.bar, Drawing(tuple(marks))))
        y = end + _STACK
    return y - _STACK
