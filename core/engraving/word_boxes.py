"""What is said of one bar or of some notes, as words in a box or without: how high at which width, and its ink.

A callout's box holds its words and, where it has one, a picture of the neck: under the words, or
beside them where that makes the box lower and leaves the words room enough.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf
from typing import NamedTuple

from core.engraving.drawing import Drawing, Frame, NeckDiagram, Tag
from core.engraving.faces import face
from core.engraving.measures import HAIRLINE
from core.engraving.remarks import remarks_of
from core.engraving.style import Style
from core.engraving.view import BarView
from core.engraving.words import Word, count_lines, remark_words, set_lines, words_of, wrap

GAP = 1.5
"""White between two boxes."""
STACK = 0.95
"""White between a callout's box and the comment under it."""
PAD_X, PAD_Y = 0.75, 0.45
_LOWERED = 0.07
"""Ems by which words in a frame stand under its middle: most lines have ascenders, few descenders."""
_OVER_NECK, _BESIDE_NECK = 1.2, 1.4
"""White between words and the picture under or beside them."""
WIDTHS = tuple(10.5 + 1.17 * step for step in range(17))  # ems of the words: about 20 to 60 characters


@dataclass(frozen=True, slots=True)
class Note:
    """Words to place. left, right: what they speak of, in staff spaces from the system's left edge.

    bar: place of its bar in the system; tag: its own; runs_on: the notes go on in the next system;
    neck: a picture to go with them; remarks: letters and words that follow, each on a line of its own.
    """

    bar: int
    tag: Tag
    heading: str
    text: str
    left: float
    right: float
    is_comment: bool = False
    runs_on: bool = False
    neck: NeckDiagram | None = None
    remarks: tuple[tuple[str, str], ...] = ()

    def words(self, style: Style) -> tuple[Word, ...]:
        """Ready to wrap."""
        return _all_words(self.heading, self.text, self.remarks, style)


def _all_words(heading: str, text: str, remarks: Sequence[tuple[str, str]], style: Style) -> tuple[Word, ...]:
    return *words_of(heading, text, style), *(word for one in remarks for word in remark_words(*one, style))


class Ink(NamedTuple):
    """A drawing at x, y of the system; bar: which of the system's it belongs to."""

    bar: int
    drawing: Drawing
    x: float = 0.0
    y: float = 0.0


class _Setting(NamedTuple):
    """room: for a line of words; beside: whether the picture stands beside them; height: without the white around."""

    room: float
    beside: bool
    height: float


def _inside(width: float, style: Style) -> float:
    """Room in a box of that width in ems."""
    return width * style.word_size - 2 * PAD_X


def widest_picture(style: Style) -> float:
    """What the widest box holds."""
    return _inside(WIDTHS[-1], style)


def _setting(words: Sequence[Word], neck: NeckDiagram | None, room: float, style: Style) -> _Setting:
    """The lowest way to set them; endless where the picture does not fit."""
    under = _Setting(room, False, count_lines(words, room, style) * style.word_leading)
    if neck is None:
        return under
    under = under._replace(height=under.height + _OVER_NECK + neck.height if neck.width <= room else inf)
    left = room - neck.width - _BESIDE_NECK
    if left < _inside(WIDTHS[0], style):
        return under
    beside = _Setting(left, True, max(count_lines(words, left, style) * style.word_leading, neck.height))
    return min(under, beside, key=lambda setting: setting.height)


@lru_cache(maxsize=4096)
def _heights(words: tuple[Word, ...], neck: NeckDiagram | None, framed: bool, style: Style) -> tuple[float, ...]:
    pad = 2 * (PAD_Y if framed else 0.0)
    return tuple([_setting(words, neck, _inside(width, style), style).height + pad for width in WIDTHS])


def heights_of(note: Note, style: Style) -> tuple[float, ...]:
    """At each of the widths; endless at those that do not hold its picture."""
    return _heights(note.words(style), note.neck, not note.is_comment, style)


def first_from(heights: Sequence[float], place: int) -> int:
    """The first width from `place` on that holds everything."""
    return next(at for at in range(place, len(heights)) if heights[at] < inf)


