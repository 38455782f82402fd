"""How single values are written in a study file, and read back: one Code each way."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any, NamedTuple

from core.errors import BarglossError
from core.study import Tuplet, parse_key, parse_meter, parse_pitch
from core.study.pitch import Meter, Pitch

LONGEST_TEXT = 100_000  # characters; libxml2 itself stops at ten million
LONGEST_VALUE = 400
_ILLEGAL = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, production 2 (Char)


class Code(NamedTuple):
    """A value to text and back; both raise BarglossError. free: running words, as long as a text may be."""

    write: Callable[[Any], str]
    read: Callable[[str], Any]
    free: bool = False


def _check_text(text: str) -> str:
    bad = _ILLEGAL.search(text)
    if bad is not None:
        around = text[max(0, bad.start() - 10):bad.start()]
        raise BarglossError(f"the character U+{ord(bad[0]):04X} after {around!r} cannot be kept in a study file; "
                            "delete it")
    if len(text) > LONGEST_TEXT:
        raise BarglossError(f"a text of {len(text)} characters; a study file keeps {LONGEST_TEXT}, shorten it")
    return text


def _write_fraction(length: Fraction) -> str:
    if max(length.numerator, length.denominator) >= 10**40:
        raise BarglossError("a length too finely divided to be kept in a study file; use a simpler fraction")
    return str(length)


def _by_pattern(pattern: str, name: str, example: str, make: Callable[[str], Any]) -> Callable[[str], Any]:
    shape = re.compile(pattern)

    def read(text: str) -> Any:
        if shape.fullmatch(text) is None:
            raise BarglossError(f"{text!r} is not {name}; write it as {example}")
        return make(text)

    return read


def _write_meter(meter: Meter) -> str:
    return meter.symbol or meter.text


def _read_meter(text: str) -> Meter:
    signs = {"common": Meter((4,), 4, "common"), "cut": Meter((2,), 2, "cut")}
    return signs.get(text) or parse_meter(text)


def _write_tuplets(tuplets: tuple[Tuplet, ...]) -> str:
    return " ".join(f"{'begin ' * tuplet.starts}{tuplet.actual}:{tuplet.normal}" for tuplet in tuplets)


def _read_tuplets(text: str) -> tuple[Tuplet, ...]:
    found = re.finditer(r"(begin )?([0-9]+):([0-9]+)", text)
    return tuple(Tuplet(int(one[2]), int(one[3]), one[1] is not None) for one in found)


def _write_seconds(seconds: float) -> str:
    return repr(abs(float(seconds)))  # abs: -0.0 is 0.0


def _write_pitches(pitches: tuple[Pitch, ...]) -> str:
    return " ".join(pitch.name for pitch in pitches)


def _read_pitches(text: str) -> tuple[Pitch, ...]:
    return tuple(parse_pitch(name) for name in text.split(" "))


def one_of(words: tuple[str, ...]) -> Code:
    """Code of one word among these; "" is never written."""
    kept = tuple(filter(None, words))

    def read(text: str) -> str:
        if text not in kept:
            raise BarglossError(f"{text!r} is unknown here; write {' or '.join(kept)}")
        return text

    return Code(str, read)


_TUPLET = "(begin )?[0-9]{1,2}:[0-9]{1,2}"

TEXT = Code(_check_text, _check_text, free=True)
FRACTION = Code(_write_fraction, _by_pattern("[0-9]{1,40}(/0*[1-9][0-9]{0,39})?", "a length in quarter notes", "3/2",
                                             Fraction))
WHOLE = Code(str, _by_pattern("[0-9]{1,6}", "a whole number", "12", int))
WHOLES = Code(lambda numbers: " ".join(map(str, numbers)),
              _by_pattern("[0-9]{1,6}( [0-9]{1,6}){0,9}", "whole numbers in a row", "1 2 3",
                          lambda text: tuple(map(int, text.split(" ")))))
SECONDS = Code(_write_seconds, _by_pattern(r"[0-9]{1,40}(\.[0-9]{1,40})?(e[+-]?[0-9]{1,3})?", "a time in seconds",
                                           "12.5", float))
YES = Code(lambda _: "yes", _by_pattern("yes", "the one word this takes", "yes, or leave it out", lambda _: True))
PITCH = Code(lambda pitch: pitch.name, parse_pitch)
PITCHES = Code(_write_pitches, _read_pitches)
KEY = Code(lambda key: key.name, parse_key)
METER = Code(_write_meter, _read_meter)
TUPLETS = Code(_write_tuplets, _by_pattern(f"{_TUPLET}( {_TUPLET})*", "a tuplet", "begin 3:2", _read_tuplets))
WORDS = Code(" ".join, lambda text: tuple(text.split(" ")))
