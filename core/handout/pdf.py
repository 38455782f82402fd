"""Pages as a PDF (ISO 32000), by reportlab's document objects.

The content operators are written here, straight from the marks, and not through a canvas: a handout
has some 15,000 marks, and this is several times as fast. A drawing's operators are written once,
however often it is placed; a music glyph is one form object a document, a face one subset.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from threading import Lock
from typing import Any
from urllib.parse import quote
from zlib import compress

from reportlab.pdfbase.pdfdoc import (
    BasicFonts,
    Destination,
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObjectReference,
    PDFPage,
    PDFStream,
    PDFString,
    ViewerPreferencesPDFDictionary,
)
from reportlab.pdfbase.ttfonts import TTFont

from core.engraving.boxes import ARC_PEN
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Ink, Line, Page, Pages, Placed, Polygon, Text
from core.engraving.faces import face
from core.engraving.smufl import MusicFont, music_font

LANGUAGE = "en"  # of the words the program itself prints

# What a copied or spoken accidental among words is: the sign itself, and for readers that know no
# replacement text (ISO 32000-1, 14.9.4) the letter the trade types for it.
SPOKEN = {
    "accidentalFlat": ("♭", "b"), "accidentalNatural": ("♮", "n"), "accidentalSharp": ("♯", "#"),
    "accidentalDoubleFlat": ("𝄫", "bb"), "accidentalDoubleSharp": ("𝄪", "x"),
}
WORDS = frozenset(("degree", "reading", "chord", "callout", "comment", "title", "foot"))

_ONE_AT_A_TIME = Lock()  # a reportlab font keeps its place in its file while a subset is cut from it


def pdf_bytes(pages: Pages, told: Callable[[float], None] | None = None) -> bytes:
    """The whole document: the same bytes for the same pages. told: called with the share of the pages done, each
    time one is; what it raises ends the work."""
    with _ONE_AT_A_TIME:
        document: Any = PDFDocument(  # Any: its stubs leave out half of it
            compression=1, invariant=1, lang=LANGUAGE, pdfVersion=(1, 7))
        writer = _Writer(document, pages)
        forms = PDFDictionary({})
        resources = document.Reference(PDFDictionary({"Font": PDFObjectReference(BasicFonts), "XObject": forms}))
        sheets = []
        for page in pages.pages:
            sheets.append(_sheet(document, writer, page, resources))
            if told is not None:
                told(len(sheets) / len(pages.pages))
        for glyph, name in writer.glyphs.items():
            forms[name] = document.Reference(_form(writer.font, glyph))
        _bookmarks(document, pages, sheets)
        _describe(document, pages)
        data: bytes = document.GetPDFData(None)
        return data


class _Deflate:
    """A stream filter, at the fastest level: a handout is a third larger and done in three quarters of the time."""

    pdfname = "FlateDecode"

    @staticmethod
    def encode(text: str | bytes) -> bytes:
        return compress(text.encode("ascii") if isinstance(text, str) else text, 1)


class _Writer:
    """Content operators for a document's drawings, and the glyphs and faces they call for.

    Operators count y upward, as PDF does; `placing` moves and scales, and never mirrors.
    """

    def __init__(self, document: Any, pages: Pages) -> None:
        self.font = music_font(pages.music_font)
        self.glyphs: dict[str, str] = {}
        self._document = document
        self._colours = {ink: _rgb(colour) for ink, colour in pages.colours.items()}
        self._drawings: dict[Drawing, str] = {}
        self._stamps: dict[tuple[str, float, bool], tuple[str, str]] = {}
        self._shows: dict[tuple[str, str, float], str] = {}
        self._write: dict[type[Any], Callable[[Any], str]] = {
            Glyph: self._glyph, Line: self._line, Polygon: self._polygon,
            Arc: self._arc, Text: self._text, Frame: self._frame,
        }
        self._fill = self._stroke = self._pen = ""

    def placing(self, placed: Placed, height: float) -> str:
        """The operators that put a drawing on a page `height` points high."""
        operators = self._drawings.get(placed.drawing)
        if operators is None:
            operators = self._drawings[placed.drawing] = self._operators(placed.drawing)
        scale = f"{placed.scale:.5f}"
        return f"q {scale} 0 0 {scale} {placed.x:.3f} {height - placed.y:.3f} cm\n{operators}\nQ"

    def _operators(self, drawing: Drawing) -> str:
        self._fill = self._stroke = self._pen = ""
        write = self._write
        return "\n".join([write[type(mark)](mark) for mark in drawing.marks])

    def _filling(self, ink: Ink) -> str:
        if ink == self._fill:
            return ""
        self._fill = ink
        return f"{self._colours[ink]} rg "

    def _stroking(self, ink: Ink, pen: str) -> str:
        change = ""
        if ink != self._stroke:
            self._stroke = ink
            change = f"{self._colours[ink]} RG "
        if pen != self._pen:
            self._pen = pen
            change += pen
        return change

    def _glyph(self, mark: Glyph) -> str:
        x, y, name, scale, ink, tag = mark
        spoken = name in SPOKEN and tag is not None and tag.kind in WORDS
        stamp = self._stamps.get((name, scale, spoken))
        if stamp is None:
            stamp = self._stamps[name, scale, spoken] = self._stamp(name, scale, spoken)
        return f"{self._filling(ink)}{stamp[0]}{x:.3f} {-y:.3f}{stamp[1]}"

    def _stamp(self, name: str, scale: float, spoken: bool) -> tuple[str, str]:
        """What goes before and after the place of a glyph."""
        form = self.glyphs.setdefault(name, f"G{len(self.glyphs) + 1}")
        text = self._spoken(name) if spoken else ""
        return f"q {scale:.4g} 0 0 {scale:.4g} ", f" cm /{form} Do {text}Q"

    def _spoken(self, name: str) -> str:
        """A glyph's letter in the same place in no ink, which text readers take for its sign."""
        sign, letter = SPOKEN[name]
        text = sign.encode("utf-16-be").hex().upper()
        return f"/Span <</ActualText <FEFF{text}>>> BDC BT 3 Tr {self._show('sans', letter, 2)} ET EMC "

    def _line(self, mark: Line) -> str:
        x1, y1, x2, y2, width, ink, _, dash = mark
        pattern = f"{dash[0]:.3f} {dash[1]:.3f}" if dash else ""
        return (f"{self._stroking(ink, f'{width:.3f} w 0 j [{pattern}] 0 d ')}"
                f"{x1:.3f} {-y1:.3f} m {x2:.3f} {-y2:.3f} l S")

    def _polygon(self, mark: Polygon) -> str:
        (x, y), *rest = mark.points
        sides = " ".join([f"{x:.3f} {-y:.3f} l" for x, y in rest])
        return f"{self._filling(mark.ink)}{x:.3f} {-y:.3f} m {sides} f"

    def _arc(self, mark: Arc) -> str:
        points = (*mark.near, mark.end, mark.far[1], mark.far[0], mark.start)
        there, back = _points(points[:3]), _points(points[3:])
        return (f"{self._filling(mark.ink)}{self._stroking(mark.ink, f'{ARC_PEN:.3f} w 1 j [] 0 d ')}"
                f"{_points([mark.start])} m {there} c {back} c b")

    def _text(self, mark: Text) -> str:
        x, y, text, name, size, ink, _ = mark
        show = self._shows.get((name, text, size))
        if show is None:
            show = self._shows[name, text, size] = self._show(name, text, size)
        return f"{self._filling(ink)}BT {x:.3f} {-y:.3f} Td {show} ET"

    def _show(self, name: str, text: str, size: float) -> str:
        """The operators that show a run of text, a pair for each stretch in one subset of the face."""
        font, document = _embedded(name), self._document
        return " ".join([f"{font.getSubsetInternalName(subset, document)} {size:.3f} Tf <{codes.hex()}> Tj"
                         for subset, codes in font.splitString(text, document)])

    def _frame(self, mark: Frame) -> str:
        return (f"{self._stroking(mark.ink, f'{mark.width:.3f} w 0 j [] 0 d ')}{mark.left:.3f} {-mark.bottom:.3f} "
                f"{mark.right - mark.left:.3f} {mark.bottom - mark.top:.3f} re S")


