"""Every note of a study against the chord in force, the key and the teacher's reading; a bar is done once.

A note struck just before a change and held into the new chord at least as long as it sounded in the
old is judged by the new one, and so is a short note at a change that only the new chord holds, where the
same pitch or a rest follows (an anticipation).

An edit keeps every untouched bar the same object, so a bar's analysis is kept where the bar is that
object and what it looks at round it (chords, key, the notes next to it) is the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from core.errors import BarglossError
from core.harmony import ChordSymbol, Degree, degree_in_chord, degree_in_key, parse_chord, parse_harmony
from core.harmony.chord import MAJOR_SEVENTH
from core.line.place import place_of
from core.line.roles import Head, Line, Role, Standing, role_of, standings
from core.study import Bar, Change, Event, InForce, Key, Meter, Note, Pitch, Study, shared_ends

_NO_REST = Fraction(0)
_BEAT = 2  # the strength from which a place is a beat
_BLUE = (3, 6)  # semitones above the tonic
_MAJOR_MODES = ("major", "ionian", "mixolydian", "lydian")


@dataclass(frozen=True, slots=True)
class NoteAnalysis:
    """The degrees of one head. chord: None where no chord is in force; reading: None where there is none.

    judged_by: the chord its degree and role are of; is_chord_tone: of that chord. strength and beat: of its
    place in the bar (see `place`).
    """

    chord: Degree | None
    key: Degree
    reading: Degree | None
    role: Role
    judged_by: ChordSymbol | None = None
    is_chord_tone: bool = False
    strength: int = 0
    beat: int = 0


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
    """A sounding event near a place in the line, and the rest (quarters) that lies before or after it."""

    rest: Fraction
    heads: tuple[Head, ...]


class _Coming(NamedTuple):
    """What the bar after shows of its start: a chord written there, what is struck, and how long a tie lasts on."""

    chord: ChordSymbol | None
    struck: frozenset[int]
    begins_with_rest: bool
    held: Fraction


class _Stood(NamedTuple):
    """A bar's notes over their chords. chord: carried into it; changes: its own.

    over: what each event is judged by; early: that is the chord to come.
    leads: its first two sounding events; tail: the silence at its end, all of it where nothing sounds.
    """

    bar: Bar
    chord: str
    changes: tuple[Change, ...]
    following: Bar | None
    coming: _Coming | None
    length: Fraction
    chords: tuple[ChordSpan, ...]
    over: tuple[ChordSymbol | None, ...]
    early: tuple[bool, ...]
    stand: tuple[tuple[Standing | None, ...], ...]
    heads: tuple[tuple[Head, ...], ...]
    leads: tuple[_Edge, ...]
    tail: Fraction


class _Seen(NamedTuple):
    """What a bar's analysis was made from, and the last sounding event it shows the next."""

    stood: _Stood
    key: Key
    meter: Meter
    is_pickup: bool
    before: _Edge | None
    after: tuple[_Edge, ...]
    last: _Edge | None
    result: BarAnalysis


@dataclass(frozen=True)
class Analysis:
    """A whole study, bar for bar."""

    bars: tuple[BarAnalysis, ...]
    _seen: tuple[_Seen, ...] = field(default=(), repr=False, compare=False)
    _of: tuple[InForce, ...] = field(default=(), repr=False, compare=False)


def analyse(study: Study, before: Analysis | None = None) -> Analysis:
    """Degrees and roles of every note. before: the analysis of the study as it was before an edit, to build on: from
    the first bar that an edit changed something for to the first that comes out as it was."""
    bars = study.in_force
    old, was = (before._seen, before._of) if before else ((), ())
    lead, trail = shared_ends(was, bars)
    first, end = max(0, lead - 1), len(bars) - trail  # a bar looks at the one after it
    olds = _Olds(old)
    stood = [_stood_before(olds.of(here), here.length, following) or _stand_bar(here, following)
             for here, following in zip(bars[first:end], (*bars[first + 1:end + 1], None), strict=False)]
    afters = _afters(stood, old[:first], old[end - 1].after if trail else ())
    start = first + len(stood) - len(afters)
    stood = [*[seen.stood for seen in old[start:first]], *stood]
    found = list(old[:start])
    last = found[-1].last if found else None
    for here, own, after in zip(bars[start:end], stood, afters, strict=True):
        seen = _seen_before(olds.of(here), here, own, (last, after)) or _analyse_bar(here, own, last, after)
        found.append(seen)
        last = seen.last
    for here, known in zip(bars[end:], old[end:], strict=False):
        seen = _seen_before((known,), here, known.stood, (last, known.after)) or _analyse_bar(
            here, known.stood, last, known.after)
        if seen is known:
            break
        found.append(seen)
        last = seen.last
    found += old[len(found):] if trail else ()
    return Analysis(tuple([seen.result for seen in found]), tuple(found), bars)


