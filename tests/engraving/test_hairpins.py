"""Hairpins: from where to where, which way they open, over barlines and systems."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style
from core.engraving.boxes import mark_box
from core.engraving.drawing import Glyph, Line
from core.engraving.smufl import music_font
from core.handout import lay_out, load_template
from core.handout.inspect import flaws
from core.study import DYNAMICS, HAIRPINS, Bar, Study, hairpins_in
from tests.engraving.scenes import events, galley, study, system
from tests.strategies import CALM

FONT = music_font("Bravura")
FOUR = "C4:4 D4:4 E4:4 F4:4"


def swelling(text: str, **marks: str) -> Bar:
    """Events with hairpins and dynamics by index: e0="cresc p"."""
    line = []
    for index, event in enumerate(events(text)):
        words = marks.get(f"e{index}", "").split()
        line.append(replace(event, hairpin=next((word for word in words if word in HAIRPINS), ""),
                            dynamic=next((word for word in words if word in DYNAMICS), "")))
    return Bar(tuple(line))


def wedges(ink) -> list[tuple[float, float, float, float]]:
    """Of each hairpin: x of its ends, and how far it is open there."""
    lines = [(item.x + mark.x1, item.x + mark.x2, item.y + mark.y1, item.y + mark.y2)
             for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Line) and mark.tag is not None and mark.tag.kind == "dynamic"]
    pairs = zip(lines[::2], lines[1::2], strict=True)
    return sorted((left, right, low1 - high1, low2 - high2)
                  for (left, right, high1, high2), (_, _, low1, low2) in pairs)


def heads(ink) -> list[float]:
    return sorted(item.x + mark.x for item in ink.items for mark in item.drawing.marks
                  if isinstance(mark, Glyph) and mark.name.startswith("notehead"))


def letters(ink) -> list[tuple[float, float]]:
    found = [(item.x, mark_box(mark, FONT)) for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name.startswith("dynamic")]
    return sorted((x + box.left, x + box.right) for x, box in found)


def test_a_crescendo_opens_and_a_diminuendo_closes():
    """MusicXML 4.0 `wedge`: a crescendo is closed on its left, a diminuendo on its right."""
    ((*_, start, end),) = wedges(system(study(swelling(FOUR, e0="cresc", e3="stop"))))
    assert start == 0 < end
    ((*_, start, end),) = wedges(system(study(swelling(FOUR, e0="dim", e3="stop"))))
    assert end == 0 < start


def test_it_runs_from_its_first_note_to_the_note_it_ends_before():
    ink = system(study(swelling(FOUR, e1="cresc", e3="stop")))
    ((left, right, *_),) = wedges(ink)
    assert left == pytest.approx(heads(ink)[1])
    assert heads(ink)[2] < right < heads(ink)[3]


def test_it_lies_between_the_dynamics_and_touches_neither():
    ink = system(study(swelling(FOUR, e0="p cresc", e2="ff dim", e3="mf")))
    (first, second), (p, loud, soft) = wedges(ink), letters(ink)
    assert p[1] + 0.3 < first[0] < first[1] < loud[0] - 0.3
    assert loud[1] + 0.3 < second[0] < second[1] < soft[0] - 0.3


def test_one_ends_where_the_next_begins():
    ink = system(study(swelling(FOUR, e0="cresc", e2="dim")))
    first, second = wedges(ink)
    assert first[1] < second[0] == pytest.approx(heads(ink)[2])
    assert (first[2], second[3]) == (0, 0)


def test_one_that_ends_with_a_bars_first_note_stays_in_the_bar_before():
    for mark in ("stop", "f", "dim"):
        ink = system(study(swelling(FOUR, e1="cresc"), swelling(FOUR, e0=mark)))
        assert ink.bars[0].right - 1 < wedges(ink)[0][1] < ink.bars[0].right


def test_it_goes_on_over_a_barline_and_nothing_hides_it():
    ink = system(study(swelling(FOUR, e2="cresc"), swelling("C2:4 C2:4 C2:4 C2:4", e2="stop")))
    ((left, right, *_),) = wedges(ink)
    assert ink.bars[0].left < left < ink.bars[1].left < right
    lowest = max(item.y + mark.y for item in ink.items for mark in item.drawing.marks
                 if isinstance(mark, Glyph) and mark.name.startswith("notehead"))
    top = min(item.y + min(mark.y1, mark.y2) for item in ink.items for mark in item.drawing.marks
              if isinstance(mark, Line) and mark.tag is not None and mark.tag.kind == "dynamic")
    assert top > lowest + 0.5  # under the low notes of the second bar


@pytest.mark.parametrize("kind", ["cresc", "dim"])
def test_broken_by_a_system_it_is_open_at_the_break_on_both_sides(kind):
    """Gould ch. 4 (from memory). The wider end of each half lies where the whole hairpin's does."""
    whole = study(swelling(FOUR, e2=kind), swelling(FOUR, e2="stop"))
    shapes = galley(whole).bars
    assert hairpins_in(whole.bars) == ("", kind)
    first = system(whole, bars=shapes[:1], hairpins=("", kind))
    second = system(whole, bars=shapes[1:], opens=False, hairpins=(kind, ""))
    ((_, right, *mouths),), ((left, end, *others),) = wedges(first), wedges(second)
    assert first.bars[0].right - 1 < right < first.bars[0].right
    assert left < heads(second)[0] < end < heads(second)[2]
    assert mouths[1] > 0
    assert others[0] > 0
    assert (mouths[0] < mouths[1]) is (others[0] < others[1]) is (kind == "cresc")


