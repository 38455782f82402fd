"""What lies off the neck, and how hard a study is."""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from core.guitar import finger, octave_proposal, out_of_range, places, playability
from core.study import Instrument, Meter, NotePlace, Study
from tests.guitar.lines import EIGHTH, events, line, note, study, with_note


def moved(whole: Study, octaves: int) -> Study:
    return study(*(events([tuple(note(head.pitch.midi + 12 * octaves) for head in event.notes) for event in bar.events])
                   for bar in whole.bars))


def test_every_note_off_the_neck_is_named():
    assert out_of_range(line("E2 Eb2 C6 D6 Eb6")) == (NotePlace(0, 1), NotePlace(0, 4))


def test_a_proposal_brings_the_solo_on_to_the_neck():
    low = line("C2 E2 G2")
    proposal = octave_proposal(low)
    assert (proposal.octaves, proposal.left_out) == (1, 0)
    assert proposal.sentence == "1 note lies off the neck; 1 octave up, all lie on it."
    assert out_of_range(moved(low, 1)) == ()
    high = octave_proposal(line("C7 E7"))
    assert (high.octaves, high.left_out) == (-2, 0)
    assert high.sentence == "2 notes lie off the neck; 2 octaves down, all lie on it."


def test_a_solo_that_fits_stays():
    assert octave_proposal(line("E2 D6")).octaves == 0
    assert octave_proposal(line("r")).sentence == "Every note lies on the neck."


def test_a_solo_too_wide_leaves_the_fewest_out():
    assert octave_proposal(line("C2 D2 E2 C7")).left_out == 1
    wide = octave_proposal(line("C2 C7"))
    assert (wide.octaves, wide.left_out) == (0, 2) or wide.left_out == 1


@given(st.lists(st.integers(12, 108), min_size=1, max_size=8))
def test_no_octave_leaves_fewer_out(midis):
    proposal = octave_proposal(study(events([(note(midi),) for midi in midis])))
    left = {move: sum(not places(midi + 12 * move, Instrument()) for midi in midis) for move in range(-6, 7)}
    assert proposal.left_out == left[proposal.octaves] == min(left.values())


def test_playability_counts_what_a_guitarist_counts():
    """Worked by hand: strings 3 3 2 1, frets 5 7 6 5 in one position, then a shift to fret 12."""
    whole = line("C4 D4 F4 A4 E5 r", tempo=120)
    for place, (string, fret, own) in enumerate([(3, 5, 1), (3, 7, 3), (2, 6, 2), (1, 5, 1), (1, 12, 4)]):
        whole = with_note(whole, place, string=string, fret=fret, finger=own)
    counts = playability(whole, finger(whole))
    assert counts.shifts == 1
    assert counts.string_crossings == 2
    assert counts.widest_stretch == 3
    assert counts.highest_fret == 12
    assert counts.out_of_range == 0
    assert counts.peak_notes_per_second == round(5 / 1.5, 2)
    assert counts.peak_bar == 1
    assert set(asdict(counts)) >= {"shifts", "widest_stretch", "string_crossings", "out_of_range", "highest_fret"}


def test_the_busiest_bar_sets_the_pace():
    slow, fast = events([(note("D4"),)] * 2, [Fraction(1)] * 2), events([(note("D4"),)] * 4, [EIGHTH] * 4)
    whole = study(slow, fast, tempo=90, meter=Meter((2,)))
    counts = playability(whole, finger(whole))
    assert (counts.peak_bar, counts.peak_notes_per_second) == (2, 3.0)


def test_a_study_of_rests_is_no_trouble():
    counts = playability(Study(), finger(Study()))
    assert (counts.shifts, counts.highest_fret, counts.peak_bar) == (0, 0, None)