def room_taken(note: Note, width: float, style: Style) -> float:
    """By its widest line and its picture in a column of that width, the white at its sides left out."""
    words, neck = note.words(style), note.neck
    setting = _setting(words, neck, width - 2 * PAD_X, style)
    widest = max([line.width for line in wrap(words, setting.room, style)], default=0.0)
    if neck is None:
        return widest
    if setting.beside:
        return max(widest, _inside(WIDTHS[0], style)) + _BESIDE_NECK + neck.width
    return max(widest, neck.width)


def set_note(note: Note, left: float, width: float, y: float, style: Style,
             number: int | None) -> tuple[list[Ink], float]:
    """Its ink from `left` and y on, in a column of that width, and its lower edge. number: before its heading."""
    heading = f"{number} {note.heading}" if number else note.heading
    says = replace(note, bar=0, heading=heading, left=0.0, right=0.0, runs_on=False)
    drawings, height = _drawn(says, width, style)
    return [Ink(note.bar, drawing, left + across, y + down) for drawing, across, down in drawings], y + height


@lru_cache(maxsize=1024)  # most words stay what and as wide as they are while the notes over them move
def _drawn(note: Note, width: float, style: Style) -> tuple[tuple[tuple[Drawing, float, float], ...], float]:
    """Drawings, each from how far across and down; and the height of all. note: wherever it stands, at 0."""
    framed, words, neck, tag = not note.is_comment, note.words(style), note.neck, note.tag
    setting = _setting(words, neck, width - 2 * PAD_X, style)
    lines = wrap(words, setting.room, style)
    inset, pad, lowered = (PAD_X, PAD_Y, _LOWERED * style.word_size) if framed else (0.0, 0.0, 0.0)
    baseline = pad + face(style.words).cap_height * style.word_size + 0.1 + lowered
    end = baseline + style.word_leading * (len(lines) - 1) + 0.26 * style.word_size - lowered
    pictures: list[tuple[Drawing, float, float]] = []
    if neck and setting.beside:
        pictures.append((neck.drawing, width - PAD_X - neck.width, pad))
        end = max(end, pad + neck.height)
    elif neck:
        pictures.append((neck.drawing, (width - neck.width) / 2, end + _OVER_NECK))
        end += _OVER_NECK + neck.height
    end += pad
    marks = set_lines(lines, inset, baseline, style, tag)
    if framed:
        marks.insert(0, Frame(0.0, 0.0, width, end, HAIRLINE, "rule", tag))
    return ((Drawing(tuple(marks)), 0.0, 0.0), *pictures), end


def least_room(view: BarView) -> float:
    """Width that a bar's callouts need at the least to share a row."""
    style = view.style
    needed = []
    for callout, neck in zip(view.bar.callouts, view.necks, strict=True):
        words = sum([word.width + 0.5 for word in words_of(callout.heading, callout.text, style)])
        needed.append(max(min(words, _inside(WIDTHS[0], style)), neck.width if neck else 0.0) + 2 * PAD_X)
    return sum(needed) + GAP * max(0, len(needed) - 1)


def words_area(view: BarView) -> tuple[float, float]:
    """About what a bar's words take: area in square staff spaces, and height of the highest column at its widest."""
    bar, style = view.bar, view.style
    heights = [_heights(words_of(one.heading, one.text, style), neck, True, style)
               for one, neck in zip(bar.callouts, view.necks, strict=True)]
    remarks = remarks_of(bar)
    if bar.comment.strip() or remarks:
        heights.append(_heights(_all_words("Bar 10", bar.comment.strip(), remarks, style), None, False, style))
    usual = [first_from(each, len(WIDTHS) // 3) for each in heights]
    area = sum([(each[place] + STACK) * (WIDTHS[place] * style.word_size + GAP)
                for each, place in zip(heights, usual, strict=True)])
    tallest = [each[-1] for each in heights]
    for at, neck in enumerate(view.necks):
        if neck is not None:  # it stands beside the words or under them, as the row has room: half way between
            tallest[at] = (heights[at][usual[at]] + heights[at][-1]) / 2
    if len(heights) > len(bar.callouts) > 0:  # the comment stands under the first of them
        tallest[0] += STACK + tallest.pop()
    return area, max(tallest, default=0.0)
