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
from math import inf
from typing import NamedTuple

from core.engraving.brackets import DROP, HOOK, LEVEL, Span, bracket_levels, bracket_marks, drop_marks, free_of, span_of
from core.engraving.drawing import Drawing, Text
from core.engraving.drawing import Line as Stroke
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE
from core.engraving.style import Style
from core.engraving.word_boxes import (
    GAP,
    PAD_X,
    PAD_Y,
    STACK,
    WIDTHS,
    Ink,
    Note,
    first_from,
    heights_of,
    room_taken,
    set_note,
)

_NUMBER_GAP, _BETWEEN_ROWS = 0.35, 0.8


class Column(NamedTuple):
    """Notes stacked under each other; the first says where the column would like to stand."""

    notes: tuple[Note, ...]


class Placed(NamedTuple):
    """A column with its left edge and width."""

    column: Column
    left: float
    width: float


class Words(NamedTuple):
    """Their ink, and the y where it ends."""

    ink: tuple[Ink, ...]
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
    columns.sort(key=lambda column: (column[0].bar, column[0].left, column[0].right))
    return [Column(tuple(column)) for column in columns]


def _column_heights(column: Column, style: Style) -> list[float]:
    """Of a column at each of the widths."""
    each = [heights_of(note, style) for note in column.notes]
    return [sum(heights) + STACK * (len(heights) - 1) for heights in zip(*each, strict=True)]


def share_row(columns: Sequence[Column], width: float, style: Style, start: float = 0.0) -> tuple[Placed, ...] | None:
    """The columns side by side, the tallest as low as can be; None where they cannot stand in one row.

    start: none stands left of it that has room to the right.
    """
    room = width - GAP * (len(columns) - 1)
    widths = [width * style.word_size for width in WIDTHS]
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

    limits = sorted({height for row in heights for height in row if height < inf})
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
    wanted = [max(start, _wish(column.notes[0], size)) for column, size in zip(columns, sizes, strict=True)]
    return tuple(map(Placed, columns, nearest_places(wanted, sizes, width), sizes))


def _snug(column: Column, width: float, style: Style) -> float:
    """The width that its widest line or picture really takes."""
    widest = max([room_taken(note, width, style) for note in column.notes])
    return min(width, widest + 2 * PAD_X + 0.05) if widest else WIDTHS[0] * style.word_size


def _wish(note: Note, size: float) -> float:
    """Where a column would stand: under the middle of its bracket, but from the bracket's left edge
    where that is wider; a comment from its bar's left edge."""
    if note.is_comment or note.right - note.left >= size:
        return note.left
    return (note.left + note.right - size) / 2


def nearest_places(wanted: Sequence[float], sizes: Sequence[float], width: float) -> list[float]:
    """Left edges in the order given, none overlapping, inside 0..width, with the least sum of squared moves.

    Isotonic regression by pooling adjacent violators (Barlow et al. 1972, from memory), then clipped
    to the range, which keeps the optimum.
    """
    offsets = [0.0]
    for size in sizes[:-1]:
        offsets.append(offsets[-1] + size + GAP)
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
    heights = [_column_heights(column, style) for column in columns]
    return max(each[first_from(each, 4)] for each in heights)


def rows_of(columns: Sequence[Column], width: float, style: Style, start: float = 0.0) -> list[tuple[Placed, ...]]:
    """The columns in as few rows as hold them, in playing order."""
    rows: list[tuple[Placed, ...]] = []
    first = 0
    while first < len(columns):
        for end in range(len(columns), first, -1):
            row = share_row(columns[first:end], width, style, start)
            if row is None and end == first + 1:
                row = (Placed(columns[first], 0.0, width),)
            if row is not None:
                rows.append(row)
                first = end
                break
    return rows


def set_words(
    notes: Sequence[Note], carried: Sequence[tuple[float, float]], y: float, width: float, style: Style,
    start: float = 0.0,
) -> Words:
    """Everything under the rows of a system. carried: brackets that come in from the system before;
    y: where the ink above ends; start: x where the music begins.
    """
    ink: list[Ink] = []
    bottom = y
    for left, right in carried:
        at = y + 0.5
        ink.append(Ink(0, Drawing((
            Stroke(left, at, right, at, HAIRLINE, "rule"), Stroke(right, at - HOOK, right, at, HAIRLINE, "rule"),
        ))))
        bottom = max(bottom, at)
    if notes:
        rows = rows_of(merged(columns_of(notes), width, style), width, style, start)
        bottom = _set_columns(rows, bottom + (0.35 if carried else 0.0), style, ink)
    return Words(tuple(ink), bottom)


def _set_columns(rows: list[tuple[Placed, ...]], y: float, style: Style, ink: list[Ink]) -> float:
    """Brackets, lines and boxes; returns the lowest edge."""
    numbered = len(rows) > 1
    heads = [placed for row in rows for placed in row if not placed.column.notes[0].is_comment]
    levels = bracket_levels([placed.column.notes[0] for placed in heads])
    top = y + 0.4
    name, size = f"{style.signs}-semibold", style.number_size
    number_drop = _NUMBER_GAP + face(name).cap_height * size  # its baseline under the bracket
    step = max(LEVEL, number_drop + HOOK + _NUMBER_GAP / 2) if numbered else LEVEL
    box_top = top + step * max(levels) + max(DROP, number_drop + 0.2 if numbered else 0.0) if heads else y + 0.3
    numbers: dict[int, int] = {}
    right_of: dict[Span, float] = {}  # where the last number of a bracket ends
    all_levels = [(placed.column.notes[0], level) for placed, level in zip(heads, levels, strict=True)]
    for number, (placed, (note, level)) in enumerate(zip(heads, all_levels, strict=True), 1):
        at = top + step * level
        marks = bracket_marks(note, at) if span_of(note) not in right_of else []
        x = right_of.get(span_of(note), note.left) + 0.2
        right_of[span_of(note)] = x + face(name).width(str(number), size) + _NUMBER_GAP
        if numbered:
            numbers[id(note)] = number
            marks.append(Text(x, at + number_drop, str(number), name, size, "ink", note.tag))
        else:
            box = placed.left, placed.left + placed.width
            marks += drop_marks(note, free_of(note, level, all_levels), box, at, box_top)
        ink.append(Ink(note.bar, Drawing(tuple(marks))))
    bottom = box_top
    for row in rows:
        bottom = max([_set_column(placed, box_top, style, ink, numbers) for placed in row])
        box_top = bottom + _BETWEEN_ROWS
    return bottom


def _set_column(placed: Placed, y: float, style: Style, ink: list[Ink], numbers: dict[int, int]) -> float:
    """The notes of a column under each other from y down; returns the lowest edge."""
    is_alone = placed.column.notes[0].is_comment  # no box to line up with
    y += PAD_Y if is_alone else 0.0
    for note in placed.column.notes:
        left = placed.left + (PAD_X if note.is_comment and not is_alone else 0.0)
        made, end = set_note(note, left, placed.width, y, style, numbers.get(id(note)))
        ink += made
        y = end + STACK
    return end
