"""A bar too wide for its column, in parts: nothing is lost, nothing runs over, and it is cut at beats."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import bar_room
from core.engraving.drawing import Glyph
from core.engraving.splitting import parts_of
from core.handout import lay_out, load_template
from core.handout.inspect import proofread
from core.handout.planning import line_of
from core.study import Bar, Callout, Change, Event, Meter, Note, Pitch, Study, Tuplet
from tests.strategies import CALM

LESSON = load_template("lesson")


def wide(quarters: int, **facts: object) -> Study:
    """One bar of so many quarters, each two eighths, between two usual ones."""
    half = Fraction(1, 2)
    events = tuple([Event(half * place, half, (Note(Pitch("CDEFGAB"[place % 7], 0, 4)),))
                    for place in range(2 * quarters)])
    plain = Bar(events[:8])
    return Study(title="Wide", bars=(plain, Bar(events, length=Fraction(quarters), **facts), plain))


def shape_of(study: Study):
    return lay_out(study, LESSON).galley.bars[1]


@settings(CALM, max_examples=15)
@given(quarters=st.integers(5, 40), room=st.integers(30, 120))
def test_the_parts_are_the_bar(quarters, room):
    whole = shape_of(wide(quarters))
    parts = parts_of(whole, room)
    assert sum(len(part.view.bar.events) for part in parts) == 2 * quarters
    assert sum(part.view.length for part in parts) == quarters
    assert all(part.least <= room for part in parts)
    assert (parts == (whole,)) is (whole.least <= room)


def test_it_is_cut_where_a_beat_begins():
    parts = parts_of(shape_of(wide(24)), 80.0)
    assert len(parts) > 1
    assert all(part.view.shift.denominator == 1 for part in parts)


def test_no_tuplet_is_cut_though_a_grace_note_stands_in_it():
    """Six quarters in the time of four, a grace note before the fourth, which is on a beat."""
    part = Fraction(2, 3)
    graced = tuple([event for place in range(60) for event in (
        *([Event(part * place, Fraction(1, 2), (Note(Pitch("G", 0, 4)),), grace=True)] if place % 6 == 3 else []),
        Event(part * place, part, (Note(Pitch("C", 0, 4)),), (Tuplet(6, 4, place % 6 == 0),)))])
    study = Study(bars=(wide(4).bars[0], Bar(graced, length=Fraction(40))))
    parts = parts_of(lay_out(study, LESSON).galley.bars[1], 25.0)
    assert len(parts) > 1
    assert all(next(event for event in part.view.bar.events if not event.grace).tuplets[0].starts for part in parts)


def test_no_part_is_of_grace_notes_alone():
    """They close the bar; what they lead to is in the next."""
    study = wide(24)
    events = study.bars[1].events
    graces = tuple([replace(events[0], onset=events[-1].end, grace=True)] * 3)
    study = replace(study, bars=(study.bars[0], replace(study.bars[1], events=(*events, *graces))))
    parts = parts_of(lay_out(study, LESSON).galley.bars[1], 6.0)
    assert len(parts) > 40
    assert all(part.view.length > 0 for part in parts)


def test_a_dashed_barline_ends_all_parts_but_the_last():
    """Common practice, no source."""
    *before, last = parts_of(shape_of(wide(24, barline="double")), 80.0)
    assert {part.view.barline for part in before} == {"dashed"}
    assert last.view.barline == "double"


def test_the_pages_of_a_wide_bar_have_no_flaw_and_tell_its_notes_apart():
    callouts = Callout(Fraction(2), Fraction(31), heading="Long"), Callout(Fraction(28), Fraction(29), text="x")
    study = wide(32, changes=(Change(Fraction(0), "Cm7"), Change(Fraction(30), "F7")), callouts=callouts)
    layout = lay_out(study, LESSON)
    assert proofread(layout) == ()
    tags = {mark.tag for page in layout.pages.pages for placed in page.placed if placed.bar == 1
            for mark in placed.drawing.marks if mark.tag is not None}
    assert {tag.event for tag in tags if tag.kind == "tab"} == set(range(64))
    assert {tag.event for tag in tags if tag.kind == "chord"} == {0, 1}
    assert {tag.event for tag in tags if tag.kind == "callout"} == {0, 1}
    assert len([one for one in layout.systems if 1 in range(*one.bars)]) > 1


def test_an_alteration_is_written_again_in_the_next_part():
    study = wide(32)
    events = list(study.bars[1].events)
    for place in range(0, 64, 7):
        events[place] = replace(events[place], notes=(Note(Pitch("C", 1, 4)),))
    sharp = replace(study, bars=(study.bars[0], replace(study.bars[1], events=tuple(events)), study.bars[2]))
    signs = []
    for part in parts_of(shape_of(sharp), 90.0):
        ink = part.rows["notation"].ink([3.0 * place for place in range(len(part.columns))], 300.0)
        signs.append(sum(isinstance(mark, Glyph) and mark.name == "accidentalSharp" for mark in ink.drawing.marks))
    assert len(signs) > 1
    assert signs == [1] * len(signs)


def test_the_room_of_a_part_that_begins_a_system_has_no_meter():
    first, second, *_ = parts_of(shape_of(replace(wide(32), meter=Meter())), 90.0)
    assert bar_room(second).head <= bar_room(first).head
    assert not second.view.meter_changed


@settings(CALM, max_examples=15)
@given(stop=st.integers(0, 63), bars_on=st.integers(1, 2))
def test_a_callout_from_a_bar_before_ends_at_its_note(stop, bars_on):
    """In a split bar, or beyond one: the parts of a bar are passed like bars."""
    onset = Fraction(stop, 2) if bars_on == 1 else Fraction(stop % 8, 2)
    study = wide(32)
    first = replace(study.bars[0], callouts=(Callout(Fraction(1), onset, bars_on, text="On and on"),))
    layout = lay_out(replace(study, bars=(first, *study.bars[1:])), LESSON)
    line = line_of(layout.galley, 100.0)
    assert len(line.shapes) > 3
    (callout,) = line.shapes[0].view.bar.callouts
    last = line.shapes[callout.bars_on].view
    (event,) = [index for index, event in enumerate(last.bar.events) if event.onset == callout.stop]
    assert line.bars[callout.bars_on] == bars_on
    assert event + (last.part.event if last.part else 0) == onset * 2
    assert proofread(layout) == ()


def test_what_no_split_bar_touches_stays_the_same_shape():
    layout = lay_out(wide(32, callouts=(Callout(Fraction(2), Fraction(31), text="Inside"),)), LESSON)
    one, other = (line_of(layout.galley, 100.0).shapes for _ in range(2))
    assert all(first is second for first, second in zip(one, other, strict=True))
    assert (one[0], one[-1]) == (layout.galley.bars[0], layout.galley.bars[2])
