"""A passage put into a position, a note put onto the next string: by the teacher's wish, so set in the study.

Sounding pitches are checked against music21's, strings and frets against the standard tuning (common practice, no
source).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import pitch as m21

from core.errors import BarglossError
from core.guitar import finger, in_position, on_next_string, places
from core.study import GUITAR, NotePlace, Study, tie_chain
from tests.guitar.lines import line, rows, study
from tests.guitar.test_fingering import SLOW, assert_playable


def frets_of(whole: Study) -> list[tuple[int | None, int | None]]:
    return [(note.string, note.fret) for bar in whole.bars for event in bar.events for note in event.notes]


@pytest.mark.parametrize("fret", [3, 5, 8, 10])
def test_a_scale_lies_in_the_position_asked_for(fret):
    """In a position the first finger keeps to its fret; a stretch or a small shift adds a little to either side."""
    whole = line("C4 D4 Eb4 F4 G4 Ab4 Bb4 C5", tempo=100)
    moved = in_position(whole, finger(whole), NotePlace(0, 0), NotePlace(0, 7), fret)
    found = frets_of(moved)
    assert all(string and at is not None and fret - 1 <= at <= fret + 6 for string, at in found)
    for (string, at), event in zip(found, whole.bars[0].events, strict=True):
        assert GUITAR[-string].midi + at == m21.Pitch(event.notes[0].pitch.name.replace("b", "-")).midi
    assert_playable(moved, finger(moved))


def test_what_does_not_lie_there_is_told():
    whole = line("E2 F2 G2 A2", tempo=100)
    with pytest.raises(BarglossError, match="do not lie in position 12"):
        in_position(whole, finger(whole), NotePlace(0, 0), NotePlace(0, 3), 12)


@given(st.lists(rows(double=False), min_size=1, max_size=2), st.integers(0, 5), st.integers(1, 6),
       st.sampled_from([-1, 1]))
@SLOW
def test_the_next_string_is_the_nearest_that_has_the_note(made, at, string, by):
    whole = study(*made, tempo=120)
    place = NotePlace(0, min(at, len(made[0]) - 1))
    if not whole.event_at(place).notes:
        return
    midi = whole.note_at(place).pitch.midi
    possible = [spot for spot in places(midi, whole.instrument) if (spot.string - string) * by > 0]
    if not possible:
        with pytest.raises(BarglossError, match=r"no (higher|lower) string has"):
            on_next_string(whole, place, string, by)
        return
    moved = on_next_string(whole, place, string, by)
    note = moved.note_at(place)
    assert abs(note.string - string) == min(abs(spot.string - string) for spot in possible)
    assert GUITAR[-note.string].midi + note.fret == midi
    assert {moved.note_at(head).string for head in tie_chain(moved, place)} == {note.string}
