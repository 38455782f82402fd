"""Degrees, readings and roles of a study's notes. Roles are common practice, no source, but for the
neighbour (Open Music Theory, "Embellishing tones")."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.harmony import parse_chord
from core.line import analyse, shown_degree
from core.sound.played import comp_notes
from core.study import Bar, Change, Event, Key, Meter, Note, Reading, Study, edits, parse_pitch
from tests.strategies import CALM, studies

EIGHTH = Fraction(1, 2)
C_MAJOR = Key()


def bar(notes: str, *changes: tuple[int, str], length: Fraction = EIGHTH, **more: object) -> Bar:
    """Notes of one length; `-` a rest, a trailing `~` a tie."""
    events = []
    for place, name in enumerate(notes.split()):
        heads = () if name == "-" else (Note(parse_pitch(name.rstrip("~")), tie=name.endswith("~")),)
        events.append(Event(place * length, length, heads))
    return Bar(tuple(events), tuple(Change(Fraction(offset), symbol) for offset, symbol in changes),
               length=len(events) * length, **more)


def study(*bars: Bar, key: Key = C_MAJOR) -> Study:
    return Study(bars=bars, key=key, meter=Meter((4,)))


def roles(*bars: Bar, key: Key = C_MAJOR) -> list[str]:
    return [note.role for one in analyse(study(*bars, key=key)).bars for event in one.notes for note in event]


def degrees(*bars: Bar, key: Key = C_MAJOR) -> str:
    return " ".join(note.chord.name if note.chord else "." for one in analyse(study(*bars, key=key)).bars
                    for event in one.notes for note in event)


def test_degrees_follow_the_chord_in_force_over_the_barline():
    assert degrees(bar("Eb4 Eb4 Eb4 Eb4", (1, "C-7")), bar("Eb4 Eb4", (0, "C7")), bar("Eb4 Eb4 Eb4", (1, "%"))) == (
        ". . b3 b3 #9 #9 #9 #9 #9")


def heard(of: Study, index: int, offset: Fraction) -> str:
    """The symbol in force, told place by place from what is written: the oracle of what `%` means."""
    if index < 0:
        return ""
    here = of.in_force[index]
    offset = min(offset, here.length - Fraction(1, 10**6))
    before = max((change for change in here.bar.changes if change.offset <= offset), default=None)
    if [(change.offset, change.symbol) for change in here.bar.changes] == [(0, "%")]:
        return heard(of, index - 1, offset) if index else ""
    if before is None:
        return heard(of, index - 1, Fraction(1000))
    if before.symbol == "%":
        earlier = [change for change in here.bar.changes if change.offset < before.offset and change.symbol != "%"]
        return earlier[-1].symbol if earlier else heard(of, index - 1, Fraction(1000))
    return before.symbol


def written_out(of: Study) -> Study:
    """With every `%` replaced by the chords it stands for, those of a whole bar at their places."""
    bars, places = [], {Fraction(0)}
    for here in of.in_force:
        row = {change.offset for change in here.bar.changes}
        is_again = [(change.offset, change.symbol) for change in here.bar.changes] == [(0, "%")]
        places = {offset for offset in places if offset < here.length} if is_again else row | {Fraction(0)}
        found = [Change(offset, heard(of, here.index, offset) or "N.C." * is_again)
                 for offset in sorted(places if is_again else row)]
        bars.append(replace(here.bar, changes=tuple(change for change in found if change.symbol)))
    return replace(of, bars=tuple(bars))


@settings(CALM, max_examples=60)
@given(studies(max_bars=5), st.lists(st.booleans(), min_size=5, max_size=5))
def test_a_repeat_sign_is_its_chords_written_out(one, again):
    bars = [replace(each, changes=(Change(Fraction(0), "%"),)) if yes else each
            for each, yes in zip(one.bars, again, strict=False)]
    one = replace(one, bars=tuple(bars))
    plain = written_out(one)
    assert [here.chord.replace("N.C.", "") for here in one.in_force] == [
        here.chord.replace("N.C.", "") for here in plain.in_force]
    found, expected = analyse(one), analyse(plain)
    assert [each.notes for each in found.bars] == [each.notes for each in expected.bars]
    assert not any(span.symbol == "%" for each in found.bars for span in each.chords)
    assert comp_notes(one, range(len(one.bars))) == comp_notes(plain, range(len(one.bars)))
    changed = replace(one, bars=(replace(one.bars[0], changes=(Change(Fraction(0), "E7"),)), *one.bars[1:]))
    assert analyse(changed, found).bars == analyse(changed).bars


def test_a_repeat_sign_repeats_all_chords_of_the_bar_at_their_places():
    """Also of a bar that is such a sign itself, and from the chord that a bar goes on with."""
    four = "Eb4 G4 Eb4 G4"
    bars = [bar(four, (0, "Fm7"), (1, "Bb7")), bar(four, (0, "%")), bar(four, (0, "%")), bar(four, (1, "Eb7")),
            bar(four, (0, "%"))]
    found = analyse(study(*bars)).bars
    assert [[span.symbol for span in each.chords] for each in found] == [
        ["Fm7", "Bb7"], ["Fm7", "Bb7"], ["Fm7", "Bb7"], ["Bb7", "Eb7"], ["Bb7", "Eb7"]]
    assert degrees(*bars) == "b7 9 11 13 b7 9 11 13 b7 9 11 13 11 13 1 3 11 13 1 3"


@pytest.mark.parametrize("symbol", ["N.C.", "C7z"])
def test_no_chord_and_a_symbol_that_cannot_be_read_give_no_degree(symbol):
    found = analyse(study(bar("E4", (0, "C7")), bar("E4 E4", (0, symbol)))).bars[1]
    assert [(note.chord, note.role, note.key.name) for event in found.notes for note in event] == [
        (None, "no chord", "3")] * 2
    assert found.chords[0].chord is None


def test_a_reading_ends_at_a_blank_one_or_with_the_bar():
    readings = (Reading(Fraction(1), "Db7"), Reading(Fraction(2), ""), Reading(Fraction(3), "key of Eb major"))
    found = analyse(study(bar("F4 F4 F4 F4", (0, "G7"), length=Fraction(1), readings=readings), bar("F4"))).bars
    assert [note.reading.name if note.reading else "" for one in found for event in one.notes for note in event] == [
        "", "3", "", "2", ""]
    assert [(span.offset, span.stop, span.harmony) for span in found[0].readings] == [
        (1, 2, "Db7"), (3, 4, "key of Eb major")]


def test_the_teachers_own_degree_is_shown():
    found = analyse(study(bar("Eb4", (0, "C7")))).bars[0].notes[0][0]
    note = Note(parse_pitch("Eb4"))
    assert shown_degree(note, found) == "#9"
    assert shown_degree(replace(note, degree="b3"), found) == "b3"
    assert shown_degree(note, replace(found, chord=None)) == ""


def test_chord_spans_say_what_was_carried_in():
    found = analyse(study(bar("E4", (0, "C7")), bar("E4 E4 E4 E4", (1, "F7")))).bars[1].chords
    assert [(span.offset, span.symbol, span.carried) for span in found] == [(0, "C7", True), (1, "F7", False)]
    assert found[1].chord == parse_chord("F7")


CASES = {
    "chord tones": ("C4 E4 G4 Bb4", "C7", "chord tone|chord tone|chord tone|chord tone"),
    "tensions of a major seventh": ("D4 F#4 A4 B4", "C△7", "tension|tension|tension|chord tone"),
    "altered tones left by leap": ("Db4 G4 Ab4 E5 Eb5 G4 F#4 C5", "C7",
                                   "altered tone|chord tone|altered tone|chord tone|altered tone|chord tone|"
                                   "altered tone|chord tone"),
    "flat nine falls to the root": ("E4 Db4 C4 -", "C7", "chord tone|altered tone|chord tone"),
    "chromatic line through a dominant": ("E4 F4 F#4 G4", "C7",
                                          "chord tone|double chromatic approach|passing half step|chord tone"),
    "chromatic line over alt stays altered": ("D4 Eb4 E4 -", "C7alt",
                                              "double chromatic approach|altered tone|chord tone"),
    "major seventh between flat seven and root": ("Bb4 B4 C5 -", "C7", "chord tone|passing half step|chord tone"),
    "half step by leap": ("G4 B3 C4 -", "C7", "chord tone|chromatic approach|chord tone"),
    "step then half step": ("Bb4 Ab4 G4 -", "C△7", "tension|passing half step|chord tone"),
    "neighbour": ("E4 D#4 E4 -", "C△7", "chord tone|neighbour|chord tone"),
    "upper neighbour": ("E4 F4 E4 -", "C△7", "chord tone|neighbour|chord tone"),
    "eleven under a thirteen": ("C4 F4 A4 D5", "C13", "chord tone|tension|chord tone|chord tone"),
    "eleven of an eleventh chord": ("C4 F4", "C11", "chord tone|chord tone"),
    "whole step to a chord tone": ("C5 E4 Gb4 -", "Cø7", "chord tone|diatonic approach|chord tone"),
}


@pytest.mark.parametrize(("notes", "symbol", "expected"), CASES.values(), ids=CASES)
def test_roles(notes, symbol, expected):
    assert "|".join(roles(bar(notes, (0, symbol)), key=Key(-1))) == expected


IN_C = {
    "blue third over the tonic's seventh": ("Eb4 C4 G4 -", "C7", "blue note|chord tone|chord tone"),
    "blue fifth over the plain tonic": ("E4 Gb4 C4 -", "C", "chord tone|blue note|chord tone"),
    "raised fourth of a major seventh": ("E4 F#4 C4 -", "C△7", "chord tone|tension|chord tone"),
    "altered where the symbol says so": ("E4 Eb4 C4 -", "C7alt", "chord tone|altered tone|chord tone"),
    "no tonic, no blue note": ("B3 Bb3 G4 -", "G7", "chord tone|altered tone|chord tone"),
    "passing note": ("C4 D4 E4 -", "C△7", "chord tone|passing note|chord tone"),
    "on the beat it is a tension": ("C4 C4 D4 E4", "C△7", "chord tone|chord tone|tension|chord tone"),
    "enclosure from above": ("G4 F4 D#4 E4", "C△7", "chord tone|enclosure|enclosure|chord tone"),
    "enclosure from below": ("C5 F#4 Ab4 G4", "C", "chord tone|enclosure|enclosure|chord tone"),
    "both from one side are none": ("C5 F4 F#4 G4", "C7",
                                    "chord tone|double chromatic approach|passing half step|chord tone"),
    "a ninth in an arpeggio encloses nothing": ("Eb4 Bb4 D5 C5", "C-7", "chord tone|chord tone|tension|chord tone"),
    "ninth and leading note do": ("G4 D5 B4 C5", "C7", "chord tone|enclosure|enclosure|chord tone"),
    "pedal": ("F4 F4 F4 -", "C7", "tension|pedal|tension"),
}


@pytest.mark.parametrize(("notes", "symbol", "expected"), IN_C.values(), ids=IN_C)
def test_roles_in_the_key_of_c(notes, symbol, expected):
    assert "|".join(roles(bar(notes, (0, symbol)))) == expected


@pytest.mark.parametrize(("last", "then", "role"), [
    ("E4~", "E4 G4 - -", "anticipation"),  # tied over the change (a syncopation in Open Music Theory)
    ("E4", "E4 G4 - -", "anticipation"),  # struck again on it, Open Music Theory's anticipation
    ("E4", "- G4 - -", "anticipation"),
    ("E4", "G4 C4 - -", "tension"),  # the line goes on: a thirteenth
    ("G4~", "G4 C4 - -", "chord tone"),  # in both chords
])
def test_a_note_struck_before_the_chord_it_belongs_to(last, then, role):
    bars = (bar(f"D4 F4 D4 {last}", (0, "G7")), bar(then, (0, "C△7")))
    assert roles(*bars)[3] == role


def test_the_degree_of_a_note_held_into_a_chord_is_of_that_chord():
    assert degrees(bar("D4 F4 D4 E4~", (0, "G7")), bar("E4 G4", (0, "C△7"))) == "5 b7 5 3 3 5"
    assert degrees(bar("E4~", (0, "G7"), length=Fraction(3)), bar("E4 G4", (0, "C△7"))) == "13 3 5"


def test_a_note_is_judged_by_a_chord_that_begins_inside_the_bar():
    found = analyse(study(Bar((Event(Fraction(0), Fraction(3, 2), (Note(parse_pitch("D4")),)),
                               Event(Fraction(3, 2), Fraction(2), (Note(parse_pitch("E4")),)),
                               Event(Fraction(7, 2), EIGHTH)),
                              (Change(Fraction(0), "G7"), Change(Fraction(2), "C△7"))))).bars[0].notes
    assert [note.chord.name for notes in found for note in notes] == ["5", "3"]


def test_a_suspension_is_a_delay():
    """Open Music Theory, "Embellishing tones": held or struck again at the change, then down by step."""
    assert roles(bar("D4 F4", (0, "G7")), bar("F4 E4 -", (0, "C△7")))[2] == "delay"
    assert roles(bar("D4 F4", (0, "G7")), bar("A4 G4 -", (0, "C△7")))[2] == "tension"


def test_strong_and_weak_places():
    strengths = [note.strength for one in analyse(study(bar("C4 C4 C4 C4 C4 C4 C4 C4"))).bars
                 for (note,) in one.notes]
    assert strengths == [3, 1, 2, 1, 3, 1, 2, 1]


def test_a_pickup_is_counted_from_its_end():
    found = analyse(study(bar("C4 C4"), bar("C4", length=Fraction(4)))).bars[0].notes
    assert [note.strength for (note,) in found] == [2, 1]


def test_a_resolution_counts_by_the_chord_it_falls_on():
    """B over C- leads by half step to C, which is a tone of F7 but none of G7."""
    assert roles(bar("G4 B4", (0, "C-7")), bar("C5", (0, "F7")))[1] == "chromatic approach"
    assert roles(bar("G4 B4", (0, "C-7")), bar("C5", (0, "G7")))[1] == "tension"


def test_a_long_or_tied_note_does_not_pass():
    assert roles(bar("G4 B3 C4", (0, "C7"), length=Fraction(1)))[1] == "chromatic approach"
    assert roles(bar("G4 B3 C4", (0, "C7"), length=Fraction(2)))[1] == "tension"


def test_a_note_held_under_a_second_does_not_pass_into_it():
    first = bar("G4 B3~", (0, "C7"))
    both = Event(Fraction(0), EIGHTH, (Note(parse_pitch("B3")), Note(parse_pitch("C4"))))
    assert roles(first, Bar((both,), length=EIGHTH))[1:] == ["tension", "tension", "chord tone"]


def test_a_note_held_into_a_new_chord_is_judged_by_it():
    into = bar("A4 B4", (0, "Bb△7"))
    assert roles(bar("G4 A4~", (0, "C7")), into) == ["chord tone", "anticipation", "chord tone", "tension"]
    assert roles(bar("G4 A4", (0, "C7")), bar("A4 B4", (0, "Bb△7")))[2] == "chord tone"


def test_a_rest_of_more_than_a_quarter_parts_the_notes():
    assert roles(bar("G4 B3 - - C4", (0, "C7")))[1] == "chromatic approach"
    assert roles(bar("G4 B3 - - - C4", (0, "C7")))[1] == "tension"
    assert roles(bar("G4 B3 - -", (0, "C7")), bar("C4"))[1] == "chromatic approach"
    assert roles(bar("G4 B3 - -", (0, "C7")), bar("- C4"))[1] == "tension"


@settings(CALM, max_examples=60)
@given(studies())
def test_every_head_has_its_analysis(one):
    found = analyse(one)
    assert len(found.bars) == len(one.bars)
    for done, here in zip(found.bars, one.bars, strict=True):
        assert [len(notes) for notes in done.notes] == [len(event.notes) for event in here.events]
    assert analyse(one, found).bars == found.bars


def _six_bars() -> Study:
    return study(*(bar(f"C4 {third} G4 B4", (0, "C△7"), comment=str(place))
                   for place, third in enumerate(["E4", "Eb4", "E4", "F4", "E4", "D4"])))


def _kept(old: Study, new: Study) -> list[bool]:
    before = analyse(old)
    after = analyse(new, before)
    assert after == analyse(new)
    return [a is b for a, b in zip(before.bars, after.bars, strict=True)]


def _with_bar(one: Study, index: int, changed: Bar) -> Study:
    return replace(one, bars=(*one.bars[:index], changed, *one.bars[index + 1:]))


def test_an_edit_inside_a_bar_keeps_every_other_bar():
    one = _six_bars()
    edited = _with_bar(one, 2, bar("C4 E4 F#4 B4", (0, "C△7")))
    assert _kept(one, edited) == [True, True, False, True, True, True]


def test_an_edit_at_the_edge_of_a_bar_renews_its_neighbour_too():
    """A note looks one note back and two on."""
    one = _six_bars()
    assert _kept(one, _with_bar(one, 2, bar("C4 F#4 G4 B4", (0, "C△7")))) == [True, False, False, True, True, True]
    assert _kept(one, _with_bar(one, 2, bar("A4 E4 G4 B4", (0, "C△7")))) == [True, False, False, True, True, True]
    assert _kept(one, _with_bar(one, 2, bar("C4 E4 G4 A4", (0, "C△7")))) == [True, True, False, False, True, True]


def test_a_bar_of_one_note_looks_two_bars_on():
    """Db B C encloses C; Db B G does not."""
    one = study(*(bar(note, (0, "C7")) for note in ("E4", "- Db4", "B3", "C4", "E4")))
    other = edits.replace_bar(one, 3, bar("G4", (0, "C7")))
    assert analyse(one).bars[1].notes[1][0].role != analyse(other).bars[1].notes[1][0].role
    assert _kept(one, other) == [True, False, False, False, False]


def test_a_chord_renews_the_bars_it_is_carried_into():
    one = study(bar("C4 E4", (0, "C7")), bar("C4 E4"), bar("C4 E4"), bar("C4 E4", (0, "C7")), bar("C4 E4"))
    assert _kept(one, _with_bar(one, 0, bar("C4 E4", (0, "C9")))) == [False, False, False, True, True]


def test_a_key_renews_every_bar_under_it():
    one = _six_bars()
    assert _kept(one, replace(one, key=Key(1))) == [False] * 6


def test_a_bar_put_in_keeps_the_bars_that_move():
    one = _six_bars()
    before = analyse(one)
    after = analyse(replace(one, bars=(one.bars[0], bar("C4 A4 G4 B4", (0, "C△7")), *one.bars[1:])), before)
    assert [after.bars[0], *after.bars[2:]] == list(before.bars)
    assert all(a is b for a, b in zip(after.bars[2:], before.bars[1:], strict=True))
