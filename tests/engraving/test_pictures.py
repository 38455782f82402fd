"""Neck pictures: each callout that wishes for one has the places of its own notes, and no others."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style, bar_height, bar_room, engrave
from core.engraving.boxes import mark_box
from core.engraving.drawing import NeckDiagram, Tag, Text
from core.engraving.pictures import is_picture
from core.engraving.splitting import parts_of
from core.engraving.word_boxes import widest_picture
from core.guitar import finger
from core.line import analyse
from core.study import Bar, Callout, Change, Guitarist, Instrument, Note, NotePlace, Study, edits, parse_pitch
from tests.engraving.board import Board
from tests.engraving.scenes import bar, events, galley, shape, study
from tests.strategies import CALM, studies

STYLE = Style()
ROW = ("C4 E4 G4 B4 A4 F4 D4 G4", "E4 G4 C5 G4 E4 C4 D4 E4", "F4 A4 C5 A4 F4 A4 G4 F4")


def about(start: object, stop: object, bars_on: int = 0, **facts: object) -> Callout:
    return Callout(Fraction(start), Fraction(stop), bars_on, "Shape", "See where it lies.", **{"neck": True, **facts})


def pictured(whole: Study) -> Study:
    """Every callout with its picture; those that are then alike, once."""
    bars = [replace(one, callouts=tuple(dict.fromkeys(replace(callout, neck=True) for callout in one.callouts)))
            for one in whole.bars]
    return replace(whole, bars=tuple(bars))


def necks(whole: Study, place: int = 0, style: Style = STYLE) -> tuple[NeckDiagram | None, ...]:
    return galley(whole, style).bars[place].view.necks


def one_neck(*callouts: Callout, **facts: object) -> NeckDiagram:
    row = [bar(text) for text in ROW]
    row[0] = replace(row[0], callouts=callouts)
    (made,) = necks(study(*row, **facts))
    assert made is not None
    return made


@given(studies(max_bars=3).map(pictured))
@settings(CALM, max_examples=40)
def test_it_shows_the_places_of_its_notes(whole):
    """Told from the fingering by onset alone."""
    fingering = finger(whole)
    for index, made in enumerate(galley(whole).bars):
        for callout, neck in zip(made.view.bar.callouts, made.view.necks, strict=True):
            ends = (index, callout.start), (index + callout.bars_on, callout.stop)
            grips = {grip for bar, (one, played) in enumerate(zip(whole.bars, fingering.bars, strict=True))
                     for event, hands in zip(one.events, played.events, strict=True)
                     if ends[0] <= (bar, event.onset) <= ends[1] for grip in hands.notes if grip is not None}
            places = {(grip.string, str(grip.fret)) for grip in grips}
            assert {(string, fret) for string, fret, _ in Board(neck).names()} == places if neck else not places


@given(studies(max_bars=2).map(pictured), st.sampled_from(("fingers", "degrees")))
@settings(CALM, max_examples=25)
def test_it_fits_the_widest_box_and_keeps_within_its_size(whole, shows):
    style = replace(STYLE, necks=shows)
    for made in galley(whole, style).bars:
        for place, neck in enumerate(made.view.necks):
            if neck is None:
                continue
            assert neck.width <= widest_picture(style) + 0.01
            for mark in neck.drawing.marks:
                box = mark_box(mark, style.music)
                assert -0.01 <= box.left < box.right <= neck.width + 0.01
                assert -0.01 <= box.top < box.bottom <= neck.height + 0.01
                assert is_picture(mark.tag)
                assert mark.tag._replace(note=0) == Tag("callout", place)


def test_a_run_up_the_whole_neck_is_drawn_smaller():
    low, high = (replace(events(f"{name}:2")[0], notes=(Note(parse_pitch(name), string=1, fret=fret),))
                 for name, fret in (("F4", 1), ("D6", 22)))
    whole = study(Bar((low, replace(high, onset=Fraction(2))), callouts=(about(0, 2),)))
    (neck,) = necks(whole)
    assert neck.width == pytest.approx(widest_picture(STYLE))
    sizes = {mark.size for mark in neck.drawing.marks if isinstance(mark, Text)}
    assert max(sizes) < STYLE.neck_size
    assert {(string, fret) for string, fret, _ in Board(neck).names()} == {(1, "1"), (1, "22")}


def test_a_grace_note_before_its_first_note_is_in_it():
    row = (*events("^D#4 E4:2 C4:2"),)
    (neck,) = necks(study(Bar(row, callouts=(about(0, 0),))))
    assert len(Board(neck).names()) == 2


@pytest.mark.parametrize(("style", "callout"), [
    (replace(STYLE, necks="none"), about(0, 2)), (replace(STYLE, rows=("notation", "tab")), about(0, 2)),
    (STYLE, about(0, 2, neck=False))])
def test_there_is_none_where_it_is_not_wished_for(style, callout):
    whole = study(replace(bar(ROW[0]), callouts=(callout,)))
    assert necks(whole, style=style) == (None,)


def test_there_is_none_where_nothing_can_be_played():
    off, rest = (Bar((replace(events("C4:1")[0], notes=notes),), callouts=(about(0, 0),))
                 for notes in ((Note(parse_pitch("C1")),), ()))
    assert necks(study(off, rest)) == necks(study(off, rest), 1) == (None,)


def test_names_are_fingers_or_degrees_as_the_template_has_it():
    """C E G B over C major seventh: 1 3 5 7."""
    whole = study(bar("C4 E4 G4 B4 r:2", changes=(Change(Fraction(0), "C△7"),), callouts=(about(0, Fraction(3, 2)),)))
    by_degree, by_finger = (Board(necks(whole, style=replace(STYLE, necks=shows))[0]).names()
                            for shows in ("degrees", "fingers"))
    assert {name for _, _, name in by_degree} == {"1", "3", "5", "7"}
    fingers = {(grip.string, str(grip.fret), str(grip.finger)) for event in finger(whole).bars[0].events
               for grip in event.notes}
    assert by_finger == fingers


def test_names_have_the_size_the_template_gives_them():
    made = necks(study(replace(bar(ROW[0]), callouts=(about(0, 2),))), style=replace(STYLE, neck_size=2.0))[0]
    sizes = [mark.size for mark in made.drawing.marks if isinstance(mark, Text)]
    assert max(sizes) == 2.0


def test_nothing_is_set_smaller_than_the_template_allows():
    """Large print by UKAAF G003: one least size for every figure."""
    style = replace(STYLE, neck_size=2.0, smallest=2.0)
    made = necks(study(replace(bar(ROW[0]), callouts=(about(0, 2),))), style=style)[0]
    assert {mark.size for mark in made.drawing.marks if isinstance(mark, Text)} == {2.0}


@pytest.mark.parametrize(("tuning", "strings"), [
    ("B1 E2 A2 D3 G3 B3 E4", 7), ("E1 A1 D2 G2", 4), ("D2 A2 D3 G3 B3 E4", 6)])
def test_it_has_a_line_for_every_string_of_the_instrument(tuning, strings):
    """Seven strings, bass and dropped D: common practice, no source."""
    instrument = Instrument("other", tuple(map(parse_pitch, tuning.split(" "))), 24)
    lowest = Bar((replace(events("E2:1")[0], notes=(Note(instrument.tuning[0]),)),), callouts=(about(0, 0),))
    board = Board(necks(study(lowest, instrument=instrument))[0])
    assert len(board.strings) == strings
    assert board.names() == {(strings, "0", "0")}


def test_frets_are_numbered_from_the_capo():
    """An open string under a capo at fret 3 sounds three half steps up: common practice, no source."""
    whole = study(bar("G4:1", callouts=(about(0, 0),)), instrument=Instrument(capo=3))
    string = replace(whole.bars[0].events[0], notes=(Note(parse_pitch("G4"), string=1, fret=0),))
    assert Board(necks(replace(whole, bars=(replace(whole.bars[0], events=(string,)),)))[0]).names() == {(1, "0", "0")}


def test_a_left_handed_guitarist_sees_it_turned_round():
    right, left = (Board(one_neck(about(0, Fraction(7, 2)), guitarist=Guitarist(left_handed=is_so)))
                   for is_so in (False, True))
    assert right.names() == left.names()
    frets = [[int(board.numbers[cell]) for cell in sorted(board.numbers)] for board in (right, left)]
    assert frets[0] == sorted(frets[0]) == frets[1][::-1]


def test_the_tab_is_not_turned_round():
    """A tab is read from left to right whoever plays: common practice, no source."""
    right, left = (galley(study(*map(bar, ROW), guitarist=Guitarist(left_handed=is_so))).bars[0].rows["tab"]
                   for is_so in (False, True))
    inks = [[(mark.x, mark.y, mark.text) for mark in row.ink([6.0 * at for at in range(8)], 60.0).drawing.marks
             if isinstance(mark, Text)] for row in (right, left)]
    assert inks[0] == inks[1]


def test_the_parts_of_a_split_bar_have_the_pictures_of_their_own_callouts():
    half = Fraction(1, 2)
    long = bar(" ".join(["C4 D4 E4 F4"] * 24))
    whole = study(replace(long, length=Fraction(48), callouts=(about(0, 1), about(30 * half, 32 * half, neck=False),
                                                              about(90 * half, 93 * half))))
    made = galley(whole).bars[0]
    parts = parts_of(made, 80.0 - bar_room(made).head)
    assert len(parts) > 1
    assert [neck for part in parts for neck in part.view.necks] == list(made.view.necks)
    for part in parts:
        assert len(part.view.necks) == len(part.view.bar.callouts)


def test_breaking_knows_the_room_a_picture_takes():
    """About its height in a system, and its width at the least."""
    style = replace(STYLE, neck_size=2.5)  # wider than the narrowest box
    with_one, without = (shape(study(replace(bar(ROW[0]), callouts=(about(0, 2, neck=is_so),))), style=style)
                         for is_so in (True, False))
    (neck,) = with_one.view.necks
    assert bar_room(with_one).words > neck.width > bar_room(without).words
    assert bar_height(with_one).words > bar_height(without).words + neck.width * neck.height / 2
    assert bar_height(with_one).tallest >= neck.height > bar_height(without).tallest


# -- after an edit


def again(before: Study, after: Study):
    """The shapes of the first bar before and after, the second galley built on the first."""
    analysis, fingering = analyse(before), finger(before)
    first = engrave(before, analysis, fingering, STYLE)
    second = engrave(after, analyse(after, analysis), finger(after, fingering), STYLE, first)
    return first.bars[0], second.bars[0]


def reaching() -> Study:
    row = [bar(text) for text in ROW]
    row[0] = replace(row[0], callouts=(about(2, 1, 1),))
    return study(*row)


def test_a_note_it_reaches_moves_and_it_is_drawn_anew():
    whole = reaching()
    place = next(grip for grip in finger(whole).bars[1].events[0].notes if grip)
    strings = {1, 2, 3} - {place.string}
    string = min(strings, key=lambda one: abs(one - place.string))
    old, new = again(whole, edits.set_string(whole, NotePlace(1, 0, 0), string))
    assert Board(old.view.necks[0]).names() != Board(new.view.necks[0]).names()


def test_a_guitarist_of_the_other_hand_has_it_drawn_anew():
    """Even where nothing is fingered otherwise."""
    whole = reaching()
    analysis, fingering = analyse(whole), finger(whole)
    first = engrave(whole, analysis, fingering, STYLE)
    other = replace(whole, guitarist=Guitarist(left_handed=True))
    second = engrave(other, analysis, fingering, STYLE, first)
    assert first.bars[0].view.necks[0].drawing.marks != second.bars[0].view.necks[0].drawing.marks
    assert first.bars[1] is second.bars[1]


def test_words_elsewhere_leave_the_bar_as_it_is():
    whole = reaching()
    old, new = again(whole, edits.set_comment(whole, 2, "Slower."))
    assert old is new
