"""Ink as values: what every painter (PDF, SVG, PNG, window) paints, and nothing else.

Lengths are staff spaces, x to the right and y downward, from an origin of the drawing's
own. `ink` names what a mark stands for; a template gives each name a colour. `tag` says
which thing of the study a mark stands for, so that a click on ink finds it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

Ink = Literal["ink", "staff", "quiet", "chord-tone", "tension", "altered", "passing", "reading", "rule"]


class Tag(NamedTuple):
    """kind: what sort of thing; event, note: which in the bar that the drawing is placed for.

    For a chord symbol, reading or callout `event` is its place in the bar's own list. "note" is what stands
    at the note itself, "hand" how it is taken: fingers and positions, in rows of their own. Of the title block `event`
    is 0 for the title, 1 for the tune and credits, 2 for feel and tempo; of a label 0 for a chorus's, 1 for a
    rehearsal letter.
    """

    kind: Literal[
        "note", "rest", "dynamic", "tab", "hand", "degree", "reading", "chord", "callout", "bar", "comment", "remark",
        "title", "foot", "label",
    ]
    event: int = 0
    note: int = 0


class Glyph(NamedTuple):
    """A glyph of the music font, by SMuFL name, its origin at x, y."""

    x: float
    y: float
    name: str
    scale: float = 1.0
    ink: Ink = "ink"
    tag: Tag | None = None


class Line(NamedTuple):
    """A straight stroke with square (butt) ends. dash: on, off lengths, or none."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    ink: Ink = "ink"
    tag: Tag | None = None
    dash: tuple[float, float] | None = None


class Polygon(NamedTuple):
    """A filled polygon (a beam)."""

    points: tuple[tuple[float, float], ...]
    ink: Ink = "ink"
    tag: Tag | None = None


class Arc(NamedTuple):
    """A tie or slur: a filled shape between two cubic curves that share their ends.

    start, end: the tips. near, far: control points (first, second) of the inner and outer curve.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    near: tuple[tuple[float, float], tuple[float, float]]
    far: tuple[tuple[float, float], tuple[float, float]]
    ink: Ink = "ink"
    tag: Tag | None = None


class Text(NamedTuple):
    """A run of text in one face, its baseline starting at x, y. size: the em, in staff spaces."""

    x: float
    y: float
    text: str
    face: str
    size: float
    ink: Ink = "ink"
    tag: Tag | None = None


class Frame(NamedTuple):
    """The outline of a rectangle."""

    left: float
    top: float
    right: float
    bottom: float
    width: float
    ink: Ink = "ink"
    tag: Tag | None = None


Mark = Glyph | Line | Polygon | Arc | Text | Frame


@dataclass(frozen=True, eq=False, slots=True)
class Drawing:
    """Marks that belong together; painters may keep what they made of one by its identity."""

    marks: tuple[Mark, ...]


class NeckDiagram(NamedTuple):
    """A neck drawn from its left edge at x 0 and its top at y 0."""

    drawing: Drawing
    width: float
    height: float


class Placed(NamedTuple):
    """A drawing on a page: its origin in points from the page's top left corner, points a staff
    space, and the index of the bar its tags speak of (None: of the page)."""

    drawing: Drawing
    x: float
    y: float
    scale: float
    bar: int | None = None


class Bookmark(NamedTuple):
    """A chorus in the PDF's outline. y: points from the page's top."""

    label: str
    page: int
    y: float


class Link(NamedTuple):
    """A web address that is live in the PDF: its rectangle in points from the page's top left."""

    address: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, eq=False, slots=True)
class Page:
    """width, height in points."""

    width: float
    height: float
    placed: tuple[Placed, ...]
    links: tuple[Link, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Pages:
    """A finished handout. music_font: its SMuFL font; colours: hex for each ink name."""

    pages: tuple[Page, ...]
    title: str
    author: str
    subject: str
    music_font: str
    colours: dict[str, str]
    bookmarks: tuple[Bookmark, ...] = ()
