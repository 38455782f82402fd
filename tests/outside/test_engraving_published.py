"""The notes as drawn against published rules: E8 to E30 and E32 of the project's reference list, section 1.

E1 to E7 and D1 to D8 are measured on pages (test_pages_published.py), S1 to S6 on glyphs (test_smufl_published.py);
test_rules.py holds the list and says which rules do not apply.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style, measures
from core.engraving.accidentals import shown_accidentals
from core.engraving.beaming import beam_groups
from core.engraving.beams import beam_line
from core.engraving.drawing import Arc, Glyph, Line, Polygon, Text
from core.engraving.heads import stem_goes_up, y_of
from core.engraving.smufl import music_font
from core.study import Bar, Change, Key, Meter, Study, parse_meter, parse_pitch
from tests.engraving.scenes import bar, events, galley, glyphs, row, stems, study, system
from tests.strategies import CALM, lines

BRAVURA = music_font("Bravura")


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


@pytest.mark.parametrize("name", ["A3", "C4"])
def test_e11_two_tails_or_beams_fit_a_stem_and_each_further_one_lengthens_it(name):
    """E11: Gould p. 15: 3.5 spaces have room for two."""
    def free(value: int) -> float:
        stem = stems(row("notation", f"{name}:{value} r:{value}"))[0]
        return abs(stem.y2 - y_of(parse_pitch(name)))

    def beamed(value: int) -> float:
        stem = stems(row("notation", f"{name}:{value} " * 4))[0]
        return abs(stem.y2 - y_of(parse_pitch(name)))

    for value in (8, 16):  # a flag may end the stem some hundredths short: it covers its tip (SMuFL stemUpNW)
        assert free(value) == pytest.approx(3.5, abs=0.15)
    assert free(16) < free(32) < free(64)
    assert beamed(8) == beamed(16) == pytest.approx(3.5, abs=0.26)
    assert beamed(16) < beamed(32) < beamed(64)


@pytest.mark.parametrize("name", ["flag8thUp", "flag8thDown", "flag16thUp", "flag16thDown"])
def test_e12_a_flag_is_two_and_a_half_to_three_and_a_quarter_spaces_long(name):
    """E12: Gould p. 15, of the flag as drawn; its box stands on the stem's end, some hundredths beyond it."""
    value, pitch = ("8" if "8th" in name else "16"), ("A3" if "Up" in name else "C4")
    marks = row("notation", f"{pitch}:{value} r:{value}").drawing.marks
    (flag,) = glyphs(marks, "flag")
    assert flag.name == name
    box = BRAVURA.box(name)
    assert 2.5 <= (box.bottom - box.top) * flag.scale <= 3.3


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
    assert (bottom - top, top2 - bottom) == (measures.BEAM, measures.BEAM_STEP - measures.BEAM) == (0.5, 0.25)


@pytest.mark.parametrize(("heads", "most"), [((4.0, 4.0), 0), ((4.0, 3.5), 0.5), ((4.0, 3.0), 1), ((4.0, 2.5), 1.25),
                                             ((4.0, 2.0), 1.5), ((4.5, 0.0), 2)])
def test_e17_slants_by_the_interval_at_most(heads, most):
    """E17: Ross 1970, ch. 3 (from memory): a second 0.5, a third up to 1, a fourth 1.25, a fifth 1.5, at most 2."""
    line = beam_line(heads, (0.0, 8.0), (1, 1), True)
    assert abs(line.first - line.last) <= most
    assert (line.first == line.last) is (most == 0)


@settings(CALM, max_examples=60)
@given(steps=st.lists(st.integers(21, 33), min_size=2, max_size=4), value=st.sampled_from([8, 16]))
def test_e18_a_beam_sits_on_straddles_or_hangs_from_a_line(steps, value):
    """E18: Ross 1970; Gould (from memory): inside the staff its ends leave no wedge of white, so that its middle
    is never the middle of a space. Measured as drawn, at the outer stems."""
    names = [f"{'CDEFGAB'[step % 7]}{step // 7}" for step in steps]
    ink = row("notation", " ".join(f"{name}:{value}" for name in names))
    ends = stems(ink)
    for stem in (ends[0], ends[len(names) - 1]):
        if 0 <= stem.y2 <= 4:
            assert round(stem.y2 % 1, 6) in (0, 0.25, 0.75, 1)


