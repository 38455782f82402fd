"""What stands over a system's bars above every row: endings, signs, labels and jumps.

Each is set on what is under it, in that order, as low as the ink there allows. A segno or coda and
the labels begin at their bar's left barline, a jump's words end at its right one (common practice,
no source); a last ending that no repeat closes is open at its right (MusicXML 4.0, `start-stop-
discontinue`: "discontinue" has no downward jog).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Drawing, Frame, Glyph, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.measures import BOX, BRACKET
from core.engraving.smufl import MusicFont
from core.engraving.style import Style
from core.engraving.view import BarView

_GAP = 0.5
"""Least white under anything here."""
_BESIDE = 0.8
"""White between a sign and a label, and two labels."""
_BEFORE_BARLINE, _BEFORE_SIGN = 0.3, 1.5
"""White between a jump's words and the barline; where a sign stands over that, it must not seem part of them."""
_HOOK = 1.5
"""How far an ending's bracket drops at its ends."""
_SIGN = 2.7
"""Height of a segno or coda over the staff, and of the coda after "To Coda" 0.7 of it."""


class Skyline:
    """How high the ink of a system stands; grows as more is set on it."""

    def __init__(self, drawings: Sequence[tuple[Drawing, float, float]], font: MusicFont) -> None:
        self._font = font
        self._boxes: list[Box] = []
        for drawing, x, y in drawings:
            self.add(drawing.marks, x, y)

    def add(self, marks: Sequence[Mark], x: float = 0.0, y: float = 0.0) -> None:
        for mark in marks:
            if isinstance(mark, Line) and min(mark.y1, mark.y2) + y > 0.0:
                continue  # under the top line, as most lines are
            box = mark_box(mark, self._font)
            self._boxes.append(Box(box.left + x, box.top + y, box.right + x, box.bottom + y))

    def over(self, left: float, right: float) -> float:
        """y of the highest ink between two x, the staff's top line at the least."""
        return min((box.top for box in self._boxes if box.left < right and box.right > left), default=0.0)


def is_bare(view: BarView) -> bool:
    """Whether nothing of this module stands over the bar."""
    bar = view.bar
    return not (bar.ending or bar.sign or view.label or bar.rehearsal or bar.jump)


def overhead(
    views: Sequence[BarView], spans: Sequence[tuple[float, float]], start: float, skyline: Skyline, style: Style
) -> Iterator[tuple[int, list[Mark]]]:
    """The marks and the place of the bar they belong to. spans: each bar's left and right; start: where
    the system's music begins.
    """
    for over in (_endings, _heads, _jumps):
        for place, marks in over(views, spans, start, skyline, style):
            skyline.add(marks)
            yield place, marks


_Over = Iterator[tuple[int, list[Mark]]]


def _endings(
    views: Sequence[BarView], spans: Sequence[tuple[float, float]], start: float, skyline: Skyline, style: Style
) -> _Over:
    """Brackets, joined over bars of the same ending. One that comes from the system before has neither
    number nor left hook, one that goes on in the next no right one."""
    first: int | None = None
    for place, view in enumerate(views):
        if not view.bar.ending:
            continue
        first = place if first is None else first
        if view.ending_on and place + 1 < len(views):
            continue
        is_begun = first == 0 and views[0].ending_in
        left = spans[first][0] + BRACKET / 2 if first else start
        right = spans[place][1] - (0.0 if view.ending_on else 0.4)
        size = style.number_size
        drop = 0.4 + face(style.signs).cap_height * size  # of the number, under the bracket
        y = skyline.over(left, right) - drop - _GAP
        marks: list[Mark] = [Line(left - BRACKET / 2, y, right + BRACKET / 2, y, BRACKET)]
        if not is_begun:
            number = ", ".join(view.bar.ending.replace(".", " ").replace(",", " ").split())
            marks.append(Line(left, y, left, y + min(_HOOK, drop + 0.2), BRACKET))
            marks.append(Text(left + 0.5, y + drop, f"{number}.", style.signs, size, "ink", Tag("bar")))
        if view.bar.repeat_end:
            marks.append(Line(right, y, right, y + min(_HOOK, drop + 0.2), BRACKET))
        yield first, marks
        first = None


def _heads(
    views: Sequence[BarView], spans: Sequence[tuple[float, float]], start: float, skyline: Skyline, style: Style
) -> _Over:
    """Segno or coda, then the boxed labels, over the beginning of a bar."""
    for place, view in enumerate(views):
        labels = [(label, Tag("label", kind)) for kind, label in enumerate((view.label, view.bar.rehearsal)) if label]
        left, right = spans[place]
        widths = [face(f"{style.signs}-semibold").width(label, style.label_size) + 1.1 for label, _ in labels]
        scale = _scale(view.bar.sign, _SIGN, style.music) if view.bar.sign else 0.0
        whole = sum(widths) + _BESIDE * len(labels)
        if view.bar.sign:
            whole += style.music.box(view.bar.sign).width * scale
        left = max(0.0, min(left, spans[-1][1] - whole))  # wider than the last bar: it ends with it
        is_over_clef = place == 0 and left + whole < start  # where no chord symbol stands
        floor = min(skyline.over(left, left + whole if is_over_clef else max(right, left + whole)), -0.4) - _GAP
        at = left
        if view.bar.sign:
            box = style.music.box(view.bar.sign)
            yield place, [Glyph(at - box.left * scale, floor - box.bottom * scale, view.bar.sign, scale, "ink",
                                Tag("bar"))]
            at += box.width * scale + _BESIDE
        for (label, tag), width in zip(labels, widths, strict=True):
            yield place, _boxed(label, tag, at, width, floor, style)
            at += width + _BESIDE


def _boxed(label: str, tag: Tag, x: float, width: float, floor: float, style: Style) -> list[Mark]:
    """A label in a box that stands on `floor`."""
    name = f"{style.signs}-semibold"
    top = floor - face(name).cap_height * style.label_size - 1.0
    return [Frame(x + BOX / 2, top, x + width, floor, BOX, "ink", tag),
            Text(x + 0.58, floor - 0.5, label, name, style.label_size, "ink", tag)]


def _jumps(
    views: Sequence[BarView], spans: Sequence[tuple[float, float]], start: float, skyline: Skyline, style: Style
) -> _Over:
    """Words that end at the bar's right barline; "To Coda" with the coda's sign after it."""
    name = f"{style.words}{style.aside}"
    size, font = style.label_size, style.music
    for place, view in enumerate(views):
        words = view.bar.jump
        if not words:
            continue
        is_followed = place + 1 < len(views) and bool(views[place + 1].bar.sign)
        right = spans[place][1] - (_BEFORE_SIGN if is_followed else _BEFORE_BARLINE)
        scale = _scale("coda", _SIGN * 0.7, font) if words == "To Coda" else 0.0
        sign = font.box("coda").width * scale
        left = right - face(name).width(words, size) - (sign + 0.5 if sign else 0.0)
        descent = face(name).descent * size
        y = min(skyline.over(left, right), -0.4) - _GAP - descent
        marks: list[Mark] = [Text(left, y, words, name, size, "ink", Tag("bar"))]
        if sign:
            box = font.box("coda")
            middle = y - face(name).cap_height * size / 2 - (box.top + box.bottom) / 2 * scale
            low = y + descent - box.bottom * scale
            marks.append(Glyph(right - box.right * scale, min(middle, low), "coda", scale, "ink", Tag("bar")))
        yield place, marks


def _scale(sign: str, height: float, font: MusicFont) -> float:
    """At which a glyph is so high."""
    box = font.box(sign)
    return height / (box.bottom - box.top)
