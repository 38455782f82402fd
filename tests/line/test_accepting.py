"""What the teacher decides about findings: taken up, they are theirs; dismissed, they stay away."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from core.files import load_study, parse_study, study_xml
from core.line import analyse
from core.line.accepting import accept, dismiss, is_accepted, is_dismissed, restore
from core.line.finding import Finding
from core.line.telling import Told, tell, told
from core.study import Bar, Callout, Dismissed, NotePlace, Reading, Study, edits, parse_key, parse_pitch
from tests.bench.big_study import big_study
from tests.line.planted import planted_line
from tests.line.test_readings import bar
from tests.strategies import CALM

LINE = Study(key=parse_key("C major"), bars=(
    bar("C4 E4 G4 A4 Bb4 A4 G4 E4", "C7"), bar("E4 G4 A4 G4 E4 C4 G4 E4", "F7"), bar("E4 G4 C5 G4 E4:2", "C7"),
    bar("E4 G4 A4 G4 E4:1 -:1", "F7")))


def all_of(study: Study, before: Told | None = None) -> Told:
    return told(study, analyse(study), before)


def offered(study: Study) -> list[Finding]:
    return [one for row in all_of(study).bars for one in row]


def test_an_accepted_finding_is_a_callout_that_knows_where_it_came_from():
    one = next(one for one in offered(LINE) if one.kind not in ("reading", "return"))
    study = accept(LINE, one, "In my own words.")
    callout = study.bars[one.first.bar].callouts[0]
    assert callout == Callout(study.event_at(one.first).onset, study.event_at(one.last).onset,
                              one.last.bar - one.first.bar, "", "In my own words.", one.kind)
    assert offered(study) == [other for other in offered(LINE) if other != one]
    assert accept(study, one, "In my own words.") == study
    again = edits.replace_callout(study, one.first.bar, 0, Callout(callout.start, callout.stop, callout.bars_on,
                                                                    text="Reworded.", source=one.kind))
    assert one not in offered(again)
    assert one in offered(edits.remove_callout(study, one.first.bar, 0))


def test_a_teachers_own_callout_on_the_same_notes_takes_nothing_away():
    one = next(one for one in offered(LINE) if one.kind != "reading")
    start, stop = LINE.event_at(one.first).onset, LINE.event_at(one.last).onset
    own = Callout(start, stop, one.last.bar - one.first.bar, text="Mine.")
    assert one in offered(edits.add_callout(LINE, one.first.bar, own))


def test_an_accepted_reading_is_stored_to_the_end_of_its_bar():
    one = next(one for one in offered(LINE) if one.kind == "reading")
    study = accept(LINE, one, tell(one))
    assert study.bars[1].readings == (Reading(Fraction(0), "C7"),)
    assert not study.bars[1].callouts
    assert [other.first.bar for other in offered(study) if other.kind == "reading"] == [3]


def reading(first: tuple[int, int], last: tuple[int, int]) -> Finding:
    return Finding("reading", NotePlace(*first), NotePlace(*last), (("harmony", "Db7"),), 0.5)


def stored(study: Study) -> list[list[tuple[Fraction, str]]]:
    return [[tuple(one) for one in bar.readings] for bar in study.bars]


def test_a_reading_is_stored_by_half_bars_and_ended():
    eighths = bar("C4 E4 G4 A4 Bb4 A4 G4 E4", "C7")
    study = Study(bars=(eighths,) * 3)
    assert stored(accept(study, reading((0, 0), (0, 3)), "")) == [[(0, "Db7"), (2, "")], [], []]
    assert stored(accept(study, reading((0, 5), (0, 7)), "")) == [[(2, "Db7")], [], []]
    assert stored(accept(study, reading((0, 4), (2, 2)), "")) == [[(2, "Db7")], [(0, "Db7")], [(0, "Db7"), (2, "")]]


def test_a_reading_takes_the_place_of_those_under_it_and_leaves_the_others():
    eighths = bar("C4 E4 G4 A4 Bb4 A4 G4 E4", "C7")
    marked = Bar(eighths.events, eighths.changes, tuple(Reading(Fraction(at), name) for at, name in (
        (0, "Am7"), (1, "Dm7"), (2, "Gm7"))))
    study = Study(bars=(marked,))
    assert stored(accept(study, reading((0, 0), (0, 3)), "")) == [[(0, "Db7"), (2, "Gm7")]]
    assert stored(accept(study, reading((0, 4), (0, 7)), "")) == [[(0, "Am7"), (1, "Dm7"), (2, "Db7")]]


def test_a_dismissed_finding_stays_away_and_can_be_called_back():
    for one in offered(LINE):
        study = dismiss(LINE, one)
        onset = LINE.event_at(one.first).onset
        assert study.bars[one.first.bar].dismissed == (Dismissed(onset, one.kind),)
        assert one not in offered(study)
        assert parse_study(study_xml(study), "x.study") == study
        assert restore(study, one) == LINE
        assert dismiss(study, one) is study


def test_what_is_dismissed_goes_with_its_note():
    study = dismiss(LINE, next(one for one in offered(LINE) if one.first == NotePlace(1, 0)))
    assert edits.set_events(study, 1, study.bars[1].events[:0]).bars[1].dismissed == study.bars[1].dismissed
    half = tuple(bar("E4 G4").events[:1]) + tuple(bar("E4 -:7/2").events[1:])
    assert edits.set_events(study, 1, half).bars[1].dismissed == study.bars[1].dismissed
    later = edits.dismiss(study, 1, Fraction(3), "turn")
    assert Dismissed(Fraction(3), "turn") not in edits.set_events(later, 1, half).bars[1].dismissed


@settings(CALM, max_examples=40)
@given(st.integers(0, 999), st.data())
def test_an_edit_builds_on_what_was_told(seed, data):
    study = planted_line(seed).study
    before = all_of(study)
    found = [one for row in before.bars for one in row]
    one = data.draw(st.sampled_from(found))
    edited = data.draw(st.sampled_from((dismiss(study, one), accept(study, one, "So it is."))))
    if data.draw(st.booleans()):
        edited = edits.set_note_pitch(edited, one.last, parse_pitch("C4"))
    after = told(edited, analyse(edited), before)
    assert after == all_of(edited)
    assert after.noticed == all_of(edited).noticed
    assert all(not (is_accepted(edited, each) or is_dismissed(edited, each)) for row in after.bars for each in row)


def test_the_chosen_are_offered_and_every_kind_has_its_sentences():
    study = big_study(2)
    whole = all_of(study)
    assert sum(map(len, whole.chosen)) > len(study.bars)
    for row, chosen in zip(whole.bars, whole.chosen, strict=True):
        assert set(chosen) <= set(row)
        assert len(chosen) <= 3
        for one in row:
            assert len({tell(one, shape) for shape in range(3)}) == 3


def test_what_is_accepted_keeps_its_room():
    """Nothing else is told of the same notes in its place: what was chosen is chosen still, without it."""
    study = load_study(Path(__file__).parents[2] / "assets" / "cellar-stairs.study")
    for at, row in enumerate(told(study, analyse(study)).chosen):
        for finding in row:
            if finding.kind != "reading":
                after = accept(study, finding, tell(finding))
                left = told(after, analyse(after)).chosen[at]
                assert left == tuple(one for one in row if one != finding)
