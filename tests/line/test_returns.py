"""Ideas that return. What counts as one: common practice, no source; found against a search of all pairs."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.line import analyse
from core.line.finding import Finding
from core.line.returns import returns, tell
from core.line.tones import tones_of
from core.study import Bar, Event, Note, NotePlace, Study, edits, insert_bars, parse_pitch
from tests.line.test_readings import bar
from tests.strategies import CALM, studies

IDEA = "E4 G4:1 A4 G4:3/2 C5"  # of four quarters
REST = "-:4"


def found(*bars: str | Bar) -> list[Finding]:
    study = Study(bars=tuple(bar(one) if isinstance(one, str) else one for one in bars))
    return [one for row in returns(study, tones_of(study, analyse(study))).bars for one in row]


def facts(*bars: str | Bar) -> list[tuple]:
    return [tuple(value for _, value in one.facts) for one in found(*bars)]


@pytest.mark.parametrize(("again", "expected"), [
    ("E4 G4:1 A4 G4:3/2 C5", (2, "same notes", 0, 5)),
    ("A4 C5:1 D5 C5:3/2 F5", (2, "transposed", 5, 5)),
    ("E5 G5:1 A5 G5:3/2 C6", (2, "transposed", 12, 5)),
    ("D4 F4:1 G4 F4:3/2 Bb4", (2, "transposed", -2, 5)),
    ("F4 A4:1 B4 A4:3/2 D5", (2, "same shape", 1, 5)),
])
def test_an_idea_returns(again, expected):
    assert facts(IDEA, REST, again) == [expected]
    assert found(IDEA, REST, again)[0][1:3] == (NotePlace(2, 0), NotePlace(2, 4))


@pytest.mark.parametrize("again", [
    "E4 G4 A4:1 G4:3/2 C5",  # in another rhythm
    "E4 G4:1 A4 G4:3/2 D5",  # one letter for another
    "E4 G4:1 A4 G4:2",  # one note short
])
def test_what_only_resembles_it_does_not(again):
    assert not facts(IDEA, REST, again)


@pytest.mark.parametrize("line", ["C4 D4 E4 F4 G4 -:3/2", "C5 G4 E4 C4 G3 -:3/2", "C4 D4 C4 D4 C4 -:3/2"])
def test_a_scale_an_arpeggio_and_two_notes_are_no_ideas(line):
    assert not facts(line, REST, line)


def test_an_even_row_needs_the_same_notes_or_eight_of_them():
    assert facts("E4 G4 F4 A4 G4 -:3/2", REST, "E4 G4 F4 A4 G4 -:3/2") == [(2, "same notes", 0, 5)]
    assert not facts("E4 G4 F4 A4 G4 -:3/2", REST, "G4 Bb4 Ab4 C5 Bb4 -:3/2")
    assert facts("E4 G4 F4 A4 G4 B4 A4 C5", REST, "G4 Bb4 Ab4 C5 Bb4 D5 C5 Eb5") == [(2, "transposed", 3, 8)]


def test_it_ends_where_the_phrase_does_and_the_next_phrase_is_another():
    one, other = "E4 G4:1 A4 G4 C5 -:1", "C5 A4:1 G4 A4 D4 -:1"
    assert facts(one, other, REST, one, other) == [(3, "same notes", 0, 5)] * 2


def test_a_bar_lies_between():
    """The same five notes half a bar later are a sequence; a whole bar later they return."""
    five = "E4:1/2 G4:1/4 F4:1/4 A4:1/2 G4:1/2"
    assert not facts(f"{five} {five}")
    assert [one[0] for one in facts(f"-:2 {five}", f"-:2 {five}")] == [1]
    assert not facts(f"-:2 {five}", f"{five} -:2")


def test_it_does_not_overlap_what_it_returns():
    assert not facts(*["E4:1 G4:1 F4:1 A4:1"] * 3)


def test_it_ends_where_the_rhythm_parts():
    assert facts("E4 G4:1 A4 G4 C5 B4:1", REST, "E4 G4:1 A4 G4 C5:1 B4") == [(2, "same notes", 0, 5)]


def test_the_last_hearing_is_named():
    assert facts(IDEA, IDEA, REST, IDEA)[-1] == (2, "same notes", 0, 5)


def test_the_longer_form_wins():
    """Five notes as in the first bar, but six as in the second, a fourth up."""
    assert facts("A4 C5:1 D5 C5 F5 D5:1", "E4 G4:1 A4 G4 C5 B4:1", REST, "A4 C5:1 D5 C5 F5 E5:1")[-1] == (
        2, "transposed", 5, 6)


# -- against all pairs


LENGTHS = (Fraction(1, 2), Fraction(1))


@st.composite
def small(draw) -> Study:
    """Bars of few pitches and lengths, so that things return."""
    row = []
    for _ in range(draw(st.integers(2, 5))):
        events: list[Event] = []
        while (left := 4 - (events[-1].end if events else Fraction(0))) > 0:
            length = min(draw(st.sampled_from(LENGTHS)), left)
            pitch = draw(st.sampled_from((None, "C4", "D4", "E4", "G4", "C4", "E4")))
            events.append(Event(4 - left, length, (Note(parse_pitch(pitch)),) if pitch else ()))
        row.append(Bar(tuple(events)))
    return Study(bars=tuple(row))


@settings(CALM, max_examples=150)
@given(small())
def test_every_return_is_one_and_none_of_the_same_notes_is_missed(study):
    tones = [tone for row in tones_of(study, analyse(study)).bars for tone in row]
    start = [4 * tone.place.bar + tone.onset for tone in tones]
    at = {tone.place: place for place, tone in enumerate(tones)}
    covered: set[int] = set()
    for row in returns(study, tones_of(study, analyse(study))).bars:
        for one in row:
            i, count = at[one.first], int(one.fact("notes"))
            assert at[one.last] == i + count - 1
            assert not covered.intersection(range(i, i + count))
            covered.update(range(i, i + count))
            assert any(start[i] - start[j] >= 4 and tones[i].place.bar - tones[j].place.bar == one.fact("back")
                       and alike(tones, start, j, i, count, one) for j in range(i - count + 1))
    for i in range(len(tones) - 4):
        pitches = [tone.midi for tone in tones[i:i + 5]]
        idea = len(set(pitches)) > 2 and pitches != sorted(pitches) and pitches != sorted(pitches, reverse=True)
        before = any(start[i] - start[j] >= 4 and [tone.midi for tone in tones[j:j + 5]] == pitches
                     and [each - start[j] for each in start[j:j + 5]] == [each - start[i] for each in start[i:i + 5]]
                     for j in range(i - 4))
        within = tones[i + 4].place.bar - tones[i].place.bar <= 2
        assert not (idea and before and within) or covered.intersection(range(i, i + 5))


def alike(tones, start, j: int, i: int, count: int, one: Finding) -> bool:
    if [each - start[j] for each in start[j:j + count]] != [each - start[i] for each in start[i:i + count]]:
        return False
    pairs = list(zip(tones[j:j + count], tones[i:i + count], strict=True))
    if one.fact("form") == "same shape":
        return len({later.pitch.diatonic - sooner.pitch.diatonic for sooner, later in pairs}) == 1
    return {later.midi - sooner.midi for sooner, later in pairs} == {one.fact("step")}


@settings(CALM, max_examples=60)
@given(studies(), st.data())
def test_an_edit_builds_on_what_was_known(study, data):
    tones = tones_of(study, analyse(study))
    before = returns(study, tones)
    edited = insert_bars(study, data.draw(st.integers(0, len(study.bars))), (Bar(),))
    for index, old in enumerate(edited.bars):
        if not old.callouts:
            edited = edits.set_events(edited, index, data.draw(st.sampled_from((old.events, ()))))
    after = tones_of(edited, analyse(edited), tones)
    assert returns(edited, after, before) == returns(edited, tones_of(edited, analyse(edited)))


@settings(CALM, max_examples=100)
@given(small(), small())
def test_a_chorus_more_changes_nothing_before_it(study, other):
    """But for what the end of the shorter study cut off."""
    longer = Study(bars=(*study.bars, *other.bars))
    tones = tones_of(study, analyse(study))
    sounding = [tone.place for row in tones.bars for tone in row]
    short = [one for row in returns(study, tones).bars for one in row]
    long = [one for row in returns(longer, tones_of(longer, analyse(longer))).bars for one in row]
    assert [one for one in long if one.last < sounding[-1]] == [one for one in short if one.last < sounding[-1]] if (
        sounding) else not short


def test_bars_of_other_lengths_do_not_shift_the_rhythm():
    over = ("-:2 E4 G4:1 A4", "G4:3/2 C5 -:2")
    short = Bar(bar("-:1").events, length=Fraction(1))
    assert facts(*over, short, *over) == [(3, "same notes", 0, 5)]


def test_the_sentence_says_where_and_how():
    one = found(IDEA, REST, IDEA)[0]
    assert tell(one) == "What was heard two bars back returns here, note for note."
    assert "an octave higher" in tell(found(IDEA, REST, "E5 G5:1 A5 G5:3/2 C6")[0])
    assert "the bar before" in tell(found(IDEA, IDEA)[0])
    assert len({tell(one, shape) for shape in range(6)}) == 3
