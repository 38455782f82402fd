"""What findings hang on: notes, chords, key and meter; not the key's name, the bars' numbers or what comes later."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import chain

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.harmony import ChordSymbol, parse_chord, parse_harmony
from core.line import analyse
from core.line.finding import Finding, symbol
from core.line.telling import Told, told
from core.study import Bar, Change, Chorus, Key, NotePlace, Pitch, PitchClass, Study, edits, parse_pitch_class
from core.study.passages import delete_bars, insert_bars
from tests.bench.big_study import big_study
from tests.line.planted import planted_line
from tests.strategies import CALM, SYMBOLS, bars, pitches, studies

NAMES = {"tonic": "note", "chord": "chord", "over": "chord", "into": "chord", "heard": "chord", "harmony": "harmony"}
MOST_FIFTHS = 7
REACH = 2  # bars a finding may look ahead


def found_in(study: Study) -> Told:
    return told(study, analyse(study))


def moved_name(name: PitchClass, fifths: int) -> PitchClass:
    """So many fifths up, by letter: a double flat stays one."""
    place = name.fifths + fifths
    alter, step = divmod(place + 1, 7)
    return PitchClass("FCGDAEB"[step], alter)


def moved_pitch(pitch: Pitch, fifths: int, semitones: int) -> Pitch:
    name = moved_name(pitch.pitch_class, fifths)
    return Pitch(name.step, name.alter, (pitch.midi + semitones - name.alter) // 12 - 1)


def moved_chord(chord: ChordSymbol, fifths: int) -> ChordSymbol:
    return replace(chord, root=moved_name(chord.root, fifths), bass=chord.bass and moved_name(chord.bass, fifths))


def moved(study: Study, fifths: int, octave: int) -> Study:
    """The study so many fifths and octaves away, spelled as that interval spells it."""
    semitones = fifths * 7 % 12 + 12 * octave

    def bar(old: Bar) -> Bar:
        events = tuple(replace(event, notes=tuple(replace(note, pitch=moved_pitch(note.pitch, fifths, semitones))
                                                  for note in event.notes)) for event in old.events)
        changes = tuple(Change(change.offset, symbol(moved_chord(parse_chord(change.symbol), fifths)))
                        for change in old.changes)
        return replace(old, events=events, changes=changes, readings=())

    return replace(study, key=Key(study.key.fifths + fifths, study.key.mode), bars=tuple(map(bar, study.bars)))


def by_sound(name: str, value: object) -> object:
    """A fact that names a note or a chord, as numbers above C; any other as it is."""
    kind = NAMES.get(name)
    if kind is None or value == "":
        return value
    if kind == "note":
        return parse_pitch_class(str(value)).chroma
    read = parse_harmony(str(value))
    if isinstance(read, Key):
        return read.tonic.chroma, read.mode
    return (read.root.chroma, *(tone.name for tone in read.tones))


def shifted(name: str, value: object, semitones: int) -> object:
    kind = NAMES.get(name)
    if kind is None or value == "":
        return value
    if isinstance(value, tuple):
        return ((value[0] + semitones) % 12, *value[1:])
    return (value + semitones) % 12


def by_value(finding: Finding, semitones: int = 0) -> tuple:
    facts = tuple((name, shifted(name, by_sound(name, value), semitones)) for name, value in finding.facts)
    return finding.kind, finding.first, finding.last, facts, finding.score


@cache
def sample() -> tuple[Study, ...]:
    return (*(planted_line(seed).study for seed in range(12)), big_study(1))


@pytest.mark.parametrize("fifths", range(-6, 7))
@pytest.mark.parametrize("octave", [-1, 0, 1])
def test_transposing_changes_nothing_but_names(fifths, octave):
    for study in sample():
        if abs(study.key.fifths + fifths) <= MOST_FIFTHS:
            there = found_in(moved(study, fifths, octave))
            here = found_in(study)
            for ours, theirs in ((here.noticed, there.noticed), (here.chosen, there.chosen)):
                expected = [[by_value(one, fifths * 7) for one in bar] for bar in ours]
                assert [[by_value(one) for one in bar] for bar in theirs] == expected


@settings(CALM, max_examples=40)
@given(studies())
def test_words_and_numbers_change_nothing(study):
    """But a pickup stays one: whether the first bar is bar 0 is no name of it, so its number is left alone."""
    renamed = replace(study, title="Other", tune="words", player="x", choruses=(Chorus("only one", 0),),
                      bars=tuple(replace(bar, comment="", rehearsal="A", callouts=()) for bar in study.bars))
    if study.in_force[0].number:
        renamed = replace(renamed, first_number=71)
    assert found_in(renamed).noticed == found_in(study).noticed
    assert found_in(renamed).chosen == found_in(study).chosen


def test_a_bar_of_rest_before_changes_places_alone():
    for study in sample():
        later = replace(study, bars=(Bar(), *study.bars), choruses=())
        there = found_in(later)
        expected = [[by_value(_a_bar_on(one)) for one in bar] for bar in found_in(study).noticed]
        assert [[by_value(one) for one in bar] for bar in there.noticed[1:]] == expected


def _a_bar_on(one: Finding) -> Finding:
    return one._replace(first=one.first._replace(bar=one.first.bar + 1), last=one.last._replace(bar=one.last.bar + 1))


@pytest.mark.parametrize("seed", range(20))
def test_a_chorus_more_changes_no_earlier_finding(seed):
    """The last bars of the old chorus look ahead into the new one: their line goes on, so they are left out.

    Returns look back only, so they too stay as they were; the new chorus has its own.
    """
    study, more = planted_line(seed).study, planted_line(seed + 12).study
    key, meter = more.key, more.meter
    added = (replace(more.bars[0], key=key, meter=meter), *more.bars[1:])
    longer = replace(study, bars=(*study.bars, *added), choruses=(Chorus("1", 0), Chorus("2", len(study.bars))))
    settled = len(study.bars) - REACH
    assert found_in(longer).noticed[:settled] == found_in(study).noticed[:settled]


@st.composite
def edited(draw, study: Study) -> Study:
    """The study after one edit: a pitch, a chord, a bar, the key, bars taken out or put in."""
    bar = draw(st.integers(0, len(study.bars) - 1))
    sounding = [NotePlace(at, event, note) for at, one in enumerate(study.bars) for event, each in enumerate(one.events)
                for note in range(len(each.notes))]
    what = draw(st.sampled_from(("pitch", "chord", "bar", "key", "delete", "insert")))
    try:
        if what == "pitch" and sounding:
            return edits.set_note_pitch(study, draw(st.sampled_from(sounding)), draw(pitches))
        if what == "chord":
            return edits.set_change(study, bar, Fraction(0), draw(st.sampled_from(SYMBOLS)))
        if what == "bar":
            return edits.replace_bar(study, bar, draw(bars(study.in_force[bar].meter, 6, may_change=False)))
        if what == "key":
            return edits.set_details(study, key=Key(draw(st.integers(-7, 7)), "major"))
        if what == "delete" and len(study.bars) > 1:
            return delete_bars(study, bar, bar)
        return insert_bars(study, bar, (study.bars[draw(st.integers(0, len(study.bars) - 1))],))
    except BarglossError:
        return study  # an edit that would make no valid study is none


@settings(CALM, max_examples=60)
@given(st.data())
def test_building_on_what_was_found_is_finding_anew(data):
    """Of studies with every feature, and of planted lines, which have findings of every kind."""
    study = data.draw(st.one_of(studies(), st.integers(0, 200).map(lambda seed: planted_line(seed).study)))
    analysis = analyse(study)
    found = told(study, analysis)
    for _ in range(3):
        study = data.draw(edited(study))
        analysis = analyse(study, analysis)
        found = told(study, analysis, found)
        anew = found_in(study)
        assert found.noticed == anew.noticed
        assert found.chosen == anew.chosen
        assert all(one.first.bar == at for at, bar in enumerate(found.noticed) for one in bar)
    row = list(chain.from_iterable(found.bars))
    assert row == sorted(row, key=lambda one: (one.first, one.last, one.kind))
