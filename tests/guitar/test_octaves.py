"""Lines that leave the neck are folded where it does least harm."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from core.guitar import folded, octave_plan, out_of_range, places
from core.guitar import octaves as weights
from core.study import Instrument, NotePlace, Study
from tests.guitar.lines import events, line, note, study
from tests.strategies import CALM

ROWS = st.lists(st.one_of(st.none(), st.integers(20, 108)), min_size=1, max_size=6).filter(
    lambda row: 0 < sum(one is not None for one in row) <= 4)


def least(whole: Study) -> int:
    """The cost of the best plan, every one tried."""
    heard = [(event.notes[0].pitch.midi, place) for place, event in enumerate(whole.bars[0].events) if event.notes]
    return min(cost(whole, heard, folds) for folds in product(weights.FOLDS, repeat=len(heard)))


def cost(whole: Study, heard: list[tuple[int, int]], folds: tuple[int, ...]) -> int:
    total = sum(abs(fold) * weights.FOLDED + weights.OFF_NECK * (not places(midi + 12 * fold, whole.instrument))
                for (midi, _), fold in zip(heard, folds, strict=True))
    for ((before, at), one), ((after, then), other) in pairwise(zip(heard, folds, strict=True)):
        if one == other:
            continue
        if then > at + 1:
            total += weights.AT_REST * abs(one - other)
            continue
        wanted, got = after - before, after + 12 * other - before - 12 * one
        total += weights.WITHIN * abs(one - other)
        total += weights.TURNED * (wanted != 0 and (got == 0 or (got > 0) != (wanted > 0)))
        total += weights.STEP_TORN * (abs(wanted) <= weights.STEP)
    return total


@given(ROWS, st.sampled_from((Instrument(), Instrument(frets=5), Instrument(capo=5))))
@CALM
def test_no_plan_does_less_harm(row, instrument):
    """Integer equality with brute force."""
    whole = study(events([() if midi is None else (note(midi),) for midi in row]), instrument=instrument)
    plan = octave_plan(whole)
    folds = {NotePlace(0, place): 0 for place, event in enumerate(whole.bars[0].events) if event.notes}
    for fold in plan.folds:
        for place in folds:
            if fold.first <= place <= fold.last:
                folds[place] = fold.octaves
    heard = [(whole.note_at(place).pitch.midi, place.event) for place in folds]
    assert cost(whole, heard, tuple(folds.values())) == least(whole)
    moved = whole
    for fold in plan.folds:
        moved = folded(moved, fold)
    assert len(out_of_range(moved)) == plan.left_out
    assert [event.onset for event in moved.bars[0].events] == [event.onset for event in whole.bars[0].events]


def test_a_phrase_moves_as_one_and_its_neighbours_stay():
    whole = line("C4 D4 E4 D4 C4 r F6 G6 A6 G6 r E4 D4 C4 D4 C4")
    (fold,) = octave_plan(whole).folds
    assert (fold.first, fold.last, fold.octaves) == (NotePlace(0, 6), NotePlace(0, 9), -1)
    assert fold.sentence == "Bar 1, notes 6 to 9: an octave down."  # a rest stands before them
    assert octave_plan(folded(whole, fold)).folds == ()


def test_a_phrase_wider_than_the_neck_folds_at_its_leap():
    whole = line("E2 F2 G2 C5 D5 E5", instrument=Instrument(frets=5))
    folds = octave_plan(whole).folds
    assert [(fold.first.event, fold.last.event, fold.octaves) for fold in folds] == [(3, 5, -1)]


def test_a_fold_keeps_the_direction_of_the_line():
    """Folding E5 alone would turn F4-E5 down; the octave is taken out of the wide leap before."""
    folds = octave_plan(line("A2 B3 F4 E5", instrument=Instrument(frets=5))).folds
    assert [(fold.first.event, fold.last.event, fold.octaves) for fold in folds] == [(1, 3, -1)]


def test_on_the_neck_nothing_moves_and_what_was_set_of_a_moved_note_goes():
    assert octave_plan(line("E2 C4 D6")).folds == ()
    whole = line("E6 F6")
    bar = whole.bars[0]
    first = replace(bar.events[0], notes=(replace(bar.events[0].notes[0], string=1, fret=24),))
    set_high = replace(whole, bars=(replace(bar, events=(first, bar.events[1])),))
    (fold,) = octave_plan(set_high).folds
    assert folded(set_high, fold) == line("E5 F5")
