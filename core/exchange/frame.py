"""What stands around the notes of a music21 measure: key, meter, barlines, endings, chord symbols, tempo."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from math import lcm
from typing import Any, Literal

from music21.harmony import CHORD_ALIASES, Harmony

from core.errors import BarglossError
from core.exchange.plain import PlainBar, PlainChord, Remark
from core.harmony import KindDegree
from core.study import MODES, Key, Meter

_BARLINES: dict[str, Literal["", "double", "final", "dashed"]] = {
    "double": "double", "light-light": "double", "final": "final", "light-heavy": "final", "dashed": "dashed",
    "dotted": "dashed"}
_XML_KINDS = {theirs: xml for xml, theirs in CHORD_ALIASES.items()}
_SYMBOLS: dict[str, Literal["common", "cut"]] = {"4/4": "common", "2/2": "cut"}
_JUMPS = {"Fine": "Fine", "DaCapo": "D.C.", "DaCapoAlFine": "D.C. al Fine", "DaCapoAlCoda": "D.C. al Coda",
          "DalSegno": "D.S.", "DalSegnoAlFine": "D.S. al Fine", "DalSegnoAlCoda": "D.S. al Coda"}
NO_CHORD = ("N.C.", "N.C", "NC", "n.c.", "No Chord", "no chord")


class SignReader:
    """Reads a staff's measures in order; what it must carry from one to the next is a key that changed inside a bar."""

    def __init__(self, staff: Any) -> None:
        self._endings = _endings(staff)
        self._late_key: Key | None = None

    def frame(self, measure: Any, index: int, remarks: list[Remark]) -> PlainBar:
        """The bar without its notes and chord symbols."""
        key, self._late_key = self._late_key, None
        for sign in measure.getElementsByClass("KeySignature"):
            found = _key(sign, index, remarks)
            if sign.offset == 0:
                key = found
            elif found is not None:
                self._late_key = found
                remarks.append(Remark("A key that changes inside a bar is shown from the next bar on", index))
        left, right = measure.leftBarline, measure.rightBarline
        marks = [str(mark.content) for mark in measure.getElementsByClass("RehearsalMark")]
        sign, jump = _way(measure, index, remarks)
        return PlainBar(
            key=key, meter=_meter(measure, index, remarks),
            barline=_BARLINES.get(str(getattr(right, "type", "")), ""),
            repeat_start=getattr(left, "direction", "") == "start",
            repeat_end=(right.times or 2) if getattr(right, "direction", "") == "end" else 0,
            ending=self._endings.get(id(measure), ""), rehearsal=" ".join(" ".join(marks).split())[:40],
            sign=sign, jump=jump)


def _way(measure: Any, index: int, remarks: list[Remark]) -> tuple[Literal["", "segno", "coda"], str]:
    """The sign at the bar's start and the jump at its end. A coda sign where a bar ends says to go to it."""
    signs: list[Literal["segno", "coda"]] = []
    jumps: list[str] = []
    for mark in measure.recurse().getElementsByClass("RepeatExpression"):
        kind = type(mark).__name__
        at_end = mark.getOffsetInHierarchy(measure) > 0
        if kind == "Segno":
            signs.append("segno")
        elif kind == "Coda" and not at_end and not str(mark.getText()).lower().startswith("to"):
            signs.append("coda")
        elif kind == "Coda":
            jumps.append("To Coda")
        else:
            jumps.append(_JUMPS.get(kind, ""))
    known = list(dict.fromkeys(filter(None, jumps)))
    if len(set(signs)) > 1 or len(known) > 1 or "" in jumps:
        remarks.append(Remark("A second sign or jump of one bar left out", index))
    return signs[0] if signs else "", known[0] if known else ""


def _endings(staff: Any) -> dict[int, str]:
    """The number of the ending each measure stands under, by the measure's identity."""
    found = {}
    for bracket in staff.recurse().getElementsByClass("RepeatBracket"):
        for measure in bracket.getSpannedElements():
            found[id(measure)] = str(bracket.number)[:20]
    return found


