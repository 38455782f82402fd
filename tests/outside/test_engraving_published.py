"""The ink against published rules and data (numbers as in the project's reference list, section 1).

SMuFL's data is read from the files smufolib carries: glyphnames.json and the reference font's
metadata with its engravingDefaults (the package itself does not import: it misses a file).
"""

from __future__ import annotations

import ast
import json
from fractions import Fraction
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import measures
from core.engraving.accidentals import shown_accidentals
from core.engraving.beaming import beam_groups
from core.engraving.beams import beam_line
from core.engraving.drawing import Arc, Glyph, Line, Polygon, Text
from core.engraving.heads import stem_goes_up, y_of
from core.engraving.smufl import music_font
from core.handout import load_template
from core.handout.template import MM
from core.study import Change, Key, Meter, parse_meter, parse_pitch
from tests.engraving.scenes import bar, events, glyphs, row, stems, study, system
from tests.strategies import CALM

METADATA = Path(find_spec("smufolib").origin).parent / "metadata"
GLYPHNAMES = json.loads((METADATA / "glyphnames.json").read_text("utf-8"))
DEFAULTS = json.loads((METADATA / "bravura_metadata.json").read_text("utf-8"))["engravingDefaults"]
BRAVURA, PETALUMA = music_font("Bravura"), music_font("Petaluma")
CORE = Path(__file__).parents[2] / "core"


# 1.1 Size

def test_e3_seven_millimetres_are_a_space_of_175_and_an_em_of_1984_points():
    """E3: mm x 72 / 25.4; SMuFL 1.4 section 3.3 (one em is four spaces). E1: MOLA's floor for parts is 7 mm."""
    lesson = load_template("lesson")
    assert lesson.space / MM == pytest.approx(1.75)
    assert round(4 * lesson.space, 2) == 19.84


# 1.2 Stems, flags, beams

def stem_length(name: str) -> float:
    stem = stems(row("notation", f"{name}:4"))[0]
    return abs(stem.y2 - y_of(parse_pitch(name)))


@pytest.mark.parametrize("name", ["F3", "A3", "B3", "C4", "E4"])
def test_e8_a_stem_is_an_octave(name):
    """E8: Gould, *Behind Bars*, 2011, p. 14; SMuFL 1.4 section 3.4.3 note 11."""
    assert stem_length(name) == 3.5


@pytest.mark.parametrize(("name", "length"), [("E2", 5.5), ("E5", 5.0), ("B4", 3.5), ("C5", 4.0), ("A2", 4.0)])
def test_e9_from_beyond_a_ledger_line_it_reaches_the_middle_line(name, length):
    """E9: Gould p. 14: max(3.5, |p| / 2). Names sound; p is -11 for written E3, 10 for E6, 7 for B5."""
    assert stem_length(name) == length


@settings(CALM, max_examples=60)
@given(steps=st.lists(st.integers(14, 37), min_size=2, max_size=4))
def test_e10_no_stem_is_under_two_and_a_half(steps):
    """E10: Gould p. 14-15; beamed groups from written E3 to E6, stems measured as drawn."""
    names = [f"{'CDEFGAB'[step % 7]}{step // 7}" for step in steps]
    ink = row("notation", " ".join(names))
    for event, stem in stems(ink).items():
        assert abs(stem.y2 - y_of(parse_pitch(names[event]))) >= 2.5


@pytest.mark.parametrize(("name", "up"), [("C4", False), ("A3", True), ("B3", False), ("E5", False), ("E2", True)])
def test_e13_the_stem_points_to_the_middle_line(name, up):
    """E13: Gould p. 13-14: above the middle down, below it up, on it down when nothing decides."""
    stem = stems(row("notation", f"{name}:4"))[0]
    assert (stem.y2 < stem.y1) is up


def test_e14_up_stems_stand_right_of_the_head_and_down_stems_left():
    """E14: Harris, *How to Write Music*, 1917, par. 26."""
    ink = row("notation", "A3:4 C4:4")
    up, down = stems(ink)[0], stems(ink)[1]
    first, second = glyphs(ink.drawing.marks, "notehead")
    width = BRAVURA.box("noteheadBlack").right
    assert first.x + width / 2 < up.x1 <= first.x + width
    assert second.x <= down.x1 < second.x + width / 2


@pytest.mark.parametrize(("names", "up"), [(("A3", "D4"), False), (("F3", "C4"), True), (("A3", "C4"), False)])
def test_e15_the_farthest_note_of_a_group_decides(names, up):
    """E15: Gould ch. 1; Ross 1970 (from memory); in balance down."""
    assert stem_goes_up([y_of(parse_pitch(name)) for name in names]) is up
    (polygon,) = [mark for mark in row("notation", " ".join(names)).drawing.marks if isinstance(mark, Polygon)]
    assert (max(y for _, y in polygon.points) < 2) is up


