"""Printed accidentals, by hand and by a reader who knows only what is printed."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.engraving import Style
from core.engraving.accidentals import altered, shown_accidentals
from core.engraving.boxes import Box, mark_box
from core.engraving.drawing import Arc, Glyph
from core.engraving.smufl import music_font
from core.study import Bar, Key, Pitch, parse_pitch
from tests.engraving.scenes import events, galley, study, system
from tests.strategies import CALM, keys, lines


def alters(signs):
    """What each sign says, event by event."""
    return tuple(tuple(sign and sign.alter for sign in row) for row in signs)


def shown(text: str, key: Key = Key(), tied_in: str = "") -> list[int | None]:  # noqa: B008  (frozen)
    """Of single notes."""
    tied = [parse_pitch(name) for name in tied_in.split()]
    return [signs[0] for signs in alters(shown_accidentals(events(text), key, tied))]


@pytest.mark.parametrize(("text", "expected"), [
    ("F#4 F#4 F4 F4", [1, None, 0, None]),
    ("F#4 F#5", [1, 1]),
    ("Bb3 B3 Bb3", [-1, 0, -1]),
    ("C##4 C#4 C4", [2, 1, 0]),
    ("E#4 F4 E4", [1, None, 0]),
])
def test_a_sign_holds_on_its_own_line_until_another_takes_its_place(text, expected):
    assert shown(text) == expected


def test_the_key_says_what_needs_no_sign():
    assert shown("Bb3 Eb4 Ab3 B3 E4 A3 Db4", Key(-3)) == [None, None, None, 0, 0, 0, -1]
    assert shown("F#4 F4 F#4", Key(1)) == [None, 0, 1]


def test_a_tie_over_the_barline_needs_no_sign_and_gives_none_to_the_next_note():
    """Gould ch. 3 (from memory): the next separate note needs it again."""
    assert shown("F#4 F#4 F#4", tied_in="F#4") == [None, 1, None]
    assert shown("F#4~ F#4 F#4") == [1, None, None]


def test_a_tie_to_a_respelled_pitch_shows_the_new_spelling():
    assert shown("Db4 D4", tied_in="C#4") == [-1, 0]


def test_a_grace_note_is_not_the_end_of_a_tie():
    assert shown("^F#4 F#4", tied_in="F#4") == [1, None]


def test_both_notes_of_a_double_stop_on_one_line_are_told_apart():
    assert alters(shown_accidentals(events("Bb3+B3"), Key())) == ((-1, 0),)


def read(row, key, tied_in, signs) -> list[Pitch]:
    """What a player plays: letter and octave from the head's place, the alteration from what is printed.

    A tie is only drawn to the same pitch.
    """
    played, standing = [], {}
    held = set(tied_in)
    for event, printed in zip(row, signs, strict=True):
        for note, sign in zip(event.notes, printed, strict=True):
            place = note.pitch.step, note.pitch.octave
            if sign is not None:
                standing[place] = sign.alter
            elif note.pitch in held and not event.grace:
                played.append(note.pitch)
                continue
            played.append(Pitch(place[0], standing.get(place, key.alter_of(place[0])), place[1]))
        if not event.grace:
            held = {note.pitch for note in event.notes if note.tie}
    return played


def apart(row) -> bool:
    """No double stop has two heads on one line: a reader could not tell which of them a tie holds."""
    return all(len({note.pitch.diatonic for note in event.notes}) == len(event.notes) for event in row)


bars = lines(Fraction(4)).filter(apart)


@settings(CALM, max_examples=40)
@given(row=bars, key=keys, tied=st.booleans())
def test_whoever_reads_the_signs_plays_the_pitches(row, key, tied):
    """Dzubay & Freund, *Music Notation Style Guide*, "Accidentals", read as a decoder."""
    tied_in = [note.pitch for note in row[0].notes] if tied and not row[0].grace else []
    signs = shown_accidentals(row, key, tied_in)
    assert read(row, key, tied_in, signs) == [note.pitch for event in row for note in event.notes]


@settings(CALM, max_examples=40)
@given(row=bars, key=keys)
def test_no_sign_repeats_what_the_reader_knows(row, key):
    signs = shown_accidentals(row, key)
    whole = read(row, key, (), signs)
    for event, printed in enumerate(signs):
        for note, sign in enumerate(printed):
            if sign is not None:
                fewer = [list(one) for one in signs]
                fewer[event][note] = None
                assert read(row, key, (), fewer) != whole


def test_a_letter_that_comes_back_to_the_key_in_the_next_bar_has_a_courtesy_sign_once():
    """Dzubay & Freund, *Music Notation Style Guide*, "Accidentals" (references E26)."""
    before = altered(Bar(events("F#4 Bb4 C5")).last_alters, Key())
    assert alters(shown_accidentals(events("F4 B4 F4 C5 F5"), Key(), before=before)) == (
        (0,), (0,), (None,), (None,), (None,))
    assert alters(shown_accidentals(events("F#4 F4"), Key(), before=before)) == ((1,), (0,))
    assert alters(shown_accidentals(events("F#4 F4"), Key(), [parse_pitch("F#4")], before)) == ((None,), (0,))


def test_what_the_key_gives_is_not_recalled():
    assert altered(Bar(events("F#4 Bb4")).last_alters, Key(1)) == {parse_pitch("B4").diatonic: -1}
    assert altered(Bar(events("F#4 F4")).last_alters, Key()) == {}


def signs_drawn(ink) -> list[tuple[str, float, float]]:
    """Accidentals and their brackets of a system: name, x, y, from left to right."""
    return sorted(((mark.name, item.x + mark.x, item.y + mark.y) for item in ink.items for mark in item.drawing.marks
                   if isinstance(mark, Glyph) and mark.name.startswith("accidental")), key=lambda one: one[1])


def second_bar(*bars: str, courtesy: str = "plain", **facts):
    """The second of two bars as a system of its own."""
    whole = study(*bars, **facts)
    style = Style(courtesy=courtesy)
    return system(whole, style=style, bars=galley(whole, style).bars[1:], numbers=(2,), opens=False,
                  tied_in=tuple(note.pitch.midi for note in whole.bars[0].events[-1].notes if note.tie))


def test_a_note_held_over_from_the_system_before_shows_its_accidental_again():
    """From memory (Gould ch. 3); the next separate note has its own, as after any tie."""
    ink = second_bar("Bb4~:1", "Bb4:2 Bb4:2")
    first, second = signs_drawn(ink)
    assert first[0] == second[0] == "accidentalFlat"
    heads = [item.x + mark.x for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name == "noteheadHalf"]
    assert first[1] < heads[0] < second[1] < heads[1]
    (tie,) = [(item.x + mark.start[0], item.x + mark.end[0]) for item in ink.items for mark in item.drawing.marks
              if isinstance(mark, Arc)]
    assert first[1] + music_font("Bravura").box("accidentalFlat").right < tie[0] < tie[1]
    assert [name for name, *_ in signs_drawn(system(study("Bb4~:1", "Bb4:2 Bb4:2")))] == ["accidentalFlat"] * 2


def test_what_the_key_gives_or_is_struck_anew_is_not_recalled():
    assert signs_drawn(second_bar("Bb4~:1", "Bb4:1", key=Key(-1))) == [
        one for one in signs_drawn(second_bar("C4~:1", "C4:1", key=Key(-1)))]
    double = [name for name, *_ in signs_drawn(second_bar("F#3+C#4~:1", "F#3+C#4:1"))]
    assert double == ["accidentalSharp", "accidentalSharp"]  # one carried, one struck
    assert signs_drawn(second_bar("Bb4~:1", "Bb4:1", courtesy="none")) == []


def test_signs_that_only_remind_stand_in_brackets_where_the_template_says_so():
    names = [name for name, *_ in signs_drawn(second_bar("Bb4:2 F#4~:2", "F#4:4 B4:4 Bb4:2", courtesy="brackets"))]
    bracketed = ["accidentalParensLeft", "sign", "accidentalParensRight"]
    assert [name if "Parens" in name else "sign" for name in names] == [*bracketed, *bracketed, "sign"]


@settings(CALM, max_examples=25)
@given(names=st.lists(st.sampled_from(["F#3", "Bb3", "C#4", "Eb4", "A4", "Bb4", "E5"]), min_size=1, max_size=3,
                      unique=True), courtesy=st.sampled_from(["plain", "brackets"]),
       font=st.sampled_from(["Bravura", "Petaluma"]))
@example(names=["F#3", "Bb3", "Eb4"], courtesy="plain", font="Petaluma")
def test_brackets_and_signs_touch_no_head_and_not_each_other(names, courtesy, font):
    """Carried over and recalled, in both fonts, as boxes."""
    chord = "+".join(sorted(names, key=lambda name: parse_pitch(name).midi))
    plain = "+".join(one.replace("#", "").replace("b", "") for one in chord.split("+"))
    style = Style(courtesy=courtesy, font=font)
    whole = study(f"{chord.replace('+', '~+')}~:1", f"{chord}:2 {plain}:2")
    ink = system(whole, style=style, bars=galley(whole, style).bars[1:], opens=False)
    music = music_font(font)
    marks = [(mark, mark_box(mark, music), item) for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name.startswith(("accidental", "notehead", "gClef"))]
    placed = [(mark, Box(box.left + item.x, box.top + item.y, box.right + item.x, box.bottom + item.y))
              for mark, box, item in marks]
    for (one, box), (other, near) in combinations(placed, 2):
        if one.name.startswith("accidental") or other.name.startswith("accidental"):
            across = min(box.right, near.right) - max(box.left, near.left)
            down = min(box.bottom, near.bottom) - max(box.top, near.top)
            assert across <= 0 or down <= 0, (one, other)
