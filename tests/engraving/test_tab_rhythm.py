"""A tab that stands alone: stems, beams, flags, dots, rests and tuplets under the beaming rules of notation."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.engraving import Style
from core.engraving.bar import ink_bar
from core.engraving.beaming import beam_groups
from core.engraving.boxes import mark_box
from core.engraving.drawing import Glyph, Line, Polygon, Text
from core.engraving.measures import BEAM, TAB_STEP
from core.engraving.rhythm import SCALE
from core.engraving.smufl import music_font
from core.study import Change, Event, Instrument, Key, Study, parse_meter, parse_pitch
from tests.engraving.scenes import bar, glyphs, row, shape, stems, study, system
from tests.strategies import CALM, bars

ALONE = Style(rows=("chords", "tab", "degrees"))
FONT = music_font("Bravura")
LOWEST = TAB_STEP * 5


def tab(text: str):
    return row("tab", text, style=ALONE)


def beams(ink) -> list[Polygon]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Polygon) and len(mark.points) == 4]


def uprights(ink) -> list[Line]:
    return [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.x1 == mark.x2]


def test_beside_notation_the_tab_has_no_stems():
    assert uprights(row("tab", "C4:4 D4:4 E4:2")) == []


@pytest.mark.parametrize(("text", "count"), [
    ("C4:1", 0), ("C4:2", 2), ("C4:4", 1), ("C4", 1), ("r:4", 0), ("^C4 D4:1", 0),
])
def test_stems_by_value(text, count):
    """A half note's is double and short, a whole note has none (common practice, no source)."""
    assert len(uprights(tab(text))) == count


def test_a_half_notes_stem_is_shorter_than_a_quarters():
    ink = tab("C4:2 C4:4")
    half, _, quarter = uprights(ink)
    assert half.y2 - half.y1 < 0.6 * (quarter.y2 - quarter.y1)


def test_stems_hang_under_the_staff_from_the_middle_of_their_numbers():
    ink = tab("E2:4 C4:4 E4:2")
    numbers = [mark for mark in ink.drawing.marks if isinstance(mark, Text)]
    low = max(mark_box(mark, FONT).bottom for mark in numbers)
    for event, stem in stems(ink).items():
        box = mark_box(numbers[event], FONT)
        assert stem.y1 > max(low, LOWEST) + 0.2
        assert stem.x1 == pytest.approx((box.left + box.right) / 2, abs=0.3)
    assert ink.bottom >= max(stem.y2 for stem in stems(ink).values())


@settings(CALM, max_examples=20)
@given(one=bars(may_change=False))
def test_the_same_notes_share_a_beam_as_in_notation(one):
    """Counted by the outermost beams; grace notes have no stems here."""
    view = shape(Study(bars=(one,)), style=ALONE).view
    ink = ink_bar(shape(Study(bars=(one,)), style=ALONE), 2.9).rows["tab"]
    groups = beam_groups(one.events, view.meter, view.shift)
    found = stems(ink)
    outer = [beam for beam in beams(ink) if abs(sum(y for _, y in beam.points) / 4 - tip_of(found, groups)) < 0.05]
    assert len(outer) == len(groups)
    spans = sorted((found[group[0]].x1, found[group[-1]].x1) for group in groups)
    for (left, right), beam in zip(spans, sorted(outer, key=lambda one: one.points[0]), strict=True):
        assert beam.points[0][0] == pytest.approx(left, abs=0.1)
        assert beam.points[1][0] == pytest.approx(right, abs=0.1)


def tip_of(found: dict[int, Line], groups) -> float:
    return found[groups[0][0]].y2 if groups else 0.0


def test_beams_are_level_and_smaller_than_notations():
    """Four sixteenths and two eighths: two strokes and one."""
    ink = tab("C4:16 D4:16 E4:16 F4:16 G4 A4")
    found = beams(ink)
    assert len(found) == 3
    for beam in found:
        (_, top), (_, right), (_, bottom), _ = beam.points
        assert top == right
        assert bottom - top == pytest.approx(BEAM * SCALE)


@pytest.mark.parametrize(("text", "flag"), [("C4 r", "flag8thDown"), ("C4:16 r:16", "flag16thDown"),
                                            ("C4:32 r:32", "flag32ndDown")])
def test_a_lone_short_note_has_its_flag_at_the_stems_end(text, flag):
    """SMuFL stemDownSW: where on the flag the stem's lower end lies."""
    ink = tab(text)
    (found,) = glyphs(ink.drawing.marks, "flag")
    assert found.name == flag
    assert found.y + FONT.box(flag).anchors["stemDownSW"][1] * SCALE == pytest.approx(stems(ink)[0].y2)


@pytest.mark.parametrize(("text", "dots"), [("C4:4.", 1), ("C4:2..", 2), ("C4", 0),
                                          ("r:8. C4:16 C4:4 C4:2", 1)])
def test_dots_stand_off_the_strings(text, dots):
    ink = tab(text)
    found = glyphs(ink.drawing.marks, "augmentationDot")
    assert len(found) == dots
    for dot in found:
        middle = dot.y % TAB_STEP
        assert dot.y > LOWEST or 0.2 < middle < TAB_STEP - 0.2


@pytest.mark.parametrize(("text", "name", "y"), [
    ("r:1", "restWhole", 2 * TAB_STEP), ("r:2", "restHalf", 3 * TAB_STEP), ("r:4", "restQuarter", 2.5 * TAB_STEP),
    ("r:8", "rest8th", 2.5 * TAB_STEP),
])
def test_rests_stand_in_the_middle_of_the_staff(text, name, y):
    """As in notation a whole rest hangs from a line and a half rest sits on one (common practice, no source)."""
    (rest,) = glyphs(tab(text).drawing.marks, "rest")
    assert (rest.name, rest.y) == (name, y)


