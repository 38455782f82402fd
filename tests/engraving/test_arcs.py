"""Ties and slurs, from a system's events and where their ink stands."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.engraving.arcs import Placement, arc, arcs_of
from core.engraving.boxes import ARC_PEN, Box
from core.engraving.heads import stem_goes_up, y_of
from core.engraving.measures import ARC_MIDDLE
from core.engraving.view import Anchor
from tests.engraving.scenes import events

HEAD = 1.18


def places(text: str, slurs: str = "") -> list[Placement]:
    """Every event three spaces from the one before; slurs: a letter an event (s start, e stop, b both, - none)."""
    words = {"s": "start", "e": "stop", "b": "both", "-": ""}
    found = []
    for index, event in enumerate(events(text)):
        ys = [y_of(note.pitch) for note in event.notes]
        anchor = None
        if ys:
            up = stem_goes_up(ys)
            tip = min(ys) - 3.5 if up else max(ys) + 3.5
            anchor = Anchor(1.0, HEAD, min(ys), max(ys), up, tip)
        slur = words[slurs[index]] if slurs else ""
        found.append(Placement(replace(event, slur=slur), anchor, 3.0 * index, index // 4))
    return found


def arcs(text: str, slurs: str = "", tied_in=(), slurred_in: bool = False, right: float = 40.0):
    return [one for _, one in arcs_of(places(text, slurs), 0.0, right, tied_in, slurred_in,
                                   lambda first, last: heads(places(text)))]


def heads(events):
    """The ink of heads alone."""
    return [Box(place.x + 1.0, y - 0.5, place.x + 1.0 + HEAD, y + 0.5) for place in events if place.anchor
            for y in (place.anchor.top, place.anchor.bottom)]


def side(one) -> int:
    """-1 where it curves up, 1 where down."""
    ends = (one.start[1] + one.end[1]) / 2
    return -1 if one.far[0][1] + one.far[1][1] < 2 * ends else 1


points = st.tuples(st.floats(-20, 20), st.floats(-20, 20))


@given(start=points, length=st.floats(1, 50), drop=st.floats(-5, 5),
       height=st.floats(0.2, 5).flatmap(lambda height: st.sampled_from((height, -height))))
def test_an_arc_rises_as_said_and_is_as_thick_as_said(start, length, drop, height):
    """SMuFL slurMidpointThickness, at the middle of both curves and with the pen they are outlined by."""
    end = start[0] + length, start[1] + drop
    one = arc(start, end, height)
    near, far = (((start[1] + end[1]) + 3 * (a[1] + b[1])) / 8 for a, b in (one.near, one.far))
    assert (near + far) / 2 == pytest.approx((start[1] + end[1]) / 2 + height)
    assert abs(far - near) + ARC_PEN == pytest.approx(ARC_MIDDLE)
    assert abs(far - (start[1] + end[1]) / 2) > abs(near - (start[1] + end[1]) / 2)


def test_a_tie_runs_between_the_heads_middles():
    (one,) = arcs("C5~:4 C5:4")
    assert one.start[0] == pytest.approx(1.0 + HEAD / 2 + 0.45)
    assert one.end[0] == pytest.approx(4.0 + HEAD / 2 - 0.45)
    assert one.start[1] == one.end[1]


@pytest.mark.parametrize(("text", "expected"), [("C5~:4 C5:4", -1), ("F3~:4 F3:4", 1)])
def test_ties_curve_away_from_the_stem(text, expected):
    """Gould ch. 2 (from memory)."""
    assert [side(one) for one in arcs(text)] == [expected]


def test_ties_of_a_double_stop_curve_apart():
    assert sorted(side(one) for one in arcs("G3~+C4~:4 G3+C4:4")) == [-1, 1]


@pytest.mark.parametrize(("text", "count"), [
    ("C4~:4 D4:4", 0),   # a tie never joins different pitches
    ("C#4~:4 Db4:4", 1), # a respelling is the same pitch
    ("C4~:4 r:4", 0),
    ("C4~:4 C4~:4 C4:4", 2),
    ("C4~:4 ^D4 C4:4", 1), # a grace note between is passed over
    ("C4~+E4:4 C4+E4:4", 1),
])
def test_what_a_tie_joins(text, count):
    """MusicXML 4.0, `tied`."""
    assert len(arcs(text)) == count


def test_ties_over_a_system_break_are_drawn_on_both_sides():
    (out,) = arcs("C4~:4", right=9.0)
    assert out.end[0] == pytest.approx(8.9)
    (back,) = arcs("C4:4", tied_in=(60,))
    assert back.end[0] < 1.0 + HEAD / 2
    assert arcs("D4:4", tied_in=(60,)) == []


@pytest.mark.parametrize(("text", "expected"), [
    ("C5 D5 C5", -1), ("F3 G3 F3", 1), ("F3 C5 F3", -1),
])
def test_slurs_curve_away_from_stems_and_go_above_where_they_are_mixed(text, expected):
    """Gould ch. 4 (from memory)."""
    (one,) = arcs(text, "s-e")
    assert side(one) == expected


def test_one_slur_ends_where_the_next_begins():
    first, second = arcs("C5 D5 E5", "sbe")
    assert first.end[0] == second.start[0]


def test_a_slur_over_a_break_goes_on():
    (out,) = arcs("C5 D5", "-s", right=12.0)
    assert out.end[0] == pytest.approx(11.9)
    (back,) = arcs("C5 D5", "-e", slurred_in=True)
    assert back.start[0] == pytest.approx(0.3)


def test_a_slur_nobody_began_is_not_drawn():
    assert arcs("C5 D5", "-e") == []


def test_a_grace_slur_hangs_under_the_heads():
    (one,) = arcs("^C5 D5:4", "se")
    assert side(one) == 1
    assert one.start[1] > y_of(events("C5")[0].notes[0].pitch)


@given(names=st.lists(st.sampled_from(["C4", "G4", "C5", "E3", "A5", "B3"]), min_size=3, max_size=7))
def test_a_slur_keeps_clear_of_the_heads_inside_it(names):
    text = " ".join(names)
    (one,) = arcs(text, "s" + "-" * (len(names) - 2) + "e")
    up = side(one)
    for place in places(text)[1:-1]:
        x = place.x + 1.0 + HEAD / 2
        head = place.anchor.top if up < 0 else place.anchor.bottom
        gaps = []
        for step in range(101):
            t = step / 100
            weights = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t ** 3
            at, y = (sum(w * p[axis] for w, p in zip(weights, (one.start, *one.near, one.end), strict=True))
                     for axis in (0, 1))
            gaps.append((abs(at - x), up * (y - head)))
        assert min(gaps)[1] > 0.55
