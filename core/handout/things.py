"""What stands on a page, told from its drawings: of which kind each mark is, whose, and where its ink lies."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from core.engraving.boxes import Box
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Line, Mark, Page, Placed, Polygon, Text
from core.engraving.pictures import is_picture
from core.engraving.smufl import MusicFont
from core.engraving.solids import Solid, solids

_GLYPH_KINDS = (  # by how a SMuFL name begins
    ("noteheadParenthesis", "bracket"), ("notehead", "head"), ("accidental", "accidental"), ("augmentationDot", "dot"),
    ("flag", "flag"), ("rest", "rest"), ("artic", "articulation"), ("ornament", "articulation"),
    ("strings", "stroke sign"), ("tuplet", "tuplet"), ("timeSig", "meter"), ("gClef", "clef"),
    ("4stringTab", "clef"), ("6stringTab", "clef"),
)
_OF_WORDS = frozenset({"tab", "degree", "reading", "chord", "callout", "comment", "remark", "title", "foot"})
"""Tags under which every mark is a piece of the same run of text."""
_BARLINE = 3.0
"""An upright stroke longer than this, of no note, is a barline."""


class Thing(NamedTuple):
    """A mark on its page. owner: what it is a part of, the same for parts that may touch one another;
    bar, event: of the note it belongs to; box: in points; scale: points a staff space; parts: of its
    ink, in its drawing's own staff spaces."""

    kind: str
    owner: tuple[object, ...]
    bar: int | None
    event: int | None
    box: Box
    parts: tuple[Solid, ...]
    mark: Mark
    placed: Placed

    @property
    def scale(self) -> float:
        return self.placed.scale

    def on_page(self) -> tuple[Solid, ...]:
        """Its ink in points."""
        return tuple([part.moved(*self.placed[1:4]) for part in self.parts])


class _Local(NamedTuple):
    kind: str
    parts: tuple[Solid, ...]
    box: Box
    mark: Mark


def things(page: Page, font: MusicFont) -> list[Thing]:
    """Everything with ink on the page, in the order it is painted."""
    found = []
    for index, placed in enumerate(page.placed):
        x, y, scale = placed.x, placed.y, placed.scale
        for place, (kind, parts, box, mark) in enumerate(_of_drawing(placed.drawing, font)):
            tag = mark.tag
            owner: tuple[object, ...]
            event = tag.event if tag is not None and tag.kind in ("note", "rest") else None
            if kind in ("callout", "comment"):  # box, words and bracket are drawings of their own
                owner = (placed.bar, tag)
            elif kind in _OF_WORDS or kind in ("label", "bar number", "hairpin"):
                owner = (index, tag)
            elif event is not None:
                owner = (placed.bar, event)
            else:
                owner = (index, place)
            found.append(Thing(
                kind, owner, placed.bar, event,
                Box(x + box.left * scale, y + box.top * scale, x + box.right * scale, y + box.bottom * scale),
                parts, mark, placed,
            ))
    return found


@lru_cache(maxsize=8192)
def _of_drawing(drawing: Drawing, font: MusicFont) -> tuple[_Local, ...]:
    found = []
    for mark in drawing.marks:
        parts = solids(mark, font)
        if parts:
            box = Box(min(part.box.left for part in parts), min(part.box.top for part in parts),
                      max(part.box.right for part in parts), max(part.box.bottom for part in parts))
            found.append(_Local(_kind(mark), parts, box, mark))
    return tuple(found)


def _kind(mark: Mark) -> str:
    tag = mark.tag.kind if mark.tag else ""
    if is_picture(mark.tag):
        return "neck"
    if tag in _OF_WORDS:
        return tag
    if isinstance(mark, Glyph):
        kind = next((kind for start, kind in _GLYPH_KINDS if mark.name.startswith(start)), tag or "sign")
        if tag not in ("note", "rest"):
            kind = {"accidental": "signature", "dot": "barline"}.get(kind, kind)
        return kind
    if isinstance(mark, Line):
        return _line_kind(mark, tag)
    if isinstance(mark, Polygon):
        return "beam" if len(mark.points) == 4 else "gesture"  # three: the head of a bend's arrow
    if isinstance(mark, Arc):
        return "gesture" if tag == "note" else "arc"
    if isinstance(mark, Frame):
        return tag or "frame"
    assert isinstance(mark, Text)
    return "bar number" if tag == "bar" else tag or "text"


def _line_kind(mark: Line, tag: str) -> str:
    is_upright = mark.x1 == mark.x2
    if mark.ink == "staff":
        return "ledger" if tag else "staff line"
    if tag == "note":
        return "stem" if is_upright else "gesture"
    if is_upright and abs(mark.y2 - mark.y1) > _BARLINE:
        return "barline"
    if tag == "dynamic":
        return "hairpin"
    return tag if tag and tag != "bar" else "hook"
