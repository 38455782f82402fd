"""Every shipped template: what it prints is sound, its own faces are the ones printed, and the eye can tell it all."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from functools import cache
from io import BytesIO
from itertools import combinations
from pathlib import Path

import pypdf
import pytest
from music21 import corpus, musicxml

from core.engraving.degrees import LOOKS, PASSING, look_of
from core.engraving.drawing import Glyph, Line, Text
from core.engraving.faces import FILES, face
from core.engraving.smufl import MUSIC_FONTS, music_font
from core.engraving.words import LETTER_LIFT
from core.errors import BarglossError
from core.exchange.build import build
from core.exchange.limits import load
from core.exchange.reader import read
from core.files import load_study
from core.handout import PAPERS, Layout, lay_out, load_template, parse_template, template_names
from core.handout.inspect import flaws
from core.handout.pdf import pdf_bytes
from core.handout.template import MM, page_size
from core.study import Study
from tests.bench.big_study import big_study

TEMPLATES = template_names()
DEMOS = tuple(sorted(file.stem for file in Path("assets").glob("*.study")))
FOLK = Path(corpus.getWork("ryansMammoth/AcaciaReel.abc")).parents[1]
(SUITE,) = (one for one in Path(musicxml.__file__).parent.iterdir() if one.name.endswith("TestSuite"))
LARGE = load_template("large-print")


def is_open(name: str) -> bool:
    """The half of the corpus that tests may use: shared/corpus.md."""
    return hashlib.sha256(name.encode()).digest()[0] % 2 == 0


TUNES = [name for name in (f"ryansMammoth/{file.name}" for file in sorted((FOLK / "ryansMammoth").glob("*.abc")))
         if is_open(name)][::21][:25]


@cache
def demo(name: str) -> Study:
    return big_study() if name == "big" else load_study(Path(f"assets/{name}.study"))


@cache
def tune(name: str) -> Study:
    return build(read(load(FOLK / name)), name).study


@cache
def suite() -> dict[str, Study]:
    """The open files of the suite with one staff and one voice that come in."""
    found = {}
    for file in sorted(SUITE.glob("*.*ml")):
        text = file.read_text(encoding="utf-8", errors="replace")
        if not is_open(file.name) or text.count("<score-part ") != 1 or re.search(r"<staves>|<voice>[2-9]", text):
            continue
        try:
            found[file.name] = build(read(load(file)), file.name).study
        except BarglossError:
            continue  # refused with a reason: tests/exchange
    return found


@cache
def laid(template: str, name: str) -> Layout:
    return lay_out(demo(name), load_template(template))


def texts(layout: Layout) -> list[tuple[Text, float]]:
    """Every run of text with its size in points."""
    return [(mark, mark.size * placed.scale) for page in layout.pages.pages for placed in page.placed
            for mark in placed.drawing.marks if isinstance(mark, Text)]


# What they print is sound.

@pytest.mark.parametrize("name", [*DEMOS, "big"])
@pytest.mark.parametrize("template", TEMPLATES)
def test_the_demo_studies_have_no_flaw_in_any_face(template, name):
    assert flaws(laid(template, name).pages) == ()


@pytest.mark.parametrize("name", TUNES)
def test_folk_tunes_have_no_flaw_in_any_face(name):
    found = {template: flaws(lay_out(tune(name), load_template(template)).pages) for template in TEMPLATES}
    assert {template: marks for template, marks in found.items() if marks} == {}


@pytest.mark.parametrize("template", TEMPLATES)
def test_the_suites_melodies_have_no_flaw_in_any_face(template):
    assert len(suite()) > 35
    found = {name: flaws(lay_out(study, load_template(template)).pages) for name, study in suite().items()}
    assert {name: marks for name, marks in found.items() if marks} == {}


# Pages and fonts are the template's own.

@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("template", TEMPLATES)
def test_a_templates_own_page_wins_over_the_paper(template, paper):
    """ISO 216 and ANSI A in points (references D1), or what the template's [page] says in millimetres."""
    data = pdf_bytes(lay_out(demo("ferry-timetable"), load_template(template), paper).pages)
    own = {"tablet": (160 * MM, 213 * MM)}.get(template)
    for page in pypdf.PdfReader(BytesIO(data)).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            own or PAPERS[paper], abs=0.01)


def test_a_paper_there_is_not_is_refused_even_where_the_page_is_the_templates():
    with pytest.raises(BarglossError, match="no paper 'a5'"):
        page_size(load_template("tablet"), "a5")


