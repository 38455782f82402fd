"""Rules of the values: what is music constructs, what is not is told in one line."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError, Faults
from core.study import (
    Bar,
    Callout,
    Change,
    Chorus,
    Event,
    Instrument,
    Key,
    Meter,
    Note,
    NotePlace,
    Pitch,
    PitchClass,
    Reading,
    Study,
    Tuplet,
    Written,
    note_name,
    notes_named,
    parse_key,
    parse_meter,
    parse_pitch,
    parse_pitch_class,
    written,
)
from tests.strategies import CALM, keys, meters, pitches, studies

F = Fraction
WHOLE = Event(F(0), F(4))


def note(name: str = "C4", **more) -> Note:
    return Note(parse_pitch(name), **more)


def one(*notes: Note, **more) -> Event:
    return Event(F(0), F(4), notes, **more)


# -- pitches, keys, meters


@given(pitches)
def test_pitch_names_read_back(pitch):
    assert parse_pitch(pitch.name) == pitch
    assert parse_pitch_class(pitch.pitch_class.name) == pitch.pitch_class


@given(keys, meters)
def test_key_and_meter_names_read_back(key, meter):
    assert parse_key(key.name) == key
    assert parse_meter(meter.text) == replace(meter, symbol="")


@pytest.mark.parametrize(("parse", "text"), [
    *product([parse_pitch], ["", "C", "4", "H4", "c4", "Cbbbb4", "C#b4", "C--1", "C100", "C-10", "C4 ",
                            "C٤", "C4-", "C½"]),
    *product([parse_pitch_class], ["", "H", "C4", "Cbb#", "bb"]),
    *product([parse_key], ["", "C", "C Major", "H major", "C  major", "G# major", "Bbb lydian", "C major "]),
    *product([parse_meter], ["", "4", "4/", "/4", "4/3", "0/4", "65/4", "33+32/8", "4//4", "+4/4", "4.0/4", "٤/4",
                             "4/4 ", "1" * 30 + "/4"]),
])
def test_what_cannot_be_read_is_told(parse, text):
    with pytest.raises(BarglossError) as caught:
        parse(text)
    assert len(caught.value.lines()) == 1


def test_a_pickup_is_bar_0():
    study = Study(bars=(Bar(length=F(1)), Bar(), Bar()))
    assert [here.number for here in study.in_force] == [0, 1, 2]
    assert study.bar_index(2) == 2
    assert note_name(Study(bars=(Bar((Event(F(0), F(1)),), length=F(1)), Bar())), NotePlace(0, 0)) == "0.1"


def test_notes_are_named_as_musicians_count_them():
    """Rests are not counted; in `note_name`, the id of a report, they are."""
    one = (Note(Pitch("C", 0, 4)),)
    pickup = Bar((Event(F(0), F(1, 2)), Event(F(1, 2), F(1, 2), one)), length=F(1))
    events = tuple(Event(F(at), F(1), one if at % 2 else ()) for at in range(4))
    study = Study(bars=(pickup, Bar(events)))
    assert note_name(study, NotePlace(1, 3)) == "1.4"
    assert notes_named(study, NotePlace(1, 3)) == "bar 1, note 2"
    assert notes_named(study, NotePlace(1, 1), NotePlace(1, 3)) == "bar 1, notes 1 to 2"
    assert notes_named(study, NotePlace(0, 1), NotePlace(1, 3)) == "pickup, note 1 to bar 1, note 2"


@pytest.mark.parametrize(("study", "first"), [
    (Study(bars=(Bar(length=F(1)),)), 1),  # a single short bar is no pickup
    (Study(bars=(Bar(length=F(5)), Bar())), 1),  # nor is a long one
    (Study(bars=(Bar(length=F(4)), Bar())), 1),
    (Study(bars=(Bar(length=F(7, 2)), Bar())), 0),
    (Study(bars=(Bar(length=F(3), meter=Meter((3,))), Bar())), 1),  # full, under the meter it brings
    (Study(bars=(Bar(length=F(1)), Bar()), first_number=13), 13),
    (Study(bars=(Bar(), Bar()), first_number=0), 0),
])
def test_where_the_numbers_begin(study, first):
    assert study.in_force[0].number == first


@pytest.mark.parametrize("number", [-1, 3])
def test_a_bar_number_that_is_not_there_is_told(number):
    with pytest.raises(BarglossError, match=f"there is no bar {number}; the study has bars 0 to 2"):
        Study(bars=(Bar(length=F(1)), Bar(), Bar())).bar_index(number)


def test_what_is_in_force():
    """Key and meter until the next; the chord at a bar's start is the last before it, and % repeats it."""
    study = Study(key=Key(-1), bars=(
        Bar(changes=(Change(F(0), "F6"), Change(F(2), "D7"))), Bar(changes=(Change(F(0), "%"),), key=Key(2)),
        Bar(changes=(Change(F(1), "N.C."),), meter=Meter((3,)), key=Key(2)), Bar()))
    seen = [(here.key.fifths, here.meter.text, here.chord, here.key_changed, here.meter_changed)
            for here in study.in_force]
    assert seen == [(-1, "4/4", "", True, True), (2, "4/4", "D7", True, False), (2, "3/4", "D7", False, True),
                    (2, "3/4", "N.C.", False, False)]


