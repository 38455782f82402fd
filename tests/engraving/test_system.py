"""A whole system: bars side by side, rows under each other, and the signs between."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings

from core.engraving import SystemPlan, set_system
from core.engraving.boxes import mark_box
from core.engraving.drawing import Arc, Frame, Glyph, Line, Text
from core.engraving.measures import BARLINE_GAP, ROW_GAP, STAFF_LINE, TAB_STEP, THICK_BARLINE, THIN_BARLINE
from core.engraving.signatures import key_marks, meter_marks
from core.engraving.smufl import MUSIC_FONTS, music_font
from core.engraving.style import Style
from core.study import Callout, Change, Chorus, Key, Study, parse_meter
from tests.engraving.scenes import bar, galley, study, system
from tests.strategies import CALM, studies

FONT = music_font("Bravura")
LINE = "C4 D4 E4 F4 G4 A4 B4 C5"


def marks(ink):
    """Every mark with its place on the system: (mark, dx, dy)."""
    return [(mark, item.x, item.y) for item in ink.items for mark in item.drawing.marks]


def named(ink, part: str) -> list[tuple[float, float]]:
    """Where the glyphs of that name stand."""
    return [(mark.x + x, mark.y + y) for mark, x, y in marks(ink) if isinstance(mark, Glyph) and part in mark.name]


def texts(ink) -> list[str]:
    return [mark.text for mark, _, _ in marks(ink) if isinstance(mark, Text)]


def test_a_system_fills_its_column():
    assert system(study(LINE, LINE), width=100.0).right == pytest.approx(100.0, abs=0.05)


def test_at_a_stretch_of_its_own_it_is_as_wide_as_it_is():
    one = system(study(LINE), stretch=2.9)
    natural = galley(study(LINE)).bars[0].natural
    assert one.right - one.bars[0].left > natural
    assert one.right < 60


def test_bars_stand_side_by_side_with_barlines_at_their_right_ends():
    ink = system(study(LINE, LINE, "C4:1"))
    assert all(one.right <= other.left + 1e-9 for one, other in pairwise(ink.bars))
    barlines = sorted(mark.x1 + mark.width / 2 for mark, _, _ in marks(ink)
                      if isinstance(mark, Line) and mark.tag is not None and mark.tag.kind == "bar")
    assert barlines == pytest.approx([span.right for span in ink.bars])


def test_five_staff_lines_and_six_of_tab_run_the_whole_width():
    ink = system(study(LINE, LINE))
    staff = [mark for mark, _, _ in marks(ink) if isinstance(mark, Line) and mark.ink == "staff" and mark.x1 == 0
             and mark.x2 == ink.right]
    assert [mark.y1 for mark in staff] == [0, 1, 2, 3, 4]
    assert {mark.width for mark in staff} == {STAFF_LINE}


def test_every_column_of_the_tab_lies_under_its_head():
    ink = system(study(LINE))
    heads = [x for x, _ in named(ink, "notehead")]
    tabs = [mark.x + x for mark, x, _ in marks(ink) if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab"]
    assert len(heads) == len(tabs) == 8
    assert all(abs(head - number) < 1.2 for head, number in zip(heads, tabs, strict=True))


def test_barlines_by_kind():
    def edges(**facts):
        ink = system(study(bar(LINE, **facts)))
        right = ink.bars[0].right
        return sorted((round(right - mark.x1, 3), mark.width) for mark, _, _ in marks(ink)
                      if isinstance(mark, Line) and mark.tag and mark.tag.kind == "bar" and mark.x1 > 10)

    thin = THIN_BARLINE / 2
    assert edges() == [(thin, THIN_BARLINE)]
    assert edges(barline="double") == [(thin, THIN_BARLINE), (thin + THIN_BARLINE + BARLINE_GAP, THIN_BARLINE)]
    assert edges(barline="final") == [(THICK_BARLINE / 2, THICK_BARLINE),
                                      (THICK_BARLINE + BARLINE_GAP + thin, THIN_BARLINE)]
    assert edges(repeat_end=2) == edges(barline="final")


def test_repeats_have_dots_on_both_staves():
    ink = system(study(bar(LINE, repeat_start=True, repeat_end=2)))
    dots = named(ink, "augmentationDot")
    assert len(dots) == 8
    assert len({round(x, 3) for x, _ in dots}) == 2


def test_clef_signature_and_metre_stand_in_that_order():
    ink = system(study(LINE, key=Key(-3)))
    clef, flats, digits = named(ink, "gClef8vb"), named(ink, "accidentalFlat"), named(ink, "timeSig")
    assert len(flats) == 3
    assert clef[0][0] < flats[0][0] < flats[1][0] < flats[2][0] < digits[0][0] < named(ink, "notehead")[0][0]


def test_a_later_system_shows_no_metre_but_its_bar_number():
    whole = study(LINE, LINE)
    later = system(study(LINE, LINE), opens=False, numbers=(17, 18))
    assert "17" in texts(later)
    assert "1" not in [mark.text for mark, _, _ in marks(system(whole)) if isinstance(mark, Text)
                       and mark.tag and mark.tag.kind == "bar"]


def test_a_change_of_key_and_metre_inside_a_system_is_printed_there():
    ink = system(study(bar(LINE), bar("C4:4 D4:4 E4:4", key=Key(2), meter=parse_meter("3/4"))))
    sharps = named(ink, "accidentalSharp")
    assert len(sharps) == 2
    assert all(ink.bars[0].right < x for x, _ in sharps)
    assert len(named(ink, "timeSig3")) == 1


def test_a_change_to_no_signature_prints_naturals():
    ink = system(study(bar(LINE), bar(LINE, key=Key(0)), key=Key(-2)))
    naturals = [one for one in named(ink, "accidentalNatural") if ink.bars[0].right < one[0]]
    assert len(naturals) == 2


def test_chords_share_one_baseline():
    ink = system(study(bar(LINE, changes=(Change(0, "C7"),)), bar(LINE, changes=(Change(0, "F7"),))))
    baselines = {mark.y + y for mark, _, y in marks(ink) if isinstance(mark, Text) and mark.text in ("C", "F")}
    assert len(baselines) == 1
    assert max(baselines) < 0


def test_a_very_high_note_pushes_only_its_own_bars_symbol_up():
    ink = system(study(bar("C6:1", changes=(Change(0, "C7"),)), bar(LINE, changes=(Change(0, "F7"),)),
                       bar(LINE, changes=(Change(0, "G7"),))))
    at = {mark.text: mark.y + y for mark, _, y in marks(ink) if isinstance(mark, Text) and mark.text in "CFG"}
    assert at["F"] == at["G"]
    assert at["C"] < at["F"]


def test_chorus_labels_are_boxed_over_a_bar_that_follows_a_double_bar():
    ink = system(study(LINE, LINE, choruses=(Chorus("Second", 1),)))
    assert "Second" in texts(ink)
    (frame,) = [mark for mark, _, _ in marks(ink) if isinstance(mark, Frame)]
    assert ink.bars[1].left <= frame.left
    assert frame.bottom < 0
    assert ink.top <= frame.top


def test_endings_are_bracketed_and_the_last_is_open():
    ink = system(study(bar(LINE, ending="1", repeat_end=2), bar(LINE, ending="2")))
    assert {"1.", "2."} <= set(texts(ink))


def test_a_tie_over_the_barline_is_one_arc():
    ink = system(study("C4~:1", "C4:1"))
    assert len([mark for mark, _, _ in marks(ink) if isinstance(mark, Arc)]) == 1


def test_a_callout_to_a_later_bar_is_bracketed_to_there():
    one = bar("C4:4 r:2.", callouts=(Callout(0, 0, 1, "Aim", "Here."),))
    ink = system(study(one, "C4:4 r:2."))
    (level,) = [mark for mark, _, _ in marks(ink)
                if isinstance(mark, Line) and mark.ink == "rule" and mark.y1 == mark.y2]
    heads = [x for x, _ in named(ink, "notehead")]
    assert (level.x1, level.x2) == pytest.approx((heads[0], heads[1] + 1.18))


@settings(CALM, max_examples=25)
@given(whole=studies(max_bars=1))
def test_no_ink_of_notation_and_tab_is_nearer_than_it_may_be(whole):
    """The lesson page: never under 1.2 staff spaces between any two inks of the two staves."""
    ink = system(whole, width=400.0)
    tab = next((y for mark, _, y in marks(ink) if isinstance(mark, Text) and mark.tag and mark.tag.kind == "tab"), None)
    if tab is None or any(event.stroke for event in whole.bars[0].events):
        return
    above = [mark_box(mark, FONT).bottom + y for mark, _, y in marks(ink)
             if y == 0.0 and mark.tag and mark.tag.kind in ("note", "rest")]
    top = min(mark_box(mark, FONT).top + y for mark, _, y in marks(ink)
              if mark.tag and mark.tag.kind == "tab")
    assert min(top, tab) - max([4.0, *above]) >= ROW_GAP - 0.1


@settings(CALM, max_examples=25)
@given(whole=studies(max_bars=3))
def test_a_system_says_how_far_its_music_reaches(whole):
    ink = system(whole, width=400.0)
    for mark, _, y in marks(ink):
        if mark.tag and mark.tag.kind in ("note", "tab", "degree", "callout") and not isinstance(mark, Arc):
            box = mark_box(mark, FONT)
            assert ink.top - 0.5 <= box.top + y
            assert box.bottom + y <= ink.bottom + 0.5


def test_signature_widths_are_those_of_their_ink():
    for fifths in range(-7, 8):
        drawn, width = key_marks(Key(fifths), None, 2.0, FONT)
        boxes = [mark_box(mark, FONT) for mark in drawn]
        assert len(boxes) == abs(fifths)
        if boxes:
            assert min(box.left for box in boxes) == pytest.approx(2.0)
            assert width == pytest.approx(max(box.right for box in boxes) - 2.0, abs=0.2)


@pytest.mark.parametrize(("text", "names"), [
    ("4/4", ["timeSig4", "timeSig4"]), ("12/8", ["timeSig1", "timeSig2", "timeSig8"]),
    ("3+2/8", ["timeSig3", "timeSigPlus", "timeSig2", "timeSig8"]),
])
def test_metres_are_centred_digits(text, names):
    drawn, width = meter_marks(parse_meter(text), 0.0, FONT)
    assert [mark.name for mark in drawn] == names
    lower = drawn[-1]
    assert lower.x + FONT.box(lower.name).advance * lower.scale / 2 == pytest.approx(width / 2)
    assert (drawn[0].y, lower.y) == (1.0, 3.0)


@pytest.mark.parametrize("font", ["Bravura", "Petaluma"])
@pytest.mark.parametrize("text", ["4/4", "3/8", "12/16", "3+2/8"])
def test_the_two_rows_of_a_metre_share_the_staff(font, text):
    """SMuFL 3.3: digits are two spaces tall; the handwritten font's own are up to 3.9."""
    drawn, _ = meter_marks(parse_meter(text), 0.0, music_font(font))
    boxes = [(mark.y, mark_box(mark, music_font(font))) for mark in drawn]
    upper, lower = ([box for y, box in boxes if y == row] for row in (1.0, 3.0))
    assert max(box.bottom for box in upper) <= min(box.top for box in lower) + 0.15
    assert min(box.top for box in upper) >= -0.15
    assert max(box.bottom for box in lower) <= 4.15


