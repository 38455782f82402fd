"""Bars split, joined and repeated: what sounds is compared as a list of sounds in time. No published source."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.study import Bar, Callout, Change, Chorus, Event, Key, Meter, Note, NotePlace, Reading, Study, parse_pitch
from core.study.rebar import join_bars, repeat_bars, split_bar, toggle_repeat_signs
from core.study.ties import tied_from, tied_to
from tests.strategies import CALM, studies


def line(*names: str, length: Fraction = Fraction(1)) -> tuple[Event, ...]:
    return tuple(Event(at * length, length, () if name == "-" else (Note(parse_pitch(name)),))
                 for at, name in enumerate(names))


def sounds(study: Study) -> list[tuple[Fraction, Fraction, int]]:
    """Start, end and key number of every struck note, tied heads as one."""
    found = []
    starts: dict[int, Fraction] = {}
    at = Fraction(0)
    for here in study.in_force:
        for index, event in enumerate(here.bar.events):
            for head, note in enumerate(event.notes if not event.grace else ()):
                place = NotePlace(here.index, index, head)
                begin = at + event.onset
                if tied_from(study, place) is not None:
                    begin = starts.pop(note.pitch.midi, begin)
                if tied_to(study, place) is not None:
                    starts[note.pitch.midi] = begin
                else:
                    found.append((begin, at + event.end, note.pitch.midi))
        at += here.length
    return sorted(found)


def shown(bar: Bar) -> list[tuple[Fraction, Fraction, list[int]]]:
    return [(event.onset, event.duration, [note.pitch.midi for note in event.notes]) for event in bar.events]


def ungrouped(bar: Bar) -> list[Event]:
    """Its events, whichever begins a tuplet: a cut inside a group begins it anew."""
    return [replace(event, tuplets=tuple(one._replace(starts=True) for one in event.tuplets)) for event in bar.events]


def harmony(study: Study) -> list[tuple[Fraction, str]]:
    """Every chord symbol in quarters from the start; what `%` stands for is checked in tests/line/test_analysis.py."""
    at, found = Fraction(0), []
    for here in study.in_force:
        found += [(at + change.offset, change.symbol) for change in here.changes]
        at += here.length
    return found


def words(study: Study) -> list[tuple[Fraction, Fraction, str]]:
    """Each callout's first and last note in quarters from the start, and its text."""
    begins, at = [], Fraction(0)
    for here in study.in_force:
        begins.append(at)
        at += here.length
    return sorted((begins[index] + one.start, begins[index + one.bars_on] + one.stop, one.text)
                  for index, bar in enumerate(study.bars) for one in bar.callouts)


@settings(CALM, max_examples=120)
@given(studies(), st.data())
def test_splitting_changes_nothing_that_sounds_or_is_said(study, data):
    index = data.draw(st.integers(0, len(study.bars) - 1))
    onsets = sorted(onset for onset in study.bars[index].onsets if 0 < onset < study.in_force[index].length)
    assume(onsets)
    at = data.draw(st.sampled_from(onsets))
    split = split_bar(study, index, at)
    assert len(split.bars) == len(study.bars) + 1
    assert sounds(split) == sounds(study)
    assert harmony(split) == harmony(study)
    assert words(split) == words(study)
    assert [here.number for here in split.in_force[:index + 1]] == [here.number for here in study.in_force[:index + 1]]
    assert all(one is other or other.changes == (Change(Fraction(0), "%"),)
               for one, other in zip(split.bars[index + 2:], study.bars[index + 1:], strict=True))


def test_a_repeat_sign_after_a_bar_that_is_split_or_joined_keeps_its_chords():
    two = (Change(Fraction(0), "C7"), Change(Fraction(2), "F7"))
    study = Study(bars=(Bar(line("C4", "D4", "E4", "F4"), two), Bar(changes=(Change(Fraction(0), "%"),)), Bar()))
    split = split_bar(study, 0, Fraction(2))
    assert [bar.changes for bar in split.bars] == [two[:1], (Change(Fraction(0), "F7"),), two, ()]
    assert [bar.changes for bar in join_bars(study, 0).bars] == [
        (*two, Change(Fraction(4), "C7"), Change(Fraction(6), "F7")), ()]


@settings(CALM, max_examples=120)
@given(studies(), st.data())
def test_joining_what_was_split_gives_the_same_music(study, data):
    index = data.draw(st.integers(0, len(study.bars) - 1))
    onsets = sorted(onset for onset in study.bars[index].onsets if 0 < onset < study.in_force[index].length)
    assume(onsets)
    joined = join_bars(split_bar(study, index, data.draw(st.sampled_from(onsets))), index)
    assert [ungrouped(bar) for bar in joined.bars] == [ungrouped(bar) for bar in study.bars]
    assert harmony(joined) == harmony(study)
    assert words(joined) == words(study)
    assert [bar.length or joined.in_force[at].meter.length for at, bar in enumerate(joined.bars)] == [
        here.length for here in study.in_force]


