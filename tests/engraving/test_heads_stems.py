"""Heads, dots, ledger lines, rests, stems and flags of one bar, measured on its ink."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.engraving.drawing import Line, Polygon
from core.engraving.heads import flags_of, position_of, stem_goes_up, y_of
from core.engraving.measures import GRACE, LEDGER_OVERHANG, STEM
from core.engraving.smufl import music_font
from core.engraving.solids import depth, solids
from core.engraving.style import Style
from core.study import Key, Study, parse_pitch
from tests.engraving.scenes import bar, events, glyphs, row, stems, study
from tests.strategies import CALM, bars

FONT = music_font("Bravura")
HEAD = FONT.box("noteheadBlack").right


def beams(ink) -> list[Polygon]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Polygon)]


@pytest.mark.parametrize(("name", "position"), [("B3", 0), ("E2", -11), ("E5", 10), ("F4", 4), ("Bb3", 0), ("A4", 6)])
def test_a_guitar_prints_an_octave_above_sounding(name, position):
    """MusicXML 4.0, `octave-change`: sounding B3 stands on the middle line as B4."""
    assert position_of(parse_pitch(name)) == position
    assert y_of(parse_pitch(name)) == 2 - position / 2


@pytest.mark.parametrize(("value", "flags"), [(2, 0), (1, 0), (0.5, 1), (0.25, 2), (0.125, 3), (0.0625, 4)])
def test_tails_of_a_value(value, flags):
    assert flags_of(Fraction(value)) == flags


@pytest.mark.parametrize(("ys", "up"), [((2.0,), False), ((2.5,), True), ((0.0,), False), ((0.0, 4.0), False),
                                        ((0.0, 4.5), True), ((2.5, 1.0), False)])
def test_the_farthest_note_decides(ys, up):
    assert stem_goes_up(ys) is up


def test_a_lone_note_on_the_middle_line_follows_the_note_before_it():
    """Gould p. 13-14: it keeps the direction of its neighbours."""
    up = {event: stem.y2 < stem.y1 for event, stem in stems(row("notation", "C5:4 B3:4 F3:4 B3:4")).items()}
    assert up == {0: False, 1: False, 2: True, 3: True}


def test_stems_join_heads_where_the_font_says():
    """SMuFL 3.4.3: stemUpSE is the lower right corner of an up-stem, stemDownNW the upper left of a down-stem."""
    ink = row("notation", "F3:4 C5:4")
    heads = glyphs(ink.drawing.marks, "notehead")
    up, down = stems(ink)[0], stems(ink)[1]
    box = FONT.box("noteheadBlack")
    assert (up.x1 + STEM / 2, up.y1) == pytest.approx((heads[0].x + box.anchors["stemUpSE"][0],
                                                       heads[0].y + box.anchors["stemUpSE"][1]))
    assert (down.x1 - STEM / 2, down.y1) == pytest.approx((heads[1].x + box.anchors["stemDownNW"][0],
                                                           heads[1].y + box.anchors["stemDownNW"][1]))


@pytest.mark.parametrize(("value", "glyph", "stemmed"), [
    ("1", "noteheadWhole", False), ("2", "noteheadHalf", True), ("4", "noteheadBlack", True),
    ("8", "noteheadBlack", True),
])
def test_heads_of_values(value, glyph, stemmed):
    ink = row("notation", f"C4:{value}")
    assert [mark.name for mark in glyphs(ink.drawing.marks, "notehead")] == [glyph]
    assert (0 in stems(ink)) is stemmed


@pytest.mark.parametrize(("text", "name"), [
    ("F3:8 r:8", "flag8thUp"), ("C5:8 r:8", "flag8thDown"), ("F3:16 r:8.", "flag16thUp"),
    ("C5:32 r:8..", "flag32ndDown"),
])
def test_a_flag_stands_at_its_stems_end(text, name):
    ink = row("notation", text)
    (flag,) = glyphs(ink.drawing.marks, "flag")
    stem = stems(ink)[0]
    assert (flag.name, flag.x) == (name, pytest.approx(stem.x1 - STEM / 2))
    anchor = "stemUpNW" if name.endswith("Up") else "stemDownSW"  # SMuFL 3.4.3: how far the stem grows with the flag
    assert stem.y2 == pytest.approx(flag.y + FONT.box(name).anchors[anchor][1])
    head = y_of(events(text)[0].notes[0].pitch)
    assert abs(flag.y - head) == max(3.5, abs(2 - head))  # SMuFL 3.3: y 0 is the end of a 3.5 space stem


def test_a_third_tail_lengthens_the_stem():
    """Gould p. 15: 3.5 spaces have room for two."""
    eighth, sixteenth, third, fourth = (stems(row("notation", f"C4:{value} r:2"))[0].y2 - 1.5
                                        for value in (8, 16, 32, 64))
    assert [eighth, sixteenth] == pytest.approx([3.5, 3.5], abs=0.15)
    assert third - sixteenth >= 0.5
    assert fourth - third >= 0.5


def test_the_row_keeps_room_for_the_tails_beyond_the_stem():
    ink = row("notation", "C3:64 r:2")  # stem up; and down from a low note under a high one
    low = row("notation", "C3+C5:32 r:2")
    for one in (ink, low):
        (flag,) = glyphs(one.drawing.marks, "flag")
        assert one.top <= flag.y + FONT.box(flag.name).top
        assert flag.y + FONT.box(flag.name).bottom <= one.bottom


def test_beamed_heads_have_no_flags_and_share_a_polygon():
    ink = row("notation", "C4 D4 E4 F4")
    assert not glyphs(ink.drawing.marks, "flag")
    assert len(beams(ink)) == 1
    assert len(beams(row("notation", "C4:16 D4:16 E4:16 F4:16"))) == 2


def test_seconds_stand_on_both_sides_of_the_stem():
    """Up: the lower head keeps the left; down: the upper head keeps the right (common practice, no source)."""
    low, high = glyphs(row("notation", "F3+G3:4").drawing.marks, "notehead")
    assert high.x - low.x == pytest.approx(HEAD - 0.1)
    low, high = glyphs(row("notation", "C5+D5:4").drawing.marks, "notehead")
    assert high.x - low.x == pytest.approx(HEAD - 0.1)
    low, high = glyphs(row("notation", "F3+A3:4").drawing.marks, "notehead")
    assert high.x == low.x


def test_accidentals_of_a_third_stand_in_two_columns_and_of_an_octave_in_one():
    flats = glyphs(row("notation", "Gb3+Bb3:4").drawing.marks, "accidental")
    assert flats[0].x != flats[1].x
    box = FONT.box("accidentalFlat")
    left, right = sorted(flats, key=lambda mark: mark.x)
    assert left.x + box.right < right.x + box.left
    flats = glyphs(row("notation", "Bb3+Bb4:4").drawing.marks, "accidental")
    assert flats[0].x == flats[1].x


def test_an_accidental_is_clear_of_its_head():
    ink = row("notation", "F#4:4")
    (sign,), (head,) = glyphs(ink.drawing.marks, "accidental"), glyphs(ink.drawing.marks, "notehead")
    assert 0.1 <= head.x - (sign.x + FONT.box("accidentalSharp").right) <= 0.5


@pytest.mark.parametrize(("name", "lines"), [
    ("B3", []), ("D3", []), ("C3", [5]), ("A2", [5, 6]), ("E2", [5, 6, 7]), ("G4", []), ("A4", [-1]), ("C5", [-2, -1]),
    ("B4", [-1]), ("D5", [-2, -1]),
])
def test_ledger_lines(name, lines):
    """Of sounding names: C3 prints as middle C on its line, A4 as the first above the staff."""
    ink = row("notation", f"{name}:4")
    drawn = [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.ink == "staff"]
    assert sorted(mark.y1 for mark in drawn) == lines
    for mark in drawn:
        assert mark.x2 - mark.x1 == pytest.approx(HEAD + 2 * LEDGER_OVERHANG)


def test_ghosts_stand_in_parentheses():
    ink = row("notation", "C4?:4")
    names = [mark.name for mark in glyphs(ink.drawing.marks, "notehead")]
    assert names == ["noteheadBlack", "noteheadParenthesisLeft", "noteheadParenthesisRight"]


def test_grace_notes_are_small_point_up_and_bear_a_stroke():
    """Common practice, no source: 60 to 65 %."""
    ink = row("notation", "^C5 C5:4")
    grace, main = glyphs(ink.drawing.marks, "notehead")
    assert (grace.scale, main.scale) == (GRACE, 1.0)
    assert 0.6 <= GRACE <= 0.65
    assert stems(ink)[0].y2 < grace.y
    assert any(isinstance(mark, Line) and mark.x1 != mark.x2 and mark.y1 != mark.y2 for mark in ink.drawing.marks)


def test_a_run_of_grace_notes_shares_its_own_beam():
    ink = row("notation", "^C4:16 ^D4:16 E4:4")
    assert len(beams(ink)) == 2
    assert not glyphs(ink.drawing.marks, "flag")


def test_an_empty_bar_has_a_whole_rest_in_its_middle():
    ink = row("notation", study(bar("")))
    (rest,) = ink.drawing.marks
    assert (rest.name, rest.y) == ("restWhole", 1.0)


@settings(CALM, max_examples=40)
@given(one=bars(may_change=False))
def test_no_stem_of_any_bar_is_under_two_and_a_half(one):
    """Gould p. 14-15, for full notes; each in its own direction, to its own beam."""
    whole = Study(bars=(one,))
    ink = row("notation", whole)
    for event, stem in stems(ink).items():
        if one.events[event].grace or one.events[event].written.value >= 4:
            continue
        ys = [y_of(note.pitch) for note in one.events[event].notes]
        nearest = min(ys) if stem.y2 < stem.y1 else max(ys)
        assert abs(stem.y2 - nearest) >= 2.5 - 1e-9
        assert (stem.y2 < min(ys)) or (stem.y2 > max(ys))


@settings(CALM, max_examples=40)
@given(one=bars(may_change=False))
def test_the_row_says_how_far_its_ink_goes(one):
    """Heads, stems and beams lie between the top and bottom that the rows beside it keep clear of."""
    ink = row("notation", Study(bars=(one,)))
    heads = glyphs(ink.drawing.marks, "noteheadB")
    ends = [y for stem in stems(ink).values() for y in (stem.y1, stem.y2)]
    corners = [y for beam in beams(ink) for _, y in beam.points]
    for y in (*(head.y - 0.4 for head in heads), *(head.y + 0.4 for head in heads), *ends, *corners):
        assert ink.top - 0.05 <= y <= ink.bottom + 0.05


@pytest.mark.parametrize("font", ["Bravura", "Petaluma"])
@pytest.mark.parametrize("stretch", [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0])
@pytest.mark.parametrize("text", ["D3:16 F#3:16 A3:16 C4:16", "C4:16 E4:16 Gb4:16 B4:16", "D3 F#3 A3 C4",
                                  "G5:32 E5:32 Cb5:32 Ab4:32", "D3:16 F3:16 A3+C4:16"])
def test_no_beam_touches_an_accidental(text, stretch, font):
    """Common practice, no source. The first of them as in a reel of music21's corpus, Rathkeale Hunt, an octave low."""
    marks = row("notation", study(text, key=Key(2)), stretch=stretch, style=Style(font=font)).drawing.marks
    face = music_font(font)
    beamed = [part for mark in marks if isinstance(mark, Polygon) for part in solids(mark, face)]
    signed = [part for mark in glyphs(marks, "accidental") for part in solids(mark, face)]
    assert beamed
    assert signed
    assert all(depth(one, other) <= 0 for one in beamed for other in signed)