def test_pages_carry_it_from_system_to_system():
    bars = [swelling(FOUR, e0="p cresc"), *[replace(swelling(FOUR), break_before="system") for _ in range(2)],
            swelling(FOUR, e3="f")]
    layout = lay_out(Study(bars=tuple(bars)), load_template("lesson"))
    assert [len(wedges(one.ink)) for one in layout.systems] == [1, 1, 1]
    first, *_, last = layout.systems
    assert wedges(first.ink)[0][2] == 0  # it begins closed, and only there
    assert wedges(last.ink)[0][2] > 0


def test_hairpins_that_go_on_are_those_no_first_event_ends():
    bars = (swelling(FOUR, e0="cresc"), swelling(FOUR), Bar(), swelling(FOUR, e0="f"), swelling(FOUR, e2="dim"),
            swelling(FOUR, e3="stop"), swelling(FOUR))
    assert hairpins_in(bars) == ("", "cresc", "cresc", "", "", "dim", "")


marks = st.sampled_from(["", "", "cresc", "dim", "stop", "p", "ff", "mf cresc", "pp dim"])


@settings(CALM, max_examples=25)
@given(rows=st.lists(st.lists(marks, min_size=4, max_size=4), min_size=1, max_size=6),
       template=st.sampled_from(["lesson", "tab", "large-print", "handwritten"]))
def test_hairpins_meet_nothing(rows, template):
    """By the proof-reader, whatever begins and ends where."""
    texts = ("C4:4 D4:4 E4:4 F4:4", "C2:8 D2:8 r:4 A4:16 G4:16 F4:8 r:4")
    bars = [swelling(texts[place % 2], **{f"e{at}": mark for at, mark in enumerate(row)})
            for place, row in enumerate(rows)]
    assert flaws(lay_out(Study(bars=tuple(bars)), load_template(template)).pages) == ()


def test_a_study_without_hairpins_has_none():
    assert wedges(system(study(swelling(FOUR, e0="p", e3="f")))) == []
    bare = Style(rows=tuple(name for name in Style().rows if name != "dynamics"))
    assert wedges(system(study(swelling(FOUR, e0="cresc")), style=bare)) == []