class _Olds:
    """What an earlier analysis saw of a bar: at its place nearly always, else wherever the bar stood."""

    def __init__(self, seen: tuple[_Seen, ...]) -> None:
        self._seen = seen
        self._by_bar: dict[int, list[_Seen]] | None = None

    def of(self, here: InForce) -> Sequence[_Seen]:
        """Those of this very bar under the chord it begins with, and the same chords in it."""
        under = (_carried(here), here.changes)
        if here.index < len(self._seen):
            old = self._seen[here.index]
            if old.stood.bar is here.bar and (old.stood.chord, old.stood.changes) == under:
                return (old,)
        if self._by_bar is None:
            self._by_bar = defaultdict(list)
            for old in self._seen:
                self._by_bar[id(old.stood.bar)].append(old)
        return [old for old in self._by_bar.get(id(here.bar), ()) if (old.stood.chord, old.stood.changes) == under]


def shown_degree(note: Note, analysis: NoteAnalysis) -> str:
    """The degree to print: the teacher's own name for it, else the one over the chord, "" where there is none."""
    return note.degree or (analysis.chord.name if analysis.chord else "")


def _coming(here: InForce | None) -> _Coming | None:
    if here is None:
        return None
    chord = _chord(here.changes[0].symbol) if _begins_with_change(here) else None
    events = here.bar.events
    if not events:
        return _Coming(chord, frozenset(), True, _NO_REST)
    return _Coming(chord, frozenset(note.pitch.midi for note in events[0].notes), events[0].is_rest, events[0].duration)


def _stood_before(olds: Sequence[_Seen], length: Fraction, following: InForce | None) -> _Stood | None:
    """How the bar stood, where its length and the bar that follows now do not change that."""
    then = following.bar if following else None
    for old in olds:
        if old.stood.length != length:
            continue
        if old.stood.following is then:
            return old.stood
        if old.stood.coming == _coming(following):
            return old.stood._replace(following=then)
    return None


def _seen_before(olds: Sequence[_Seen], here: InForce, stood: _Stood,
                 edges: tuple[_Edge | None, tuple[_Edge, ...]]) -> _Seen | None:
    """What was seen of the bar, where all it looks at is as it was."""
    for old in olds:
        if (old.stood.stand is stood.stand and (old.before, old.after) == edges and old.key == here.key
                and old.meter == here.meter and old.is_pickup == (here.number == 0)):
            return old if old.stood is stood else old._replace(stood=stood)
    return None


def _stand_bar(here: InForce, following: InForce | None) -> _Stood:
    events, coming, then = here.bar.events, _coming(following), following.bar if following else None
    chords = _chord_spans(here)
    over = _chord_of_each(events, chords)
    early = [False] * len(events)
    for index, change, ahead in _changes_at_hand(here, chords, coming):
        event, now = events[index], over[index]
        new, old = _stand(event, ahead)[-1], _stand(event, now)[-1]
        only_new = new is not None and new.is_chord_tone and old is not None and not old.is_chord_tone
        if _is_held_over(here, index, change, coming) or (only_new and _is_let_go(here, index, change, coming)):
            over[index], early[index] = ahead, only_new
    stand = tuple([_stand(event, chord) for event, chord in zip(events, over, strict=True)])
    heads = tuple([_heads(event, own) for event, own in zip(events, stand, strict=True)])
    sounding = [at for at, own in enumerate(heads) if own]
    leads = tuple(_Edge(_silence(events, before + 1, at), heads[at]) for before, at in pairwise([-1, *sounding[:2]]))
    tail = _silence(events, sounding[-1] + 1 if sounding else 0, len(events)) if events else here.length
    return _Stood(here.bar, _carried(here), here.changes, then, coming, here.length, chords, tuple(over),
                  tuple(early), stand, heads, leads, tail)