@lru_cache(maxsize=16)
def _embedded(name: str) -> TTFont:
    return TTFont(name, str(face(name).path), asciiReadable=False)


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join([f"{x:.3f} {-y:.3f}" for x, y in points])


def _rgb(colour: str) -> str:
    """`#rrggbb` as PDF's three numbers from 0 to 1."""
    return " ".join(f"{int(colour[at:at + 2], 16) / 255:.4g}" for at in (1, 3, 5))


def _form(font: MusicFont, glyph: str) -> PDFStream:
    """A music glyph as a form object, one unit a staff space, in whatever colour it is called with."""
    operators, bounds = _shape(font, glyph)
    dictionary = PDFDictionary({
        "Type": PDFName("XObject"), "Subtype": PDFName("Form"),
        "BBox": PDFArray(bounds), "Resources": PDFDictionary({}),
    })
    return PDFStream(dictionary, operators, [_Deflate])


@lru_cache(maxsize=1024)
def _shape(font: MusicFont, glyph: str) -> tuple[str, tuple[float, ...]]:
    """Operators that fill a glyph's outline, and a box that surely holds it (its control points')."""
    verbs = {"move": "m", "line": "l", "curve": "c", "close": "h"}
    outline = font.outline(glyph)
    points = [point for segment in outline for point in segment.points] or [(0.0, 0.0)]
    xs, ys = zip(*points, strict=True)
    bounds = (min(xs), -max(ys), max(xs), -min(ys))
    return " ".join([*(f"{_points(s.points)} {verbs[s.verb]}" for s in outline), "f"]), bounds


