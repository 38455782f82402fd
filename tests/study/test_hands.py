"""What is given back to Bargloss. Laws; there is no source."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from core.study import Bar, Event, Note, NotePlace, Study, parse_pitch, tie_chain
from core.study.hands import freed, is_set
from tests.strategies import CALM, studies


def heads_of(study: Study) -> list[NotePlace]:
    return [NotePlace(b, e, n) for b, bar in enumerate(study.bars) for e, event in enumerate(bar.events)
            for n in range(len(event.notes))]


def bare(study: Study, at: NotePlace):
    note = study.note_at(at)
    return (note.string, note.fret, note.finger) == (None, None, None)


@settings(CALM, max_examples=40)
@given(studies(max_bars=4).filter(heads_of), st.data())
def test_freed_is_freed_and_all_else_stays(study, data):
    wanted = data.draw(st.lists(st.sampled_from(heads_of(study)), min_size=1, max_size=6))
    new = freed(study, wanted)
    assert not is_set(new, wanted)
    chains = {link for head in wanted for link in tie_chain(study, head)}
    assert all(bare(new, head) for head in chains)
    for head in heads_of(study):
        before, after = study.note_at(head), new.note_at(head)
        assert head in chains or after == before
        assert replace(before, string=None, fret=None, finger=None) == replace(
            after, string=None, fret=None, finger=None)
    struck = {head[:2] for head in wanted}
    for index, (old, now) in enumerate(zip(study.bars, new.bars, strict=True)):
        assert replace(now, events=old.events) == old
        for event, (one, other) in enumerate(zip(old.events, now.events, strict=True)):
            assert replace(other, notes=one.notes, stroke=one.stroke) == one
            assert other.stroke == ("" if (index, event) in struck else one.stroke)
    assert replace(new, bars=study.bars) == study
    assert all(old is now for index, (old, now) in enumerate(zip(study.bars, new.bars, strict=True))
               if index not in {head.bar for head in chains})
    assert (new is study) == (new == study)


def test_a_held_note_is_freed_as_one_and_its_other_strokes_stay():
    whole, pitch = Fraction(4), parse_pitch("C4")
    bars = tuple(Bar((Event(Fraction(0), whole, (Note(pitch, tie=tied, string=2, fret=1, finger=1),), stroke="down"),))
                 for tied in (True, False))
    new = freed(Study(bars=bars), [NotePlace(1, 0, 0)])
    assert [bare(new, head) for head in heads_of(new)] == [True, True]
    assert [bar.events[0].stroke for bar in new.bars] == ["down", ""]
    assert not is_set(new, heads_of(new)[1:])
    assert is_set(new, heads_of(new))  # a stroke is left


def test_where_nothing_is_set_the_study_is_the_same():
    study = Study(bars=(Bar((Event(Fraction(0), Fraction(4), (Note(parse_pitch("C4")),)),)),))
    assert freed(study, heads_of(study)) is study
    assert not is_set(study, heads_of(study))