def test_a_note_across_the_cut_is_tied():
    study = Study(bars=(Bar(line("C4", "D4", length=Fraction(2))),))
    split = split_bar(study, 0, Fraction(1))
    assert [[(event.duration, event.notes[0].pitch.name, event.notes[0].tie) for event in bar.events]
            for bar in split.bars] == [[(1, "C4", True)], [(1, "C4", False), (2, "D4", False)]]
    assert [here.number for here in split.in_force] == [1, 2]


def test_what_stands_on_a_bar_goes_with_its_half():
    bar = Bar(line("C4", "D4", "E4", "F4"), (Change(Fraction(0), "C7"), Change(Fraction(3), "G7")),
              (Reading(Fraction(0), "Am7"),), (Callout(Fraction(0), Fraction(2), text="whole"),), "words",
              repeat_start=True, repeat_end=2, rehearsal="A", jump="Fine", recording=4)
    first, second = split_bar(Study(bars=(bar,)), 0, Fraction(2)).bars
    assert (first.repeat_start, first.rehearsal, first.recording, first.comment) == (True, "A", 4, "words")
    assert (first.repeat_end, first.jump, second.repeat_end, second.jump) == (0, "", 2, "Fine")
    assert second.changes == (Change(Fraction(1), "G7"),)
    assert second.readings == (Reading(Fraction(0), "Am7"),)
    assert first.callouts == (Callout(Fraction(0), Fraction(0), 1, text="whole"),)
    assert (first.length, second.length) == (2, 2)


@pytest.mark.parametrize("at", [Fraction(0), Fraction(4), Fraction(9)])
def test_a_bar_is_split_inside(at):
    with pytest.raises(BarglossError, match="bar 1: a bar is split inside it"):
        split_bar(Study(bars=(Bar(),)), 0, at)


@pytest.mark.parametrize("right", [Bar(key=Key(2)), Bar(meter=Meter((3,))), Bar(repeat_start=True),
                                   Bar(rehearsal="B"), Bar(sign="coda"), Bar(break_before="page")])
def test_nothing_at_the_barline_is_lost_by_joining(right):
    with pytest.raises(BarglossError, match="bar 1: a repeat, key, meter"):
        join_bars(Study(bars=(Bar(), right)), 0)


def test_no_chorus_and_no_repeat_is_joined_over():
    two = Study(bars=(Bar(), Bar()), choruses=(Chorus("1", 0), Chorus("2", 1)))
    for study in (two, Study(bars=(Bar(repeat_end=2), Bar())), Study(bars=(Bar(barline="double"), Bar()))):
        with pytest.raises(BarglossError, match="take it away, then join"):
            join_bars(study, 0)
    with pytest.raises(BarglossError, match="no bar after the last"):
        join_bars(two, 1)


def test_joined_bars_shift_choruses_and_what_reaches_over():
    study = Study(bars=(Bar(callouts=(Callout(Fraction(0), Fraction(1), 2, text="far"),)), Bar(line(*"----")),
                        Bar((*line("C4", "D4", length=Fraction(1)), Event(Fraction(2), Fraction(2)))), Bar()),
                  choruses=(Chorus("1", 0), Chorus("2", 3)))
    joined = join_bars(study, 1)
    assert joined.bars[0].callouts == (Callout(Fraction(0), Fraction(5), 1, text="far"),)
    assert joined.choruses == (Chorus("1", 0), Chorus("2", 2))
    assert joined.bars[1].length == 8


@settings(CALM, max_examples=80)
@given(studies(), st.data())
def test_repeated_bars_are_what_they_were_under_what_they_stood_under(study, data):
    first = data.draw(st.integers(0, len(study.bars) - 1))
    last = data.draw(st.integers(first, len(study.bars) - 1))
    longer = repeat_bars(study, first, last)
    count = last - first + 1
    assert len(longer.bars) == len(study.bars) + count
    for at in range(count):
        old, new = study.in_force[first + at], longer.in_force[last + 1 + at]
        assert (new.key, new.meter, new.length) == (old.key, old.meter, old.length)
        assert shown(new.bar) == shown(old.bar)
    for at in range(last + 1, len(study.bars)):
        old, new = study.in_force[at], longer.in_force[at + count]
        assert (new.key, new.meter) == (old.key, old.meter)


def test_a_repeated_bar_opens_with_the_chord_it_stood_under():
    study = Study(bars=(Bar(changes=(Change(Fraction(0), "C7"),)), Bar(changes=(Change(Fraction(2), "F7"),))))
    longer = repeat_bars(study, 1, 1)
    assert longer.bars[2].changes == (Change(Fraction(0), "C7"), Change(Fraction(2), "F7"))


def test_repeat_signs_come_and_go():
    study = Study(bars=(Bar(), Bar(), Bar()))
    there = toggle_repeat_signs(study, 0, 1)
    assert [(bar.repeat_start, bar.repeat_end) for bar in there.bars] == [(True, 0), (False, 2), (False, 0)]
    assert toggle_repeat_signs(there, 0, 1) == study
    assert replace(there, bars=study.bars) == study
