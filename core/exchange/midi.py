"""MIDI: which part, where its bars lie, how its notes are written and spelled."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from music21.note import Note as ReadNote
from music21.stream import Stream

from core.errors import BarglossError
from core.exchange.choice import choose
from core.exchange.plain import Piece, PlainBar, Remark
from core.exchange.quantise import TOGETHER, Played, Quantised, quantise
from core.exchange.smf import MidiFile, MidiPart, read_smf
from core.harmony import spell
from core.study import Key, Meter, Note, Pitch, Tuplet
from core.study.fit import PlainEvent

MOST_KEY_NOTES = 2_000  # enough to find a key by
_MOST_OVERLAPS = Fraction(1, 10)
_TUPLETS: dict[int, tuple[Tuplet, ...]] = {1: (), 3: (Tuplet(3, 2),), 6: (Tuplet(6, 4),)}


@dataclass(frozen=True)
class _BarSpan:
    start: Fraction
    meter: Meter
    length: Fraction


def read_midi(raw: bytes, part: int | None) -> Piece:
    """The part that is a single line, quantised and spelled. Raises BarglossError, ChoiceNeeded."""
    file = read_smf(raw)
    parts = {number: each for number, each in enumerate(file.parts.values(), 1)}
    names = {number: each.name or f"Part {number}" for number, each in parts.items()}
    if not parts:
        raise BarglossError("the MIDI file has no notes of a pitch to bring in; choose another file")
    lines = [number for number, each in parts.items() if _is_line(each, file.division)]
    if part is None and len(lines) == 1:
        part = lines[0]
    number = choose(names, part, "part")
    played = [Played(Fraction(note.start, file.division), Fraction(note.stop, file.division), note.key)
              for note in parts[number].notes]
    spans = _bar_spans(file, max(note.stop for note in played) + 1)
    key, key_remark = _key(file, played)
    beats = [beat for span in spans for beat in _beats(span)]
    found = quantise(played, beats, all(span.meter.unit == 4 for span in spans))
    remarks = [*(Remark(text) for text in sorted(file.left_out)), *key_remark, *_remarks(file, found, spans)]
    if len(parts) > 1:
        remarks.append(Remark("Other parts left out: " + ", ".join(f"{n} {names[n]}" for n in parts if n != number)))
    tempo = round(60_000_000 / file.tempi[0][1]) if file.tempi and file.tempi[0][1] else 120
    bars = _bars(found, spans, key)
    bars[0] = replace(bars[0], key=key)
    return Piece(tuple(bars), file.title, tempo=min(max(tempo, 10), 500),
                 feel="swing" if found.is_swung else "straight", remarks=tuple(remarks))


def _is_line(part: MidiPart, division: int) -> bool:
    """Hardly any note begins under another that sounds on."""
    overlaps = sum(after.start + TOGETHER * division < before.stop and before.key != after.key
                   for before, after in pairwise(part.notes))
    return overlaps <= _MOST_OVERLAPS * len(part.notes)


def _bar_spans(file: MidiFile, end: Fraction) -> list[_BarSpan]:
    """Every bar up to `end`; one is cut short where a new meter begins inside it."""
    meters = [(_on_sixteenth(Fraction(tick, file.division)), Meter((top,), bottom))
              for tick, top, bottom in sorted(file.meters, key=lambda mark: mark[0])]
    spans: list[_BarSpan] = []
    at, meter = Fraction(0), Meter()
    while at < end:
        while meters and meters[0][0] <= at:
            meter = meters.pop(0)[1]
        length = min(meter.length, meters[0][0] - at) if meters else meter.length
        spans.append(_BarSpan(at, meter, length))
        at += length
    return spans


def _on_sixteenth(time: Fraction) -> Fraction:
    return Fraction(round(time * 4), 4)


def _beats(span: _BarSpan) -> list[Fraction]:
    return [span.start + step for step in range(-(-span.length.numerator // span.length.denominator))]


def _key(file: MidiFile, played: Sequence[Played]) -> tuple[Key, list[Remark]]:
    """The file's key, or the one that music21 finds by the weights of Krumhansl and Schmuckler."""
    if file.keys:
        _, fifths, is_minor = min(file.keys)
        return Key(fifths, "minor" if is_minor else "major"), (
            [Remark("Changes of key left out")] if len({key[1:] for key in file.keys}) > 1 else [])
    stream: Any = Stream()
    for note in played[:MOST_KEY_NOTES]:
        stream.append(ReadNote(note.key, quarterLength=max(note.stop - note.start, Fraction(1, 64))))
    best = stream.analyze("key")
    key = Key(best.sharps, best.mode) if -7 <= best.sharps <= 7 else Key()
    return key, [Remark(f"The file names no key; {key.tonic.name} {key.mode} fits its notes best")]


