"""Which notes share a beam: by hand for the metres in use, and rules that hold for any bar."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving.beaming import beam_groups, beat_windows
from core.study import Event, Meter, Note, parse_meter, parse_pitch
from tests.engraving.scenes import events
from tests.strategies import CALM, lines, meters


def groups(text: str, meter: str = "4/4", shift: Fraction = Fraction(0)) -> list[str]:
    """As `0-3`, first and last event."""
    return [f"{group[0]}-{group[-1]}" for group in beam_groups(events(text), parse_meter(meter), shift)]


EIGHTHS = "C4 D4 E4 F4 G4 A4 B4 C5"
SIXTEENTHS = "C4:16 D4:16 E4:16 F4:16"


@pytest.mark.parametrize(("text", "expected"), [
    (EIGHTHS, ["0-3", "4-7"]),
    ("r C4 D4 E4 F4 G4 A4 B4", ["1-3", "4-7"]),
    ("C4 r D4 E4 F4 G4 A4 r", ["2-3", "4-6"]),
    (f"{SIXTEENTHS} C4 D4 E4:2", ["0-3", "4-5"]),
    ("C4:4 D4 E4 F4 G4 A4:4", ["1-2", "3-4"]),
    ("C4 D4:4 E4 F4 G4 A4 B4", ["3-6"]),
    ("C4:8. D4:16 E4 F4 C4:2", ["0-1", "2-3"]),
    ("[3:2 C4 D4 E4 ] F4 G4 A4:2", ["0-2", "3-4"]),
    ("C4:4. D4 E4:4. F4", []),
    ("C4 ^D4 E4 F4 G4 C4:2", ["0-4"]),
    ("C4+E4 D4+F4 r:4 r:2", ["0-1"]),
    ("C4:1", []),
])
def test_groups_in_common_time(text, expected):
    assert groups(text) == expected


def test_a_grace_note_is_under_no_beam_of_the_metre():
    assert beam_groups(events("C4 ^D4 E4 F4 G4 C4:2"), Meter()) == ((0, 2, 3, 4),)


@pytest.mark.parametrize(("meter", "count", "expected"), [
    ("3/4", 6, ["0-5"]), ("2/4", 4, ["0-3"]), ("6/8", 6, ["0-2", "3-5"]), ("9/8", 9, ["0-2", "3-5", "6-8"]),
    ("12/8", 12, ["0-2", "3-5", "6-8", "9-11"]), ("3+2/8", 5, ["0-2", "3-4"]), ("2+3/8", 5, ["0-1", "2-4"]),
    ("5/4", 10, ["0-1", "2-3", "4-5", "6-7", "8-9"]), ("2/2", 8, ["0-3", "4-7"]),
])
def test_plain_eighths_in_other_metres(meter, count, expected):
    """Additive metres by their groups; 2/2 by its two halves (common practice, no source)."""
    assert groups("C4 " * count, meter) == expected


@pytest.mark.parametrize(("meter", "count", "expected"), [
    ("4/4", 12, ["0-3", "4-7", "8-11"]), ("3/4", 12, ["0-5", "6-11"]), ("6/8", 8, ["0-2", "3-5", "6-7"]),
])
def test_a_bar_longer_than_its_metre_counts_on(meter, count, expected):
    """Common practice, no source."""
    assert groups("C4 " * count, meter) == expected


def test_three_four_beams_by_the_beat_where_the_bar_is_not_six_eighths():
    assert groups("C4 D4 E4 F4 G4:4", "3/4") == ["0-1", "2-3"]


def test_a_pickup_counts_from_the_end_of_its_metre():
    assert groups("C4 D4 E4", shift=Fraction(5, 2)) == ["0-2"]
    assert groups("C4 D4 E4 F4 G4", shift=Fraction(3, 2)) == ["1-4"]


@settings(CALM, max_examples=40)
@given(data=st.data())
def test_a_beam_holds_short_notes_of_one_window_and_nothing_else_between(data):
    meter = data.draw(meters)
    row = data.draw(lines(meter.length))
    found = beam_groups(row, meter)
    flat = [index for group in found for index in group]
    assert len(flat) == len(set(flat))
    half = meter.length / 2
    for group in found:
        assert len(group) > 1
        members = [row[index] for index in group]
        assert all(event.notes and not event.grace and event.written.value <= Fraction(1, 2) for event in members)
        between = [index for index in range(group[0], group[-1] + 1) if not row[index].grace]
        assert list(group) == between
        if meter.groups == (4,) and meter.unit == 4:
            assert members[0].onset >= half or members[-1].onset < half


@settings(CALM, max_examples=40)
@given(data=st.data())
def test_short_neighbours_in_a_beat_always_share_their_beam(data):
    meter = data.draw(meters)
    row = [event for event in data.draw(lines(meter.length)) if not event.grace]
    home = {index: place for place, group in enumerate(beam_groups(row, meter)) for index in group}
    for index, (one, other) in enumerate(pairwise(row)):
        short = all(event.notes and event.written.value <= Fraction(1, 2) for event in (one, other))
        beat = any(start <= one.onset and other.onset < end for start, end in beat_windows(meter))
        if short and beat:
            assert home.get(index) == home.get(index + 1) is not None


def test_windows_tile_the_bar():
    for text in ("4/4", "6/8", "3+2/8", "7/8", "2/2"):
        windows = beat_windows(parse_meter(text))
        assert windows[0][0] == 0
        assert windows[-1][1] == parse_meter(text).length
        assert all(one[1] == other[0] for one, other in pairwise(windows))


def test_half_bars_with_anything_but_eighths_go_by_the_beat():
    note = (Note(parse_pitch("C4")),)
    quarter_late = [Event(Fraction(0), Fraction(1, 2), note), Event(Fraction(1, 2), Fraction(1, 2), note),
                    Event(Fraction(1), Fraction(1, 4), note), Event(Fraction(5, 4), Fraction(3, 4), note)]
    assert beam_groups(quarter_late, Meter()) == ((0, 1), (2, 3))
