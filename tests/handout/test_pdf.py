"""The PDF, read back by pypdf and pdfium, which know nothing of how it was written."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from io import BytesIO

import numpy as np
import pypdf
import pypdfium2
import pytest
from fontTools.ttLib import TTFont

from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Drawing, Glyph, Line, Mark, Page, Pages, Placed, Tag, Text
from core.engraving.faces import face
from core.engraving.smufl import music_font
from core.handout.pdf import pdf_bytes
from tests.handout import pictures, sample


@pytest.fixture(scope="module")
def reader() -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(pdf_bytes(sample.pages())), strict=True)


def single(*marks: Mark, scale: float = 8) -> Pages:
    """One page with the marks' origin in its middle, 100 points from each edge."""
    page = Page(200, 200, (Placed(Drawing(marks), 100, 100, scale),))
    return replace(sample.pages(), pages=(page,), bookmarks=())


def text_by_pdfium(pages: Pages) -> str:
    with pypdfium2.PdfDocument(pdf_bytes(pages)) as document:
        text: str = document[0].get_textpage().get_text_bounded()
        return text


def ink_box(pages: Pages, zoom: float = 4) -> Box:
    """Where the first page is not white, in points."""
    dark = pictures.of_pdf(pdf_bytes(pages), 0, zoom).min(axis=2) < 128
    ys, xs = np.nonzero(dark)
    return Box(xs.min() / zoom, ys.min() / zoom, (xs.max() + 1) / zoom, (ys.max() + 1) / zoom)


def test_pages_have_their_size_and_labels(reader):
    assert [[float(edge) for edge in page.mediabox] for page in reader.pages] == [[0, 0, 420, 300], [0, 0, 420, 260]]
    assert reader.trailer["/Root"]["/PageLabels"]["/Nums"] == [0, {"/S": "/D"}]  # ISO 32000-1, 12.4.2: 1, 2, 3, …


def test_document_says_what_it_is(reader):
    """ISO 32000-1, 14.3.3 (Info), 14.9.2 (Lang), 12.2 (DisplayDocTitle); references D3, D4."""
    info = reader.metadata
    assert (info.title, info.author, info.subject, info.creator) == (
        "A Study in B♭", "A. Teacher", "Lesson sheet", "Bargloss")
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712  pypdf's own boolean


def test_a_bookmark_for_each_chorus(reader):
    """y counts from the top on our side, from the bottom on PDF's: 300 - 70 and 260 - 90."""
    found = [(entry.title, reader.get_destination_page_number(entry), entry.top) for entry in reader.outline]
    assert found == [("Chorus 1", 0, 230), ("Chorus 2 ♭", 1, 170)]
    assert reader.page_mode == "/UseOutlines"


def test_no_bookmarks_no_outline():
    plain = pypdf.PdfReader(BytesIO(pdf_bytes(single(Glyph(0, 0, "noteheadBlack")))), strict=True)
    assert plain.outline == []
    assert plain.page_mode == "/UseNone"


def test_links_are_live(reader):
    """Only where they stand, and as the seven-bit address that ISO 32000-1, 12.6.4.7 asks for."""
    assert "/Annots" not in reader.pages[0]
    (link,) = (annotation.get_object() for annotation in reader.pages[1]["/Annots"])
    assert link["/A"]["/URI"] == "https://example.org/a?b=c%20d"
    assert [float(edge) for edge in link["/Rect"]] == [20, 260 - 44, 120, 260 - 30]


def test_every_font_is_an_embedded_subset_that_can_be_copied_from(reader):
    """ISO 32000-1, 9.6.4 (a subset's tag), 9.9 (FontFile2), 9.10.3 (ToUnicode); references D3."""
    fonts = {font["/BaseFont"]: font for page in reader.pages
             for font in (entry.get_object() for entry in page["/Resources"]["/Font"].values())}
    assert {name.partition("+")[2] for name in fonts} == {
        "SourceSansPro-Semibold", "SourceSansPro-Regular", "SourceSerifPro-Regular"}
    for name, font in fonts.items():
        assert len(name.partition("+")[0]) == len("/AAAAAA")
        program = TTFont(BytesIO(font["/FontDescriptor"]["/FontFile2"].get_data()))
        assert 1 < program["maxp"].numGlyphs <= 24  # characters used, parts of them, and the one for what is missing
        assert "/ToUnicode" in font


