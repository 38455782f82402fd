"""The neck diagram: each place of a passage on its string and fret. How a neck is drawn: common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.engraving import Style
from core.engraving.boxes import mark_box
from core.engraving.drawing import Arc, Glyph, Line, NeckDiagram, Text
from core.engraving.neck import neck_diagram
from core.guitar import finger
from core.line import analyse
from core.study import Bar, Change, Guitarist, Instrument, Note, NotePlace, Pitch, Study, parse_pitch
from tests.engraving.board import Board, middle
from tests.engraving.scenes import bar, events, study
from tests.strategies import CALM, studies

STYLE = Style()


def height(midi: int) -> Pitch:
    """The pitch of a key number, spelled with a sharp where it needs a sign."""
    letters = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
    return parse_pitch(f"{letters[midi % 12]}{midi // 12 - 1}")


def diagram(whole: Study, shows: str = "fingers", last: int = 99) -> NeckDiagram:
    span = NotePlace(0, 0), NotePlace(len(whole.bars) - 1, last)
    return neck_diagram(whole, finger(whole), analyse(whole), span, shows, STYLE)


def test_a_scale_in_second_position():
    """C major from the fifth string, third fret, the usual pattern of the second position: common practice."""
    places = [(5, 3, 2), (5, 5, 4), (4, 2, 1), (4, 3, 2), (4, 5, 4), (3, 2, 1), (3, 4, 3), (3, 5, 4)]
    row = events("C3 D3 E3 F3 G3 A3 B3 C4")
    row = tuple(replace(one, notes=(replace(one.notes[0], string=string, fret=fret, finger=finger),))
                for one, (string, fret, finger) in zip(row, places, strict=True))
    board = Board(diagram(study(Bar(row))))
    assert board.names() == {(string, str(fret), str(finger)) for string, fret, finger in places}
    assert [board.numbers[cell] for cell in range(len(board.frets) - 1)] == ["2", "3", "4", "5"]
    (numeral,) = [mark for mark in board.texts if mark.text == "II"]
    assert board.numbers[board.cell(middle(numeral))] == "2"
    assert numeral.y < board.strings[0]


def test_degrees_stand_instead_of_fingers():
    """E G B over C major seventh: 3 5 7."""
    whole = study(bar("E4 G4 B4 r r:2", changes=(Change(0, "C△7"),)))
    assert {name for _, _, name in Board(diagram(whole, "degrees")).names()} == {"3", "5", "7"}


def test_a_place_with_two_degrees_has_both():
    """C over C is 1, over F it is 5."""
    first = events("C4:2 C4:2")
    whole = study(Bar(first, changes=(Change(0, "C"), Change(2, "F"))))
    assert {name for _, _, name in Board(diagram(whole, "degrees")).names()} == {"1", "5"}


def test_an_open_string_stands_beside_the_neck():
    whole = study(Bar((replace(events("E4:1")[0], notes=(replace(events("E4")[0].notes[0], string=1, fret=0),)),)))
    assert Board(diagram(whole)).names() == {(1, "0", "0")}


def test_an_open_string_with_two_degrees_lies_inside_the_diagram():
    """E is the b9 of E flat and the 3 of C."""
    row = [replace(one, notes=(replace(one.notes[0], string=1, fret=0),)) for one in events("E4:2 E4:2")]
    made = diagram(study(Bar(tuple(row), changes=(Change(0, "Eb7b9"), Change(2, "C△7")))), "degrees")
    assert {name for _, _, name in Board(made).names()} == {"9", "3"}
    assert min(mark_box(mark, STYLE.music).left for mark in made.drawing.marks) >= 0.0


@pytest.mark.parametrize(("frets", "shown"), [
    ((1, 3), "1 2 3 4"), ((2, 4), "1 2 3 4"), ((2, 5), "2 3 4 5"), ((7,), "7 8 9 10"), ((21, 22), "19 20 21 22"),
    ((5, 11), "5 6 7 8 9 10 11")])
def test_four_frets_at_least_from_the_nut_where_it_is_near_and_none_past_the_last(frets, shown):
    """Of 22 on the first string; a thick line is the nut. Common practice, no source."""
    row = [replace(one, notes=(Note(height(64 + fret), string=1, fret=fret, finger=1),))
           for one, fret in zip(events(" ".join(["E4"] * len(frets))), frets, strict=True)]
    made = diagram(study(Bar(tuple(row), length=row[-1].end)))
    board = Board(made)
    assert [board.numbers[cell] for cell in sorted(board.numbers)] == shown.split(" ")
    thick = [mark for mark in made.drawing.marks if isinstance(mark, Line) and mark.width > 0.3]
    assert bool(thick) is shown.startswith("1 ")


@pytest.mark.parametrize("symbol", ["C7b9", "C7#9", "C7#11", "C7b13", "C△7"])
def test_a_ring_clears_the_corners_of_its_name(symbol):
    """What is meant by a name in a ring: common practice, no source."""
    low = events("Db4:1 D#4 F#4 Ab4 E4 C4" if symbol != "C△7" else "C4 D4 E4 F4 A4 B4")
    made = diagram(study(Bar(low, length=low[-1].end, changes=(Change(0, symbol),))), "degrees")
    arcs = [mark for mark in made.drawing.marks if isinstance(mark, Arc)]
    rings = list(zip(arcs[::2], arcs[1::2], strict=True))  # left half, right half
    for mark in made.drawing.marks:
        box = mark_box(mark, STYLE.music)
        ring = next((pair for pair in rings if isinstance(mark, Text | Glyph) and pair[0].start[1] < (
            box.top + box.bottom) / 2 < pair[0].end[1] and pair[0].start[0] - 1.1 < box.left < pair[1].start[0] + 1.1),
            None)
        if ring is None:
            continue
        radius, y = (ring[0].end[1] - ring[0].start[1]) / 2, (ring[0].end[1] + ring[0].start[1]) / 2
        for corner in product((box.left, box.right), (box.top, box.bottom)):
            x = min(max(corner[0], ring[0].start[0]), ring[1].start[0])
            assert hypot(corner[0] - x, corner[1] - y) < radius - 0.02


def test_only_the_passage_is_shown():
    assert len(Board(diagram(study("C4 E4 G4 B4"), last=1)).names()) == 2


@given(studies(max_bars=2), st.sampled_from(("fingers", "degrees")))
@settings(CALM, max_examples=25)
def test_every_place_stands_on_its_string_and_fret_inside_the_diagram(whole, shows):
    made = diagram(whole, shows)
    board = Board(made)
    grips = {grip for one in finger(whole).bars for event in one.events for grip in event.notes if grip}
    if shows == "fingers":
        shown = {(string, fret) for string, fret, _ in board.names()}
        assert shown == {(grip.string, str(grip.fret)) for grip in grips}
        assert board.names() <= {(grip.string, str(grip.fret), str(grip.finger)) for grip in grips}
    for mark in made.drawing.marks:
        box = mark_box(mark, STYLE.music)
        assert -0.01 <= box.left < box.right <= made.width + 0.01
        assert -0.01 <= box.top < box.bottom <= made.height + 0.01


@given(studies(max_bars=1))
@settings(CALM, max_examples=25)
def test_for_a_left_handed_guitarist_it_is_turned_round(whole):
    """Ring for ring and letter for letter, but no letter mirrored."""
    right = diagram(replace(whole, guitarist=Guitarist()))
    left = diagram(replace(whole, guitarist=Guitarist(left_handed=True)))
    assert (left.width, left.height) == (right.width, right.height)

    def spots(made: NeckDiagram, turned: bool) -> list[tuple[float, float, str]]:
        row = [(middle(mark), mark.y, mark.text) for mark in made.drawing.marks if isinstance(mark, Text)]
        row += [(mark.start[0], mark.start[1], "ring") for mark in made.drawing.marks if isinstance(mark, Arc)]
        row += [((mark.x1 + mark.x2) / 2, mark.y1, "line") for mark in made.drawing.marks if isinstance(mark, Line)]
        return sorted((round(made.width - x if turned else x, 6), round(y, 6), text) for x, y, text in row)

    one_name = all(len(event.notes) < 2 for event in whole.bars[0].events)
    places = [(grip.string, grip.fret) for event in finger(whole).bars[0].events for grip in event.notes if grip]
    if one_name and len(places) == len(set(places)):  # names side by side in a ring keep their order
        assert spots(left, True) == spots(right, False)


@pytest.mark.parametrize(("instrument", "strings"), [(Instrument(), 6), (Instrument(frets=22, capo=3), 6)])
def test_it_has_a_line_a_string(instrument, strings):
    whole = study("G4 B4", instrument=instrument)
    assert len(Board(diagram(whole)).strings) == strings


def test_a_note_off_the_neck_leaves_an_empty_neck():
    low = study(Bar((replace(events("C1:1")[0], notes=(Note(events("C1")[0].notes[0].pitch),)),)))
    assert Board(diagram(low)).names() == set()