def test_e16_beams_are_half_a_space_thick_and_a_quarter_apart():
    """E16: SMuFL 1.4 section 3.4.1, engravingDefaults beamThickness 0.5, beamSpacing 0.25."""
    ink = row("notation", "C4:16 C4:16 C4:16 C4:16")
    polygons = [mark for mark in ink.drawing.marks if isinstance(mark, Polygon)]
    ranges = sorted((min(y for _, y in one.points), max(y for _, y in one.points)) for one in polygons)
    (top, bottom), (top2, _) = ranges
    assert (bottom - top, top2 - bottom) == (DEFAULTS["beamThickness"], DEFAULTS["beamSpacing"]) == (0.5, 0.25)


@pytest.mark.parametrize(("heads", "most"), [((4.0, 4.0), 0), ((4.0, 3.5), 0.5), ((4.0, 3.0), 1), ((4.0, 2.5), 1.25),
                                             ((4.0, 2.0), 1.5), ((4.5, 0.0), 2)])
def test_e17_slants_by_the_interval_at_most(heads, most):
    """E17: Ross 1970, ch. 3 (from memory): a second 0.5, a third up to 1, a fourth 1.25, a fifth 1.5, at most 2."""
    line = beam_line(heads, (0.0, 8.0), (1, 1), True)
    assert abs(line.first - line.last) <= most
    assert (line.first == line.last) is (most == 0)


@pytest.mark.parametrize(("metre", "value", "count", "sizes"), [
    ("4/4", 8, 8, [4, 4]), ("4/4", 16, 16, [4, 4, 4, 4]), ("3/4", 8, 6, [6]), ("6/8", 8, 6, [3, 3]),
])
def test_e20_beams_show_the_metre(metre, value, count, sizes):
    """E20: Gould ch. 6; Read 1979 (from memory). A full 3/4 bar of eighths may share one beam, never 3+3."""
    groups = beam_groups(events(f"C4:{value} " * count), parse_meter(metre))
    assert [len(group) for group in groups] == sizes


# 1.3 Rests, dots, accidentals, ties, tuplets

@pytest.mark.parametrize(("value", "name", "p"), [
    ("1", "restWhole", 2), ("2", "restHalf", 0), ("4", "restQuarter", 0), ("8", "rest8th", 0), ("16", "rest16th", 0),
])
def test_e22_rests_stand_on_their_lines(value, name, p):
    """E22: SMuFL section 4.41: the whole rest hangs from the fourth line, the half rest sits on the middle one."""
    (rest,) = glyphs(row("notation", f"r:{value}").drawing.marks, "rest")
    assert (rest.name, (2 - rest.y) * 2) == (name, p)
    box = BRAVURA.box(name)
    if value == "1":
        assert box.top >= -0.1
    if value == "2":
        assert box.bottom <= 0.1


@pytest.mark.parametrize("metre", ["4/4", "3/4", "6/8"])
def test_e22_a_whole_rest_fills_a_bar_of_any_metre(metre):
    """E22: Gould ch. 6 (from memory)."""
    (rest,) = row("notation", study(bar(""), meter=parse_meter(metre))).drawing.marks
    assert rest.name == "restWhole"


@pytest.mark.parametrize(("name", "space"), [("B3", 1), ("C4", 1), ("D4", 3), ("F3", -3), ("G3", -1), ("A4", 7)])
def test_e24_a_dot_stands_in_a_space(name, space):
    """E24: Gould ch. 2; Read 1979 (from memory): of a note on a line in the space above, half a space after it."""
    marks = row("notation", f"{name}:4.").drawing.marks
    (dot,), (head,) = glyphs(marks, "augmentationDot"), glyphs(marks, "notehead")
    assert (2 - dot.y) * 2 == space
    assert dot.x - head.x - BRAVURA.box("noteheadBlack").right == pytest.approx(0.5, abs=0.1)


def test_e24_two_dots_add_three_quarters():
    """E24: 1.75 x; and each has its glyph."""
    assert len(glyphs(row("notation", "C4:4..").drawing.marks, "augmentationDot")) == 2
    assert events("C4:4..")[0].duration == Fraction(7, 4)


def test_e25_an_accidental_holds_on_its_own_line_to_the_barline():
    """E25: Dzubay & Freund, *Music Notation Style Guide*, Indiana Univ., "Accidentals"."""
    assert shown_accidentals(events("F#4 F#4 F#5 F#4"), Key()) == ((1,), (None,), (1,), (None,))
    whole = study("F#4:1", "F#4:1")
    assert [len(glyphs(row("notation", whole, place).drawing.marks, "accidental")) for place in (0, 1)] == [1, 1]