@settings(CALM, max_examples=80)
@given(row=lines(Fraction(4)))
def test_e19_no_beam_crosses_the_middle_of_four_four_and_one_beat_holds_what_is_shorter(row):
    """E19: Open Music Theory, "Beams and borrowed divisions". A bar is beamed alone, so none crosses a barline."""
    for group in beam_groups(row, Meter()):
        onsets = [row[index].onset for index in group]
        assert onsets[0] >= 2 or onsets[-1] < 2
        if any(row[index].written.value < Fraction(1, 2) for index in group):
            assert onsets[0] // 1 == onsets[-1] // 1


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


def drawn_rests(text: str, metre: str) -> list[tuple[str, int]]:
    """Names and dots of the rests of a full bar, from left to right."""
    meter = parse_meter(metre)
    whole = study(bar(""), bar(text), meter=meter)
    marks = row("notation", whole, 1).drawing.marks
    rests = sorted(glyphs(marks, "rest"), key=lambda mark: mark.x)
    dots = [mark.x for mark in glyphs(marks, "augmentationDot") if mark.tag.kind == "rest"]
    ends = [*(mark.x for mark in rests[1:]), 1e9]
    return [(one.name.removeprefix("rest"), sum(one.x < x < end for x in dots))
            for one, end in zip(rests, ends, strict=True)]


Q, H, E = ("Quarter", 0), ("Half", 0), ("8th", 0)
DOTTED = ("Quarter", 1)


@pytest.mark.parametrize(("metre", "text", "rests"), [
    ("4/4", "C4:4 r:2 C4:4", [Q, Q]),  # none bridges beats 2 and 3
    ("4/4", "r:2 C4:2", [H]), ("4/4", "C4:2 r:2", [H]),  # but half bars
    ("4/4", "r:2. C4:4", [H, Q]), ("4/4", "C4:4 r:2.", [Q, H]),
    ("4/4", "C4 r:4 C4 C4:2", [E, E]), ("4/4", "C4:8 r:4. C4:2", [E, Q]),
    ("3/4", "r:2 C4:4", [Q, Q]), ("3/4", "C4:4 r:2", [Q, Q]),  # no half rest
    ("3/4", "r:2.", [("Whole", 0)]), ("4/4", "r:1", [("Whole", 0)]), ("6/8", "r:2.", [("Whole", 0)]),
    ("6/8", "r:4. C4:4.", [DOTTED]), ("6/8", "r:4 C4 C4:4.", [Q]), ("6/8", "C4 r:4 C4:4.", [E, E]),
    ("12/8", "C4:4. r:2. C4:4.", [DOTTED, DOTTED]), ("2/2", "C4:4 r:2 C4:4", [Q, Q]),
    ("2+2+3/8", "r:2 C4:4.", [Q, Q]), ("4/2", "C4:2 r:1 C4:2", [H, H]),
])
def test_e23_rests_show_the_beat(metre, text, rests):
    """E23: Gould ch. 6 (from memory). What the study says of them stays as it is."""
    assert drawn_rests(text, metre) == rests


@settings(CALM, max_examples=150)
@given(row=lines(Fraction(4)))
def test_e23_whatever_is_silent_no_rest_bridges_the_middle_of_four_four_nor_a_beat_it_does_not_begin_with(row):
    """E23: in whole bars of any content: rests outside tuplets fill the silence, and each lies in one beat, or is a
    half bar, or the bar."""
    whole = Study(bars=(Bar(), Bar(row)))
    columns = galley(whole).bars[1].columns
    silent: dict[Fraction, Fraction] = {}
    for column in columns:
        event = None if column.event is None else row[column.event]
        if column.rest is None or (event is not None and event.tuplets):
            continue
        silent[column.onset] = column.rest_length
        if column.onset.denominator & (column.onset.denominator - 1):
            continue  # after part of a tuplet, where no beat can be shown
        first, last = column.onset, column.onset + column.rest_length
        beat = first // 1
        assert last <= beat + 1 or (first, last) in ((0, 2), (2, 4), (0, 4))
    wanted = sum(event.duration for event in row if event.is_rest and not event.tuplets)
    assert sum(silent.values()) == wanted


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
    shown = shown_accidentals(events("F#4 F#4 F#5 F#4"), Key())
    assert [sign and sign.alter for (sign,) in shown] == [1, None, 1, None]
    whole = study("F#4:1", "F#4:1")
    assert [len(glyphs(row("notation", whole, place).drawing.marks, "accidental")) for place in (0, 1)] == [1, 1]