def _silence(events: tuple[Event, ...], start: int, stop: int) -> Fraction:
    """How long these rests last together."""
    return sum([event.duration for event in events[start:stop]], _NO_REST)


def _changes_at_hand(here: InForce, chords: tuple[ChordSpan, ...],
                     coming: _Coming | None) -> Iterator[tuple[int, Fraction, ChordSymbol]]:
    """The notes struck at most a quarter before a chord that they reach: index, where the chord begins, the chord."""
    events = here.bar.events
    changes = [(span.offset, span.chord) for span in chords if span.offset]
    if coming is not None:
        changes.append((here.length, coming.chord))
    for at, chord in changes:
        if chord is None:
            continue
        earliest = at - 1
        for index in range(len(events) - 1, -1, -1):
            event = events[index]
            if event.onset >= at:
                continue
            if event.onset < earliest:
                break
            if event.notes and not event.grace and (event.notes[-1].tie or event.end >= at):
                yield index, at, chord


def _is_held_over(here: InForce, index: int, change: Fraction, coming: _Coming | None) -> bool:
    """Whether a note sounds on in the chord that begins at `change` at least as long as before it."""
    events = here.bar.events
    first, end = events[index], events[index].end
    midi, tied = first.notes[-1].pitch.midi, first.notes[-1].tie
    for event in events[index + 1:]:
        if not tied:
            break
        same = [note for note in event.notes if note.pitch.midi == midi]
        if not same:
            break
        end, tied = event.end, same[0].tie
    if tied and end == here.length and coming is not None and midi in coming.struck:
        end += coming.held
    return end - change >= change - first.onset


def _is_let_go(here: InForce, index: int, change: Fraction, coming: _Coming | None) -> bool:
    """Whether a note ends where the chord begins, and a rest or the same pitch follows."""
    events = here.bar.events
    event = events[index]
    if event.end != change:
        return False
    midi = event.notes[-1].pitch.midi
    if index + 1 < len(events):
        following = events[index + 1]
        return following.is_rest or any(note.pitch.midi == midi for note in following.notes)
    return coming is not None and (coming.begins_with_rest or midi in coming.struck)


def _afters(stood: Sequence[_Stood], earlier: Sequence[_Seen], after: tuple[_Edge, ...]) -> list[tuple[_Edge, ...]]:
    """The next two sounding events after each bar; and after each of the earlier ones, back to where they are what
    they were. after: those after the last bar."""
    found: list[tuple[_Edge, ...]] = []
    for own in reversed(stood):
        found.append(after)
        after = _seen_ahead(own, after)
    for seen in reversed(earlier):
        if after == seen.after:
            break
        found.append(after)
        after = _seen_ahead(seen.stood, after)
    found.reverse()
    return found


def _seen_ahead(own: _Stood, after: tuple[_Edge, ...]) -> tuple[_Edge, ...]:
    """What the bar before sees ahead of it."""
    return own.leads if len(own.leads) > 1 else (*own.leads, *_later(after, own.tail))[:2]


def _later(edges: tuple[_Edge, ...], rest: Fraction) -> tuple[_Edge, ...]:
    return (edges[0]._replace(rest=edges[0].rest + rest), *edges[1:]) if edges else ()


def _analyse_bar(here: InForce, stood: _Stood, before: _Edge | None, after: tuple[_Edge, ...]) -> _Seen:
    key, events = here.key, here.bar.events
    readings = _reading_spans(here)
    following = _followers(events, stood.heads, after)
    heard = _heard_by_each(events, readings)
    begins = any([not (span.carried or span.offset) for span in stood.chords])
    changes = [span.offset for span in stood.chords if span.offset]
    shift = here.meter.length - here.length if here.number == 0 else _NO_REST
    edge = before
    notes: list[tuple[NoteAnalysis, ...]] = []
    for index, event in enumerate(events):
        if event.notes:
            stand, over = stood.stand[index], stood.over[index]
            strong, beat = place_of(here.meter, event.onset + shift if shift else event.onset)
            roles = _roles(_Struck(event, stand, over, stood.early[index],
                                   event.onset in changes if event.onset else begins, strong < _BEAT),
                           edge, following[index], key)
            notes.append(tuple(
                [NoteAnalysis(standing and standing.degree, degree_in_key(note.pitch, key),
                              _against(note.pitch, heard[index]), role, over,
                              standing is not None and standing.is_chord_tone, strong, beat)
                 for note, standing, role in zip(event.notes, stand, roles, strict=True)]))
            edge = _Edge(_NO_REST, stood.heads[index])
        else:
            notes.append(())
            edge = edge and _Edge(edge.rest + event.duration, edge.heads)
    if not events:
        edge = edge and _Edge(edge.rest + here.length, edge.heads)
    return _Seen(stood, key, here.meter, here.number == 0, before, after, edge,
                 BarAnalysis(stood.chords, readings, tuple(notes)))


