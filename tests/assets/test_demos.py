"""The demo studies that ship: whole, playable, every feature of a study in one of them, and true in every word."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import chain, pairwise
from pathlib import Path

import pytest
from music21 import interval, pitch, scale

from core.files import load_study, study_xml
from core.guitar import finger
from core.harmony import ChordSymbol, parse_chord, parse_harmony
from core.study import Event, Note, Study

ASSETS = Path(__file__).parents[2] / "assets"
FILES = ("cellar-stairs.study", "ferry-timetable.study", "ask-the-baker.study")
STUDIES = {name: load_study(ASSETS / name) for name in FILES}

_NOTE = r"\{[A-G][#b]?\}"
_DEGREE = r"\{[#b]*\d+\}"
_CHORD = r"\{([^{}]+)\}"
_ROW = re.compile(rf"({_NOTE}(?: {_NOTE})+): ({_DEGREE}(?: {_DEGREE})+) of {_CHORD}")
_ONE = re.compile(rf"({_NOTE})(?: is|,) the ({_DEGREE}) of {_CHORD}")


@pytest.fixture(params=FILES)
def study(request: pytest.FixtureRequest) -> Study:
    return STUDIES[request.param]


def events_of(study: Study) -> Iterator[Event]:
    return chain.from_iterable(bar.events for bar in study.bars)


def notes_of(study: Study) -> Iterator[Note]:
    return chain.from_iterable(event.notes for event in events_of(study))


def texts_of(study: Study) -> Iterator[str]:
    for bar in study.bars:
        yield bar.comment
        yield from (text for callout in bar.callouts for text in (callout.heading, callout.text))
        yield from (event.remark for event in bar.events)


def ties_over_a_barline(study: Study) -> bool:
    return any(note.tie for bar in study.bars[:-1] if bar.events for note in bar.events[-1].notes)


FEATURES: dict[str, Callable[[Study], bool]] = {
    "pickup": lambda study: study.in_force[0].number == 0,
    "tie over the barline": ties_over_a_barline,
    "double stop": lambda study: any(len(event.notes) > 1 for event in events_of(study)),
    "grace note": lambda study: any(event.grace for event in events_of(study)),
    "ghost note": lambda study: any(note.ghost for note in notes_of(study)),
    "slur": lambda study: any(event.slur for event in events_of(study)),
    "accent": lambda study: any("accent" in event.articulations for event in events_of(study)),
    "staccato": lambda study: any("staccato" in event.articulations for event in events_of(study)),
    "fall": lambda study: any("fall" in event.articulations for event in events_of(study)),
    "quarter-note triplet": lambda study: any(event.tuplets and event.duration == Fraction(2, 3)
                                              for event in events_of(study)),
    "tuplets of two ratios": lambda study: len({(tuplet.actual, tuplet.normal) for event in events_of(study)
                                                for tuplet in event.tuplets}) > 1,
    "key change": lambda study: any(here.key_changed for here in study.in_force[1:]),
    "meter change": lambda study: any(here.meter_changed for here in study.in_force[1:]),
    "first and second ending": lambda study: {"1", "2"} <= {bar.ending for bar in study.bars},
    "repeat": lambda study: any(bar.repeat_start for bar in study.bars) and any(bar.repeat_end for bar in study.bars),
    "two choruses, labelled": lambda study: [chorus.label for chorus in study.choruses] == ["Chorus 1", "Chorus 2"],
    "two chords in a bar": lambda study: any(len(bar.changes) > 1 for bar in study.bars),
    "a chord as a reading": lambda study: any(not reading.harmony.startswith("key of")
                                              for bar in study.bars for reading in bar.readings),
    "a key as a reading": lambda study: any(reading.harmony.startswith("key of")
                                            for bar in study.bars for reading in bar.readings),
    "callout over a barline": lambda study: any(callout.bars_on for bar in study.bars for callout in bar.callouts),
    "two callouts in a bar": lambda study: any(len(bar.callouts) > 1 for bar in study.bars),
    "comment": lambda study: any(bar.comment for bar in study.bars),
    "remark": lambda study: any(event.remark for event in events_of(study)),
    "string, fret and finger": lambda study: any(None not in (note.string, note.fret, note.finger)
                                                 for note in notes_of(study)),
    "stroke": lambda study: any(event.stroke for event in events_of(study)),
    "degree of the teacher's own": lambda study: any(note.degree for note in notes_of(study)),
    "emphasis": lambda study: any("*" in text for text in texts_of(study)),
    "rehearsal mark": lambda study: any(bar.rehearsal for bar in study.bars),
    "double and final barline": lambda study: {"double", "final"} <= {bar.barline for bar in study.bars},
    "straight feel": lambda study: study.feel == "straight",
    "swing": lambda study: study.feel == "swing",
}


@pytest.mark.parametrize("feature", FEATURES)
def test_some_demo_uses(feature: str) -> None:
    assert any(FEATURES[feature](study) for study in STUDIES.values())


def test_every_demo_that_ships_is_tested() -> None:
    assert {path.name for path in ASSETS.glob("*.study")} == set(FILES)


@pytest.mark.parametrize("name", FILES)
def test_file_is_as_this_version_would_write_it(name: str) -> None:
    assert study_xml(STUDIES[name]) == (ASSETS / name).read_bytes()


def test_forms() -> None:
    """Two choruses of sixteen bars and a pickup; a waltz; two choruses of twelve and a pickup."""
    minor, waltz, blues = STUDIES.values()
    assert (len(minor.bars), minor.meter.text, minor.key.mode) == (33, "4/4", "minor")
    assert (len(waltz.bars), waltz.meter.text, waltz.key.mode) == (25, "3/4", "major")
    assert (len(blues.bars), blues.meter.text) == (25, "4/4")
    assert blues.key.tonic.name != "F"


def test_has_title_player_and_rights(study: Study) -> None:
    assert all((study.title, study.tune, study.player, study.rights))
    assert "invented" in study.player
    assert study.rights.startswith("Invented for Bargloss")


def test_chord_symbols_and_readings_parse(study: Study) -> None:
    for bar in study.bars:
        assert all(isinstance(parse_chord(change.symbol), ChordSymbol) for change in bar.changes)
        assert all(parse_harmony(reading.harmony) for reading in bar.readings)


def test_every_bar_but_the_pickup_has_its_chord(study: Study) -> None:
    assert all(bar.changes and bar.changes[0].offset == 0 for bar in study.bars[1:])


def test_marks_in_the_words_are_closed(study: Study) -> None:
    for text in texts_of(study):
        outside = re.sub(r"\{[^{}]+\}", "", text)
        assert not set("{}") & set(outside), text
        assert outside.count("*") % 2 == 0, text


def test_notes_are_on_the_neck(study: Study) -> None:
    """By the open strings and the fret count alone; a lock stops the pitch it stands at."""
    strings = [string.midi for string in reversed(study.instrument.tuning)]
    for note in notes_of(study):
        assert any(0 <= note.pitch.midi - string <= study.instrument.frets for string in strings), note
        if note.string is not None and note.fret is not None:
            assert strings[note.string - 1] + note.fret == note.pitch.midi, note


def test_what_the_teacher_set_can_be_played(study: Study) -> None:
    fingering = finger(study)
    assert fingering.notices == ()
    assert all(None not in event.notes for bar in fingering.bars for event in bar.events)


def test_ties_and_slurs_arrive(study: Study) -> None:
    sounding = [event for event in events_of(study) if not event.grace]
    for event, following in pairwise(sounding):
        held = {note.pitch for note in event.notes if note.tie}
        assert held <= {note.pitch for note in following.notes}
    slurs = [event.slur for event in events_of(study) if event.slur]
    assert slurs == ["start", "stop"] * (len(slurs) // 2)


def test_callouts_point_at_notes(study: Study) -> None:
    struck = [{event.onset for event in bar.events if event.notes} for bar in study.bars]
    for index, bar in enumerate(study.bars):
        for callout in bar.callouts:
            assert callout.start in struck[index], callout.heading
            assert callout.stop in struck[index + callout.bars_on], callout.heading


def test_callouts_name_only_notes_they_point_at(study: Study) -> None:
    for index, bar in enumerate(study.bars):
        for callout in bar.callouts:
            first, last = (index, callout.start), (index + callout.bars_on, callout.stop)
            spoken_of = {note.pitch.pitch_class.name
                         for at in range(first[0], last[0] + 1)
                         for event in study.bars[at].events if first <= (at, event.onset) <= last
                         for note in event.notes}
            for name in re.findall(_NOTE, callout.text):
                assert name.strip("{}") in spoken_of, callout.heading


def semitones_of_degree(degree: str) -> int:
    """Above the root, by music21's major scale."""
    number = int(degree.lstrip("b#"))
    step = scale.MajorScale("C4").pitchFromDegree((number - 1) % 7 + 1)
    return (step.pitchClass + degree.count("#") - degree.count("b")) % 12


def claims_in(study: Study) -> list[tuple[str, str, str]]:
    """Every (note, degree, chord) the words put together, as `{Eb}, the {b5} of {Am7b5}`."""
    found = []
    for text in texts_of(study):
        for notes, degrees, chord in [*_ROW.findall(text), *_ONE.findall(text)]:
            names, numbers = (re.findall(r"\{([^{}]+)\}", row) for row in (notes, degrees))
            assert len(names) == len(numbers), text
            found += [(name, number, chord) for name, number in zip(names, numbers, strict=True)]
    return found


@pytest.mark.parametrize(("name", "least"), [*zip(FILES, (40, 18, 28), strict=True)])
def test_words_are_true_of_the_notes(name: str, least: int) -> None:
    """Against the intervals music21 hears between a chord's root and the note."""
    claims = claims_in(STUDIES[name])
    assert len(claims) >= least
    for note, degree, chord in claims:
        root = re.match(r"[A-G][#b]?", chord)
        assert root is not None
        low, high = (pitch.Pitch(text.replace("b", "-")) for text in (root[0], note))
        assert interval.Interval(low, high).semitones % 12 == semitones_of_degree(degree), (note, degree, chord)
