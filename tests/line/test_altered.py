"""Altered tensions. Sources: references.md H2 (Nettles & Graf 1997, Levine 1995, from memory) for which they are; the
issue's fact to hold for b9 to 5; the rest is common practice, no source."""

from __future__ import annotations

import re

import pytest

from tests.line.lines import KEYS, found, score, told

RESOLVED = {
    "G7: B4 D5 F5 Ab4 | Cm7: G4*4": ("Ab4 G4", "b9", "5", "half"),  # the fact
    "G7b9: B4 D5 F5 Ab4 | Cm7: G4*4": ("Ab4 G4", "b9", "5", "half"),
    "G7: D5 B4 F4 Eb5 | Cmaj7: E5*4": ("Eb5 E5", "b13", "3", "half"),
    "G7alt: F5 Bb4 Ab4 | Cm7: G4*4": ("Bb4 Ab4 G4", "#9 b9", "5", "half"),
    "G7: D5 B4 F4 Db5 | Cm7: C5*4": ("Db5 C5", "#11", "1", "half"),
    "G7: D5 F4 Bb4 | Cm7: C5*4": ("Bb4 C5", "#9", "1", "whole"),
    "G7: D5 F4 Ab4 F#4 | Cm7: G4*4": ("Ab4 F#4 G4", "b9", "5", "half"),
}


@pytest.mark.parametrize("up", KEYS)
@pytest.mark.parametrize("text", RESOLVED)
def test_where_they_resolve(text, up):
    span, degrees, goal, step = RESOLVED[text]
    [(notes, facts)] = found("altered", text, key="C minor", up=up)
    assert notes == span
    assert (facts["degrees"], facts["to"], facts["step"]) == (degrees, goal, step)


@pytest.mark.parametrize("up", KEYS)
def test_a_turn_around_the_flat_nine_resolves_next(up):
    """Issue: a turn around the b9 over the dominant resolves to the 5 or 3 next."""
    [(notes, facts)] = found("altered", "G7: Bb4 Ab4 G4 Ab4 | Cm7: G4*4", key="C minor", up=up)
    assert (notes, facts["to"], facts["into"]) == ("Bb4 Ab4 G4 Ab4 G4", "5", "Cm7")


def test_two_different_ones_are_told_though_they_do_not_resolve():
    [(notes, facts)] = found("altered", "G7alt: F5 Eb5 Db5 B4 | Cm7: D4*4", key="C minor")
    assert (notes, facts["degrees"], facts["to"], facts["into"], facts["step"]) == ("Eb5 Db5", "b13 #11", "", "", "")
    assert score("altered", "G7alt: F5 Eb5 Db5 B4 | Cm7: D4*4") < score("altered", "G7: B4 Ab4 | Cm7: G4*4")


@pytest.mark.parametrize(("text", "why"), [
    ("G7: G4 A4 B4 C5 D5 E5 F5 G5", "a mixolydian scale"),
    ("G7: B4 Ab4 D4 F4 | Cm7: Eb4*4", "one only, gone before the change"),
    ("Cmaj7: Db5 Eb5 | F: C5*4", "no dominant"), ("G7: B4 Ab4 - - | Cm7: G4*4", "a rest parts them"),
    ("G7: F5 Eb5 Db5 B4 | Cm7: D4*4", "two only, of a plain seventh chord"),
    ("G7alt: F#5 Eb5 Db5 B4 | Cm7: D4*4", "a foreign note beside them"),
    ("G7: Ab4 | G7: G4 B4", "no new chord"),
    ("G7: D5 C#5 D5 B4 | Cmaj7: C5*4", "a neighbour"),
    ("G7: C5 C#5 D5 B4 | Cmaj7: C5*4", "a passing half step"), ("Ab4 | Cm7: G4", "no chord"),
])
def test_what_is_none(text, why):
    assert found("altered", text) == [], why


def test_a_rest_parts_two_groups():
    assert [span for span, _ in found("altered", "G7alt: Bb4 Ab4 - - Eb5 Db5 - -")] == ["Bb4 Ab4", "Eb5 Db5"]


def test_what_is_told():
    for words in told("altered", "G7: Bb4 Ab4 | Cm7: G4*4"):
        assert {"{#9}", "{b9}", "{G7}", "{5}", "{Cm7}"} <= set(re.findall(r"{[^}]*}", words))
    assert all("{b13} {#11}" in words for words in told("altered", "G7alt: F5 Eb5 Db5 B4 | Cm7: D4*4"))