def _followers(events: tuple[Event, ...], heads: tuple[tuple[Head, ...], ...],
               after: tuple[_Edge, ...]) -> list[tuple[_Edge, ...]]:
    """The two sounding events after each event."""
    found: list[tuple[_Edge, ...]] = []
    edges = after
    for event, own in zip(reversed(events), reversed(heads), strict=True):
        found.append(edges)
        edges = (_Edge(_NO_REST, own), *edges[:1]) if own else _later(edges, event.duration)
    found.reverse()
    return found


class _Struck(NamedTuple):
    """An event over its chord."""

    event: Event
    stand: tuple[Standing | None, ...]
    over: ChordSymbol | None
    is_early: bool
    at_change: bool
    is_weak: bool


def _roles(struck: _Struck, before: _Edge | None, following: tuple[_Edge, ...], key: Key) -> list[Role]:
    event = struck.event
    came = _within_reach(before)
    follows = _within_reach(following[0]) if following else ()
    then = _within_reach(following[1]) if follows and len(following) > 1 else ()
    held = {head.midi for head in before.heads if head.is_held} if before else set()
    short = event.grace or _is_up_to_a_quarter(event.duration)
    roles: list[Role] = []
    for note, standing in zip(event.notes, struck.stand, strict=True):
        if standing is None:
            roles.append("no chord")
        else:
            midi = note.pitch.midi
            in_key = key.alter_of(note.pitch.step) == note.pitch.alter
            alone = not note.tie and midi not in held
            roles.append(role_of(standing, Line(midi, came, follows, then, short and alone, in_key, struck.is_weak,
                                                struck.is_early, struck.at_change, _is_blue(midi, struck.over, key))))
    return roles


def _is_blue(midi: int, over: ChordSymbol | None, key: Key) -> bool:
    tonic = key.tonic.chroma
    return ((midi - tonic) % 12 in _BLUE and key.mode in _MAJOR_MODES and over is not None and not over.altered
            and over.root.chroma == tonic and over.triad == "major" and over.seventh != MAJOR_SEVENTH)


def _within_reach(edge: _Edge | None) -> tuple[Head, ...]:
    return edge.heads if edge is not None and (not edge.rest or _is_up_to_a_quarter(edge.rest)) else ()


def _is_up_to_a_quarter(duration: Fraction) -> bool:
    return duration.numerator <= duration.denominator  # several times as fast as `<= 1`, once a note


def _stand(event: Event, chord: ChordSymbol | None) -> tuple[Standing | None, ...]:
    if chord is None:
        return (None,) * len(event.notes)
    twelve, root = standings(chord), chord.root.chroma
    return tuple([twelve[(note.pitch.midi - root) % 12] for note in event.notes])


def _heads(event: Event, stand: tuple[Standing | None, ...]) -> tuple[Head, ...]:
    return tuple([Head(note.pitch.midi, standing is not None and standing.is_chord_tone, note.tie)
                  for note, standing in zip(event.notes, stand, strict=True)])


def _against(pitch: Pitch, heard: ChordSymbol | Key | None) -> Degree | None:
    if heard is None:
        return None
    return degree_in_key(pitch, heard) if isinstance(heard, Key) else degree_in_chord(pitch, heard)


def _begins_with_change(here: InForce) -> bool:
    changes = here.changes
    return bool(changes) and not changes[0].offset


def _carried(here: InForce) -> str:
    """The symbol in force at the bar's start, "" where the bar begins with one of its own."""
    return "" if _begins_with_change(here) else here.chord


def _chord_spans(here: InForce) -> tuple[ChordSpan, ...]:
    spans = []
    carried = _carried(here)
    if carried:
        spans.append(ChordSpan(_NO_REST, carried, _chord(carried), carried=True))
    spans += [ChordSpan(offset, symbol, _chord(symbol)) for offset, symbol in here.changes]
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