def test_a_bar_of_rest_has_a_whole_rest_in_its_middle():
    inked = ink_bar(shape(study(bar(""), bar("C4:1")), style=ALONE), 2.9)
    (rest,) = glyphs(inked.rows["tab"].drawing.marks, "restWhole")
    assert rest.x + FONT.box("restWhole").right / 2 == pytest.approx(inked.width / 2)


@pytest.mark.parametrize(("text", "brackets"), [("[3:2 C4 D4 E4 ]", 0), ("[3:2 C4:4 D4:4 E4:4 ]", 4)])
def test_a_tuplets_number_stands_under_its_beam_or_in_a_bracket(text, brackets):
    ink = tab(text)
    (number,) = glyphs(ink.drawing.marks, "tuplet3")
    tip = max(stem.y2 for stem in stems(ink).values())
    assert mark_box(number, FONT).top > tip
    assert ink.bottom >= number.y
    drawn = [mark for mark in ink.drawing.marks if isinstance(mark, Line) and mark.tag is None and mark.ink == "ink"]
    assert len(drawn) == brackets


def test_nested_tuplets_stand_under_each_other():
    ink = tab("[3:2 C4:4 [3:2 D4 E4 F4 ] G4:4 ]")
    inner, outer = sorted(mark.y for mark in glyphs(ink.drawing.marks, "tuplet3"))
    assert outer - inner > 1.0


def test_the_head_has_a_tab_clef_and_a_metre_in_the_middle_and_no_key():
    ink = system(study("C4:1", key=Key(-3)), style=ALONE)
    marks = [(mark, item.x, item.y) for item in ink.items for mark in item.drawing.marks if isinstance(mark, Glyph)]
    assert not [mark for mark, _, _ in marks if "gClef" in mark.name or "accidental" in mark.name]
    (clef,) = [mark for mark, _, _ in marks if mark.name == "6stringTabClef"]
    digits = [mark for mark, _, _ in marks if mark.name == "timeSig4"]
    assert clef.y == LOWEST / 2
    assert sum(mark.y for mark in digits) / 2 == pytest.approx(LOWEST / 2)
    assert digits[0].x > mark_box(clef, FONT).right


def test_a_change_of_metre_shows_inside_the_system_and_a_change_of_key_does_not():
    ink = system(study(bar("C4:1"), bar("C4:2.", meter=parse_meter("3/4"), key=Key(2))), style=ALONE)
    found = [item.drawing.marks for item in ink.items if item.place == 1]
    names = [mark.name for marks in found for mark in marks if isinstance(mark, Glyph)]
    assert "timeSig3" in names
    assert not [name for name in names if "accidental" in name]
    (three,) = [mark for marks in found for mark in marks if isinstance(mark, Glyph) and mark.name == "timeSig3"]
    assert three.y == pytest.approx(LOWEST / 2 - 1.0)


def test_barlines_run_from_the_first_string_to_the_last():
    ink = system(study("C4:1", "D4:1"), style=ALONE)
    tall = [mark for item in ink.items for mark in item.drawing.marks
            if isinstance(mark, Line) and mark.tag and mark.tag.kind == "bar" and mark.x1 == mark.x2]
    assert len(tall) == 2
    for one in tall:
        assert (one.y1, one.y2) == pytest.approx((0.0, LOWEST), abs=0.07)


@pytest.mark.parametrize(("tuning", "spaces"), [(6, (2.25, 5.25)), (7, (3.75, 5.25))])
def test_a_repeats_dots_stand_in_spaces_of_the_tab(tuning, spaces):
    names = ("B1", "E2", "A2", "D3", "G3", "B3", "E4")[-tuning:]
    instrument = Instrument(tuning=tuple(map(parse_pitch, names)))
    ink = system(study(bar("C4:1", repeat_start=True, repeat_end=2), instrument=instrument), style=ALONE)
    dots = {round(mark.y, 1) for item in ink.items for mark in item.drawing.marks
            if isinstance(mark, Glyph) and mark.name == "augmentationDot"}
    assert sorted(dots) == pytest.approx(spaces, abs=0.06)


def test_degrees_keep_clear_of_the_beams():
    ink = system(study(bar("C4 D4 [3:2 E4 F4 G4 ] C4:2", changes=(Change(0, "C7"),))), style=ALONE)
    low = max(item.y + mark_box(mark, FONT).bottom for item in ink.items for mark in item.drawing.marks
              if isinstance(mark, Polygon) or (isinstance(mark, Glyph) and "tuplet" in mark.name))
    high = min(item.y + mark_box(mark, FONT).top for item in ink.items for mark in item.drawing.marks
               if isinstance(mark, Text) and mark.tag and mark.tag.kind == "degree")
    assert high - low > 0.4


def test_articulations_stand_over_the_staff_clear_of_numbers_and_arcs():
    names = ("accent", "staccato")
    events = [Event(Fraction(index), Fraction(1), bar("G4").events[0].notes, articulations=names, slur=slur)
              for index, slur in enumerate(("start", "", "stop", ""))]
    one = bar("G4:1", length=Fraction(4))
    ink = system(study(type(one)(tuple(events))), style=ALONE)
    signs = [(item.y + mark_box(mark, FONT).bottom) for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name.startswith("artic")]
    numbers = [item.y + mark_box(mark, FONT).top for item in ink.items for mark in item.drawing.marks
               if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab"]
    assert len(signs) == 8
    assert max(signs) < min(0.0, *numbers)
