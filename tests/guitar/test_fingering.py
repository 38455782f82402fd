"""A fingering is playable, as cheap as any, keeps what was set, and is the same however it is come by."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, product
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from core.guitar import Fingered, Fingering, finger, places
from core.guitar import fingering as fingering_module
from core.guitar.costs import CROSSING, CROSSING_TIMES, FORBIDDEN, FURTHEST, HOME, LOW_STRING_FRET, begins
from core.guitar.hands import layer_of
from core.guitar.moves import SCALED, crossings, moves
from core.guitar.neck import neck_of
from core.guitar.picking import technique
from core.study import Bar, Guitarist, Instrument, NotePlace, Study
from core.study import edits as study_edits
from core.study.values import GUITAR
from tests import strategies
from tests.guitar import brute
from tests.guitar.lines import (
    EIGHTH,
    GUITARISTS,
    events,
    frets,
    line,
    note,
    picked,
    rows,
    studies,
    study,
    taken,
    with_note,
)

SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])


def fingered(whole: Study, fingering: Fingering):
    """(event, its fingering) for every event, in order."""
    for bar, result in zip(whole.bars, fingering.bars, strict=True):
        yield from zip(bar.events, result.events, strict=True)


def path(whole: Study, fingering: Fingering) -> list[brute.Hand]:
    return [result.notes for event, result in fingered(whole, fingering) if event.notes]


def assert_playable(whole: Study, fingering: Fingering) -> None:
    """Places that sound the pitch, hands that can be held (G12), alone and from each note to the next, no finger on the
    wrong side of another; no slur across strings (G18)."""
    neck, capo = whole.instrument, whole.instrument.capo
    hands: list[brute.Hand] = []
    for event, result in fingered(whole, fingering):
        assert len(result.notes) == len(event.notes)
        for head, grip in zip(event.notes, result.notes, strict=True):
            if grip is None:
                continue
            assert (grip.string, grip.fret) in places(head.pitch.midi, neck)
            assert (grip.finger == 0) == (grip.fret == 0)
            if grip.finger:
                assert grip.fret - grip.position in brute.REACHES[grip.finger] or (
                    grip.fret - grip.position in brute.TIGHT[grip.finger]
                    and (grip.position == 1 or len(event.notes) > 1 or grip in hands[-1]))
        hand = tuple(grip for grip in result.notes if grip)
        assert len({grip.position for grip in hand}) <= 1
        assert brute.is_hand(hand, capo)
        if result.technique:
            assert technique(hands[-1], hand) == result.technique
            assert {grip.string for grip in hand} <= {grip.string for grip in hands[-1]}
        hands += [hand] if hand else []
    for one, other in pairwise(hands):
        if one[0].position == other[0].position:
            assert not any(brute.crosses(old, new) for old, new in product(one, other))
        stopped = [grip.fret for grip in one + other if grip.finger]
        if one[0].position == other[0].position and stopped and min(stopped) + capo <= 12:
            assert max(stopped) - min(stopped) <= 4


@given(studies())
@SLOW
def test_no_note_is_unplayable(whole):
    assert_playable(whole, finger(whole))


@given(st.integers(0, 2**32), st.sampled_from((1, 5, 12, 30)), st.sampled_from((60, 140, 300)))
@settings(SLOW, max_examples=30)
def test_long_lines_all_over_the_neck_are_playable(seed, leap, tempo):
    """Chromatic, narrow and wide intervals; where the hand cannot come in time, and only there, it is said."""
    chance = Random(seed)
    heights = [60]
    while len(heights) < 64:
        heights.append(min(86, max(40, heights[-1] + chance.choice((-1, 1)) * chance.randint(1, leap))))
    whole = study(events([(note(midi),) for midi in heights]), tempo=tempo)
    result = finger(whole)
    assert_playable(whole, result)
    positions = [grip.position for grip in taken(result)]
    far = [place for place, (one, other, step) in enumerate(zip(positions, positions[1:], brute.steps(whole)[1:],
                                                                strict=False), 1)
           if abs(one - other) > FURTHEST[step.time]]
    assert [place.event for place, _ in result.notices] == far


@given(strategies.studies())
@settings(SLOW, max_examples=40)
def test_any_study_is_fingered_whole(whole):
    """Graces, ghosts, tuplets, capos, low strings, and locks at odds with their notes: never an exception."""
    result = finger(whole)
    for event, placed in fingered(whole, result):
        assert len(placed.notes) == len(event.notes)
        for head, grip in zip(event.notes, placed.notes, strict=True):
            assert grip is None or (grip.string, grip.fret) in places(head.pitch.midi, whole.instrument)
        strings = [grip.string for grip in placed.notes if grip]
        assert len(set(strings)) == len(strings)
    for place, sentence in result.notices:
        assert whole.note_at(place).pitch.name in sentence


@st.composite
def short_lines(draw):
    """Up to five events on a neck short enough to try every sequence; or three on a whole one."""
    if draw(st.booleans()):
        neck = Instrument(tuning=GUITAR[2:], frets=5, capo=draw(st.sampled_from((0, 1))))
        row = draw(rows(51, 69, most=5))
    else:
        neck, row = Instrument(frets=draw(st.sampled_from((15, 22)))), draw(rows(45, 79, most=3))
    loose = tuple(replace(event, notes=tuple(replace(head, tie=False) for head in event.notes)) for event in row)
    row = tuple(replace(event, stroke=draw(st.sampled_from(("", "", "", "up"))),
                        articulations=draw(st.sampled_from(((), (), (), ("fall",), ("bend",))))) for event in loose)
    return study(row, instrument=neck, guitarist=draw(GUITARISTS), tempo=draw(st.sampled_from((60, 140, 220))),
                 feel=draw(st.sampled_from(("swing", "straight"))))


@given(short_lines(), st.data())
@SLOW
def test_as_cheap_as_the_best_of_every_sequence(whole, data):
    """Integer equality with brute force, with and without locks; and a lock never makes it cheaper."""
    least = brute.cheapest(whole)
    assume(least is not None)
    free = finger(whole)
    assert brute.total_cost(whole, path(whole, free), picked(free)) == least == free.cost
    heard = [place for place, event in enumerate(whole.bars[0].events) if event.notes]
    assume(heard)
    place = data.draw(st.sampled_from(heard))
    grip = data.draw(st.sampled_from(brute.hands(whole.bars[0].events[place], whole.instrument)))[0]
    part = data.draw(st.sampled_from(("string", "fret", "finger", "all")))
    own = {"string": {"string": grip.string}, "fret": {"string": grip.string, "fret": grip.fret},
           "finger": {"finger": grip.finger},
           "all": {"string": grip.string, "fret": grip.fret, "finger": grip.finger}}[part]
    locked = with_note(whole, place, **own)
    result = finger(locked)
    held = result.bars[0].events[place].notes[0]
    assert all(getattr(held, name) == value for name, value in own.items())
    cost = brute.total_cost(locked, path(locked, result), picked(result))
    assert cost == brute.cheapest(locked) == result.cost
    assert cost >= least


@given(studies(bars=2), st.data())
@SLOW
def test_a_lock_never_makes_it_cheaper(whole, data):
    """On lines too long to try every sequence, too: any hand there is for any event, and the one that was found."""
    free = finger(whole)
    assume(not free.notices)
    heard = [NotePlace(bar, place, head) for bar, row in enumerate(free.bars) for place, event in enumerate(row.events)
             for head, grip in enumerate(event.notes) if grip]
    assume(heard)
    place = data.draw(st.sampled_from(heard))
    pitches = tuple(head.pitch.midi for head in whole.event_at(place).notes)
    layer = layer_of(pitches, (), neck_of(whole.instrument), whole.guitarist)
    grip = data.draw(st.sampled_from(layer.hands))[layer.heads.index(place.note)]
    found = free.bars[place.bar].events[place.event].notes[place.note]
    assert finger(locked_to(whole, place, grip, data.draw(st.booleans()))).cost >= free.cost
    assert finger(locked_to(whole, place, found, True)).cost == free.cost


def locked_to(whole: Study, place: NotePlace, grip: Fingered, all_of_it: bool) -> Study:
    """The place set and, where asked, the finger too; of an open string there is none to choose."""
    whole = study_edits.set_string(whole, place, grip.string, grip.fret)
    return study_edits.set_finger(whole, place, grip.finger) if all_of_it else whole


@given(studies(bars=1, most=3), st.integers(0, 4), st.booleans())
@SLOW
def test_every_move_costs_what_its_terms_add_up_to(whole, time, is_first):
    """The matrices against the terms worked out one pair of states at a time, to the unit."""
    capo, who = whole.instrument.capo, whole.guitarist
    layers = [layer_of(tuple(head.pitch.midi for head in event.notes), (), neck_of(whole.instrument), who)
              for event in whole.bars[0].events if event.notes]
    for before, after in pairwise(layer for layer in layers if layer.hands):
        costs, apart, _ = moves(before, after, time, is_first, ())
        across = crossings(time, False, who.picking)
        for row, new in list(enumerate(after.hands))[::3]:
            for column, old in list(enumerate(before.hands))[::3]:
                own = brute.hand_cost(new, capo, who) + brute.move_cost(old, new, time, is_first, whole.instrument)
                strings = apart[after.span[row], column]
                assert strings == brute.crossed(old, new)
                own -= CROSSING[abs(strings)] * CROSSING_TIMES[time]
                for last, stroke in product((0, 1), repeat=2):
                    cost = brute.crossing_cost(("down", "up")[last], ("down", "up")[stroke], strings, time, who)
                    cost += CROSSING[abs(strings)] * CROSSING_TIMES[time]
                    assert costs[stroke, row, column] == own * SCALED
                    assert across[stroke, last, strings] == cost * SCALED
                assert (costs[2, row, column] < FORBIDDEN * SCALED) == bool(technique(old, new))


@given(rows(46, 70, most=7, double=False), st.sampled_from((90, 160, 220)))
@SLOW
def test_a_line_up_a_fret_is_fingered_up_a_fret_where_the_neck_allows(row, tempo):
    """Arithmetic: where nothing is paid for the part of the neck, both lines cost the same, and the one fingering moved
    a fret is a cheapest one of the other."""
    who = Guitarist(open_strings="avoid")
    low, high = (study(tuple(replace(event, notes=tuple(note(head.pitch.midi + up) for head in event.notes))
                             for event in row), guitarist=who, tempo=tempo) for up in (0, 1))
    assume(any(event.notes for event in row))
    down_here, up_there = finger(low), finger(high)
    path_low, path_high = path(low, down_here), path(high, up_there)
    assume(all(map(pays_nothing_for_place, (path_low, moved(path_low, 1), path_high, moved(path_high, -1)))))
    assert down_here.cost == up_there.cost
    assert brute.total_cost(high, moved(path_low, 1), picked(down_here)) == up_there.cost


def moved(hands: list[brute.Hand], frets: int) -> list[brute.Hand]:
    return [tuple(grip._replace(fret=grip.fret + frets, position=grip.position + frets) for grip in hand)
            for hand in hands]


def pays_nothing_for_place(hands: list[brute.Hand]) -> bool:
    return all(grip.finger and grip.fret == grip.position + grip.finger - 1 and HOME[0] <= grip.position <= HOME[1]
               and grip.fret <= LOW_STRING_FRET - grip.string for hand in hands for grip in hand)


def test_a_long_line_costs_no_more_than_any_single_change_of_it():
    """Too long for brute force: no other hand for any one note is cheaper."""
    whole = line("F3 A3 C4 Eb4 D4 C4 Bb3 A3 C4 Eb4 G4 F4 D4 Bb3 Ab3 G3", tempo=180)
    result = finger(whole)
    best, ways = path(whole, result), picked(result)
    assert brute.total_cost(whole, best, ways) == result.cost
    for place, event in enumerate(whole.bars[0].events):
        for other, way in product(brute.hands(event, whole.instrument), ("down", "up", "slur")):
            changed = [*best[:place], other, *best[place + 1:]]
            assert brute.total_cost(whole, changed, [*ways[:place], way, *ways[place + 1:]]) >= result.cost


@given(st.lists(rows(), min_size=2, max_size=6), st.data())
@SLOW
def test_the_same_with_and_without_the_fingering_before(made, data):
    """Over a row of edits: bars changed, put in, taken out, doubled; tempo and capo too."""
    whole = study(*made)
    known = finger(whole)
    for _ in range(3):
        whole = data.draw(edits(whole))
        known = finger(whole, known)
        assert known == finger(whole)


@st.composite
def edits(draw, whole: Study) -> Study:
    kind = draw(st.sampled_from(("change", "change", "insert", "drop", "double", "comment", "tempo", "capo", "last",
                                 "last")))
    place = draw(st.integers(0, len(whole.bars) - 1))
    before, bar, after = whole.bars[:place], whole.bars[place], whole.bars[place + 1:]
    if kind == "tempo":
        return replace(whole, tempo=draw(st.sampled_from((80, 240))))
    if kind == "capo":
        return replace(whole, instrument=replace(whole.instrument, capo=draw(st.integers(0, 2))))
    if kind == "comment":
        return replace(whole, bars=(*before, replace(bar, comment="slowly"), *after))
    if kind == "last" and bar.events:  # tied over, slurred over or given a stroke, and nothing else
        end = bar.events[-1]
        end = draw(st.sampled_from((replace(end, slur="start"), replace(end, slur=""), replace(end, stroke="up"),
                                    replace(end, notes=tuple(replace(head, tie=not head.tie) for head in end.notes)))))
        return replace(whole, bars=(*before, replace(bar, events=(*bar.events[:-1], end)), *after))
    if kind == "double":
        return replace(whole, bars=(*before, bar, bar, *after))
    if kind == "drop":
        return replace(whole, bars=(*before, *after) or (Bar(),))
    row = draw(rows())
    new = Bar(row, length=row[-1].end)
    return replace(whole, bars=(*before, new, *(after if kind == "change" else (bar, *after))))


PHRASE = ("F3 A3 C4 Eb4 G4 F4 D4 Bb3", "Ab4 C5 Eb5 D5 Bb4 G4 E4 C4", "A3 F3 D3 C3 Eb3 G3 Bb3 D4",
          "F4 A4 C5 E5 Eb5 r r D4")


def test_bars_an_edit_leaves_alone_stay_the_same_objects():
    """The engraver looks them up by identity."""
    whole = study(*[line(words).bars[0].events for words in PHRASE] * 4, tempo=180)
    before = finger(whole)
    changed = replace(whole, bars=(*whole.bars[:5], with_note(study(whole.bars[5].events), 3, finger=2).bars[0],
                                   *whole.bars[6:]))
    after = finger(changed, before)
    same = [one is other for one, other in zip(before.bars, after.bars, strict=True)]
    assert same[:4] == [True] * 4
    assert same[8:] == [True] * 8
    assert not same[5]
    assert all(one is other for one, other in zip(finger(whole, before).bars, before.bars, strict=True))
    shorter = finger(replace(whole, bars=whole.bars[:5] + whole.bars[6:]), before)
    assert all(one is other for one, other in zip(shorter.bars[9:], before.bars[10:], strict=True))


def test_an_edit_that_changes_no_finger_changes_no_object():
    whole = study(*[line(words).bars[0].events for words in PHRASE])
    before = finger(whole)
    first, second, *others = whole.bars
    loud = replace(second.events[2], articulations=("accent",))
    accented = replace(second, events=(*second.events[:2], loud, *second.events[3:]))
    after = finger(replace(whole, bars=(first, accented, *others)), before)
    assert all(one is other for one, other in zip(after.bars, before.bars, strict=True))


def test_a_bar_that_becomes_the_pickup_is_picked_anew():
    whole = Study(bars=(Bar(), Bar(line("D4").bars[0].events, length=EIGHTH), Bar()))
    before = finger(whole)
    assert before.bars[1].events[0].stroke == "down"
    after = finger(replace(whole, bars=whole.bars[1:]), before)
    assert after.bars[0].events[0].stroke == "up"


def test_an_edit_works_only_the_bars_it_reaches(monkeypatch):
    """In a line that moves about, costs run together again a few bars on; from there the old work serves."""
    whole = study(*[line(words).bars[0].events for words in PHRASE] * 10, tempo=180)
    before = finger(whole)
    worked = []
    advance = fingering_module.advance
    monkeypatch.setattr(fingering_module, "advance",
                        lambda here, *rest: worked.append(here.index) or advance(here, *rest))
    finger(replace(whole, bars=(*whole.bars[:20], line("B3 C4 D4 E4").bars[0], *whole.bars[21:])), before)
    assert worked == list(range(20, 20 + len(worked)))
    assert len(worked) <= 6


def test_a_held_note_keeps_its_place_and_is_not_struck_again():
    whole = study(events([(note("F4"),), (note("Bb4", tie=True),)]), events([(note("Bb4", tie=True),)]),
                  events([(note("Bb4"),), (note("C5"),)]))
    result = finger(whole)
    start, over, on = (result.bars[0].events[1], result.bars[1].events[0], result.bars[2].events[0])
    assert start.notes == over.notes == on.notes
    assert start.stroke
    assert over.stroke == on.stroke == over.technique == ""


def test_one_held_note_of_a_double_stop_keeps_its_finger():
    whole = study(events([(note("E4", tie=True), note("G4")), (note("E4"), note("A4"))]))
    first, second = finger(whole).bars[0].events
    assert first.notes[0] == second.notes[0]
    assert second.stroke


def test_a_note_is_taken_where_it_can_be_held():
    """A long E4 has time to move from fret 5 to the open string over F2, unless it is held."""
    def places_of(tie: bool):
        whole = study(events([(note("E4", tie=tie),), (note("F2"), note("E4"))], [Fraction(4), EIGHTH]), tempo=60)
        first, second = finger(whole).bars[0].events
        return first.notes[0], second.notes[1]

    struck, again = places_of(tie=False)
    assert struck[:2] != again[:2]
    held, on = places_of(tie=True)
    assert held[:3] == on[:3]


def test_a_lock_on_the_held_part_decides_the_whole_note():
    whole = study(events([(note("E4", tie=True),)]), events([(note("E4", string=4),)]))
    (first,), (second,) = (bar.events for bar in finger(whole).bars)
    assert first.notes == second.notes
    assert first.notes[0].string == 4
    assert second.stroke == ""


def test_a_squeezed_finger_is_kept_where_it_was_set():
    """G10: the little finger at fret 3 of the first position."""
    whole = with_note(line("E4 D4 C4"), 1, string=2, fret=3, finger=4)
    result = finger(whole)
    assert result.notices == ()
    assert taken(result)[1] == (2, 3, 4, 1)


def test_fingers_on_three_frets_go_one_two_four_without_a_shift():
    """"Squeeze", G10: a line set to 1-2-4 keeps its hand, and says nothing."""
    whole = line("F3 F#3 G3 F#3 F3", tempo=200)
    for place, (fret, own) in enumerate([(3, 1), (4, 2), (5, 4), (4, 2), (3, 1)]):
        whole = with_note(whole, place, string=4, fret=fret, finger=own)
    result = finger(whole)
    assert {grip.position for grip in taken(result)} == {3}
    assert result.notices == ()


def test_two_fingers_stand_side_by_side_where_one_would_have_to_roll():
    """Common practice, no source: fourths, the index across two strings, then middle and ring finger at one fret."""
    result = taken(finger(line("E3 A3 D4 G4 D4 A3 E3", tempo=200)))
    up = [(4, 2, 1), (3, 2, 1), (2, 3, 2), (1, 3, 3)]
    assert [grip[:3] for grip in result] == up + up[2::-1]


def test_a_repeated_note_stays_where_it_is():
    """Common practice, no source: on another string it would sound another."""
    one, other = taken(finger(line("F4 Ab4 C5 C5 G5 F5", tempo=120)))[2:4]
    assert one[:2] == other[:2]


@pytest.mark.parametrize(("own", "words"), [
    ({"string": 1}, "D4 does not lie on string 1;"),
    ({"string": 2, "fret": 5}, "D4 does not lie on string 2, fret 5;"),
    ({"string": 3, "finger": 0}, "finger 0 cannot take D4 there;"),
])
def test_a_lock_at_odds_with_its_pitch_is_told_and_set_aside(own, words):
    whole = with_note(line("C4 D4 E4"), 1, **own)
    result = finger(whole)
    assert [place for place, _ in result.notices] == [NotePlace(0, 1, 0)]
    assert result.notices[0][1].startswith(words)
    assert_playable(whole, result)


def test_a_lock_off_the_neck_is_told():
    result = finger(with_note(line("C2 D4"), 0, string=6))
    assert result.bars[0].events[0].notes == (None,)
    assert "C2 lies off the neck" in result.notices[0][1]


def test_a_held_note_set_in_two_places_is_told():
    """Each part stays where it was set; the tie cannot."""
    whole = study(events([(note("E4", tie=True, string=1),), (note("E4", string=4),)]))
    result = finger(whole)
    assert [grip.string for grip in taken(result)] == [1, 4]
    assert [place for place, _ in result.notices] == [NotePlace(0, 1, 0)]
    assert result.notices[0][1].startswith("E4 is held over")


def test_places_too_far_apart_for_the_tempo_are_told():
    def at(tempo: int) -> Fingering:
        return finger(with_note(with_note(line("F4 D5", tempo=tempo), 0, string=1), 1, string=3))

    assert at(40).notices == ()
    fast = at(240)
    assert [(grip.string, grip.fret) for grip in taken(fast)] == [(1, 1), (3, 19)]
    assert [place for place, _ in fast.notices] == [NotePlace(0, 1, 0)]
    assert "to D5 in no time" in fast.notices[0][1]


def test_a_slur_set_across_strings_is_told():
    """G18. Where the strings are not set, the slur is a phrase mark and nothing is said."""
    whole = line("C4 F4", {0: "start", 1: "stop"})
    assert finger(whole).notices == ()
    result = finger(with_note(with_note(whole, 0, string=3), 1, string=1))
    assert [place for place, _ in result.notices] == [NotePlace(0, 1, 0)]
    assert result.notices[0][1].startswith("the slur into F4 crosses strings")
    assert [event.technique for event in result.bars[0].events] == ["", ""]


def test_fixed_places_wider_than_a_hand_are_kept_and_told():
    whole = study(events([(note("G2", string=6, fret=3), note("Eb5", string=1, fret=11))]))
    result = finger(whole)
    assert [(grip.string, grip.fret) for grip in taken(result)] == [(6, 3), (1, 11)]
    assert len(result.notices) == 2
    assert "wider than a hand" in result.notices[0][1]


@pytest.mark.parametrize(("chord", "string", "shape"), [
    ("G2+B2+D3+G3+B3+G4", 6, "320003"), ("C3+E3+Bb3+D4", 5, "3233"), ("A2+E3+A3+C#4+E4", 6, "57765"),
])
def test_chords_with_several_fingers_at_one_fret_can_be_held(chord, string, shape):
    """Common practice, no source: the chord from its lowest note's string, frets from that note up."""
    whole = with_note(line(chord), 0, string=string)
    result = finger(whole)
    assert result.notices == ()
    assert "".join(str(fret) for fret in frets(result)) == shape
    assert_playable(whole, result)


