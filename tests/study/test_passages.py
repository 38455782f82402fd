"""Bars in, bars out, and passages: what stays keeps its key, meter, chord, number and notes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.study import (
    Bar,
    Callout,
    Change,
    Chorus,
    Event,
    Key,
    Meter,
    Note,
    NotePlace,
    Study,
    bars_between,
    chorus_span,
    delete_bars,
    insert_bars,
    parse_pitch,
)
from core.study.passages import bars_over, covers_bars
from core.study.writing import settle_ties
from tests.strategies import CALM, SYMBOLS, bars, lines, marks, studies, texts

F = Fraction


def line(text: str, **rest) -> Bar:
    """Quarter notes by name, - for a rest."""
    return Bar(tuple(Event(F(at), F(1), () if name == "-" else (Note(parse_pitch(name)),))
                     for at, name in enumerate(text.split())), **rest)


@st.composite
def spans(draw, max_bars: int = 6):
    """A study of several bars, and the first and last index of a stretch of it."""
    study = draw(studies(max_bars=max_bars).filter(lambda one: len(one.bars) > 1))
    first, last = sorted((draw(st.integers(0, len(study.bars) - 1)), draw(st.integers(0, len(study.bars) - 1))))
    return study, first, last


def chord_at(study: Study, index: int, offset: Fraction) -> str:
    """The symbol in force there; "" and N.C. both mean that there is none. `%` alone is the bar before again."""
    here = study.in_force[index]
    chord = here.chord
    if index and [tuple(change) for change in here.bar.changes] == [(0, "%")]:
        return chord_at(study, index - 1, offset)
    for change in here.bar.changes:
        if change.offset <= offset and change.symbol != "%":
            chord = change.symbol
    return chord.replace("N.C.", "")


def same_bars(old: Study, kept: list[int], new: Study) -> None:
    """Each kept bar has the same notes, words and length, and stands in the same key, meter and chords."""
    assert len(new.bars) == len(kept)
    for at, index in enumerate(kept):
        before, after = old.in_force[index], new.in_force[at]
        assert (after.key, after.meter, after.length) == (before.key, before.meter, before.length)
        for twelfth in range(12):
            offset = before.length * twelfth / 12
            assert chord_at(new, at, offset) == chord_at(old, index, offset)
        blank = {"key": None, "meter": None, "changes": (), "callouts": ()}
        assert replace(after.bar, **blank) == replace(before.bar, **blank)


def test_a_bar_put_in_or_taken_out_before_a_repeat_sign_leaves_it_its_chords():
    two, again = (Change(F(0), "C7"), Change(F(2), "F7")), (Change(F(0), "%"),)
    study = Study(bars=(Bar(changes=two), Bar(changes=again), Bar(changes=again)))
    assert [bar.changes for bar in insert_bars(study, 1, [Bar()]).bars] == [two, (), two, again]
    assert [bar.changes for bar in delete_bars(study, 0, 0).bars] == [two, again]
    assert [bar.changes for bar in bars_between(study, 2, 2).bars] == [two]
    assert [bar.changes for bar in bars_between(study, 0, 1).bars] == [two, again]


def callouts_of(study: Study) -> dict[tuple[str, str], list[tuple[int, int]]]:
    """Where callouts with the same words begin and end, as bar indices."""
    found: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for at, bar in enumerate(study.bars):
        for one in bar.callouts:
            found.setdefault((one.heading, one.text), []).append((at, at + one.bars_on))
    return found


def same_callouts(old: Study, kept: list[int], new: Study) -> None:
    """Brute force: a callout is there exactly where a bar of it was kept, over the kept bars of it."""
    left: dict[tuple[str, str], set[tuple[int, int]]] = {}
    for words, places in callouts_of(old).items():
        for first, last in places:
            inside = [at for at, index in enumerate(kept) if first <= index <= last]
            if inside:
                left.setdefault(words, set()).add((inside[0], inside[-1]))
    assert {words: set(places) for words, places in callouts_of(new).items()} == left


def chorus_of(study: Study, index: int) -> str | None:
    labels = [chorus.label for chorus in study.choruses if chorus.bar <= index]
    return labels[-1] if labels else None


@settings(CALM, max_examples=60)
@given(spans())
def test_a_passage_is_the_music_it_was(one):
    study, first, last = one
    part = bars_between(study, first, last)
    kept = list(range(first, last + 1))
    same_bars(study, kept, part)
    same_callouts(study, kept, part)
    for at, index in enumerate(kept):
        assert part.in_force[at].number == study.in_force[index].number
        assert chorus_of(part, at) == chorus_of(study, index)
        if at > 0 and not study.bars[index].callouts:
            assert part.bars[at] is study.bars[index]
    assert (part.title, part.tempo, part.instrument) == (study.title, study.tempo, study.instrument)


@settings(CALM, max_examples=60)
@given(spans())
def test_deleting_leaves_the_rest_as_it_was(one):
    study, first, last = one
    assume((first, last) != (0, len(study.bars) - 1))
    new = delete_bars(study, first, last)
    kept = [*range(first), *range(last + 1, len(study.bars))]
    same_bars(study, kept, new)
    same_callouts(study, kept, new)
    assert [chorus_of(new, at) for at in range(len(kept))] == [chorus_of(study, index) for index in kept]
    if first > 0 and not any(bar.callouts for bar in study.bars):
        assert all(new.bars[at] is study.bars[index] for at, index in enumerate(kept) if index != last + 1)


@settings(CALM, max_examples=60)
@given(studies(max_bars=5), st.integers(0, 5), st.integers(1, 3))
def test_bars_put_in_and_taken_out_again_leave_the_study_as_it_was(study, index, count):
    index = min(index, len(study.bars))
    new = insert_bars(study, index, (Bar(),) * count)
    assert all(after is before for before, after in zip(study.bars[index:], new.bars[index + count:], strict=True))
    back = delete_bars(new, index, index + count - 1)
    # At the very front the bars taken out leave the first bar's own key and meter to the study.
    assert replace(back, key=study.key, meter=study.meter, starts_at=study.starts_at) == study
    if index > 0:
        assert back == study


@settings(CALM, max_examples=30)
@given(spans(), st.data())
def test_bars_put_in_do_not_change_those_behind(one, data):
    """A passage of the study put in elsewhere: with keys, meters and chords of its own."""
    study, first, last = one
    index = data.draw(st.integers(0, len(study.bars)))
    part = bars_between(study, first, last)
    opening = part.in_force[0]
    more = (replace(opening.bar, key=opening.key, meter=opening.meter), *part.bars[1:])
    new = insert_bars(study, index, more)
    for old in range(len(study.bars)):
        at = old if old < index else old + len(more)
        before, after = study.in_force[old], new.in_force[at]
        assert (after.key, after.meter, after.length) == (before.key, before.meter, before.length)
        assert chord_at(new, at, F(0)) == chord_at(study, old, F(0))
        assert after.bar.events is before.bar.events


def test_a_passage_in_the_middle_prints_the_true_numbers():
    """A pickup is 0; chord, key and meter come along; a callout from before is cut to the first note."""
    whole = Event(F(0), F(3))
    study = Study(
        key=Key(-2), meter=Meter((3,)), choruses=(Chorus("1", 1), Chorus("2", 3)),
        bars=(Bar(length=F(1)),
              Bar((whole,), (Change(F(0), "Bb△7"),), callouts=(Callout(F(0), F(0), 2, "long"),), key=Key(1, "minor")),
              Bar((whole,)), Bar((whole,), recording=7.5), Bar((whole,))))
    part = bars_between(study, 2, 3)
    assert part == Study(
        key=Key(1, "minor"), meter=Meter((3,)), choruses=(Chorus("1", 0), Chorus("2", 1)), first_number=2,
        bars=(Bar((whole,), (Change(F(0), "Bb△7"),), callouts=(Callout(F(0), F(0), 1, "long"),)), study.bars[3]))
    assert [here.number for here in part.in_force] == [2, 3]
    assert part.bars[1] is study.bars[3]
    assert bars_between(study, 3, 4).starts_at == 7.5
    assert bars_between(study, 0, 4) is study


def test_a_repeat_sign_is_written_out_where_its_chord_is_gone():
    study = Study(bars=(Bar(changes=(Change(F(0), "C-7"),)), Bar(changes=(Change(F(0), "%"), Change(F(2), "F7")))))
    assert bars_between(study, 1, 1).bars[0].changes == (Change(F(0), "C-7"), Change(F(2), "F7"))


def test_bars_put_in_before_a_chorus_join_the_one_before():
    study = Study(bars=(Bar(),) * 4, choruses=(Chorus("1", 0), Chorus("2", 2)))
    assert insert_bars(study, 2, [Bar()]).choruses == (Chorus("1", 0), Chorus("2", 3))
    assert insert_bars(study, 3, [Bar()]).choruses == study.choruses


def test_chorus_spans():
    study = Study(bars=(Bar(),) * 7, choruses=(Chorus("head", 1), Chorus("solo", 3), Chorus("out", 6)))
    assert [chorus_span(study, number) for number in (1, 2, 3)] == [(1, 2), (3, 5), (6, 6)]
    with pytest.raises(BarglossError, match="no chorus 4; it has 3"):
        chorus_span(study, 4)
    with pytest.raises(BarglossError, match="no chorus 0"):
        chorus_span(study, 0)
    with pytest.raises(BarglossError, match="none is marked"):
        chorus_span(Study(), 1)


@pytest.mark.parametrize("edit", [
    lambda study: bars_between(study, 1, 0), lambda study: bars_between(study, 0, 3),
    lambda study: delete_bars(study, -1, 1), lambda study: delete_bars(study, 0, 2),
    lambda study: insert_bars(study, 4, [Bar()]),
    lambda study: insert_bars(study, 1, [Bar((Event(F(0), F(3)),))]),
])
def test_bars_that_are_not_there_are_told(edit):
    with pytest.raises(BarglossError, match="; "):
        edit(Study(bars=(Bar(),) * 3))


def test_a_put_in_bar_that_does_not_fit_is_told_by_its_new_number():
    with pytest.raises(BarglossError, match="bar 2: less music than fits: 3 quarters of 4"):
        insert_bars(Study(bars=(Bar(),) * 3), 1, [Bar((Event(F(0), F(3)),))])


# Bars laid over other bars

@st.composite
def overlays(draw):
    """A passage of whole bars, a study whose bars from an index on are as long as those, and the index."""
    study, first, last = draw(spans(max_bars=4))
    passage, strings = bars_between(study, first, last), len(study.instrument.tuning)
    over = [Bar(draw(st.one_of(st.just(()), lines(here.length, strings))), length=here.length,
                changes=tuple(Change(*mark) for mark in draw(marks(here.length, SYMBOLS))), comment=draw(texts),
                barline=draw(st.sampled_from(("", "double"))), rehearsal=draw(texts)) for here in passage.in_force]
    again = Bar(changes=(Change(F(0), "%"),))
    row = [draw(bars(strings=strings)), *over, *draw(st.sampled_from(([], [Bar()], [again], [again, Bar()])))]
    reaching = Callout(min(row[0].onsets), min(row[1].onsets), 1, "into what is laid over")
    row[0] = replace(row[0], events=untied(row[0].events), callouts=(*row[0].callouts, reaching))
    return passage, Study(bars=tuple(row), instrument=study.instrument), 1


def untied(events: tuple[Event, ...]) -> tuple[Event, ...]:
    return tuple(replace(event, notes=tuple(replace(note, tie=False) for note in event.notes)) for event in events)


def first_chord(study: Study, at: int) -> str:
    """The symbol in force on the first beat, a % written out."""
    here = study.in_force[at]
    return here.changes[0].symbol if here.changes and here.changes[0].offset == 0 else here.chord


@given(overlays())
@settings(CALM, max_examples=150)
def test_bars_laid_over_bars_as_long_are_equal_there(case):
    """Notes, readings, callouts; chords and comments where there are any. The form stays, and so do the bars around."""
    passage, study, index = case
    laid = bars_over(study, index, passage)
    end = index + len(passage.bars)
    settled = settle_ties(passage, 0, len(passage.bars) - 1)
    has_changes = any(bar.changes for bar in passage.bars)
    for at, new in enumerate(settled.bars):
        bar, old = laid.bars[index + at], study.bars[index + at]
        assert untied(bar.events) == untied(new.events)
        assert bar.events == new.events or at == len(passage.bars) - 1  # what was tied over its end is tied no more
        assert (bar.callouts, bar.readings, bar.dismissed) == (new.callouts, new.readings, new.dismissed)
        assert bar.comment == (new.comment or old.comment)
        assert bar.changes == (new.changes if has_changes else old.changes)
        said = {"events": (), "callouts": (), "readings": (), "dismissed": (), "comment": "", "changes": ()}
        assert replace(bar, **said) == replace(old, **said)
    for at in (*range(index), *range(end, len(study.bars))):
        assert untied(laid.bars[at].events) == untied(study.bars[at].events)
        if at < index or study.in_force[end].chord:
            assert first_chord(laid, at) == first_chord(study, at)


def test_bars_with_changes_of_their_own_are_laid_down_bar_for_bar():
    """From one study into another and back: equal bars, and past the end in new ones."""
    source = Study(bars=(line("C4 E4 G4 B4", changes=(Change(F(0), "C7"),), comment="Up", callouts=(
        Callout(F(0), F(1), 1, "Over the barline"),)), line("A4 G4 F4 E4", changes=(Change(F(2), "F7"),)), Bar()))
    passage = bars_between(source, 0, 1)
    target = Study(bars=(line("D4 D4 D4 D4", changes=(Change(F(0), "G7"),)), line("D5 D5 D5 D5", comment="Mine")))
    over = bars_over(target, 0, passage)
    assert over.bars[0] == source.bars[0]
    assert over.bars[1] == replace(source.bars[1], comment="Mine")
    assert bars_over(target, 1, passage).bars == (target.bars[0], *source.bars[:2])
    assert bars_over(source, 0, passage) == source


def test_the_bar_after_keeps_its_chord_and_the_passage_brings_the_one_it_stood_under():
    source = Study(bars=(Bar(changes=(Change(F(0), "Cm7"),)), line("C4 D4 Eb4 F4")))
    target = Study(bars=(Bar(changes=(Change(F(0), "G7"),)), Bar(), Bar()))
    laid = bars_over(target, 1, bars_between(source, 1, 1))
    assert [[change.symbol for change in bar.changes] for bar in laid.bars] == [["G7"], ["Cm7"], ["G7"]]
    blank = bars_over(Study(bars=(Bar(), Bar())), 0, bars_between(source, 1, 1))
    assert [bar.changes for bar in blank.bars] == [(Change(F(0), "Cm7"),), ()]


def test_bars_of_another_length_are_not_laid_over():
    assert bars_over(Study(meter=Meter((3,)), bars=(Bar(), Bar())), 0, Study(bars=(Bar(), Bar()))) is None


@pytest.mark.parametrize(("first", "last", "covers"), [
    ((0, 1), (0, 2), True), ((0, 0), (0, 3), True), ((0, 1), (1, 0), True), ((0, 2), (0, 2), False),
    ((0, 1), (0, 1), False), ((1, 0), (2, 0), True)])
def test_bars_are_covered_where_every_note_of_theirs_is_selected(first, last, covers):
    study = Study(bars=(line("- C4 D4 -"), line("E4 - - -"), Bar()))
    assert covers_bars(study, NotePlace(*first), NotePlace(*last)) is covers
