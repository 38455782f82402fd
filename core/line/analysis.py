"""Every note of a study against the chord in force, the key and the teacher's reading; a bar is done once.

An edit keeps every untouched bar the same object, so a bar's analysis is kept where the bar is that
object and what it looks at round it (chord, key, the notes next to it) is the same.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from core.errors import BarglossError
from core.harmony import ChordSymbol, Degree, degree_in_chord, degree_in_key, parse_chord, parse_harmony
from core.line.roles import Head, Line, Role, Standing, role_of, standings
from core.study import Bar, Event, InForce, Key, Note, Pitch, Study

_NO_REST = Fraction(0)


@dataclass(frozen=True, slots=True)
class NoteAnalysis:
    """The degrees of one head. chord: None where no chord is in force; reading: None where there is none."""

    chord: Degree | None
    key: Degree
    reading: Degree | None
    role: Role


class ChordSpan(NamedTuple):
    """A chord in force from `offset` (quarters from the bar's start) to the next. carried: from an earlier bar.

    chord: None where the symbol is N.C. or cannot be read.
    """

    offset: Fraction
    symbol: str
    chord: ChordSymbol | None
    carried: bool = False


class ReadingSpan(NamedTuple):
    """A reading from `offset` to `stop`, in quarters. heard: None where it cannot be read."""

    offset: Fraction
    stop: Fraction
    harmony: str
    heard: ChordSymbol | Key | None


@dataclass(frozen=True, slots=True)
class BarAnalysis:
    """One bar. notes: one tuple for each event of the bar, one analysis in it for each head."""

    chords: tuple[ChordSpan, ...]
    readings: tuple[ReadingSpan, ...]
    notes: tuple[tuple[NoteAnalysis, ...], ...]


class _Edge(NamedTuple):
    """The sounding event next to a place in the line, and the rest (quarters) that lies between."""

    rest: Fraction
    heads: tuple[Head, ...]


class _Seen(NamedTuple):
    """What a bar's analysis was made from, and what it shows its neighbours."""

    bar: Bar
    chord: str
    key: Key
    length: Fraction
    before: _Edge | None
    after: _Edge | None
    first: _Edge | None
    last: _Edge | None
    result: BarAnalysis


@dataclass(frozen=True)
class Analysis:
    """A whole study, bar for bar."""

    bars: tuple[BarAnalysis, ...]
    _seen: tuple[_Seen, ...] = field(default=(), repr=False, compare=False)


def analyse(study: Study, before: Analysis | None = None) -> Analysis:
    """Degrees and roles of every note. before: the analysis of the study as it was before an edit, to build on."""
    known: dict[tuple[int, str], list[_Seen]] = defaultdict(list)
    for seen in before._seen if before else ():
        known[id(seen.bar), seen.chord].append(seen)
    firsts = [_first_of(here, known) for here in study.in_force]
    found: list[_Seen] = []
    last: _Edge | None = None
    for here, after in zip(study.in_force, [*firsts[1:], None], strict=True):
        chord = _carried(here)
        same = next((old for old in known.get((id(here.bar), chord), ())
                     if old.key == here.key and old.before == last and old.after == after
                     and old.length == here.length), None)
        seen = same or _analyse_bar(here, last, after, firsts[here.index])
        known[id(here.bar), chord].append(seen)
        found.append(seen)
        last = seen.last
    return Analysis(tuple(seen.result for seen in found), tuple(found))


def shown_degree(note: Note, analysis: NoteAnalysis) -> str:
    """The degree to print: the teacher's own name for it, else the one over the chord, "" where there is none."""
    return note.degree or (analysis.chord.name if analysis.chord else "")


def _first_of(here: InForce, known: dict[tuple[int, str], list[_Seen]]) -> _Edge | None:
    seen = known.get((id(here.bar), _carried(here)))
    if seen:
        return seen[0].first
    events = here.bar.events
    for event, chord in zip(events, _chord_of_each(events, _chord_spans(here)), strict=True):
        if event.notes:
            return _Edge(event.onset, _heads(event, _stand(event, chord)))
    return None


def _analyse_bar(here: InForce, before: _Edge | None, after: _Edge | None, first: _Edge | None) -> _Seen:
    bar, key, events = here.bar, here.key, here.bar.events
    chords = _chord_spans(here)
    readings = _reading_spans(here)
    stand = [_stand(event, chord) for event, chord in zip(events, _chord_of_each(events, chords), strict=True)]
    heads = [_heads(event, own) for event, own in zip(events, stand, strict=True)]
    following = _followers(events, heads, after)
    heard = _heard_by_each(events, readings)
    edge = before
    notes: list[tuple[NoteAnalysis, ...]] = []
    for index, event in enumerate(events):
        if event.notes:
            roles = _roles(event, stand[index], heads[index], (edge, following[index]), key)
            notes.append(tuple(
                NoteAnalysis(standing and standing.degree, degree_in_key(note.pitch, key),
                             _against(note.pitch, heard[index]), role)
                for note, standing, role in zip(event.notes, stand[index], roles, strict=True)))
            edge = _Edge(_NO_REST, heads[index])
        else:
            notes.append(())
            edge = edge and _Edge(edge.rest + event.duration, edge.heads)
    last = edge if any(heads) else None
    return _Seen(bar, _carried(here), key, here.length, before, after, first, last,
                 BarAnalysis(chords, readings, tuple(notes)))


def _followers(events: tuple[Event, ...], heads: list[tuple[Head, ...]], after: _Edge | None) -> list[_Edge | None]:
    """The sounding event after each event."""
    found: list[_Edge | None] = []
    edge = after
    for event, own in zip(reversed(events), reversed(heads), strict=True):
        found.append(edge)
        if own:
            edge = _Edge(_NO_REST, own)
        elif edge is not None:
            edge = edge._replace(rest=edge.rest + event.duration)
    found.reverse()
    return found


def _roles(event: Event, stand: list[Standing | None], heads: tuple[Head, ...],
           edges: tuple[_Edge | None, _Edge | None], key: Key) -> list[Role]:
    before, after = edges
    came, follows = _within_reach(before), _within_reach(after)
    held = {head.midi for head in before.heads if head.is_held} if before else set()
    short = event.grace or _is_up_to_a_quarter(event.duration)
    roles: list[Role] = []
    for note, standing, head in zip(event.notes, stand, heads, strict=True):
        if standing is None:
            roles.append("no chord")
        else:
            in_key = key.alter_of(note.pitch.step) == note.pitch.alter
            alone = not note.tie and head.midi not in held
            roles.append(role_of(standing, Line(head.midi, came, follows, short and alone, in_key)))
    return roles


def _within_reach(edge: _Edge | None) -> tuple[Head, ...]:
    return edge.heads if edge is not None and _is_up_to_a_quarter(edge.rest) else ()


def _is_up_to_a_quarter(duration: Fraction) -> bool:
    return duration.numerator <= duration.denominator  # several times as fast as `<= 1`, once a note


def _stand(event: Event, chord: ChordSymbol | None) -> list[Standing | None]:
    if chord is None:
        return [None] * len(event.notes)
    twelve, root = standings(chord), chord.root.chroma
    return [twelve[(note.pitch.midi - root) % 12] for note in event.notes]


def _heads(event: Event, stand: list[Standing | None]) -> tuple[Head, ...]:
    return tuple([Head(note.pitch.midi, standing is not None and standing.is_chord_tone, note.tie)
                  for note, standing in zip(event.notes, stand, strict=True)])


def _against(pitch: Pitch, heard: ChordSymbol | Key | None) -> Degree | None:
    if heard is None:
        return None
    return degree_in_key(pitch, heard) if isinstance(heard, Key) else degree_in_chord(pitch, heard)


def _begins_with_change(here: InForce) -> bool:
    changes = here.bar.changes
    return bool(changes) and not changes[0].offset


def _carried(here: InForce) -> str:
    """The symbol in force at the bar's start, "" where the bar begins with one of its own."""
    return "" if _begins_with_change(here) and here.bar.changes[0].symbol != "%" else here.chord


def _chord_spans(here: InForce) -> tuple[ChordSpan, ...]:
    spans = []
    symbol = _carried(here)
    if symbol and not _begins_with_change(here):
        spans.append(ChordSpan(_NO_REST, symbol, _chord(symbol), carried=True))
    for offset, written in here.bar.changes:
        symbol = symbol if written == "%" else written
        spans.append(ChordSpan(offset, written, _chord(symbol)))
    return tuple(spans)


def _reading_spans(here: InForce) -> tuple[ReadingSpan, ...]:
    readings = here.bar.readings
    stops = [*(reading.offset for reading in readings[1:]), here.length]
    return tuple(ReadingSpan(offset, stop, harmony, _harmony(harmony))
                 for (offset, harmony), stop in zip(readings, stops, strict=False) if harmony.strip())


def _chord_of_each(events: tuple[Event, ...], spans: tuple[ChordSpan, ...]) -> list[ChordSymbol | None]:
    """The chord in force at each event."""
    if len(spans) == 1 and not spans[0].offset:
        return [spans[0].chord] * len(events)
    found: list[ChordSymbol | None] = []
    chord, at = None, 0
    for event in events:
        while at < len(spans) and spans[at].offset <= event.onset:
            chord = spans[at].chord
            at += 1
        found.append(chord)
    return found


def _heard_by_each(events: tuple[Event, ...], spans: tuple[ReadingSpan, ...]) -> list[ChordSymbol | Key | None]:
    """The reading at each event."""
    if not spans:
        return [None] * len(events)
    return [next((span.heard for span in spans if span.offset <= event.onset < span.stop), None) for event in events]


@lru_cache(maxsize=1024)
def _chord(symbol: str) -> ChordSymbol | None:
    try:
        chord = parse_chord(symbol)
    except BarglossError:
        return None
    return chord if isinstance(chord, ChordSymbol) else None


@lru_cache(maxsize=1024)
def _harmony(text: str) -> ChordSymbol | Key | None:
    try:
        return parse_harmony(text)
    except BarglossError:
        return None
