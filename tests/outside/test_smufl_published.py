"""Glyphs, strokes and anchors against SMuFL 1.4: S1 to S6 and the codepoints of the project's reference list.

SMuFL's data is read from the files smufolib carries: glyphnames.json and the reference font's
metadata with its engravingDefaults (the package itself does not import: it misses a file).
"""

from __future__ import annotations

import ast
import json
from importlib.util import find_spec
from pathlib import Path

import pytest

from core.engraving import measures
from core.engraving.smufl import music_font
from core.handout import load_template

METADATA = Path(find_spec("smufolib").origin).parent / "metadata"
GLYPHNAMES = json.loads((METADATA / "glyphnames.json").read_text("utf-8"))
BRAVURA_DATA = json.loads((METADATA / "bravura_metadata.json").read_text("utf-8"))
DEFAULTS = BRAVURA_DATA["engravingDefaults"]
BRAVURA, PETALUMA = music_font("Bravura"), music_font("Petaluma")
CORE = Path(__file__).parents[2] / "core"


def test_s1_an_em_is_four_spaces():
    """S1: SMuFL 3.3: a scoring font's em is the height of the staff. By the boxes of the reference font's metadata,
    which are in spaces: a font set at another scale (0.8 of it, as text fonts are) would be a fifth smaller."""
    boxes = BRAVURA_DATA["glyphBBoxes"]
    for name in sorted(used_names()):
        if name in boxes:
            (right, top), (left, bottom) = boxes[name]["bBoxNE"], boxes[name]["bBoxSW"]
            ours = BRAVURA.box(name)
            found = ours.left, -ours.bottom, ours.right, -ours.top
            assert found == pytest.approx((left, bottom, right, top), abs=0.1)
    lesson = load_template("lesson")
    assert round(4 * lesson.space, 2) == 19.84  # E3: the em of a 7 mm staff


PUBLISHED = {
    "STAFF_LINE": "staffLineThickness", "STEM": "stemThickness", "BEAM": "beamThickness",
    "LEDGER_LINE": "legerLineThickness", "LEDGER_OVERHANG": "legerLineExtension",
    "THIN_BARLINE": "thinBarlineThickness", "THICK_BARLINE": "thickBarlineThickness",
    "BARLINE_GAP": "barlineSeparation", "BRACKET": "tupletBracketThickness", "BOX": "textEnclosureThickness",
    "ARC_MIDDLE": "slurMidpointThickness", "HAIRPIN": "hairpinThickness",
}


@pytest.mark.parametrize(("ours", "theirs"), PUBLISHED.items())
def test_s5_thicknesses_are_the_reference_fonts(ours, theirs):
    """S4, S5: engravingDefaults of the reference font's metadata, as smufolib carries it."""
    assert getattr(measures, ours) == DEFAULTS[theirs]


def test_s5_sums_and_pairs_of_defaults():
    """S5: where one value of ours stands for two of theirs."""
    assert DEFAULTS["beamThickness"] + DEFAULTS["beamSpacing"] == measures.BEAM_STEP
    assert DEFAULTS["tieMidpointThickness"] == measures.ARC_MIDDLE
    assert measures.LEDGER_LINE > measures.STAFF_LINE  # SMuFL 3.4.1: leger lines are somewhat thicker


def used_names() -> set[str]:
    """Glyph names the code spells out, and those it puts together from parts."""
    spelled = {node.value for file in CORE.glob("engraving/*.py")
               for node in ast.walk(ast.parse(file.read_text("utf-8")))
               if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in GLYPHNAMES}
    digits = {f"{group}{digit}" for group in ("timeSig", "tuplet") for digit in range(10)}
    flags = {f"flag{value}{way}" for value in ("8th", "16th", "32nd", "64th") for way in ("Up", "Down")}
    below = {"articStaccatoBelow", "articTenutoBelow", "articAccentBelow"}  # a marcato always stands above
    above = {name.replace("Below", "Above") for name in below} | {"articMarcatoAbove"}
    return spelled | digits | flags | below | above | {"4stringTabClef", "6stringTabClef"}


def test_the_names_are_found_in_the_code():
    assert {"noteheadBlack", "gClef8vb", "accidentalFlat", "restWhole", "stringsUpBow"} <= used_names()


@pytest.mark.parametrize("font", [BRAVURA, PETALUMA], ids=["Bravura", "Petaluma"])
def test_s_every_glyph_is_smufls_at_its_codepoint_and_both_fonts_carry_it(font):
    """1.5: glyphnames.json of SMuFL 1.4."""
    names = used_names()
    assert [name for name in sorted(names) if name not in font] == []
    for name in names:
        assert f"U+{font.box(name).codepoint:04X}" == GLYPHNAMES[name]["codepoint"]


