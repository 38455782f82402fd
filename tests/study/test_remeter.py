"""Another meter: what sounds and is said is compared in time; barlines and ties with music21's makeMeasures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, takewhile

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from music21 import meter as m21_meter
from music21 import note as m21_note
from music21 import stream

from core.errors import BarglossError
from core.study import Bar, Callout, Change, Chorus, Event, Meter, Reading, Study
from core.study.remeter import set_meter
from tests.strategies import CALM, studies
from tests.study.test_rebar import line, sounds, words

F = Fraction
THREE, FOUR = Meter((3,)), Meter()
OTHERS = st.sampled_from([FOUR, THREE, Meter((2,)), Meter((6,), 8), Meter((5,)), Meter((3, 2), 8), Meter((12,), 8)])


def harmony(study: Study) -> list[tuple[Fraction, str]]:
    """Each chord and the quarter from the start that it is heard from."""
    begins = [F(0), *accumulate(here.length for here in study.in_force)]
    heard = [(begin + one.offset, one.symbol) for begin, here in zip(begins, study.in_force, strict=False)
             for one in here.changes]
    return [one for at, one in enumerate(heard) if at == 0 or one[1] != heard[at - 1][1]]


def has_unison(study: Study) -> bool:
    """A double stop of one pitch on two strings: tied over a barline, `sounds` cannot tell them apart."""
    rows = [[note.pitch.midi for note in event.notes] for bar in study.bars for event in bar.events]
    return any(len(set(row)) < len(row) for row in rows)


def unmarked(study: Study) -> Study:
    """Nothing at its barlines."""
    bars = [replace(bar, key=None, meter=None if at else bar.meter, repeat_start=False, repeat_end=0, ending="",
                    rehearsal="", sign="", jump="", break_before="", barline="")
            for at, bar in enumerate(study.bars)]
    lengths = [here.length for here in study.in_force]
    bars = [replace(bar, length=length) for bar, length in zip(bars, lengths, strict=True)]
    return replace(study, bars=tuple(bars), choruses=())


@settings(CALM, max_examples=50)
@given(studies(max_bars=3), OTHERS)
def test_what_sounds_and_is_said_keeps_its_time(drawn, meter):
    study = unmarked(drawn)
    assume(not has_unison(study))
    if not sounds(study) or meter.length == study.in_force[0].meter.length:
        return
    first = study.bars[0].length
    pickup = first if first < min(meter.length, study.in_force[0].meter.length) else F(0)
    new = set_meter(study, meter)
    assert sounds(new) == sounds(study)
    assert harmony(new) == harmony(study)
    if all(bar.events for bar in study.bars):  # a bar of rest has one place only
        assert words(new) == words(study)
    assert new.meter == meter
    lengths = [here.length for here in new.in_force]
    if pickup:
        assert lengths.pop(0) == pickup
    assert set(lengths) <= {meter.length}
    assert sum(lengths) - meter.length < sum(here.length for here in study.in_force) - pickup <= sum(lengths)
    assert new.in_force[0].number == study.in_force[0].number


@settings(CALM, max_examples=40)
@given(studies(max_bars=3), OTHERS)
def test_over_signs_it_is_refused_or_nothing_is_lost(study, meter):
    assume(not has_unison(study))
    try:
        new = set_meter(study, meter)
    except BarglossError:
        return
    assert new.in_force[0].meter == meter
    assert [one.label for one in new.choruses] == [one.label for one in study.choruses]
    opening = list(takewhile(lambda here: here.index == 0 or here.bar.meter is None, study.in_force))
    if any(event.notes for here in opening for event in here.bar.events) or meter.length == opening[0].meter.length:
        past = sum(here.length for here in new.in_force) - sum(here.length for here in study.in_force)
        assert past == 0 or len(opening) < len(study.bars) or past < meter.length
        end = sum(here.length for here in opening)
        assert [one for one in sounds(new) if one[1] <= end] == [one for one in sounds(study) if one[1] <= end]
        assert [one for one in harmony(new) if one[0] < end] == [one for one in harmony(study) if one[0] < end]
    else:
        assert len(new.bars) == len(study.bars)


@pytest.mark.parametrize("top", [2, 3, 5, 6])
def test_barlines_and_ties_are_music21_s(top):
    """music21, Stream.makeMeasures and makeTies: every note's measure, offset and length, cut notes tied."""
    lengths = [F(1), F(2), F(1), F(1, 2), F(3, 2), F(2), F(4), F(1), F(1), F(2)]
    flat = stream.Stream()
    flat.append(m21_meter.TimeSignature(f"{top}/4"))
    flat.append([m21_note.Note("E4", quarterLength=float(length)) for length in lengths])
    made = flat.makeMeasures()
    made.makeTies(inPlace=True)
    expected = [(measure.number, F(one.offset), F(one.quarterLength), one.tie is not None and one.tie.type in (
        "start", "continue")) for measure in made.getElementsByClass("Measure") for one in measure.notes]
    note = line("E4")[0].notes
    starts = [F(0), *accumulate(lengths)]
    bars = [Bar(tuple(Event(start % 4, length, note) for start, length in zip(starts, lengths, strict=False)
                      if start // 4 == bar)) for bar in range(4)]
    new = set_meter(Study(bars=tuple(bars)), Meter((top,)))
    got = [(here.number, event.onset, event.duration, event.notes[0].tie)
           for here in new.in_force for event in here.bar.events if event.notes]
    assert got == expected


def test_a_form_without_notes_stays_bar_for_bar():
    """Two chords in four beats stand on 1 and 3; in three beats on 1 and 3 as well (common practice, no source)."""
    chords = (Change(F(0), "C7"), Change(F(2), "F7"))
    study = Study(bars=(Bar(changes=chords, rehearsal="A"), Bar(changes=chords[:1], readings=(Reading(F(2), "G7"),))),
                  choruses=(Chorus("1", 0),))
    new = set_meter(study, THREE)
    assert [bar.changes for bar in new.bars] == [chords, chords[:1]]
    assert new.bars[1].readings == (Reading(F(2), "G7"),)
    two = set_meter(study, Meter((2,)))
    assert [one.offset for one in two.bars[0].changes] == [0, 1]
    assert (two.choruses, len(two.bars)) == (study.choruses, 2)
    crowded = replace(study, bars=(Bar(), Bar(changes=tuple(Change(F(at), "C7") for at in range(4)))))
    with pytest.raises(BarglossError, match="bar 2: its chord symbols do not fit on the beats of 3/4"):
        set_meter(crowded, THREE)


def test_another_sign_for_as_long_a_bar_changes_no_bar():
    study = Study(bars=(Bar(line("C4", "D4", "E4", "F4")), Bar(meter=THREE), Bar(line("C4", "D4", "E4"))))
    for meter in (Meter((4,), 4, "common"), Meter((2,), 2, "cut"), Meter((3, 3, 2), 8)):
        new = set_meter(study, meter)
        assert new.meter == meter
        assert all(one is other for one, other in zip(new.bars, study.bars, strict=True))
    assert set_meter(study, FOUR) is study


def test_it_ends_where_the_next_meter_is_written():
    study = Study(bars=(Bar(line("C4", "D4", "E4", "F4")), Bar(line("G4", "A4", "B4", "C5")),
                        Bar(line("C4", "D4", "E4"), meter=THREE)))
    new = set_meter(study, Meter((2,)))
    assert [here.meter.text for here in new.in_force] == ["2/4"] * 4 + ["3/4"]
    assert new.bars[-1] is study.bars[-1]


def test_a_meter_written_in_the_first_bar_is_the_one_changed():
    study = Study(meter=THREE, bars=(Bar(line("C4", "D4", "E4", "F4"), meter=FOUR),))
    new = set_meter(study, Meter((2,)))
    assert (new.meter.text, [bar.meter for bar in new.bars]) == ("2/4", [None, None])


def test_a_label_in_the_way_is_told_with_the_bar_it_stands_over():
    study = Study(bars=tuple(Bar(line("C4", "D4", "E4", "F4"), rehearsal="B" if at == 4 else "") for at in range(6)))
    with pytest.raises(BarglossError, match="bar 5: a bar of 3/4 would run over the start of this bar") as caught:
        set_meter(study, THREE)
    assert len(caught.value.lines()) == 1
    at_three = Study(bars=tuple(replace(bar, rehearsal="B" if at == 3 else "") for at, bar in enumerate(study.bars)))
    new = set_meter(at_three, THREE)
    assert [at for at, bar in enumerate(new.bars) if bar.rehearsal] == [4]
    assert len(new.bars) == 8


def test_a_pickup_stays_one_and_callouts_keep_their_notes():
    study = Study(bars=(Bar(line("G3"), length=F(1)), Bar(line("C4", "D4", "E4", "F4"), callouts=(
        Callout(F(3), F(0), 1, "over"),)), Bar(line("G4", "A4", "B4", "C5"))))
    new = set_meter(study, THREE)
    assert [here.number for here in new.in_force] == [0, 1, 2, 3]
    assert new.bars[2].callouts == (Callout(F(0), F(1), 0, "over"),)
    assert new.first_number is None


def test_a_bar_that_says_the_bar_before_again_is_heard_as_it_was():
    again = Bar(line("C4", "D4", "E4", "F4"), changes=(Change(F(0), "%"),))
    study = Study(bars=(replace(again, changes=(Change(F(0), "C7"), Change(F(2), "F7"))), again,
                        replace(again, meter=FOUR)))
    new = set_meter(study, Meter((2,)))
    assert [here.changes for here in new.in_force[:4]] == [(Change(F(0), symbol),) for symbol in ("C7", "F7") * 2]
    assert new.in_force[4].changes == study.in_force[2].changes