def test_a_glyph_is_one_form_however_often_it_stands(reader):
    forms = reader.pages[0]["/Resources"]["/XObject"]
    used = {mark.name for mark in sample.bar().marks if isinstance(mark, Glyph)}
    assert len(forms) == len(used) == 7
    assert reader.pages[0].raw_get("/Resources") == reader.pages[1].raw_get("/Resources")


def test_same_pages_same_bytes():
    assert pdf_bytes(sample.pages()) == pdf_bytes(sample.pages())


def test_words_come_out_as_they_went_in(reader):
    assert "Ça △ größer (a\\b)" in reader.pages[0].extract_text()


def test_more_characters_than_one_subset_holds():
    """A PDF font of this kind has 256 codes (ISO 32000-1, 9.6.6); the 400 here need two."""
    letters = [character for character in map(chr, range(0x21, 0x530)) if character in face("sans")
               and not unicodedata.combining(character) and character not in "\u00a0\u00ad"][:400]
    lines = [Text(-12, -10 + row, "".join(letters[20 * row:20 * row + 20]), "sans", 0.9) for row in range(20)]
    text = text_by_pdfium(single(*lines))
    assert len(letters) == 400
    assert [letter for letter in letters if letter not in text] == []


@pytest.mark.parametrize(("name", "sign", "typed"), [
    ("accidentalFlat", "♭", "b"), ("accidentalSharp", "♯", "#"), ("accidentalNatural", "♮", "n")])
def test_accidentals_among_words_can_be_copied(name, sign, typed):
    """The sign where replacement text is known (ISO 32000-1, 14.9.4; pdfium), what one types where not (pypdf)."""
    tag = Tag("chord")
    chord = single(Text(0, 0, "B", "sans", 2.6, tag=tag), Glyph(1.6, -0.6, name, 0.8, tag=tag),
                   Text(2.4, 0, "7", "sans", 2.6, tag=tag))
    assert text_by_pdfium(chord) == f"B{sign}7"
    read = pypdf.PdfReader(BytesIO(pdf_bytes(chord))).pages[0].extract_text()
    assert "".join(read.split()) == f"B{typed}7"


def test_accidentals_on_the_staff_are_no_words():
    assert text_by_pdfium(single(Glyph(0, 0, "accidentalFlat", tag=Tag("note")))) == ""


@pytest.mark.parametrize("mark", [
    *(mark for mark in sample.bar().marks if not isinstance(mark, Text)),
    Glyph(-1, 2, "fClef", 0.8), Line(-3, 4, 2, -1, 0.4), Glyph(1, 2, "accidentalFlat", tag=Tag("degree")),
], ids=lambda mark: type(mark).__name__)
def test_ink_lands_where_its_box_says(mark):
    """pdfium's ink against the mark's box: within two pixels (half a point), the right way up."""
    drawn = ink_box(replace(single(mark), pages=(Page(600, 600, (Placed(Drawing((mark,)), 300, 300, 8),)),)))
    box = mark_box(mark, music_font("Bravura"))
    assert [300 + 8 * edge for edge in box] == pytest.approx(list(drawn), abs=0.5)


@pytest.mark.parametrize("ink", list(sample.COLOURS))
def test_each_ink_has_its_colour_filled_and_stroked(ink):
    filled = pictures.of_pdf(pdf_bytes(single(Glyph(-2, 0, "timeSig1", 3.0, ink), scale=20)), 0, 1)
    stroked = pictures.of_pdf(pdf_bytes(single(Line(-2, 0, 2, 0, 2.0, ink), scale=20)), 0, 1)
    wanted = [int(sample.COLOURS[ink][at:at + 2], 16) for at in (1, 3, 5)]
    for picture in (filled, stroked):
        darkest = np.unravel_index(picture.sum(axis=2).argmin(), picture.shape[:2])
        assert picture[darkest].tolist() == wanted


def test_each_drawing_sets_its_own_colour_and_pen():
    """One that follows another in the same ink and pen looks as it does alone."""
    before = Drawing((Line(0, 0, 1, 0, 0.5, "altered"), Glyph(0, 0, "noteheadBlack", 1.0, "altered")))
    then = Drawing((Line(0, 0, 8, 0, 0.5, "altered"), Text(0, 5, "x", "sans", 4, "altered")))
    alone = Page(200, 100, (Placed(Drawing(then.marks), 20, 40, 8),))
    after = Page(200, 100, (Placed(before, 150, 80, 2), Placed(then, 20, 40, 8)))
    data = pdf_bytes(replace(sample.pages(), pages=(alone, after), bookmarks=()))
    first, second = (pictures.of_pdf(data, number, 2)[:, :260] for number in (0, 1))
    assert np.array_equal(first, second)