def test_a_cluster_gives_up_its_lowest_note_and_says_so():
    """E2 and F2 both lie on string 6 alone."""
    result = finger(line("E2+F2"))
    assert [grip and grip[:2] for grip in taken(result)] == [None, (6, 1)]
    assert result.notices == (
        (NotePlace(0, 0, 0), "E2 cannot be held with the notes above it; it is left out of the tab"),)


def test_out_of_range_is_none_beside_its_neighbours():
    result = finger(line("C2 E3 C8 r"))
    assert [grip is None for grip in taken(result)] == [True, False, True]
    assert result.notices == ()
    assert [event.stroke for event in result.bars[0].events] == ["", "up", "", ""]


def test_a_shift_waits_for_the_rest():
    """A fast phrase high up, a rest, a phrase lower down: the hand moves once, at the rest."""
    result = finger(line("A5 G5 F5 r C4 D4 E4 F4", tempo=200))
    shifts = [event.shift for event in result.bars[0].events]
    assert shifts == [False, False, False, False, True, False, False, False]


@pytest.mark.parametrize("tempo", [60, 80])
def test_a_shift_waits_for_the_long_note(tempo):
    """A slow phrase high up, held at its end, another lower down: the hand moves once, where the second begins."""
    even = line("C5 D5 E5 D5 C5 B4 F4 E4 D4 E4 F4").bars[0].events
    lengths = [Fraction(3, 2) if place == 5 else EIGHTH for place in range(len(even))]
    result = finger(study(events([event.notes for event in even], lengths), tempo=tempo))
    assert [place for place, event in enumerate(result.bars[0].events) if event.shift] == [6]


