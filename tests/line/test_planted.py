"""Devices planted in composed lines are found, and nothing is found that is not there. See planted.py for the lines.

A seeded sample by default; with BARGLOSS_ALL_LINES set, 2,000 lines, and ten times the choruses.
"""

from __future__ import annotations

import os
from collections import Counter
from functools import cache
from itertools import chain

import pytest

from core.line import analyse
from core.line.finding import Finding
from core.line.findings import find
from core.line.tones import tones_of
from tests.line.naive import is_true
from tests.line.planted import Line, planted_line
from tests.line.planted_spans import read_otherwise, returning
from tests.line.planting_changes import COMPOSERS
from tests.line.scoring import Score, matches, score
from tests.line.scoring_spans import score_readings, score_returns

COUNT = 2000 if os.environ.get("BARGLOSS_ALL_LINES") else 200
CHORUSES = COUNT // 5
LEAST = 0.95
EXAMPLES = 3


@cache
def lines() -> tuple[Line, ...]:
    return tuple(map(planted_line, range(COUNT)))


@cache
def scores() -> dict[str, Score]:
    return score(lines())


@cache
def scores_of_spans() -> dict[str, Score]:
    return {"return": score_returns(map(returning, range(CHORUSES))),
            "reading": score_readings(map(read_otherwise, range(CHORUSES)))}


def told(line: Line, one) -> str:
    """A case for the one who reads the failure: the notes around it, with chord and degree."""
    places = [tone.place for tone in line.tones]
    at = places.index(one.first or one.last)
    row = (f"{line.study.note_at(tone.place).pitch.name} ({tone.here.symbol} {tone.here.degree(tone.midi)})"
           for tone in line.tones[max(0, at - 2):at + 10])
    return f"{one.kind} {dict(one.facts)} in {line.study.meter.text} at {one.first or one.last}: {' '.join(row)}"


@pytest.mark.parametrize("kind", COMPOSERS)
def test_what_is_planted_is_found(kind):
    got = scores()[kind]
    assert got.recall >= LEAST, "\n".join(told(*case) for case in got.missed[:EXAMPLES])


@pytest.mark.parametrize("kind", COMPOSERS)
def test_what_is_found_is_there(kind):
    got = scores()[kind]
    assert got.precision >= LEAST, "\n".join(told(*case) for case in got.false[:EXAMPLES])


@pytest.mark.parametrize("kind", ["return", "reading"])
def test_what_spans_bars_is_found_and_is_there(kind):
    got = scores_of_spans()[kind]
    assert got.planted == CHORUSES
    assert got.recall >= LEAST, got.missed[:EXAMPLES]
    assert got.precision >= LEAST, got.false[:EXAMPLES]


def test_every_kind_is_planted_in_every_key_and_meter():
    planted = Counter(one.kind for line in lines() for one in line.planted)
    assert set(planted) == set(COMPOSERS)
    assert min(planted.values()) >= COUNT // 10
    assert {line.study.key.tonic.chroma for line in lines()} == set(range(12))
    assert {line.study.meter.text for line in lines()} == {"2/4", "3/4", "4/4", "5/4", "6/8"}
    events = [event for line in lines() for bar in line.study.bars for event in bar.events]
    assert any(event.tuplets for event in events)
    assert any(note.tie for event in events for note in event.notes)


def test_the_tones_of_a_line_are_those_it_was_made_of():
    """Ties, rests, tuplets and meters, read back: places, heights, lengths and beats."""
    for line in lines():
        tones = chain.from_iterable(tones_of(line.study, analyse(line.study)).bars)
        assert [(tone.place, tone.midi, 12 * tone.length, tone.joined, tone.beat) for tone in tones] == [
            (tone.place, tone.midi, tone.stop - tone.start, tone.joined, tone.beat) for tone in line.tones]


def test_the_same_line_for_the_same_seed():
    assert planted_line(7) == planted_line(7) != planted_line(8)


def test_the_judge_can_say_no():
    """What is found, moved by a note or told with another degree or number, is hardly ever true."""
    wrong = true = 0
    for line in lines()[:60]:
        places = [tone.place for tone in line.tones]
        for bar in find(line.study, analyse(line.study)).bars:
            for one in bar:
                at = places.index(one.first)
                if at + 1 < len(places):
                    end = min(len(places) - 1, places.index(one.last) + 1)
                    false = [one._replace(first=places[at + 1], last=places[end]),
                             *(_with(one, place) for place in range(len(one.facts)))]
                    wrong += len(false)
                    true += sum(is_true(other, line.tones) for other in false)
    assert wrong > 1000
    assert true < wrong / 4  # facts that no definition turns on (a scale's name in a passing half step) stay true


def _with(one: Finding, place: int) -> Finding:
    """One fact changed."""
    facts = [*one.facts]
    name, value = facts[place]
    facts[place] = (name, value + 1 if isinstance(value, int) else OTHERS.get(value, "C7" if value != "C7" else "D7"))
    return one._replace(facts=tuple(facts))


OTHERS = {
    "up": "down", "down": "up", "half": "whole", "whole": "half", "above": "below", "below": "above", "upper": "lower",
    "lower": "upper", "1": "3", "3": "1", "5": "b9", "b7": "b9", "b3": "13", "7": "b3", "exact": "diatonic",
}


def test_a_claim_without_a_first_note_is_met_by_its_last():
    planted = planted_line(3).planted[0]._replace(first=None)
    found = Finding(planted.kind, planted.last or planted.first, planted.last or planted.first, (), 0.5)
    assert matches(found, planted._replace(facts={}))
    assert not matches(found, planted._replace(facts={}, kind="cadence"))