CODEPOINTS = {
    "gClef8vb": 0xE052, "6stringTabClef": 0xE06D, "4stringTabClef": 0xE06E, "timeSig0": 0xE080, "timeSig9": 0xE089,
    "timeSigCommon": 0xE08A, "timeSigCutCommon": 0xE08B, "noteheadWhole": 0xE0A2, "noteheadHalf": 0xE0A3,
    "noteheadBlack": 0xE0A4, "noteheadParenthesisLeft": 0xE0F5, "noteheadParenthesisRight": 0xE0F6,
    "flag8thUp": 0xE240, "flag8thDown": 0xE241, "flag64thDown": 0xE247, "accidentalFlat": 0xE260,
    "accidentalNatural": 0xE261, "accidentalSharp": 0xE262, "accidentalDoubleSharp": 0xE263,
    "accidentalDoubleFlat": 0xE264, "restWhole": 0xE4E3, "restHalf": 0xE4E4, "restQuarter": 0xE4E5, "rest8th": 0xE4E6,
    "rest16th": 0xE4E7, "rest32nd": 0xE4E8, "augmentationDot": 0xE1E7, "metNoteQuarterUp": 0xECA5,
    "articAccentAbove": 0xE4A0, "articStaccatoAbove": 0xE4A2, "articTenutoAbove": 0xE4A4, "articMarcatoAbove": 0xE4AC,
    "stringsDownBow": 0xE610, "stringsUpBow": 0xE612, "tuplet0": 0xE880, "tuplet9": 0xE889, "tupletColon": 0xE88A,
}


@pytest.mark.parametrize(("name", "codepoint"), CODEPOINTS.items())
def test_codepoints_of_the_reference_list(name, codepoint):
    """Section 1.5, read in SMuFL 1.4 ranges.json."""
    assert BRAVURA.box(name).codepoint == codepoint


@pytest.mark.parametrize(("name", "width", "height"), [
    ("noteheadBlack", 1.18, 1.0), ("noteheadWhole", 1.69, None), ("accidentalSharp", 1.00, 2.79),
    ("accidentalFlat", 0.91, 2.46), ("accidentalNatural", 0.67, 2.71), ("flag8thUp", 1.06, None),
    ("restQuarter", 1.08, 2.99), ("augmentationDot", 0.40, None), ("gClef8vb", 2.69, 7.90),
    ("6stringTabClef", 1.64, 6.05), ("stringsDownBow", 1.25, 1.27), ("stringsUpBow", 0.99, 1.98),
])
def test_s6_glyphs_are_as_wide_and_high_as_measured(name, width, height):
    """S6: outlines of the spec's bundled text-cut web font, v1.392; another cut of the font, so to five hundredths."""
    box = BRAVURA.box(name)
    assert box.width == pytest.approx(width, abs=0.06)
    if height is not None:
        assert box.bottom - box.top == pytest.approx(height, abs=0.06)


@pytest.mark.parametrize("font", [BRAVURA, PETALUMA], ids=["Bravura", "Petaluma"])
def test_s2_where_glyphs_stand_against_their_origin(font):
    """S2: SMuFL 3.3: heads about y 0, time digits two spaces tall about it, articulations above stand on it."""
    for name in ("noteheadBlack", "noteheadHalf", "noteheadWhole"):
        box = font.box(name)
        assert (box.top + box.bottom) / 2 == pytest.approx(0, abs=0.1)
    for digit in range(10):
        box = font.box(f"timeSig{digit}")
        assert (box.top + box.bottom) / 2 == pytest.approx(0, abs=0.15)
        if font is BRAVURA:  # the handwritten font's digits are up to 3.9 spaces tall: meter_marks makes them fit
            assert box.bottom - box.top == pytest.approx(2, abs=0.1)
    for name in ("articAccentAbove", "articStaccatoAbove", "articTenutoAbove", "articMarcatoAbove"):
        assert font.box(name).bottom <= 0.05


def test_s3_anchors_are_the_published_ones():
    """S3: glyphsWithAnchors of the reference font's metadata; y is turned downward here."""
    anchors = BRAVURA_DATA["glyphsWithAnchors"]
    for name in ("noteheadBlack", "noteheadHalf"):
        for anchor in ("stemUpSE", "stemDownNW"):
            x, y = anchors[name][anchor]
            assert BRAVURA.box(name).anchors[anchor] == pytest.approx((x, -y), abs=0.005)