def test_e26_a_tie_carries_the_alteration_over_the_barline():
    """E26, the tie (Gould ch. 3, from memory): no new sign, and the next separate note needs it again."""
    whole = study("F#4~:1", "F#4:2 F#4:2")
    found = glyphs(row("notation", whole, 1).drawing.marks, "accidental")
    assert [mark.tag.event for mark in found] == [1]


@pytest.mark.parametrize(("name", "sign"), [("E4", -1), ("A3", 1), ("F3", 1), ("A4", -1)])
def test_e28_ties_curve_away_from_the_stems(name, sign):
    """E28: Gould ch. 2 (from memory); y downward."""
    ink = system(study(f"{name}~:2 {name}:2"))
    (arc,) = [mark for item in ink.items for mark in item.drawing.marks if isinstance(mark, Arc)]
    assert (arc.far[0][1] - arc.start[1]) * sign > 0


def brackets(text: str) -> int:
    return len([mark for mark in row("notation", text).drawing.marks if isinstance(mark, Line)
                and mark.width == measures.BRACKET and mark.tag is None])


def test_e29_no_bracket_where_the_beam_spans_exactly_the_tuplet():
    """E29: Gould ch. 7 (from memory); required with rests or unbeamed notes. SMuFL 4.75: digits are glyphs."""
    assert brackets("[3:2 C4 D4 E4 ] C4:4") == 0
    assert brackets("[3:2 C4:4 D4:4 E4:4 ]") > 0
    assert brackets("[3:2 r C4 D4 ] C4:4") > 0
    assert [mark.name for mark in glyphs(row("notation", "[3:2 C4 D4 E4 ]").drawing.marks, "tuplet")] == ["tuplet3"]


def test_e30_a_chord_symbol_stands_on_its_beat_above_the_staff():
    """E30: SMuFL 4.74; Brandt & Roemer, *Standardized Chord Symbol Notation*, 1976 (from memory)."""
    ink = system(study(bar("C4:2 E4:2", changes=(Change(0, "C7"), Change(2, "F7")))))
    marks = [(mark, item) for item in ink.items for mark in item.drawing.marks]
    heads = [item.x + mark.x for mark, item in marks if isinstance(mark, Glyph) and "noteheadHalf" in mark.name]
    roots = [(item.x + mark.x, item.y + mark.y) for mark, item in marks if isinstance(mark, Text) and mark.text in "CF"]
    assert [x for x, _ in roots] == pytest.approx(heads)
    assert all(y < 0 for _, y in roots)


# 1.4 SMuFL metrics

PUBLISHED = {
    "STAFF_LINE": "staffLineThickness", "STEM": "stemThickness", "BEAM": "beamThickness",
    "LEDGER_LINE": "legerLineThickness", "LEDGER_OVERHANG": "legerLineExtension",
    "THIN_BARLINE": "thinBarlineThickness", "THICK_BARLINE": "thickBarlineThickness",
    "BARLINE_GAP": "barlineSeparation", "BRACKET": "tupletBracketThickness", "BOX": "textEnclosureThickness",
    "ARC_MIDDLE": "slurMidpointThickness",
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
    anchors = json.loads((METADATA / "bravura_metadata.json").read_text("utf-8"))["glyphsWithAnchors"]
    for name in ("noteheadBlack", "noteheadHalf"):
        for anchor in ("stemUpSE", "stemDownNW"):
            x, y = anchors[name][anchor]
            assert BRAVURA.box(name).anchors[anchor] == pytest.approx((x, -y), abs=0.005)


def test_e32_longer_notes_take_more_room_but_not_in_proportion():
    """E32: Gourlay 1987; Byrd 1984 (from memory): a factor from 1.414 to 1.6 a doubling, on the drawn columns."""
    xs = [mark.x for mark in glyphs(row("notation", "C4 C4:4 C4:2 C4 r:8", stretch=6.0).drawing.marks, "notehead")]
    eighth, quarter, half = (after - before for before, after in pairwise(xs))
    for factor in (quarter / eighth, half / quarter):
        assert 1.414 <= factor <= 1.6


def test_e5_a_pickup_has_no_number_and_the_bar_after_it_is_one():
    """E5: MusicXML 4.0 `measure-numbering`, implicit measures."""
    whole = study(bar("C4:4", length=Fraction(1)), bar("C4:1"), meter=Meter())
    assert [here.number for here in whole.in_force] == [0, 1]
    assert not any(isinstance(mark, Text) and mark.text == "0" and mark.ink == "quiet"
                   for item in system(whole).items for mark in item.drawing.marks)
