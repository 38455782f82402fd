"""What lies off the neck, and how hard a study is."""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from core.guitar import advice, finger, moved_by, octave_proposal, out_of_range, places, playability
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
    assert (high.octaves, high.left_out) == (-3, 0)
    assert high.sentence == "2 notes lie off the neck; 3 octaves down, all lie on it."


def test_a_solo_that_fits_stays():
    assert octave_proposal(line("E2 D6")).octaves == 0
    assert octave_proposal(line("r")).sentence == "Every note lies on the neck."


def test_a_solo_that_lies_high_is_offered_an_octave_lower():
    """Guitar music sounds an octave below where it is written (G1), so a fiddler's tune at its sounding pitch lies
    high; where the line is drawn is ours. B4 is fret 7 of the first string."""
    high = line("B4 C5 D5 E5 G4")
    proposal = octave_proposal(high)
    assert (proposal.octaves, proposal.left_out) == (-1, 0)
    assert advice(high) == (proposal.sentence,)
    assert "1 octave down" in proposal.sentence
    lower = moved_by(high, proposal.octaves)
    assert lower.note_at(NotePlace(0, 0)).pitch.name == "B3"
    assert advice(lower) == ()
    assert octave_proposal(line("B4 C5 D5 A4 G4")).octaves == 0


def test_a_high_solo_stays_where_an_octave_lower_some_of_it_would_leave_the_neck():
    assert octave_proposal(line("D3 C5 D5 E5 C5")).octaves == 0


def test_a_solo_no_octave_fits_is_told_where_to_fold():
    first, *folds = advice(line("C2 D2 E2 r C7"))
    assert "off the neck" in first
    assert folds
    assert all(fold.startswith("Or folded: ") for fold in folds)


def test_moving_by_octaves_frees_what_was_set_and_moves_every_note():
    whole = with_note(line("E4 G4"), 0, string=2, fret=5, finger=1)
    lower = moved_by(whole, -1)
    assert [event.notes[0].pitch.midi for event in lower.bars[0].events] == [52, 55]
    assert lower.bars[0].events[0].notes[0].string is None


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
