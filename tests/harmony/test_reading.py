"""Readings: a chord or a key."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BarglossError
from core.harmony import parse_chord, parse_harmony
from core.study import MODES, Key


@given(st.integers(-7, 7), st.sampled_from(MODES))
def test_every_key_reads_back_from_its_name(fifths, mode):
    key = Key(fifths, mode)
    assert parse_harmony(f"key of {key.name}") == key


def test_forms_of_a_reading():
    assert parse_harmony("Key of  E♭ Major") == parse_harmony("key of Eb") == Key(-3)
    assert parse_harmony("Db7") == parse_chord("D♭7")


@pytest.mark.parametrize("text", ["", "N.C.", "%", "key of", "key of H major", "key of C jolly", "key of G# major",
                                  "key of C major jolly", "Db7z"])
def test_what_is_no_harmony_is_refused(text):
    with pytest.raises(BarglossError):
        parse_harmony(text)