FONT_NAMES = {"serif": "SourceSerifPro", "sans": "SourceSansPro", "hand": "Kalam"}
MEANT = {"lesson": ("serif", "sans"), "sans": ("sans", "sans"), "large-print": ("sans", "sans"),
         "handwritten": ("hand", "hand")}


@pytest.mark.parametrize("template", TEMPLATES)
def test_the_fonts_in_the_pdf_are_the_templates(template):
    """By the names in the PDF, every one embedded (ISO 32000-1, 9.6.4: a subset's has six letters and a plus first)."""
    style = load_template(template).style
    wanted = {FONT_NAMES[family] for family in MEANT.get(template, (style.words, style.signs))}
    triangle = {"SourceSansPro"} if style.signs == "hand" else set()  # the hand has no triangle
    printed = set()
    for page in pypdf.PdfReader(BytesIO(pdf_bytes(laid(template, "cellar-stairs").pages))).pages:
        for font in page["/Resources"]["/Font"].values():
            name = str(font.get_object()["/BaseFont"]).lstrip("/")
            assert re.match(r"[A-Z]{6}\+", name), name
            assert "/FontFile2" in font.get_object()["/FontDescriptor"]
            printed.add(name.partition("+")[2].partition("-")[0])
    assert wanted <= printed <= wanted | triangle


@pytest.mark.parametrize("template", TEMPLATES)
def test_every_glyph_is_in_the_templates_music_font(template):
    layout = laid(template, "cellar-stairs")
    font = music_font(layout.pages.music_font)
    assert layout.pages.music_font == load_template(template).style.font
    names = {mark.name for page in layout.pages.pages for placed in page.placed for mark in placed.drawing.marks
             if isinstance(mark, Glyph)}
    assert names
    assert all(name in font for name in names)


@pytest.mark.parametrize("template", TEMPLATES)
def test_no_face_lacks_a_character_of_the_page(template):
    for name in DEMOS:
        for mark, _ in texts(laid(template, name)):
            assert [sign for sign in mark.text if sign not in face(mark.face)] == []


@pytest.mark.parametrize("cut", sorted(FILES))
def test_every_face_writes_latin_names(cut):
    """Title and callouts may hold any name of Western Europe: every letter of ISO 8859-1."""
    letters = [chr(code) for code in range(0x20, 0x100) if unicodedata.category(chr(code)) in ("Lu", "Ll", "Nd")]
    assert [letter for letter in letters if letter not in face(cut)] == []


# The eye can tell it.

