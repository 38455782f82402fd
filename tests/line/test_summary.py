"""The summary: figures that can be counted by hand, and sentences that say no more than they do."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

from core.files import load_study
from core.line import analyse
from core.line.accepting import accept, dismiss
from core.line.finding import Finding
from core.line.summary import Departure, Summary, summarise, summary_lines
from core.line.telling import told
from core.line.tones import tones_of
from core.study import Bar, Change, Event, Meter, Note, NotePlace, Reading, Study, parse_pitch
from tests.strategies import CALM, studies

NOTHING = Fraction(0)


def bar_of(names: str, length: Fraction, **marks) -> Bar:
    """Notes of one length, `-` a rest, `~` after a name a tie."""
    heads = [() if name == "-" else (Note(parse_pitch(name.rstrip("~")), "~" in name),) for name in names.split()]
    return Bar(tuple(Event(length * at, length, notes) for at, notes in enumerate(heads)), **marks)


def by_hand() -> Study:
    """Three bars at 120: eight notes; four of which one is tied on; two and rests."""
    return Study(tempo=120, bars=(
        bar_of("C4 D4 E4 G4 Bb4 A4 G4 E4", Fraction(1, 2), changes=(Change(NOTHING, "C7"),)),
        bar_of("F4 A4 C5 Eb5~", Fraction(1), changes=(Change(NOTHING, "F7"),)),
        bar_of("Eb5 - G3 -", Fraction(1), readings=(Reading(Fraction(2), "C7"),)),
    ))


def summary_of(study: Study, found=None, chosen=None):
    found = found or [()] * len(study.bars)
    return summarise(study, tones_of(study, analyse(study)).bars, found, found if chosen is None else chosen)


def whole(study: Study) -> Summary:
    what = told(study, analyse(study))
    return summarise(study, what.tones.bars, what.noticed, what.chosen)


def cell(bar: int, plain: str = "1 2 3 5", pattern: str = "7 5 6 7") -> Finding:
    facts = (("pattern", pattern), ("chord", "C7"), ("heard", "Em"), ("plain", plain), ("name", ""))
    return Finding("cell", NotePlace(bar, 0), NotePlace(bar, 3), facts, 0.8)


def a_reading(bar: int) -> Finding:
    facts = (("harmony", "B7"), ("chord", "F7"), ("relation", "tritone substitute"), ("fits", "3 of 4"),
             ("strong", "1 of 2"), ("length", "4"))
    return Finding("reading", NotePlace(bar, 0), NotePlace(bar, 3), facts, 0.7)


def test_range_and_density_of_a_study_counted_by_hand():
    """Thirteen notes struck in twelve quarters, which last six seconds at 120 a minute."""
    found = summary_of(by_hand())
    assert (found.lowest.name, found.highest.name) == ("G3", "Eb5")
    assert (found.bars, found.notes, found.seconds) == (3, 13, 6)
    assert (found.notes_a_bar, found.notes_a_second) == (4.3, 2.2)
    lines = summary_lines(found, by_hand())
    assert lines[0] == "Range: {G}3 to {Eb}5, 20 half steps."
    assert lines[1] == "Density: 4.3 notes a bar, 2.2 a second at 120 quarter notes a minute, rests counted in."


def test_degrees_on_strong_beats_are_counted():
    """Beats 1 and 3: C and Bb over C7; F and C over F7; of the last bar only the G, for the Eb is held over."""
    found = summary_of(by_hand())
    assert dict(found.strong) == {"1": 2, "b7": 1, "5": 1, "9": 1}
    assert "On strong beats, 5 notes in all: {1} (2), {b7} (1), {5} (1) and {9} (1)." in summary_lines(found, by_hand())


def test_devices_are_counted_and_cells_by_their_plainest_reading():
    row = [(cell(0), cell(0, pattern="1 2 3 5")), (cell(1, "3 5 7 9"),),
           (Finding("altered", NotePlace(2, 0), NotePlace(2, 2), (), 0.6),)]
    found = summary_of(by_hand(), row)
    assert found.devices == (("cell", 3), ("altered", 1))
    assert found.cells == (("1 2 3 5", 2), ("3 5 7 9", 1))
    lines = summary_lines(found, by_hand())
    assert "What may be heard in it: 3 cells and 1 altered dominant." in lines
    assert "Favourite cells: {1} {2} {3} {5} (2)." in lines


def test_departures_are_the_teachers_readings_and_the_chosen_proposals():
    row = [(), (a_reading(1),), ()]
    found = summary_of(by_hand(), row)
    assert found.departures == (Departure(1, 1, "F7", "B7", "3 of 4"), Departure(2, 2, "", "C7", ""))
    assert dict(found.devices) == {}
    lines = summary_lines(found, by_hand())
    assert "Might be heard in {B7}: bar 2, where 3 of 4 notes fit; the chart has {F7}." in lines
    assert "Read in {C7}: bar 3." in lines
    assert [one.bar for one in summary_of(by_hand(), row, [(), (), ()]).departures] == [2]


def test_a_reading_that_runs_on_is_told_once():
    bars = by_hand().bars
    marked = tuple(replace(bar, readings=(Reading(NOTHING, "key of Bb major"),)) for bar in bars)
    study = replace(by_hand(), bars=(*marked, bars[0], marked[0]))
    found = summary_of(study)
    assert [(one.bar, one.to) for one in found.departures] == [(0, 2), (4, 4)]
    assert "Read in the key of {Bb} major: bars 1 to 3 and bar 5." in summary_lines(found, study)


def test_the_fullest_bars_are_to_be_practised_first_and_none_twice():
    """A bar of eight notes and a finding before one of four with one; the same music again is not named again."""
    bars = by_hand().bars
    study = replace(by_hand(), bars=(bars[1], bars[0], bars[0], *[bars[2]] * 5))
    row = [(cell(0),), (cell(1),), (cell(2),), *[()] * 5]
    assert summary_of(study, row).practise == (1, 0)
    assert summary_of(study, row, [()] * 8).practise == (1, 0)  # whatever of it is told
    assert summary_lines(summary_of(study, row), study)[-1].startswith("Practise first: bars 2 and 1,")
    richer = [(cell(0),) * 5, *row[1:]]
    assert summary_of(study, richer).practise == (0, 1)


def test_a_bar_is_full_for_its_length_and_no_pickup_is_named():
    """Four notes in two quarters are more than four in four; a pickup is no bar to practise."""
    slow, fast = bar_of("C4 D4 E4 G4", Fraction(1)), bar_of("C4 D4 E4 F4", Fraction(1, 2), meter=Meter((2,)))
    found = [(cell(0),), (cell(1),), *[()] * 6]
    assert summary_of(Study(bars=(slow, fast, *[Bar()] * 6)), found).practise == (1, 0)
    pickup = replace(bar_of("C4 D4 E4 F4", Fraction(1, 4)), length=Fraction(1))
    assert summary_of(Study(bars=(pickup, slow, *[Bar()] * 6)), found).practise == (1,)


def test_a_reading_that_starts_again_in_mid_bar_is_another():
    first, second, _ = by_hand().bars
    again = tuple(replace(bar, readings=(Reading(at, "C7"),)) for bar, at in ((first, NOTHING), (second, Fraction(2))))
    assert [(one.bar, one.to) for one in summary_of(replace(by_hand(), bars=again)).departures] == [(0, 0), (1, 1)]


def test_a_silent_study_has_one_thing_to_say():
    study = Study()
    assert summary_lines(summary_of(study), study) == ("Nothing sounds in this study yet.",)


def test_what_the_teacher_took_or_dismissed_is_counted_all_the_same():
    study = load_study(Path(__file__).parents[2] / "assets" / "cellar-stairs.study")
    before = whole(study)
    first, *others = told(study, analyse(study)).chosen[before.practise[0]]
    after = accept(study, first, "so")
    for other in others:
        after = dismiss(after, other)
    assert whole(after) == before
    assert before.devices[0][1] > 10


@settings(CALM, max_examples=60)
@given(studies())
def test_any_study_has_a_summary(study):
    summary = whole(study)
    lines = summary_lines(summary, study)
    assert lines
    assert all(line.endswith(".") and line.count("{") == line.count("}") for line in lines)
    assert not any("%" in line for line in lines if "Read in" not in line)
    assert sum(count for _, count in summary.strong) <= summary.notes


@pytest.mark.parametrize(("tempo", "expected"), [(60, 1.1), (120, 2.2), (240, 4.3)])
def test_notes_a_second_follow_the_tempo(tempo, expected):
    assert summary_of(replace(by_hand(), tempo=tempo)).notes_a_second == expected
