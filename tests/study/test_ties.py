"""Chains of tied heads: forward and back agree, bars of rest end them, graces do not."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings

from core.study import Bar, Event, Note, NotePlace, Study, parse_pitch, tie_chain, tied_from, tied_to
from tests.strategies import CALM, studies

F = Fraction


def half(at: int, *notes: Note, grace: bool = False) -> Event:
    return Event(F(at), F(1, 2) if grace else F(2), notes, grace=grace)


def held(name: str) -> Note:
    return Note(parse_pitch(name), tie=True)


def struck(name: str) -> Note:
    return Note(parse_pitch(name))


@settings(CALM, max_examples=40)
@given(studies(max_bars=4))
def test_forward_and_back_agree(study):
    for b, bar in enumerate(study.bars):
        for e, event in enumerate(bar.events):
            for n, note in enumerate(event.notes):
                place = NotePlace(b, e, n)
                chain = tie_chain(study, place)
                assert place in chain
                assert list(chain) == sorted(chain)
                assert {study.note_at(link).pitch.midi for link in chain} == {note.pitch.midi}
                assert all(study.note_at(link).tie for link in chain[:-1])
                earlier, later = tied_from(study, place), tied_to(study, place)
                if earlier is not None:
                    again = tied_to(study, earlier)
                    assert again is not None
                    assert again[:2] == place[:2]
                if later is not None:
                    back = tied_from(study, later)
                    assert back is not None
                    assert place[:2] <= back[:2] < later[:2]


def test_two_heads_of_one_key_in_a_chord_the_second_of_them_tied():
    """F sharp and G flat at once: found by the property above."""
    study = Study(bars=(Bar((half(0, struck("F#3"), held("Gb3")), half(2, struck("F#3")))),))
    assert tied_from(study, NotePlace(0, 1)) == NotePlace(0, 0, 1)
    assert tie_chain(study, NotePlace(0, 1)) == (NotePlace(0, 0, 1), NotePlace(0, 1))


def test_a_chain_over_the_barline():
    study = Study(bars=(
        Bar((half(0, struck("C4")), half(2, held("C4"), struck("E4")))),
        Bar((half(0, struck("G3"), held("C4")), half(2, struck("B3"), grace=True), half(2, struck("C4")))),
        Bar((half(0, struck("C4")), half(2)))))
    whole = (NotePlace(0, 1, 0), NotePlace(1, 0, 1), NotePlace(1, 2, 0))
    for link in whole:
        assert tie_chain(study, link) == whole
    for alone in (NotePlace(0, 0, 0), NotePlace(0, 1, 1), NotePlace(1, 0, 0), NotePlace(1, 1, 0), NotePlace(2, 0, 0)):
        assert tie_chain(study, alone) == (alone,)


def test_respelled_it_is_the_same_note():
    study = Study(bars=(Bar((half(0, held("Db4")), half(2, struck("C#4")))),))
    assert tied_to(study, NotePlace(0, 0, 0)) == NotePlace(0, 1, 0)


def test_a_tie_into_nothing_ends():
    """It rings on: dangling ties are allowed."""
    study = Study(bars=(Bar((half(0, held("C4")), half(2))), Bar((half(0), half(2, held("C4")))), Bar(),
                        Bar((half(0, struck("C4")), half(2, held("D4"))))))
    for place in (NotePlace(0, 0), NotePlace(1, 1), NotePlace(3, 1)):
        assert tied_to(study, place) is None
        assert tied_from(study, place) is None


def test_a_grace_may_be_held_into_its_note():
    study = Study(bars=(Bar((half(0, held("C4"), grace=True), half(0, struck("C4")), half(2))),))
    assert tie_chain(study, NotePlace(0, 1)) == (NotePlace(0, 0, 0), NotePlace(0, 1))
