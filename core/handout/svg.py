"""Pages as SVG 1.1 drawings that need no font, each ink tagged with what it stands for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from itertools import groupby
from typing import Any

from lxml import etree

from core.engraving.boxes import ARC_PEN
from core.engraving.drawing import Arc, Frame, Glyph, Ink, Line, Mark, Page, Pages, Placed, Polygon, Tag, Text
from core.engraving.faces import face
from core.engraving.outline import Outline
from core.engraving.smufl import music_font

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
HREF = f"{{{XLINK}}}href"


def svg_pages(pages: Pages) -> tuple[bytes, ...]:
    """A document a page, sized in points, one unit a point.

    Ink of one thing is a group: its class is the tag's kind, `data-event` and `data-note` say which, and
    `data-bar` on the group around says of which bar (an index). A run of text is a group with its words
    as `aria-label`.
    """
    return tuple(_document(pages, number) for number in range(len(pages.pages)))


def _document(pages: Pages, number: int) -> bytes:
    page = pages.pages[number]
    width, height = _number(page.width), _number(page.height)
    root = etree.Element(f"{{{SVG}}}svg", {"width": f"{width}pt", "height": f"{height}pt",
                                           "viewBox": f"0 0 {width} {height}", "role": "img"},
                         nsmap={None: SVG, "xlink": XLINK})  # type: ignore[dict-item]  # None: the default namespace
    _add(root, "title", {}).text = f"{pages.title}, page {number + 1} of {len(pages.pages)}"
    _add(root, "desc", {}).text = ". ".join(words for words in (pages.subject, pages.author) if words)
    _Sheet(root, pages).place(page)
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8")


class _Sheet:
    """One document being filled: its shapes are defined once each, and used where they stand."""

    def __init__(self, root: etree._Element, pages: Pages) -> None:
        self._root = root
        self._shapes = _add(root, "defs", {})
        self._defined: set[str] = set()
        self._font = music_font(pages.music_font)
        self._colours = pages.colours
        self._write: dict[type[Any], Callable[[etree._Element, Any], None]] = {
            Glyph: self._glyph, Line: self._line, Polygon: self._polygon,
            Arc: self._arc, Text: self._text, Frame: self._frame,
        }

    def place(self, page: Page) -> None:
        for placed in page.placed:
            group = _add(self._root, "g", _placing(placed))
            for (tag, ink), marks in groupby(placed.drawing.marks, _standing):
                within = _add(group, "g", {"fill": self._colours[ink], **_data(tag)})
                for mark in marks:
                    self._write[type(mark)](within, mark)

    def _use(self, name: str, outline: Outline) -> dict[str, str]:
        """What refers to a shape, defined now if it is new."""
        if name not in self._defined:
            self._defined.add(name)
            _add(self._shapes, "path", {"id": name, "d": _path(outline)})
        return {HREF: f"#{name}"}

    def _glyph(self, group: etree._Element, mark: Glyph) -> None:
        where = f"translate({_number(mark.x)} {_number(mark.y)})"
        if mark.scale != 1:
            where += f" scale({_number(mark.scale)})"
        _add(group, "use", {**self._use(mark.name, self._font.outline(mark.name)), "transform": where})

    def _text(self, group: etree._Element, mark: Text) -> None:
        where = f"translate({_number(mark.x)} {_number(mark.y)}) scale({_number(mark.size)})"
        run = _add(group, "g", {"aria-label": mark.text, "transform": where})
        font, x = face(mark.face), 0.0
        for character in mark.text:
            outline = font.outline(character)
            if outline:
                _add(run, "use", {**self._use(f"{mark.face}-{ord(character):04X}", outline), "x": _number(x)})
            x += font.width(character, 1)

    def _line(self, group: etree._Element, mark: Line) -> None:
        dash = {"stroke-dasharray": _pairs([mark.dash])} if mark.dash else {}
        _add(group, "path", {"d": f"M{_pairs([(mark.x1, mark.y1)])}L{_pairs([(mark.x2, mark.y2)])}",
                             **self._pen(mark.ink, mark.width), **dash})

    def _polygon(self, group: etree._Element, mark: Polygon) -> None:
        _add(group, "path", {"d": f"M{_pairs(mark.points)}Z"})

    def _arc(self, group: etree._Element, mark: Arc) -> None:
        there, back = _pairs([*mark.near, mark.end]), _pairs([mark.far[1], mark.far[0], mark.start])
        _add(group, "path", {"d": f"M{_pairs([mark.start])}C{there}C{back}Z", **self._pen(mark.ink, ARC_PEN),
                             "fill": self._colours[mark.ink], "stroke-linejoin": "round"})

    def _frame(self, group: etree._Element, mark: Frame) -> None:
        _add(group, "rect", {"x": _number(mark.left), "y": _number(mark.top),
                             "width": _number(mark.right - mark.left), "height": _number(mark.bottom - mark.top),
                             **self._pen(mark.ink, mark.width)})

    def _pen(self, ink: Ink, width: float) -> dict[str, str]:
        return {"fill": "none", "stroke": self._colours[ink], "stroke-width": _number(width)}


def _add(parent: etree._Element, name: str, attributes: dict[str, str]) -> etree._Element:
    return etree.SubElement(parent, f"{{{SVG}}}{name}", attributes)


def _placing(placed: Placed) -> dict[str, str]:
    where = {"transform": f"translate({_number(placed.x)} {_number(placed.y)}) scale({placed.scale:.5f})"}
    return where if placed.bar is None else {**where, "data-bar": str(placed.bar)}


def _standing(mark: Mark) -> tuple[Tag | None, Ink]:
    return mark.tag, mark.ink


def _data(tag: Tag | None) -> dict[str, str]:
    return {} if tag is None else {"class": tag.kind, "data-event": str(tag.event), "data-note": str(tag.note)}


@lru_cache(maxsize=2048)
def _path(outline: Outline) -> str:
    letters = {"move": "M", "line": "L", "curve": "C", "close": "Z"}
    return "".join(f"{letters[segment.verb]}{_pairs(segment.points)}" for segment in outline)


def _pairs(points: Iterable[tuple[float, float]]) -> str:
    return " ".join([f"{_number(x)} {_number(y)}" for x, y in points])


def _number(value: float) -> str:
    """To a thousandth, as short as it goes."""
    return f"{value:.3f}".rstrip("0").rstrip(".")
