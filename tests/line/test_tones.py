"""The line as the devices see it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings

from core.errors import BarglossError
from core.line import analyse
from core.line.tones import Tone, tones_of
from core.study import Bar, Change, Event, Note, NotePlace, Study, parse_pitch
from tests.line.test_analysis import EIGHTH, bar, study
from tests.strategies import CALM, studies


def line(one: Study) -> list[Tone]:
    return [tone for tones in tones_of(one, analyse(one)).bars for tone in tones]


def test_a_tie_makes_one_tone_of_several_heads_over_the_barline():
    found = line(study(bar("C4 E4 E4~", (0, "C7")), bar("E4 G4")))
    assert [tone.pitch.name for tone in found] == ["C4", "E4", "E4", "G4"]
    assert [tone.length for tone in found] == [EIGHTH, EIGHTH, 2 * EIGHTH, EIGHTH]
    assert [tone.place for tone in found][2:] == [NotePlace(0, 2), NotePlace(1, 1)]


def test_graces_are_left_out_and_of_a_double_stop_the_highest_counts():
    grace = Event(Fraction(0), EIGHTH, (Note(parse_pitch("D#4")),), grace=True)
    both = Event(Fraction(0), Fraction(4), (Note(parse_pitch("E4")), Note(parse_pitch("G4"))))
    assert [(tone.pitch.name, tone.place) for tone in line(Study(bars=(Bar((grace, both)),)))] == [
        ("G4", NotePlace(0, 1, 1))]


def test_a_rest_over_an_eighth_parts_the_line():
    found = line(study(bar("- C4 - D4 - - E4 F4"), bar("- -"), bar("G4")))
    assert [tone.joined for tone in found] == [False, True, False, True, False]
    assert [tone.joined for tone in line(study(bar("C4 -"), bar("D4")))] == [False, True]


def test_a_tone_knows_the_chord_that_takes_over_as_it_ends():
    found = line(study(bar("C4 E4 G4 A4", (0, "C7"), (1, "F7")), bar("A4", (0, "Bb7"))))
    assert [tone.ahead and tone.ahead.root.name for tone in found] == [None, "F", None, "Bb", None]


def test_an_anticipation_stands_over_its_own_chord():
    one = study(bar("D4 F4 D4 E4~", (0, "G7")), bar("E4 G4", (0, "C△7")))
    assert [(tone.degree, tone.above, tone.is_chord_tone) for tone in line(one)] == [
        ("5", 7, True), ("b7", 10, True), ("5", 7, True), ("3", 4, True), ("5", 7, True)]


def test_without_a_chord_a_tone_has_no_degree():
    found = line(study(bar("C4")))[0]
    assert (found.chord, found.above, found.degree) == (None, -1, "")


@settings(CALM, max_examples=60)
@given(studies(), studies())
def test_building_on_former_tones_gives_the_same(one, other):
    """Bars taken out, put in and moved; other objects that are equal may be built on too."""
    before = tones_of(one, analyse(one))
    for bars in (one.bars[1:], (*other.bars, *one.bars), (*one.bars, *one.bars)):
        try:
            changed = replace(one, bars=bars or (Bar(),), choruses=())
        except BarglossError:  # bars that do not go together
            continue
        found = analyse(changed)
        assert tones_of(changed, found, before).bars == tones_of(changed, found).bars


def test_an_edit_keeps_the_tones_of_bars_that_do_not_see_it():
    one = Study(bars=tuple(bar(f"C4 E4 G4 {name}", (0, "C7"), length=Fraction(1)) for name in ("B4", "A4", "G4", "F4")))
    first = analyse(one)
    before = tones_of(one, first)
    changed = replace(one, bars=(*one.bars[:3], replace(one.bars[3], changes=(Change(Fraction(2), "F7"),))))
    after = tones_of(changed, analyse(changed, first), before)
    assert [new is old for new, old in zip(after.bars, before.bars, strict=True)] == [True, True, False, False]
