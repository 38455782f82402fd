"""Bars typed in ABC. Lengths, accidentals, ties and tuplets mean what ABC 2.1, section 4, says of them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.exchange.abc_line import typed_abc
from core.study import Key, Meter, parse_key
from tests.strategies import CALM

FOUR = Meter((4,))


def told(text: str, key: Key | None = None) -> list[str]:
    return [" ".join(f"{'+'.join(note.pitch.name + '~' * note.tie for note in event.notes) or '-'}:{event.duration}"
                     for event in events) for events in typed_abc(text, key or Key(), FOUR)]


@pytest.mark.parametrize(("text", "expected"), [
    ("C D E/2 F2", ["C4:1/2 D4:1/2 E4:1/4 F4:1"]),  # 4.3 note lengths
    ("C, c c'", ["C3:1/2 C5:1/2 C6:1/2"]),  # 4.1 pitch
    ("^F _B =f", ["F#4:1/2 Bb4:1/2 F5:1/2"]),  # 4.2 accidentals
    ("A>B", ["A4:3/4 B4:1/4"]),  # 4.4 broken rhythm
    ("z2 c2", ["-:1 C5:1"]),  # 4.5 rests
    ("(3cde", ["C5:1/3 D5:1/3 E5:1/3"]),  # 4.13 tuplets
    ("[CE]2", ["C4+E4:1"]),  # 4.17 chords
    ("c2-c2 | d4", ["C5~:1 C5:1", "D5:2"]),  # 4.11 ties
])
def test_what_the_standard_says(text, expected):
    assert told(text) == expected


def test_the_key_holds():
    assert told("F B e", parse_key("Eb major")) == ["F4:1/2 Bb4:1/2 Eb5:1/2"]
    assert told("F B c", parse_key("D dorian")) == ["F4:1/2 B4:1/2 C5:1/2"]
    assert told("F c", parse_key("E minor")) == ["F#4:1/2 C5:1/2"]


@pytest.mark.parametrize("text", ["", "|", "hello:", "K:D c", "1234", "c" * 3000, "%", '"C"'])
def test_what_is_no_music_is_told_in_one_line(text):
    with pytest.raises(BarglossError) as told_:
        typed_abc(text, Key(), FOUR)
    assert "\n" not in str(told_.value)


@settings(CALM, max_examples=60)
@given(st.text(alphabet="abcdefgABCDEFG^_=,'/0123456789()[]|<>-z \"{}!.~%:", max_size=24))
def test_any_typing_is_read_or_refused(text):
    try:
        bars = typed_abc(text, Key(), FOUR)
    except BarglossError:
        return
    assert any(event.notes for events in bars for event in events)
