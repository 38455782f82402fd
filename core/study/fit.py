"""Making events writable: gaps filled, durations split where no single head lasts so long, tuplet groups marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from core.errors import BarglossError
from core.study.pitch import Meter
from core.study.values import Event, Note, Tuplet, written

_VALUES = tuple(Fraction(8) / 2**power for power in range(10))
_MOST_PARTS = 12


@dataclass(frozen=True, slots=True)
class PlainEvent:
    """A note, double stop, rest or grace note of any duration, whether one head writes it or not.

    A tuplet's `starts` is set where its group is known to begin.
    """

    onset: Fraction
    duration: Fraction
    notes: tuple[Note, ...] = ()
    tuplets: tuple[Tuplet, ...] = ()
    grace: bool = False
    slur: Literal["", "start", "stop", "both"] = ""
    articulations: tuple[str, ...] = ()
    stroke: Literal["", "down", "up"] = ""
    dynamic: str = ""
    hairpin: Literal["", "cresc", "dim", "stop"] = ""
    remark: str = ""

    @property
    def end(self) -> Fraction:
        return self.onset if self.grace else self.onset + self.duration


def filled(events: Sequence[PlainEvent], length: Fraction) -> tuple[list[PlainEvent], bool]:
    """The events end to end up to `length`, rests where nothing was; and whether any had to go for an overlap."""
    at = Fraction(0)
    line: list[PlainEvent] = []
    dropped = False
    for event in events:
        if event.onset < at:
            dropped = True
            continue
        if event.onset > at:
            line.append(PlainEvent(at, event.onset - at))
        line.append(event)
        at = event.end
    if at < length:
        line.append(PlainEvent(at, length - at))
    return line, dropped


def writable(event: PlainEvent, meter: Meter) -> list[Event]:
    """The event as one head, or as several tied ones, split at beats where that serves. Raises BarglossError."""
    tuplets = event.tuplets
    ratio = _ratio(tuplets)
    if ratio == 1 and event.duration.denominator & (event.duration.denominator - 1):
        tuplets = (_tuplet_for(event.duration.denominator),)
        ratio = _ratio(tuplets)
    lengths = list(_split(event.onset, event.duration, ratio, meter)) if not event.grace else [event.duration]
    if not lengths or written(lengths[0] * ratio) is None:
        raise BarglossError(f"no note values write {event.duration} of a quarter; correct its length in the file")
    found, at = [], event.onset
    for place, length in enumerate(lengths):
        is_last = place == len(lengths) - 1
        found.append(Event(
            at, length, event.notes if is_last else tuple(replace(note, tie=True) for note in event.notes),
            tuplets if place == 0 else tuple(tuplet._replace(starts=False) for tuplet in tuplets), event.grace,
            _slur_at(event.slur, place == 0, is_last), event.articulations if place == 0 else (),
            event.stroke if place == 0 else "", dynamic=event.dynamic if place == 0 else "",
            hairpin=event.hairpin if place == 0 else "", remark=event.remark if place == 0 else ""))
        at += length
    return found


def _slur_at(slur: str, is_first: bool, is_last: bool) -> Literal["", "start", "stop", "both"]:
    """A slur leaves from the last of tied heads and arrives at the first where both meet, else it spans them all."""
    if slur == "both":
        return "both" if is_first and is_last else "stop" if is_first else "start" if is_last else ""
    if slur == "start":
        return "start" if is_first else ""
    return "stop" if slur == "stop" and is_last else ""


def _ratio(tuplets: Sequence[Tuplet]) -> Fraction:
    """Written over sounding length."""
    ratio = Fraction(1)
    for tuplet in tuplets:
        ratio *= Fraction(tuplet.actual, tuplet.normal)
    return ratio


def _tuplet_for(denominator: int) -> Tuplet:
    """The usual tuplet that divides by the odd part of `denominator`: 3 in the time of 2, 5 or 7 of 4, 9 of 8."""
    while denominator % 2 == 0:
        denominator //= 2
    return Tuplet(denominator, 1 << (denominator.bit_length() - 1))


def _split(onset: Fraction, duration: Fraction, ratio: Fraction, meter: Meter) -> Iterator[Fraction]:
    """Lengths of single heads that add up to `duration`; the fewest, cut at the strongest place that allows it."""
    if written(duration * ratio) is not None:
        yield duration
        return
    for cut in _cuts(onset, onset + duration, meter):
        first = cut - onset
        if written(first * ratio) is not None and written((duration - first) * ratio) is not None:
            yield first
            yield duration - first
            return
    left = duration * ratio
    for _ in range(_MOST_PARTS):
        value = next((value for value in _VALUES if value <= left), None)
        if value is None:
            return
        yield value / ratio
        left -= value
        if not left:
            return


def _cuts(start: Fraction, stop: Fraction, meter: Meter) -> list[Fraction]:
    """Places inside a note to cut it at, the strongest first: mid-bar, the beats, then the half beats."""
    beats = list(meter.beats)
    middle = [beat for beat in beats if beat * 2 == meter.length]
    halves = [beat + Fraction(step, 2) for beat in range(int(stop) + 1) for step in (0, 1)]
    ordered = dict.fromkeys([*middle, *beats, *map(Fraction, halves)])
    return [cut for cut in ordered if start < cut < stop]


@dataclass
class _Group:
    """A tuplet group being filled. taken and shortest: written quarters at its own level."""

    ratio: tuple[int, int]
    is_declared: bool
    taken: Fraction = Fraction(0)
    shortest: Fraction = Fraction(64)

    def is_full(self) -> bool:
        """Its notes add up to `actual` of some plain note value. Common practice, for files that mark no groups."""
        unit = self.taken / self.ratio[0]
        return not self.is_declared and unit in _VALUES and unit >= self.shortest


def with_groups(events: Sequence[Event]) -> list[Event]:
    """The events of a bar, each tuplet group marked at its first: where the file says so, else where it must begin."""
    open_groups: list[_Group] = []
    found = []
    for event in events:
        if event.grace:
            found.append(event)
            continue
        marked = []
        length = event.duration
        del open_groups[len(event.tuplets):]
        for level, tuplet in enumerate(event.tuplets):
            length = length * tuplet.actual / tuplet.normal
            ratio = (tuplet.actual, tuplet.normal)
            group = open_groups[level] if level < len(open_groups) else None
            begins = group is None or group.ratio != ratio or tuplet.starts or group.is_full()
            if begins or group is None:
                group = _Group(ratio, tuplet.starts)
                open_groups[level:] = [group]
            group.taken += length
            group.shortest = min(group.shortest, length)
            marked.append(tuplet._replace(starts=begins))
        found.append(replace(event, tuplets=tuple(marked)))
    return found


def with_ties(rows: Sequence[Sequence[Event]]) -> tuple[list[list[Event]], list[int]]:
    """Bars of events whose every tie is held on by the next event, and the bars in which one had to go.

    A tie between two spellings of one key number keeps the first spelling (ties never join different pitches).
    """
    flat = [(bar, event) for bar, row in enumerate(rows) for event in row]
    dropped: list[int] = []
    for at, (bar, event) in enumerate(flat):
        if not any(note.tie for note in event.notes):
            continue
        after_bar, after = flat[at + 1] if at + 1 < len(flat) else (bar, None)
        kept = []
        for note in event.notes:
            heads = after.notes if after is not None else ()
            partner = next((head for head in heads if head.pitch.midi == note.pitch.midi), None)
            kept.append(replace(note, tie=note.tie and partner is not None))
            if note.tie and partner is None:
                dropped.append(bar)
            elif note.tie and partner is not None and after is not None and partner.pitch != note.pitch:
                after = replace(after, notes=_respelled(after.notes, partner, note))
                flat[at + 1] = (after_bar, after)
        flat[at] = (bar, replace(event, notes=tuple(kept)))
    result: list[list[Event]] = [[] for _ in rows]
    for bar, event in flat:
        result[bar].append(event)
    return result, dropped


def _respelled(notes: Sequence[Note], old: Note, like: Note) -> tuple[Note, ...]:
    heads = [replace(note, pitch=like.pitch) if note is old else note for note in notes]
    return tuple(sorted(heads, key=lambda head: (head.pitch.midi, head.pitch.diatonic)))
