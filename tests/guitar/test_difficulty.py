"""How hard a study is: counts, the hardest spots, the tempo it can be played at, and a plan to get there.

The seconds a move needs are ours (common practice, no source); the sums are checked by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BarglossError
from core.guitar import difficulty, finger, practice_plan
from core.guitar.difficulty import CROSSED, SHIFT, SHIFT_PER_M, STRUCK
from core.guitar.neck import span_mm
from core.guitar.practice import LONGEST_SITTING
from core.study import NotePlace
from tests.guitar.lines import line, studies, with_note
from tests.guitar.test_fingering import SLOW


def test_what_a_shift_needs_and_the_tempo_that_gives_it():
    """Straight eighths at 120 are 0.25 s apart. C4 to C5 on string 3, fret 5 to 17, finger 1 on both."""
    whole = line("C4 C5 C5", tempo=120, feel="straight")
    for place, fret in ((0, 5), (1, 17)):
        whole = with_note(whole, place, string=3, fret=fret, finger=1)
    hard = difficulty(whole, finger(whole))
    spot = hard.hardest[0]
    needs = STRUCK + SHIFT + SHIFT_PER_M * span_mm(5, 17) / 1000
    assert spot.place == NotePlace(0, 1)
    assert (spot.needs, spot.has) == (round(needs, 3), 0.25)
    assert spot.tempo == hard.highest_tempo == int(120 * 0.25 / needs)
    assert spot.why == "4.0 notes a second, and the hand shifts 12 frets"
    assert hard.bars[0].hand_speed == round(span_mm(5, 17) / 0.25)
    assert (hard.bars[0].shifts, hard.bars[0].crossings, hard.bars[0].notes_per_second) == (1, 0, 4.0)


def test_crossings_and_stretches_are_counted():
    whole = line("A2 D3 G3 C4", tempo=120, feel="straight")
    for place, (string, fret) in enumerate(((6, 5), (5, 5), (4, 5), (3, 5))):
        whole = with_note(whole, place, string=string, fret=fret)
    hard = difficulty(whole, finger(whole))
    assert hard.bars[0].crossings == 3
    assert hard.bars[0].stretches == 0
    assert hard.hardest[0].needs >= round(STRUCK + CROSSED, 3)


@given(studies(bars=3))
@SLOW
def test_the_highest_tempo_does_not_depend_on_the_one_it_is_told_at(whole):
    """The same fingering at twice the tempo: half the time, the same limit; no spot beyond it, none but three."""
    result = finger(whole)
    hard = difficulty(whole, result)
    fast = difficulty(replace(whole, tempo=2 * whole.tempo), result)
    assert len(hard.hardest) <= 3
    assert [spot.tempo for spot in hard.hardest] == sorted(spot.tempo for spot in hard.hardest)
    if hard.highest_tempo is None:
        assert hard.hardest == ()
    else:
        assert hard.hardest[0].tempo == hard.highest_tempo
        assert abs(fast.highest_tempo - hard.highest_tempo) <= 1
    assert sum(bar.shifts for bar in hard.bars) == sum(e.shift for bar in result.bars for e in bar.events)


@given(studies(bars=3), st.integers(10, 120))
@SLOW
def test_a_plan_fills_its_minutes_and_climbs(whole, minutes):
    hard = difficulty(whole, finger(whole))
    plan = practice_plan(whole, hard, minutes)
    assert sum(rung.minutes for rung in plan.rungs) == minutes
    assert len(plan.rungs) == len(hard.hardest) + 1
    for rung, spot in zip(plan.rungs, hard.hardest, strict=False):
        assert rung.bars[0] <= spot.place.bar == rung.bars[1]
    for rung in plan.rungs:
        assert list(rung.tempos) == sorted(set(rung.tempos))
        assert rung.tempos[-1] <= whole.tempo


def test_a_plan_carries_the_caution():
    """P16: stop at pain, rest, ask a clinician; breaks."""
    whole = line("C4 D4 E4 F4")
    plan = practice_plan(whole, difficulty(whole, finger(whole)))
    assert "Stop at pain" in plan.caution
    assert "clinician" in plan.caution
    assert str(LONGEST_SITTING) in plan.caution
    with pytest.raises(BarglossError, match="give 10 to 120"):
        practice_plan(whole, difficulty(whole, finger(whole)), 5)