def _sheet(document: Any, writer: _Writer, page: Page, resources: PDFObjectReference) -> PDFPage:
    """One page, added to the document."""
    sheet = PDFPage()
    sheet.MediaBox = PDFArray([0, 0, page.width, page.height])
    sheet.Resources = resources
    content = "\n".join(writer.placing(placed, page.height) for placed in page.placed)
    sheet.Contents = PDFStream(content=f"{content}\n", filters=[_Deflate])
    sheet.Annots = PDFArray([PDFDictionary({
        "Type": PDFName("Annot"), "Subtype": PDFName("Link"), "Border": PDFArray([0, 0, 0]),
        "Rect": PDFArray([link.left, page.height - link.bottom, link.right, page.height - link.top]),
        "A": PDFDictionary({"S": PDFName("URI"), "URI": PDFString(quote(link.address, safe="%/:=&?~#+!$,;'@()*[]"))}),
    }) for link in page.links]) if page.links else None
    document.addPage(sheet)
    return sheet


def _bookmarks(document: Any, pages: Pages, sheets: list[PDFPage]) -> None:
    """The document's outline, where there is one, shown when it opens."""
    if not pages.bookmarks:
        return
    entries = []
    for index, bookmark in enumerate(pages.bookmarks):
        name = str(index)
        destination = Destination(name)
        destination.xyz(0, pages.pages[bookmark.page].height - bookmark.y, 0)
        destination.setPage(sheets[bookmark.page])
        document.Outlines.destinationnamestotitles[name] = bookmark.label
        entries.append({name: destination})
    document.Outlines.setDestinations(entries)
    document.Catalog.showOutline()


def _describe(document: Any, pages: Pages) -> None:
    """Who and what, page numbers from 1, and the title in the reader's window."""
    info = document.info
    info.title, info.author, info.subject, info.creator = pages.title, pages.author, pages.subject, "Bargloss"
    catalog = document.Catalog
    catalog.ViewerPreferences = ViewerPreferencesPDFDictionary({"DisplayDocTitle": "true"})
    catalog.PageLabels = PDFDictionary({"Nums": PDFArray([0, PDFDictionary({"S": PDFName("D")})])})