def _key(sign: Any, index: int, remarks: list[Remark]) -> Key | None:
    fifths = sign.sharps
    if fifths is None or getattr(sign, "isNonTraditional", False):
        remarks.append(Remark("A key signature that is no circle-of-fifths key left out", index))
        return None
    if not -7 <= fifths <= 7:
        fifths -= 12 if fifths > 0 else -12
        remarks.append(Remark("A key of more than seven sharps or flats is written as its enharmonic equal", index))
    mode = getattr(sign, "mode", None)
    return Key(fifths, mode if mode in MODES else "major")


def _meter(measure: Any, index: int, remarks: list[Remark]) -> Meter | None:
    sign = measure.timeSignature
    if sign is None:
        return None
    if "SenzaMisuraTimeSignature" in sign.classes:
        remarks.append(Remark("A passage without a meter keeps the meter before it", index))
        return None
    try:
        meter = meter_of(sign.ratioString)
    except BarglossError:
        remarks.append(Remark(f"A meter of {sign.ratioString} cannot be written and is left out", index))
        return None
    return replace(meter, symbol=_SYMBOLS.get(meter.text, "") if sign.symbol in _SYMBOLS.values() else "")


def meter_of(text: str) -> Meter:
    """`3/8+2/8+3/4`, `3+2/8`: additive meters brought to one unit. Raises BarglossError."""
    terms = re.findall(r"(\d+)(?:/(\d+))?", text)
    unit = ""
    fractions = []
    for top, bottom in reversed(terms):
        unit = bottom or unit or "4"
        fractions.append((int(top), int(unit)))
    if not fractions or any(bottom == 0 for _, bottom in fractions):
        raise BarglossError(f"{text!r} is not a meter")
    common = lcm(*(bottom for _, bottom in fractions))
    return Meter(tuple(top * common // bottom for top, bottom in reversed(fractions)), common)


def exact(value: Any) -> Fraction:
    """music21's times, which are floats where a float is exact and fractions elsewhere."""
    return Fraction(value).limit_denominator(65_536)


def chords_of(measure: Any) -> tuple[PlainChord, ...]:
    """The chord symbols over a measure, in order; the words N.C. count as one."""
    found = []
    for element in measure.recurse():
        offset = exact(element.getOffsetInHierarchy(measure))
        if isinstance(element, Harmony):
            found.append(_chord(element, offset))
        elif "TextExpression" in element.classes and str(element.content).strip() in NO_CHORD:
            found.append(PlainChord(offset, "N.C."))
    return tuple(sorted(found, key=lambda chord: chord.offset))


def _chord(symbol: Any, offset: Fraction) -> PlainChord:
    if "NoChord" in symbol.classes:
        return PlainChord(offset, "N.C.")
    root, bass = symbol.root(), symbol.bass()
    kind = _XML_KINDS.get(symbol.chordKind, symbol.chordKind or "")
    degrees = tuple(KindDegree(int(each.degree), round(each.interval.semitones) if each.interval else 0, each.modType)
                    for each in symbol.getChordStepModifications())
    return PlainChord(offset, "", _name(root), kind, symbol.chordKindStr or "", degrees,
                      _name(bass) if bass is not None and bass.name != root.name else "")


def _name(pitch: Any) -> str:
    return str(pitch.name).replace("-", "b") if pitch is not None else ""


def tempo_marks(score: Any) -> tuple[int | None, list[str]]:
    """The first tempo, in quarters a minute, and every word of direction, in lower case."""
    tempo, words = None, []
    for element in score.recurse():
        if "MetronomeMark" in element.classes:
            speed = element.getQuarterBPM()
            if tempo is None and speed and 10 <= round(speed) <= 500:
                tempo = round(speed)
            words.append(str(element.text or "").lower())
        elif "TextExpression" in element.classes:
            words.append(str(element.content).lower())
    return tempo, words