def test_the_tab_staff_is_six_lines_a_step_apart():
    ink = system(study(LINE))
    ys = sorted({round(mark.y1 + y, 6) for mark, _, y in marks(ink) if isinstance(mark, Line) and mark.ink == "staff"
                 and mark.y1 + y > 4.5})
    assert [round(b - a, 6) for a, b in pairwise(ys)] == [TAB_STEP] * 5


def test_a_bar_wider_than_the_column_stays_on_the_page():
    long = " ".join(f"{step}4:16" for step in "CDEFGAB" * 16)
    assert system(study(bar(long), meter=parse_meter("28/4")), width=80.0).right == pytest.approx(80.0, abs=0.05)


def test_a_new_key_and_meter_of_the_next_system_are_shown_at_the_end_of_this_one():
    """Courtesy signatures (common practice, no source): after the last barline, inside the staff."""
    first, after = galley(Study(key=Key(-2), bars=(
        bar("C4:1"), replace(bar("D4:2."), key=Key(3), meter=parse_meter("3/4"))))).bars
    plan = SystemPlan((first,), (1,), True, 60.0, None, None, (), False, (), after)
    ink = set_system(plan)
    ahead = [mark.name for mark, x, _ in marks(ink)
             if isinstance(mark, Glyph) and mark.x + x > ink.bars[0].right]
    assert ahead == ["accidentalSharp"] * 3 + ["timeSig3", "timeSig4"]
    assert all(mark_box(mark, FONT).right + x < ink.right for mark, x, _ in marks(ink) if isinstance(mark, Glyph))
    assert ink.right == pytest.approx(60.0, abs=0.02)
    assert set_system(replace(plan, after=None)).bars[0].right == pytest.approx(60.0, abs=0.02)


@pytest.mark.parametrize("name", MUSIC_FONTS)
@pytest.mark.parametrize("fifths", [-2, 3])
def test_the_meter_stands_clear_of_the_key_signature(name, fifths):
    """More than half a staff space apart (ours: no source names the white between them)."""
    font = music_font(name)
    ink = system(study(LINE, key=Key(fifths)), style=Style(font=name))
    boxes = [(mark.name, mark_box(mark, font)) for mark, _, _ in marks(ink)
             if isinstance(mark, Glyph) and (mark.tag is None or mark.tag.kind != "note")]
    signs = max(box.right for glyph, box in boxes if glyph.startswith("accidental"))
    meter = min(box.left for glyph, box in boxes if glyph.startswith("timeSig"))
    assert meter - signs > 0.75