def _remarks(file: MidiFile, found: Quantised, spans: Sequence[_BarSpan]) -> list[Remark]:
    most, mean = max(found.moved), sum(found.moved) / len(found.moved)
    remarks = [Remark(f"Notes were moved by up to {float(most):.3f}, on average {float(mean):.3f} of a quarter")]
    if found.is_swung:
        remarks.append(Remark("Most off-beats lie near two thirds of the beat: they are written as even eighths, "
                              "the feel is swing, and moves are counted from two thirds"))
    for note in found.left_out:
        remarks.append(Remark("Notes that sound with others left out",
                              bisect_right(spans, note.start, key=lambda span: span.start) - 1))
    if len({tempo for _, tempo in file.tempi}) > 1:
        remarks.append(Remark("Changes of tempo left out"))
    if not file.meters:
        remarks.append(Remark("The file names no meter; 4/4 was taken"))
    return remarks


def _bars(found: Quantised, spans: Sequence[_BarSpan], key: Key) -> list[PlainBar]:
    last = max(note.stop for note in found.notes)
    bars: list[PlainBar] = []
    meter = None
    pitches = _spelled(found, key)
    for span in spans:
        if span.start >= last:
            break
        events = _bar_events(found, span, pitches)
        bars.append(PlainBar(tuple(events), span=span.length, meter=span.meter if span.meter != meter else None))
        meter = span.meter
    return bars


def _spelled(found: Quantised, key: Key) -> list[Pitch]:
    following = [note.key for note in found.notes[1:]]
    return [spell(note.key, key, None, after) for note, after in zip(found.notes, [*following, None], strict=True)]


def _bar_events(found: Quantised, span: _BarSpan, pitches: Sequence[Pitch]) -> list[PlainEvent]:
    """Notes and rests of a bar."""
    end = span.start + span.length
    events: list[PlainEvent] = []
    at = span.start
    for index in range(bisect_right(found.notes, span.start, key=lambda note: note.stop), len(found.notes)):
        note = found.notes[index]
        if note.start >= end:
            break
        start, stop = max(note.start, span.start), min(note.stop, end)
        pieces = _pieces(found, span, start, stop)
        ties = [*([True] * (len(pieces) - 1)), note.stop > stop]
        events += _pieces(found, span, at, start)
        events += [replace(piece, notes=(Note(pitches[index], tie=tie),))
                   for piece, tie in zip(pieces, ties, strict=True)]
        at = stop
    return events + _pieces(found, span, at, end)


def _pieces(found: Quantised, span: _BarSpan, start: Fraction, stop: Fraction) -> list[PlainEvent]:
    """One rest from start to stop, or several: none reaches across the edge of a beat in triplets."""
    beats = [beat for beat in _beats(span) if beat in found.tuplets]
    edges = sorted({edge for beat in beats for edge in (beat, beat + 1) if start < edge < stop})
    pieces = []
    for begin, end in pairwise([start, *edges, stop]):
        parts = next((found.tuplets[beat] for beat in beats if beat <= begin and end <= beat + 1), 1)
        if begin < end:
            pieces.append(PlainEvent(begin - span.start, end - begin, (), _TUPLETS[parts]))
    return pieces