@pytest.mark.parametrize(("meter", "beats"), [  # common practice, no source
    ("4/4", "0 1 2 3"), ("3/4", "0 1 2"), ("2/2", "0 2"), ("6/8", "0 3/2"), ("9/8", "0 3/2 3"), ("12/8", "0 3/2 3 9/2"),
    ("3/8", "0"), ("6/4", "0 1 2 3 4 5"), ("5/8", "0 1/2 1 3/2 2"), ("3+2/8", "0 3/2"), ("2+2+3/16", "0 1/2 1"),
])
def test_felt_beats(meter, beats):
    assert parse_meter(meter).beats == tuple(map(F, beats.split()))


@given(meters)
def test_beats_lie_in_the_bar(meter):
    assert meter.beats[0] == 0
    assert list(meter.beats) == sorted(set(meter.beats))
    assert meter.beats[-1] < meter.length


# -- written values


@pytest.mark.parametrize(("length", "shape"), [
    ("4", (4, 0)), ("3", (2, 1)), ("7/2", (2, 2)), ("15/4", (2, 3)), ("3/4", ("1/2", 1)), ("1/16", ("1/16", 0)),
])
def test_written_values(length, shape):
    assert written(F(length)) == Written(F(shape[0]), shape[1])


@pytest.mark.parametrize("length", ["5", "5/4", "1/3", "9/8", "31/8", "16", "1/1024"])
def test_lengths_no_single_head_has(length):
    assert written(F(length)) is None
    with pytest.raises(BarglossError, match=f"no single note lasts {length} quarters; split it and tie the parts"):
        Event(F(0), F(length))


def test_tuplets_give_the_written_value():
    assert Event(F(0), F(1, 3), tuplets=(Tuplet(3, 2, True),)).written == Written(F(1, 2), 0)
    assert Event(F(0), F(2, 15), tuplets=(Tuplet(3, 2, True), Tuplet(5, 4, True))).written == Written(F(1, 4), 0)
    assert Event(F(0), F(3, 2), tuplets=(Tuplet(2, 3, True),)).written == Written(F(1), 0)


# -- what does not construct

