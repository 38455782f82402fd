"""Writing into a study, checked against a picture of it in time: what sounds in each 96th of a quarter."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.study import STEPS, Bar, Event, Key, Meter, Note, NotePlace, Pitch, Study, Tuplet, parse_pitch
from core.study.fit import PlainEvent
from core.study.fragments import copy, for_instrument, fragment, from_first_note, paste, whole
from core.study.writing import (
    add_head,
    altered,
    by_octaves,
    by_steps,
    erase,
    respelled,
    set_value,
    silence,
    slur_between,
    sounding,
    toggle_articulation,
    toggle_ghost,
    toggle_tie,
    transpose,
    write,
)
from tests.strategies import CALM, pitches, studies

CELL = Fraction(1, 96)
QUARTER, EIGHTH = Fraction(1), Fraction(1, 2)
TRIPLET = (Tuplet(3, 2),)


def note(name: str, tie: bool = False) -> tuple[Note, ...]:
    return (Note(parse_pitch(name), tie=tie),)


def with_grace(study: Study, place: NotePlace, name: str) -> Study:
    """As the window writes one: pasted before the event."""
    grace = PlainEvent(Fraction(0), EIGHTH, note(name), grace=True)
    return paste(study, place.bar, study.event_at(place).onset, [grace])


def bar(*names: str, length: Fraction = QUARTER) -> Bar:
    return Bar(tuple(Event(at * length, length, () if name == "-" else note(name.rstrip("~"), name.endswith("~")))
                     for at, name in enumerate(names)))


def told(study: Study) -> list[str]:
    """Each bar as `C4 1`, rests as `- 1`, a tie by ~."""
    return [" | ".join(f"{'+'.join(one.pitch.name + '~' * one.tie for one in event.notes) or '-'} {event.duration}"
                       for event in each.events) for each in study.bars]


def picture(study: Study) -> list[frozenset[int]]:
    """What sounds in each cell of the whole study."""
    cells: list[frozenset[int]] = []
    for here in study.in_force:
        if not here.bar.events:
            cells += [frozenset()] * int(here.length / CELL)
        for event in here.bar.events:
            if not event.grace:
                cells += [frozenset(one.pitch.midi for one in event.notes)] * int(event.duration / CELL)
    return cells


def start_of(study: Study, index: int) -> int:
    return int(sum((here.length for here in study.in_force[:index]), Fraction(0)) / CELL)


values = st.sampled_from([Fraction(1, 4), EIGHTH, Fraction(3, 4), QUARTER, Fraction(3, 2), Fraction(2), Fraction(4)])
on_a_grid = st.builds(Fraction, st.integers(0, 31), st.just(8))


def simple(study: Study) -> bool:
    """Lengths that the cells can show."""
    return all((event.onset / CELL).denominator == 1 and (event.duration / CELL).denominator == 1
               for each in study.bars for event in each.events) and all(
                   (here.length / CELL).denominator == 1 for here in study.in_force)


@settings(CALM, max_examples=150)
@given(studies().filter(simple), st.data())
def test_a_written_note_sounds_where_it_was_put_and_leaves_the_rest(study, data):
    index = data.draw(st.integers(0, len(study.bars) - 1))
    length = study.in_force[index].length
    onset = data.draw(on_a_grid.filter(lambda at: at < length))
    value, pitch = data.draw(values), data.draw(pitches)
    tuplets = data.draw(st.sampled_from([(), TRIPLET]))
    try:
        after = write(study, index, PlainEvent(onset, sounding(value, tuplets), (Note(pitch),), tuplets))
    except BarglossError:
        return  # a grid that the bar's own lengths do not fit cannot be written
    first = start_of(study, index) + int(onset / CELL)
    last = first + int(sounding(value, tuplets) / CELL)
    before, now = picture(study), picture(after)
    assert now[first:last] == [frozenset((pitch.midi,))] * (last - first)
    assert now[:first] == before[:first]
    for end in (last, first + 3 * (last - first)) if tuplets else (last,):  # a tuplet may open its whole group
        cut = 0 if end > len(before) else next(
            (at for at, cell in enumerate(before[end:]) if cell != before[end - 1]), len(before) - end)
        silenced, kept = range(last, min(end + cut, len(before))), before[end + cut:]
        if now[end + cut:len(before)] == kept:
            break
    assert now[end + cut:len(before)] == kept
    assert all(not now[at] or now[at] == before[at] for at in silenced)


def test_what_a_note_leaves_over_becomes_rest_and_what_it_needs_it_takes():
    study = Study(bars=(bar("C4", "D4", "E4", "F4"),))
    assert told(write(study, 0, PlainEvent(QUARTER, EIGHTH, note("G4")))) == ["C4 1 | G4 1/2 | - 1/2 | E4 1 | F4 1"]
    assert told(write(study, 0, PlainEvent(EIGHTH, Fraction(1), note("G4")))) == [
        "C4 1/2 | G4 1 | - 1/2 | E4 1 | F4 1"]


def test_a_long_note_goes_over_the_barline_and_past_the_end():
    study = write(Study(bars=(bar("C4", "D4", "E4", "F4"),)), 0, PlainEvent(Fraction(3), Fraction(2), note("G4")))
    assert told(study) == ["C4 1 | D4 1 | E4 1 | G4~ 1", "G4 1 | - 3"]


def test_triplets_stand_beside_what_is_left_of_the_beat():
    study = Study()
    for at in range(3):
        study = write(study, 0, PlainEvent(Fraction(at, 3), Fraction(1, 3), note("CDE"[at] + "4"), TRIPLET))
    assert told(study) == ["C4 1/3 | D4 1/3 | E4 1/3 | - 3"]
    assert [event.tuplets for event in study.bars[0].events[:3]] == [(Tuplet(3, 2, True),), TRIPLET, TRIPLET]


def test_the_first_note_of_a_tuplet_opens_its_group():
    study = Study(bars=(bar("C4", "D4", "E4", "F4"),))
    study = write(study, 0, PlainEvent(QUARTER, Fraction(1, 3), note("G4"), TRIPLET))
    assert told(study) == ["C4 1 | G4 1/3 | - 1/3 | - 1/3 | E4 1 | F4 1"]
    assert [event.tuplets for event in study.bars[0].events[1:4]] == [(Tuplet(3, 2, True),), TRIPLET, TRIPLET]


def test_a_tie_into_what_was_written_over_goes():
    study = Study(bars=(bar("C4", "C4", "C4", "C4~"), bar("C4", "-", "-", "-")))
    assert told(write(study, 1, PlainEvent(Fraction(0), QUARTER, note("D4"))))[0].endswith("C4 1")


def test_erasing_leaves_a_rest_a_grace_goes_and_one_head_of_two():
    study = with_grace(Study(bars=(bar("C4", "D4", "E4", "F4"),)), NotePlace(0, 1), "C#4")
    assert told(erase(study, NotePlace(0, 1))) == ["C4 1 | D4 1 | E4 1 | F4 1"]
    assert told(erase(study, NotePlace(0, 0)))[0].startswith("- 1 | C#4 1/2 | D4 1")
    double = add_head(Study(bars=(bar("C4", "-", "-", "-"),)), NotePlace(0, 0), Note(parse_pitch("E4")))
    assert told(double)[0].startswith("C4+E4 1")
    assert told(erase(double, NotePlace(0, 0, 0)))[0].startswith("E4 1")
    assert Study(bars=(Bar(),)).bars == erase(Study(bars=(bar("C4", "-", "-", "-"),)), NotePlace(0, 0)).bars


def test_a_head_stands_once():
    with pytest.raises(BarglossError, match="B#3 is there already"):
        add_head(Study(bars=(bar("C4", "-", "-", "-"),)), NotePlace(0, 0), Note(parse_pitch("B#3")))


def test_a_value_is_lengthened_over_what_follows_and_shortened_by_a_rest():
    study = Study(bars=(bar("C4", "D4", "E4", "F4"),))
    assert told(set_value(study, NotePlace(0, 1), Fraction(3, 2))) == ["C4 1 | D4 3/2 | - 1/2 | F4 1"]
    assert told(set_value(study, NotePlace(0, 1), EIGHTH)) == ["C4 1 | D4 1/2 | - 1/2 | E4 1 | F4 1"]
    assert told(set_value(study, NotePlace(0, 3), Fraction(2))) == ["C4 1 | D4 1 | E4 1 | F4~ 1", "F4 1 | - 3"]


def test_a_tie_wants_the_same_pitch_after_it():
    study = Study(bars=(bar("C4", "C4", "E4", "F4"),))
    tied = toggle_tie(study, NotePlace(0, 0))
    assert told(tied)[0].startswith("C4~ 1 | C4 1")
    assert toggle_tie(tied, NotePlace(0, 0)) == study
    with pytest.raises(BarglossError, match="bar 1: E4 is not followed by the same pitch"):
        toggle_tie(study, NotePlace(0, 2))


def test_articulations_and_slurs_come_and_go():
    study = Study(bars=(bar("C4", "D4", "E4", "F4"),))
    accented = toggle_articulation(study, NotePlace(0, 1), "accent")
    assert accented.bars[0].events[1].articulations == ("accent",)
    assert toggle_articulation(accented, NotePlace(0, 1), "accent") == study
    slurred = slur_between(study, NotePlace(0, 0), NotePlace(0, 2))
    chained = slur_between(slurred, NotePlace(0, 2), NotePlace(0, 3))
    assert [event.slur for event in chained.bars[0].events] == ["start", "", "both", "stop"]
    assert slur_between(chained, NotePlace(0, 2), NotePlace(0, 3)) == slurred
    with pytest.raises(BarglossError, match="later"):
        slur_between(study, NotePlace(0, 2), NotePlace(0, 2))
    for silent in (Study(bars=(bar("-", "-", "C4", "-"),)), Study(bars=(bar("-", "-", "-", "-"),))):
        with pytest.raises(BarglossError, match="from a note"):
            slur_between(silent, NotePlace(0, 0), NotePlace(0, 1))


def test_transposing_moves_what_was_chosen_and_lets_go_of_old_strings():
    locked = (Note(parse_pitch("D4"), string=2, fret=3, degree="9"),)
    first = bar("C4", "-", "E4", "F4")
    study = Study(bars=(replace(first, events=(first.events[0], replace(first.events[1], notes=locked),
                                               *first.events[2:])), bar("G4", "A4", "B4", "C5")))
    moved = transpose(study, NotePlace(0, 1), NotePlace(1, 0), by_octaves(1))
    assert told(moved) == ["C4 1 | D5 1 | E5 1 | F5 1", "G5 1 | A4 1 | B4 1 | C5 1"]
    assert moved.bars[0].events[1].notes[0] == Note(parse_pitch("D5"))
    assert transpose(moved, NotePlace(0, 2), NotePlace(1, 0), by_octaves(-1)).bars[1] == study.bars[1]


@pytest.mark.parametrize(("key", "name", "steps", "expected"), [
    (Key(), "C4", 2, "E4"), (Key(2), "C#4", 1, "D4"), (Key(-3), "A4", 1, "B4"), (Key(), "F#4", 1, "G#4"),
    (Key(-3), "B3", 1, "C#4"), (Key(), "B3", 1, "C4"), (Key(), "C4", -1, "B3"),
])
def test_steps_of_a_scale(key, name, steps, expected):
    assert by_steps(steps, key)(parse_pitch(name)).name == expected


@given(pitches, st.integers(-7, 7), st.sampled_from([-2, -1, 1, 2]))
def test_what_sounds_as_a_note_of_the_key_is_named_so_after_a_step(pitch, fifths, steps):
    """By the twelve sounds of a signature, told apart without `by_steps`."""
    key = Key(fifths)
    moved = by_steps(steps, key)(pitch)
    of_key = {(STEPS.index(step), key.alter_of(step)) for step in STEPS}
    sounds = {Pitch(STEPS[step], alter, 4).midi % 12 for step, alter in of_key}
    if abs(pitch.alter - key.alter_of(pitch.step)) < 2 and moved.midi % 12 in sounds:
        assert moved.alter == key.alter_of(moved.step)
    if pitch.alter == key.alter_of(pitch.step):
        assert moved.diatonic == pitch.diatonic + steps


def test_a_head_is_altered_with_all_it_is_tied_to_and_no_further_than_a_double_sign():
    double = (Note(parse_pitch("C4"), tie=True), Note(parse_pitch("E4"), string=4, fret=2, degree="3"))
    study = Study(bars=tuple(Bar((Event(Fraction(0), Fraction(4), notes),)) for notes in (
        double, (Note(parse_pitch("C4")),))))
    sharper = altered(study, NotePlace(1, 0), 1)
    assert [[note.pitch.name for note in bar.events[0].notes] for bar in sharper.bars] == [["C#4", "E4"], ["C#4"]]
    assert sharper.bars[0].events[0].notes[1] == double[1]
    flatter = altered(study, NotePlace(0, 0, 1), -1).bars[0].events[0].notes[1]
    assert (flatter.pitch.name, flatter.string, flatter.fret, flatter.degree) == ("Eb4", None, None, "")
    with pytest.raises(BarglossError, match="no more room"):
        altered(sharper, NotePlace(0, 0), 2)


@given(pitches)
def test_respelling_keeps_the_sound(pitch):
    once = respelled(pitch)
    assert once.midi == pitch.midi
    assert abs(once.alter) <= 1 or once == pitch


@settings(CALM, max_examples=80)
@given(studies().filter(simple), st.data())
def test_a_copied_passage_sounds_the_same_where_it_is_pasted(study, data):
    places = [NotePlace(at, index) for at, each in enumerate(study.bars) for index in range(len(each.events))]
    if not places:
        return
    first, last = sorted((data.draw(st.sampled_from(places)), data.draw(st.sampled_from(places))))
    passage = copy(study, first, last)
    target = Study(meter=Meter((4,)), bars=(Bar(),))
    try:
        pasted = paste(target, 0, Fraction(0), passage)
    except BarglossError:
        return
    begin = start_of(study, first.bar) + int(study.event_at(first).onset / CELL)
    end = start_of(study, last.bar) + int(study.event_at(last).end / CELL)
    assert picture(pasted)[:end - begin] == picture(study)[begin:end]
    assert not any(picture(pasted)[end - begin:])


def test_pasting_brings_graces_and_marks_along():
    study = toggle_articulation(Study(bars=(bar("C4", "D4", "E4", "F4"),)), NotePlace(0, 1), "accent")
    study = with_grace(study, NotePlace(0, 1), "C#4")
    pasted = paste(Study(), 0, Fraction(2), copy(study, NotePlace(0, 1), NotePlace(0, 4)))
    assert told(pasted) == ["- 2 | C#4 1/2 | D4 1 | E4 1", "F4 1 | - 3"]
    assert pasted.bars[0].events[2].articulations == ("accent",)


def test_words_of_other_notes_in_the_bar_stay():
    """A bar is made anew around a written note: what the teacher said of the others is kept."""
    said = Bar(tuple(replace(event, remark=f"word {at}")
                     for at, event in enumerate(bar("C4", "D4", "E4", "F4").events)))
    written_over = write(Study(bars=(said,)), 0, PlainEvent(Fraction(1), QUARTER, note("G4")))
    assert [event.remark for event in written_over.bars[0].events] == ["word 0", "", "word 2", "word 3"]


def test_grace_notes_stay_before_a_note_written_over_and_go_with_a_rest():
    study = with_grace(Study(bars=(bar("C4", "D4", "E4", "F4"),)), NotePlace(0, 1), "B3")
    assert [event.grace for event in write(study, 0, PlainEvent(QUARTER, QUARTER, note("G4"))).bars[0].events] == [
        False, True, False, False, False]
    assert not any(event.grace for event in write(study, 0, PlainEvent(QUARTER, QUARTER)).bars[0].events)


@settings(CALM, max_examples=80)
@given(studies(), st.data())
def test_silence_is_silent_there_and_nowhere_else(study, data):
    first, last = data.draw(passages_of(study))
    silent = silence(study, first, last)
    for index, (old, new) in enumerate(zip(study.bars, silent.bars, strict=True)):
        kept = {(event.onset, event.duration, tuple(one.pitch.midi for one in event.notes))
                for at, event in enumerate(old.events) if event.notes and not event.grace
                and not first[:2] <= (index, at) <= last[:2]}
        assert {(event.onset, event.duration, tuple(one.pitch.midi for one in event.notes))
                for event in new.events if event.notes and not event.grace} == kept


@settings(CALM, max_examples=80)
@given(studies(), st.data())
def test_a_fragment_holds_what_was_copied(study, data):
    first, last = data.draw(passages_of(study))
    try:
        part = fragment(study, first, last)
    except BarglossError:
        assert all(event.grace for event in copy(study, first, last))
        return
    assert _to_the_last_note(whole(part)) == _to_the_last_note(copy(study, first, last))


def test_from_the_first_note_on_nothing_waits():
    rests = copy(Study(bars=(bar("-", "-", "C4", "-"), bar("D4", "-", "-", "-"))), NotePlace(0, 0), NotePlace(1, 0))
    assert [(event.onset, len(event.notes)) for event in from_first_note(rests)] == [(0, 1), (1, 0), (2, 1)]
    silence_alone = copy(Study(bars=(bar("-", "-", "-", "-"),)), NotePlace(0, 0), NotePlace(0, 3))
    assert from_first_note(silence_alone) == silence_alone


@settings(CALM, max_examples=40)
@given(studies(), studies())
def test_on_another_instrument_nothing_set_for_the_first_is_left(study, other):
    moved = for_instrument(study, other.instrument)
    notes = [one for each in moved.bars for event in each.events for one in event.notes]
    if study.instrument == other.instrument:
        assert moved is study
    elif (study.instrument.tuning, study.instrument.capo) != (other.instrument.tuning, other.instrument.capo):
        assert {(one.string, one.fret, one.finger) for one in notes} <= {(None, None, None)}
        assert moved.instrument == other.instrument
    assert [one.pitch for one in notes] == [one.pitch for each in study.bars for event in each.events
                                            for one in event.notes]


def _to_the_last_note(passage: tuple[PlainEvent, ...]) -> list[tuple[Fraction, Fraction, bool, list[int]]]:
    last = max(at for at, event in enumerate(passage) if not event.grace)
    return [(event.onset, event.duration, event.grace, [one.pitch.midi for one in event.notes])
            for event in passage[:last + 1]]


@st.composite
def passages_of(draw, study: Study):
    """First and last event of a passage."""
    places = [NotePlace(index, at) for index, each in enumerate(study.bars) for at in range(max(1, len(each.events)))]
    first, last = sorted((draw(st.sampled_from(places)), draw(st.sampled_from(places))))
    return first, last


def test_a_ghost_note_comes_and_goes():
    study = Study(bars=(bar("C4", "D4", "E4", "F4"),))
    there = toggle_ghost(study, NotePlace(0, 2))
    assert [event.notes[0].ghost for event in there.bars[0].events] == [False, False, True, False]
    assert toggle_ghost(there, NotePlace(0, 2)) == study