def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance (references D8)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
              for c in (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(colour: str, ground: str = "#FFFFFF") -> float:
    light, dark = sorted((luminance(colour), luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_published_figures():
    """References D8: #767676 passes on white, #777777 fails."""
    assert contrast("#000000") == pytest.approx(21)
    assert contrast("#767676") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777") == pytest.approx(4.48, abs=0.005)


OKABE_ITO = {"#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"}
MARKS_ONLY = {"staff", "rule"}  # no text is set in these


@pytest.mark.parametrize("template", TEMPLATES)
def test_every_ink_stands_out_from_white(template):
    """References D7: WCAG 2.2: text 4.5:1 (1.4.3), marks 3:1 (1.4.11)."""
    for ink, colour in load_template(template).colours.items():
        assert contrast(colour) >= (3 if ink in MARKS_ONLY else 4.5), ink
    inks = {mark.ink for name in DEMOS for mark, _ in texts(laid(template, name))}
    assert not inks & MARKS_ONLY


@pytest.mark.parametrize("template", TEMPLATES)
def test_colours_are_greys_or_of_the_colour_blind_safe_set(template):
    """Okabe & Ito, Color Universal Design, 2008 (references)."""
    for ink, colour in load_template(template).colours.items():
        is_grey = len({colour[1:3], colour[3:5], colour[5:7]}) == 1
        assert is_grey or colour.upper() in OKABE_ITO, ink


def test_mono_prints_nothing_but_black():
    assert set(load_template("mono").colours.values()) == {"#000000"}


@pytest.mark.parametrize("template", TEMPLATES)
def test_roles_are_told_apart_without_colour(template):
    """WCAG 1.4.1: never by colour alone. Any two looks differ in weight (another file) or in the rule over them."""
    style = load_template(template).style
    looks = [*dict.fromkeys(LOOKS.values()), PASSING]
    assert {look_of(role) for role in ("chord tone", "tension", "altered tone", "passing", "approach")} == set(looks)
    for one, other in combinations(looks, 2):
        assert FILES[style.signs + one.cut] != FILES[style.signs + other.cut] or one.ruled != other.ruled
    assert FILES[style.signs + PASSING.cut] != FILES[style.signs]
    assert PASSING.size < 1


@pytest.mark.parametrize("template", TEMPLATES)
def test_altered_degrees_are_printed_with_their_rule(template):
    """The rule is as wide as its figure and clear of it."""
    degrees: dict[tuple[int, int | None, object], list[Text | Glyph]] = {}
    rules: dict[tuple[int, int | None, object], Line] = {}
    layout = laid(template, "big")
    for number, page in enumerate(layout.pages.pages):
        for placed in page.placed:
            for mark in placed.drawing.marks:
                if mark.tag and mark.tag.kind == "degree":
                    key = number, placed.bar, mark.tag
                    if isinstance(mark, Line):
                        rules[key] = mark
                    elif isinstance(mark, Text | Glyph):
                        degrees.setdefault(key, []).append(mark)
    altered = {key for key, marks in degrees.items() if marks[0].ink == "altered"}
    assert altered
    assert altered == set(rules)
    font = layout.template.style.music
    for key in altered:
        for mark in degrees[key]:
            if isinstance(mark, Glyph):
                assert mark.y + font.box(mark.name).top * mark.scale > rules[key].y1 + rules[key].width / 2


# Large print: UKAAF G003 (2019), references D5 and D6.

def test_large_print_has_no_small_text():
    """References D5, D6: 16 points at the least. Fret numbers as large as their lines allow, over clear print's 12."""
    for name in (*DEMOS, "big"):
        for mark, size in texts(laid("large-print", name)):
            is_fret = mark.tag is not None and mark.tag.kind == "tab"
            assert size >= (14.4 if is_fret else 15.99), mark.text


def test_large_print_has_no_italics_and_no_serifs():
    faces = {mark.face for name in (*DEMOS, "big") for mark, _ in texts(laid("large-print", name))}
    assert faces <= {"sans", "sans-semibold", "sans-light"}


def test_large_print_stands_on_a_large_staff():
    """The lesson page's value for large print."""
    assert LARGE.space * 4 == pytest.approx(9.5 * MM)


def test_large_print_is_ranged_left():
    """The lines of a comment begin under one another, and their ends are ragged."""
    ragged = False
    for page in laid("large-print", "cellar-stairs").pages.pages:
        for placed in page.placed:
            rows: dict[float, list[float]] = {}
            for mark in placed.drawing.marks:
                if isinstance(mark, Text) and mark.tag and mark.tag.kind == "comment":
                    is_letter = mark.text in "abc" and mark.face.endswith(LARGE.style.emphasis)
                    raised = LETTER_LIFT * mark.size if is_letter else 0.0
                    rows.setdefault(round(mark.y + raised, 1), []).extend(
                        (mark.x, mark.x + face(mark.face).width(mark.text, mark.size)))
            lefts, rights = [min(row) for row in rows.values()], {round(max(row)) for row in rows.values()}
            assert max(lefts, default=0) - min(lefts, default=0) < 1.3  # where a line begins with a flat, its width
            ragged = ragged or len(rights) > 2
    assert ragged


def test_large_print_black_is_black():
    """All text but the altered degrees', which carry a rule."""
    assert {ink for ink, colour in LARGE.colours.items() if colour != "#000000"} == {"altered"}


# A template of one's own.

LESSON = Path("templates/lesson.toml").read_text("utf-8")


def told(text: str) -> str:
    with pytest.raises(BarglossError) as caught:
        parse_template(text, "mine.toml")
    return str(caught.value)


@pytest.mark.parametrize(("text", "words"), [
    (LESSON.replace('music = "Bravura"', 'music = "Sonata"'), "no face 'Sonata' for music"),
    (LESSON.replace('words = "serif"', 'words = "gothic"'), "no face 'gothic' for words; there is serif, sans, hand"),
    (LESSON.replace("\n[page]", "\n[page]\nwidth = 160"), "lacks 'height'"),
    (LESSON.replace("\n[page]", "\n[page]\nwidth = 80\nheight = 200"), "less than 60 mm"),
    (LESSON.replace("\n[page]", '\n[page]\nwidth = "wide"\nheight = 200'), "of the wrong kind"),
])
def test_a_faulty_face_or_page_is_told(text, words):
    assert words in told(text)


@pytest.mark.parametrize("name", MUSIC_FONTS)
def test_strokes_and_heads_are_the_fonts_own(name):
    font = music_font(name)
    box = font.box("noteheadBlack")
    assert (font.head, font.half_head) == (box.right, box.bottom)
    assert 0.1 <= font.pen.stem <= 0.2