def test_e26_a_tie_carries_the_alteration_over_the_barline():
    """E26, the tie (Gould ch. 3, from memory): no new sign, and the next separate note needs it again."""
    whole = study("F#4~:1", "F#4:2 F#4:2")
    found = glyphs(row("notation", whole, 1).drawing.marks, "accidental")
    assert [mark.tag.event for mark in found] == [1]


def test_e26_a_note_held_over_a_system_break_shows_its_accidental_and_the_next_needs_it_again():
    """E26, second half (Gould ch. 3, from memory): the tie alone crosses a line, not what the eye remembers."""
    whole = study("F#4~:1", "F#4:2 F#4:2")
    shapes = galley(whole).bars
    ink = system(whole, bars=shapes[1:], opens=False, tied_in=(parse_pitch("F#4").midi,))
    xs = {kind: sorted(item.x + mark.x for item in ink.items for mark in glyphs(item.drawing.marks, kind))
          for kind in ("accidentalSharp", "notehead")}
    signs, heads = xs["accidentalSharp"], xs["notehead"]
    assert len(signs) == len(heads) == 2
    assert signs[0] < heads[0] < signs[1] < heads[1]


def test_e26_a_courtesy_sign_where_the_letter_comes_back_in_the_next_bar():
    """E26, first half: Dzubay & Freund, *Music Notation Style Guide*, "Accidentals"; once, and not an octave away."""
    whole = study("F#4:1", "F4:2 F4:2", "F4:1")
    assert [[mark.name for mark in glyphs(row("notation", whole, place).drawing.marks, "accidental")]
            for place in (1, 2)] == [["accidentalNatural"], []]
    assert glyphs(row("notation", study("F#4:1", "F5:1"), 1).drawing.marks, "accidental") == []


@pytest.mark.parametrize(("name", "above"), [("C4", True), ("A3", False), ("E5", True), ("F3", False)])
@pytest.mark.parametrize("sign", ["staccato", "tenuto", "accent"])
def test_e27_articulations_stand_on_the_heads_side_and_outside_the_staff_but_dots_and_dashes(name, above, sign):
    """E27: Indiana guide, "Articulations"; of staccato it says that it may stand inside, ours lets a tenuto as well."""
    (event,) = events(f"{name}:4")
    whole = study(Bar((replace(event, articulations=(sign,)),), length=Fraction(1)))
    (mark,) = glyphs(row("notation", whole).drawing.marks, "artic")
    assert (mark.y < y_of(parse_pitch(name))) is above
    box = BRAVURA.box(mark.name)
    if sign == "accent":
        assert mark.y + box.bottom < 0 if above else mark.y + box.top > 4


@pytest.mark.parametrize(("name", "sign"), [("E4", -1), ("A3", 1), ("F3", 1), ("A4", -1)])
def test_e28_ties_curve_away_from_the_stems(name, sign):
    """E28: Gould ch. 2 (from memory); y downward."""
    ink = system(study(f"{name}~:2 {name}:2"))
    (arc,) = [mark for item in ink.items for mark in item.drawing.marks if isinstance(mark, Arc)]
    assert (arc.far[0][1] - arc.start[1]) * sign > 0


def arcs_of(whole: Study) -> list[Arc]:
    ink = system(whole, style=Style(rows=("notation",)))
    return [mark for item in ink.items for mark in item.drawing.marks if isinstance(mark, Arc)]


@pytest.mark.parametrize(("first", "second", "above"), [("A3", "D4", True), ("D4", "A3", True), ("F3", "A3", False),
                                                       ("D4", "E4", True)])