@pytest.mark.parametrize(("gaps", "is_so"), [
    ((0.5, 2, 0.5), True), ((0.5, 1, 0.5), True), ((1, 1.5, 1), True),       # a long note among shorter ones
    ((1, 1, 1), False), ((0.5, 2, 2), False), ((2, 2, 0.5), False),           # no longer than those beside it
    ((0.25, 0.75, 0.25), False), ((1.13, 1.5, 1.13), False)])                 # too short to rest on; hardly longer
def test_where_a_phrase_begins(gaps, is_so):
    """Ours; that a gap longer than the gaps beside it parts groups: Lerdahl & Jackendoff 1983, grouping preference rule
    2b (from memory)."""
    before, gap, after = gaps
    assert begins(gap, before, after, 1.0) == is_so


def test_a_flat_key_line_keeps_off_the_open_strings():
    whole = line("Bb3 C4 D4 Eb4 F4 G4 Ab4 Bb4 Ab4 G4 F4 Eb4 D4 C4 Bb3 Ab3 G3", tempo=180)
    assert 0 not in frets(finger(whole))


def test_one_finger_does_not_hop():
    """No finger takes two different frets on two strings in a row in a plain line."""
    whole = line("F3 A3 C4 Eb4 D4 C4 Bb3 A3 C4 Eb4 G4 F4 D4 Bb3 Ab3 G3", tempo=180)
    for one, other in pairwise(taken(finger(whole))):
        assert one.finger != other.finger or one.fret == other.fret


def test_an_empty_bar_and_a_study_of_rests():
    assert finger(Study()).bars[0].events == ()
    assert finger(line("r r")).bars[0].events[0].notes == ()
