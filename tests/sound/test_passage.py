"""Part of a study as it is heard: where it begins and ends, its count-in, where the mark goes; and its samples."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.sound import RATE, Take, passage, play_order, playing_time, schedule, stream
from core.sound.mix import tone_of
from core.sound.passage import Passage
from core.sound.stream import GAIN, PIECE
from core.study import Bar, Change, Event, Meter, Note, NotePlace, Study, parse_pitch
from tests.strategies import CALM, studies

LINE = Take(comp=False)


def event(onset, duration, *pitches, **more) -> Event:
    return Event(Fraction(onset), Fraction(duration), tuple(Note(parse_pitch(name)) for name in pitches), **more)


def quarters(*names: str) -> Bar:
    return Bar(tuple(event(at, 1, *([name] if name else [])) for at, name in enumerate(names)))


def study(*bars: Bar, **more) -> Study:
    return Study(bars=bars, **{"feel": "straight", "tempo": 60, **more})


TWO = study(quarters("C4", "D4", "E4", "F4"), quarters("G4", "", "A4", "B4"))


def heard(part: Passage, kind: str = "line") -> list[tuple[float, float, int]]:
    return [(note.start, note.length, note.midi) for note in part.notes if note.kind == kind]


def test_from_a_note_on_to_the_end():
    part = passage(TWO, LINE, NotePlace(0, 2))
    assert heard(part) == [(0, 1, 64), (1, 1, 65), (2, 1, 67), (4, 1, 69), (5, 1, 71)]
    assert (part.begin, part.seconds) == (0, 6)
    assert [(mark.start, mark.place) for mark in part.marks] == [
        (0, NotePlace(0, 2)), (1, NotePlace(0, 3)), (2, NotePlace(1, 0)), (4, NotePlace(1, 2)), (5, NotePlace(1, 3))]


def test_a_selection_ends_with_its_last_note():
    part = passage(TWO, LINE, NotePlace(0, 3), NotePlace(1, 2))
    assert heard(part) == [(0, 1, 65), (1, 1, 67), (3, 1, 69)]
    assert part.seconds == 4


def test_the_count_in_leads_up_to_the_note_wherever_it_stands():
    """Common practice, no source: a bar, and what comes before the note in its own."""
    part = passage(TWO, Take(count_in=True, comp=False), NotePlace(0, 2))
    assert [start for start, _, _ in heard(part, "click")] == [0, 1, 2, 3, 4, 5]
    assert [midi for _, _, midi in heard(part, "click")] == [88, 76, 76, 76, 88, 76]
    assert part.begin == heard(part)[0][0] == 6


def test_under_tempo_everything_is_as_much_longer():
    whole, half = passage(TWO, LINE, NotePlace(0, 1)), passage(TWO, Take(50, comp=False), NotePlace(0, 1))
    assert half.seconds == 2 * whole.seconds
    assert [mark.start for mark in half.marks] == [2 * mark.start for mark in whole.marks]


def test_a_chord_goes_on_from_the_middle_and_the_click_keeps_to_the_bar():
    chord = study(Bar(quarters("C4", "D4", "E4", "F4").events, (Change(Fraction(0), "C"),)))
    part = passage(chord, Take(click=True), NotePlace(0, 3))
    assert {(start, length) for start, length, _ in heard(part, "comp")} == {(0, 1)}
    assert [(start, midi) for start, _, midi in heard(part, "click")] == [(0, 76)]


def test_repeats_are_played_out_from_the_first_time_and_a_selection_is_not_repeated():
    again = study(quarters("C4", "", "", ""), Bar(quarters("D4", "", "", "").events, repeat_start=True, repeat_end=2))
    assert [midi for _, _, midi in heard(passage(again, LINE, NotePlace(1, 0)))] == [62, 62]
    assert [midi for _, _, midi in heard(passage(again, LINE, NotePlace(0, 0), NotePlace(1, 0)))] == [60, 62]


def test_a_jump_is_followed_and_what_leads_nowhere_is_told():
    form = [Bar(quarters("C4", "", "", "").events, jump="Fine"), Bar(quarters("D4", "", "", "").events,
                                                                    jump="D.C. al Fine")]
    part = passage(study(*form), LINE, NotePlace(1, 0))
    assert heard(part) == [(0, 1, 62), (4, 1, 60)]
    assert [(mark.start, mark.bar) for mark in part.marks] == [(0, 1), (4, 0)]
    assert (part.seconds, part.trouble) == (8, None)
    alone = passage(study(*form[1:]), LINE, NotePlace(0, 0))
    assert str(alone.trouble).startswith("bar 1: D.C. al Fine leads nowhere")
    assert heard(alone) == [(0, 1, 62)]


def test_dynamics_from_before_hold():
    loud = study(Bar((event(0, 4, "C4", dynamic="ff"),)), quarters("C4", "", "", ""))
    whole = [note.velocity for note in schedule(loud, LINE)]
    assert [note.velocity for note in passage(loud, LINE, NotePlace(1, 0)).notes] == whole[1:]


def test_swing_moves_the_marks_with_the_notes():
    """P11: at 2 to 1 the off-beat lies at two thirds of the beat."""
    swung = study(Bar(tuple(event(Fraction(at, 2), Fraction(1, 2), "C4") for at in range(8))))
    part = passage(swung, Take(swing=Fraction(2), comp=False), NotePlace(0, 1))
    assert [mark.start for mark in part.marks[:3]] == [0, pytest.approx(1 / 3), pytest.approx(1)]
    assert [mark.start for mark in part.marks] == [start for start, _, _ in heard(part)]


def test_a_bar_without_notes_is_marked_as_a_whole_and_a_pickup_counts_on():
    picked = study(Bar((event(0, 1, "G3"),), length=Fraction(1)), Bar(), quarters("C4", "", "", ""))
    part = passage(picked, Take(count_in=True, comp=False), NotePlace(0, 0))
    assert [(mark.start, mark.bar, mark.place) for mark in part.marks] == [
        (7, 0, NotePlace(0, 0)), (8, 1, None), (12, 2, NotePlace(2, 0))]
    assert passage(picked, LINE, NotePlace(1, 0)).seconds == 8


@CALM
@given(generated=studies(max_bars=4), data=st.data())
def test_a_passage_is_a_cut_of_the_whole(generated, data):
    """Against `schedule`, whose times other tests check: what begins from the note on, and nothing before it."""
    assume(play_order(generated).bars == tuple(range(len(generated.bars))))
    take = Take(swing=data.draw(st.sampled_from([None, Fraction(1), Fraction(5, 3)])), comp=False, click=True)
    bar = data.draw(st.integers(0, len(generated.bars) - 1))
    events = generated.bars[bar].events
    at = data.draw(st.integers(0, len(events) - 1)) if events else 0
    part, whole = passage(generated, take, NotePlace(bar, at)), schedule(generated, take)
    late = playing_time(generated, take) - part.seconds
    kept = [note for note in whole if note.start > late - 1e-9]
    assert [(note.kind, note.midi, note.velocity) for note in part.notes] == [
        (note.kind, note.midi, note.velocity) for note in kept]
    for one, other in zip(part.notes, kept, strict=True):
        assert one.start == pytest.approx(other.start - late, abs=1e-9)
    assert all(0 <= mark.start < part.seconds for mark in part.marks)


def test_the_pieces_joined_are_every_note_at_its_place():
    """Against adding up all notes over the whole length at once."""
    busy = study(*[quarters("C4", "E4", "G4", "Bb4")] * 2, Bar(changes=(Change(Fraction(0), "C-7"),)),
                 meter=Meter((4,)), tempo=97)
    part = passage(busy, Take(count_in=True, click=True), NotePlace(0, 1))
    pieces = list(stream(part.notes, 0, part.seconds))
    assert len(pieces) == np.ceil(part.seconds / PIECE)
    whole = np.zeros(round(part.seconds * RATE) + RATE, dtype=np.float32)
    for note in part.notes:
        first, tone = round(note.start * RATE), tone_of(note)
        whole[first:first + len(tone)] += tone * np.float32(GAIN)
    joined = np.concatenate(pieces)
    assert len(joined) == round(part.seconds * RATE)
    assert np.abs(joined - np.clip(whole[:len(joined)], -1, 1)).max() < 1e-6
    assert 0.1 < np.abs(joined).max() < 1


def test_a_stream_from_the_middle_leaves_the_count_in_out():
    part = passage(TWO, Take(count_in=True, comp=False), NotePlace(0, 0))
    looped = np.concatenate(list(stream(part.notes, part.begin, part.seconds)))
    plain = passage(TWO, LINE, NotePlace(0, 0))
    assert np.abs(looped - np.concatenate(list(stream(plain.notes, 0, plain.seconds)))).max() < 1e-6