FAULTS = {
    "length of nothing": (lambda: Event(F(0), F(0)), "an event needs a place in the bar and a length"),
    "before the bar": (lambda: Event(F(-1), F(1)), "an event needs a place in the bar"),
    "a decimal length": (lambda: Event(F(0), 0.5), "times are fractions of a quarter note"),
    "a tuplet of nothing": (lambda: Event(F(0), F(1), tuplets=(Tuplet(0, 2, True),)), "a tuplet sets 1 to 64"),
    "in the time of nothing": (lambda: Event(F(0), F(1), tuplets=(Tuplet(3, 0, True),)), "a tuplet sets 1 to 64"),
    "a negative tuplet": (lambda: Event(F(0), F(1), tuplets=(Tuplet(-3, -2, True),)), "a tuplet sets 1 to 64"),
    "five deep": (lambda: Event(F(0), F(1), tuplets=(Tuplet(1, 1, True),) * 5), "at most four inside each other"),
    "articulation": (lambda: one(note(), articulations=("loud",)), "'loud' is not an articulation; use one of"),
    "twice": (lambda: one(note(), articulations=("accent",) * 2), "an articulation stands twice on one note"),
    "slur": (lambda: one(note(), slur="begin"), "'begin' is not a slur mark; use one of start, stop, both"),
    "stroke": (lambda: one(note(), stroke="left"), "'left' is not a stroke; use one of down, up"),
    "grace rest": (lambda: one(grace=True), "a grace note needs a pitch"),
    "finger": (lambda: one(note(finger=5)), "finger 5: fingers count from 1 (index) to 4"),
    "string 0": (lambda: one(note(string=0)), "strings count from 1 (the highest), frets from 0"),
    "fret -1": (lambda: one(note(string=1, fret=-1)), "strings count from 1 (the highest), frets from 0"),
    "fret 99": (lambda: one(note(string=1, fret=99)), "frets from 0 (open) to 36"),
    "fret alone": (lambda: one(note(fret=3)), "fret 3 of no string; name the string as well"),
    "high to low": (lambda: one(note("E4"), note("C4")), "the notes of a double stop go from low to high"),
    "one string": (lambda: one(note("C4", string=2), note("E4", string=2)), "two notes of a double stop are set on"),
    "no such step": (lambda: one(Note(Pitch("H", 0, 4))), "is no pitch that can be written and played"),
    "too many flats": (lambda: one(Note(Pitch("C", -4, 4))), "is no pitch that can be written and played"),
    "too high": (lambda: one(Note(Pitch("A", 0, 9))), "is no pitch that can be written and played; use C-1 to G9"),
    "gap": (lambda: Bar((Event(F(0), F(1)), Event(F(2), F(1)))), "a gap at 1 quarters: an event begins at 2"),
    "overlap": (lambda: Bar((Event(F(0), F(2)), Event(F(1), F(1)))), "an overlap at 1 quarters: an event begins at 1"),
    "late start": (lambda: Bar((Event(F(1), F(1)),)), "a gap at 0 quarters"),
    "tuplet not begun": (lambda: Bar((Event(F(0), F(1, 3), tuplets=(Tuplet(3, 2),)),)), "the tuplet 3:2 at 0 quarters"),
    "other tuplet": (lambda: Bar((Event(F(0), F(1, 3), tuplets=(Tuplet(3, 2, True),)),
                                  Event(F(1, 3), F(1, 5), tuplets=(Tuplet(5, 4),)))), "the tuplet 5:4 at 1/3 quarters"),
    "chords in one place": (lambda: Bar(changes=(Change(F(0), "C7"),) * 2), "two chord symbols share a place"),
    "chords out of order": (lambda: Bar(changes=(Change(F(1), "C7"), Change(F(0), "F7"))), "two chord symbols share"),
    "empty chord": (lambda: Bar(changes=(Change(F(0), " "),)), "a chord symbol is empty; write N.C. for no chord"),
    "readings in one place": (lambda: Bar(readings=(Reading(F(0), "C7"),) * 2), "two readings share a place"),
    "callout back": (lambda: Bar((WHOLE,), callouts=(Callout(F(1), F(0)),)), "ends before it begins"),
    "callout to a bar before": (lambda: Bar(callouts=(Callout(F(0), F(0), -1),)), "ends before it begins"),
    "callout in the air": (lambda: Bar((WHOLE,), callouts=(Callout(F(1), F(1), 0, "x"),)), "the callout 'x' speaks of"),
    "callout on a bar of rest": (lambda: Bar(callouts=(Callout(F(0), F(1)),)), "speaks of notes that are not there"),
    "callout twice": (lambda: Bar(callouts=(Callout(F(0), F(0)),) * 2), "stands twice in one bar"),
    "bar of nothing": (lambda: Bar(length=F(0)), "a bar lasts more than nothing and at most 256 quarters"),
    "endless bar": (lambda: Bar(length=F(257)), "a bar lasts more than nothing and at most 256 quarters"),
    "repeat": (lambda: Bar(repeat_end=-1), "a stretch played -1 times; give 99 at most"),
    "barline": (lambda: Bar(barline="wavy"), "'wavy' is not a barline; use one of double, final, dashed"),
    "break": (lambda: Bar(break_before="line"), "'line' is not a break; use one of system, page"),
    "sign": (lambda: Bar(sign="fine"), "'fine' is not a sign; use one of segno, coda"),
    "jump": (lambda: Bar(jump="D.S. al Segno"), "'D.S. al Segno' is not a jump; use one of Fine, To Coda"),
    "dynamic": (lambda: Event(F(0), F(1), dynamic="loud"), "'loud' is not a dynamic; use one of ppp, pp"),
    "time before": (lambda: Bar(recording=-1.0), "a bar starts before its recording does"),
    "no time": (lambda: Bar(recording=float("nan")), "a bar starts before its recording does"),
    "never": (lambda: Bar(recording=float("inf")), "a bar starts before its recording does"),
    "eight sharps": (lambda: Key(8), "a key of 8 sharps or flats cannot be written; use 7 at most"),
    "mode": (lambda: Key(0, "blue"), "'blue' is not a mode; use one of major, minor"),
    "no beats": (lambda: Meter(()), "a meter counts from 1 to 64 beats"),
    "beats": (lambda: Meter((40, 40)), "a meter counts from 1 to 64 beats"),
    "thirds": (lambda: Meter((4,), 3), "a meter cannot count 3ths; the lower number is"),
    "common 3/4": (lambda: Meter((3,), 4, "common"), "the sign 'common' cannot stand for 3/4"),
    "cut 4/4": (lambda: Meter((4,), 4, "cut"), "the sign 'cut' cannot stand for 4/4"),
    "strings": (lambda: Instrument(tuning=()), "an instrument of 0 strings; give 4 to 10"),
    "frets": (lambda: Instrument(frets=0), "a neck of 0 frets; give 1 to 36"),
    "capo": (lambda: Instrument(capo=22), "a capo at fret 22 is not on a neck of 22 frets"),
    "no bars": (lambda: Study(bars=()), "a study needs at least one bar"),
    "tempo": (lambda: Study(tempo=501), "a tempo of 501 quarter notes a minute; give a whole number from 10 to 500"),
    "half a tempo": (lambda: Study(tempo=120.5), "a tempo of 120.5 quarter notes a minute"),
    "feel": (lambda: Study(feel="funky"), "'funky' is not a feel; use swing or straight"),
    "start": (lambda: Study(starts_at=-0.5), "the solo starts before its recording does"),
    "number": (lambda: Study(first_number=-1), "the first bar is numbered from 0 to 100000"),
    "chorus past the end": (lambda: Study(choruses=(Chorus("1", 1),)), "choruses go in order, each from a bar"),
    "choruses in one bar": (lambda: Study(choruses=(Chorus("1", 0), Chorus("2", 0))), "choruses go in order"),
    "underfull": (lambda: Study(bars=(Bar(), Bar((Event(F(0), F(3)),)))), "bar 2: less music than fits: 3 quarters"),
    "overfull": (lambda: Study(meter=Meter((3,)), bars=(Bar((WHOLE,)),)), "bar 1: more music than fits: 4 quarters"),
    "underfull by its own length": (lambda: Study(bars=(Bar((WHOLE,), length=F(5)),)), "bar 1: less music than fits"),
    "after a meter": (lambda: Study(bars=(Bar(meter=Meter((2,))), Bar((WHOLE,)))), "bar 2: more music than fits"),
    "after a pickup": (lambda: Study(bars=(Bar(length=F(1)), Bar((Event(F(0), F(1)),)))), "bar 1: less music than"),
    "late chord": (lambda: Study(bars=(Bar(changes=(Change(F(4), "C7"),)),)), "bar 1: the chord symbol 'C7' stands"),
    "late reading": (lambda: Study(bars=(Bar(readings=(Reading(F(4), "C7"),)),)), "bar 1: the reading 'C7' stands"),
    "string 7": (lambda: Study(bars=(Bar((one(note(string=7)),)),)), "bar 1: C4 is set on string 7 of 6; choose"),
    "callout past the end": (lambda: Study(bars=(Bar(callouts=(Callout(F(0), F(0), 1, "x"),)),)), "bar 1: the"),
    "callout to no note": (lambda: Study(bars=(Bar(callouts=(Callout(F(0), F(1), 1, "x"),)), Bar((WHOLE,)))),
                           "bar 1: the callout 'x' ends on a note that is not there"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_what_is_no_music_is_told_in_one_line(fault):
    make, sentence = FAULTS[fault]
    with pytest.raises(BarglossError) as caught:
        make()
    assert sentence in str(caught.value)
    assert len(caught.value.lines()) == 1


def test_faults_of_all_bars_come_together():
    short = Bar((Event(F(0), F(3)),))
    with pytest.raises(Faults) as caught:
        Study(bars=(Bar(length=F(1)), short, Bar(), short))
    assert [fault.bar for fault in caught.value.faults] == [1, 3]
    assert all(row.startswith("a.study: bar ") for row in caught.value.in_file("a.study").lines())


def test_the_same_bar_is_judged_anew_under_another_meter_and_instrument():
    """The last answer is kept on the bar; it must not outlive what it was given for."""
    study = Study(bars=(Bar((Event(F(0), F(4), (note(string=6),)),)),))
    for _ in range(2):
        with pytest.raises(Faults, match="more music"):
            replace(study, meter=Meter((3,)))
        assert replace(study, title="again")
        with pytest.raises(Faults, match="string 6 of 4"):
            replace(study, instrument=Instrument(tuning=Instrument().tuning[:4]))
        assert replace(study, title="and again")


# -- what does construct

MUSIC = {
    "a slur that goes nowhere": lambda: Study(bars=(Bar((one(note(), slur="start"),)),)),
    "a tie that rings on": lambda: Study(bars=(Bar((one(note(tie=True)),)),)),
    "a unison double stop": lambda: one(note("E4", string=1), note("E4", string=2)),
    "a grace before the barline": lambda: Study(bars=(Bar((WHOLE, Event(F(4), F(1, 2), (note(),), grace=True))),)),
    "a grace inside a triplet": lambda: Bar((
        Event(F(0), F(2, 3), (note(),), (Tuplet(3, 2, True),)), Event(F(2, 3), F(1, 4), (note(),), grace=True),
        Event(F(2, 3), F(1, 3), (note(),), (Tuplet(3, 2),)))),
    "seventeen in the time of twelve": lambda: Event(F(0), F(3, 17), tuplets=(Tuplet(17, 12, True),)),
    "a callout over a bar of rest": lambda: Study(bars=(Bar(callouts=(Callout(F(0), F(0), 2),)), Bar(), Bar())),
    "a blank reading": lambda: Bar(readings=(Reading(F(0), "C7"), Reading(F(2), ""))),
    "a bar longer than its meter": lambda: Study(bars=(Bar((WHOLE, Event(F(4), F(4))), length=F(8)),)),
    "a bar of rest in any meter": lambda: Study(meter=Meter((5,), 8), bars=(Bar(),)),
}


@pytest.mark.parametrize("music", MUSIC)
def test_what_is_music_constructs(music):
    assert MUSIC[music]()


@settings(CALM, max_examples=25)
@given(studies())
def test_generated_studies_fill_their_bars(study):
    """Brute force over sounding events, without the bars' own running sums."""
    for here in study.in_force:
        sounding = sum((event.duration for event in here.bar.events if not event.grace), F(0))
        assert sounding == (here.length if here.bar.events else 0)


def test_fifths_and_chroma():
    assert [PitchClass(step).fifths for step in "FCGDAEB"] == [-1, 0, 1, 2, 3, 4, 5]
    assert PitchClass("B", -1).fifths == -2
    assert PitchClass("C", -1).chroma == 11


@given(st.integers(-7, 7))
def test_a_signature_alters_as_many_letters_as_it_has_signs(fifths):
    assert sum(Key(fifths).alter_of(step) for step in "CDEFGAB") == fifths
