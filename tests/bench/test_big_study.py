"""The study that is measured with: as long as asked for, the same every time, and no chorus like another."""

from __future__ import annotations

from itertools import pairwise

import pytest

from core.guitar import finger
from core.harmony import ChordSymbol, parse_chord
from tests.bench.big_study import big_study


@pytest.mark.parametrize("choruses", [1, 6, 60])
def test_choruses_differ(choruses: int) -> None:
    study = big_study(choruses)
    assert len(study.bars) == 12 * choruses
    assert [chorus.bar for chorus in study.choruses] == list(range(0, 12 * choruses, 12))
    assert len({study.bars[at:at + 12] for at in range(0, 12 * choruses, 12)}) == choruses


def test_same_every_time() -> None:
    assert big_study() == big_study(6)


def test_eighths_triplets_and_a_word_on_every_bar() -> None:
    study = big_study()
    assert {event.written.value for bar in study.bars for event in bar.events} == {1, 0.5}
    assert any(event.tuplets for bar in study.bars for event in bar.events)
    assert all(bar.comment and bar.callouts for bar in study.bars)
    assert all(isinstance(parse_chord(change.symbol), ChordSymbol) for bar in study.bars for change in bar.changes)


def test_line_keeps_to_neighbouring_notes() -> None:
    """An octave is the widest leap, within a cell and between two."""
    heights = [event.notes[0].pitch.midi for bar in big_study(60).bars for event in bar.events if event.notes]
    assert max(abs(b - a) for a, b in pairwise(heights)) <= 12
    assert min(heights) >= 52  # E3 to
    assert max(heights) <= 76  # E5


def test_every_note_has_a_place_on_the_neck() -> None:
    assert all(None not in event.notes for bar in finger(big_study()).bars for event in bar.events)