def test_e28_a_slur_over_mixed_stems_stands_above(first, second, above):
    """E28: Gould ch. 4 (from memory): away from the stems, above where they part."""
    one, two = events(f"{first}:2 {second}:2")
    (arc,) = arcs_of(study(Bar((replace(one, slur="start"), replace(two, slur="stop")))))
    assert (arc.far[0][1] < arc.start[1]) is above


def test_e28_a_tie_lies_between_the_centres_of_its_heads_and_joins_one_pitch():
    """E28: Gould ch. 2; MusicXML `tied`. Respelled it is one pitch; to another pitch no tie is drawn."""
    whole = study("E4~:2 E4:2")
    (arc,) = arcs_of(whole)
    heads = [item.x + mark.x for item in system(whole).items for mark in glyphs(item.drawing.marks, "notehead")]
    middle = BRAVURA.box("noteheadHalf").right / 2
    assert heads[0] + middle <= arc.start[0] < heads[0] + 2 * middle
    assert heads[1] < arc.end[0] <= heads[1] + middle
    assert len(arcs_of(study("C#4~:2 Db4:2"))) == 1
    assert arcs_of(study("C4~:2 D4:2")) == []


def brackets(text: str) -> int:
    return len([mark for mark in row("notation", text).drawing.marks if isinstance(mark, Line)
                and mark.width == measures.BRACKET and mark.tag is None])


def test_e29_no_bracket_where_the_beam_spans_exactly_the_tuplet():
    """E29: Gould ch. 7 (from memory); required with rests or unbeamed notes. SMuFL 4.75: digits are glyphs."""
    assert brackets("[3:2 C4 D4 E4 ] C4:4") == 0
    assert brackets("[3:2 C4:4 D4:4 E4:4 ]") > 0
    assert brackets("[3:2 r C4 D4 ] C4:4") > 0
    assert [mark.name for mark in glyphs(row("notation", "[3:2 C4 D4 E4 ]").drawing.marks, "tuplet")] == ["tuplet3"]


@pytest.mark.parametrize(("name", "above"), [("A3", True), ("C4", False)])
def test_e29_a_tuplets_number_stands_in_its_middle_on_the_beams_side(name, above):
    """E29: Gould ch. 7 (from memory)."""
    marks = row("notation", f"[3:2 {name} {name} {name} ]").drawing.marks
    (number,) = glyphs(marks, "tuplet")
    (beam,) = [mark for mark in marks if isinstance(mark, Polygon)]
    xs, ys = zip(*beam.points, strict=True)
    box = BRAVURA.box(number.name)
    middle = number.x + (box.left + box.right) / 2 * number.scale
    assert middle == pytest.approx((min(xs) + max(xs)) / 2, abs=0.15)
    assert number.y < min(ys) if above else number.y + box.top * number.scale > max(ys)


def test_e30_a_chord_symbol_stands_on_its_beat_above_the_staff():
    """E30: SMuFL 4.74; Brandt & Roemer, *Standardized Chord Symbol Notation*, 1976 (from memory)."""
    ink = system(study(bar("C4:2 E4:2", changes=(Change(0, "C7"), Change(2, "F7")))))
    marks = [(mark, item) for item in ink.items for mark in item.drawing.marks]
    heads = [item.x + mark.x for mark, item in marks if isinstance(mark, Glyph) and "noteheadHalf" in mark.name]
    roots = [(item.x + mark.x, item.y + mark.y) for mark, item in marks if isinstance(mark, Text) and mark.text in "CF"]
    assert [x for x, _ in roots] == pytest.approx(heads)
    assert all(y < 0 for _, y in roots)


def test_e32_longer_notes_take_more_room_but_not_in_proportion():
    """E32: Gourlay 1987; Byrd 1984 (from memory): a factor from 1.414 to 1.6 a doubling, on the drawn columns."""
    xs = [mark.x for mark in glyphs(row("notation", "C4 C4:4 C4:2 C4 r:8", stretch=6.0).drawing.marks, "notehead")]
    eighth, quarter, half = (after - before for before, after in pairwise(xs))
    for factor in (quarter / eighth, half / quarter):
        assert 1.414 <= factor <= 1.6
