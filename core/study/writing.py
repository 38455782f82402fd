"""Writing music into a study: notes put over what stands there, taken out, lengthened, tied and moved in pitch.

A bar stays full: what a note leaves over becomes rest, what it needs it takes from the notes after it, over the
barline where it is long, and past the last bar in new bars. Each function gives a new study and raises
BarglossError, told with the printed bar number, where that cannot be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, replace
from fractions import Fraction

from core.errors import BarglossError
from core.study.edits import set_events, set_note_pitch
from core.study.fit import PlainEvent, filled, with_groups, with_ties, writable
from core.study.pitch import STEPS, Key, Meter, Pitch
from core.study.study import NotePlace, Study
from core.study.ties import tie_chain
from core.study.values import Bar, Event, Note, Tuplet, height, written

_START = Fraction(0)
_MOST_ALTERED = 2  # double sharps and double flats
_SHARED = tuple(each.name for each in fields(PlainEvent))


def sounding(value: Fraction, tuplets: Sequence[Tuplet] = ()) -> Fraction:
    """How long a written value lasts inside these tuplets, in quarters."""
    for tuplet in tuplets:
        value = value * tuplet.normal / tuplet.actual
    return value


def write(study: Study, bar: int, event: PlainEvent) -> Study:
    """With this note, double stop or rest in the bar, over whatever sounds while it lasts."""
    while bar >= len(study.bars):
        study = replace(study, bars=(*study.bars, Bar()))
    here = study.in_force[bar]
    if event.onset >= here.length:
        return write(study, bar + 1, replace(event, onset=event.onset - here.length))
    if event.tuplets and not _is_in_group(here.bar, event):
        study = _open_group(study, bar, event)
        here = study.in_force[bar]
    left = event.end - here.length
    own = event if left <= 0 else replace(event, duration=here.length - event.onset, notes=tied(event.notes, True))
    row = [*_cleared(here.bar, own.onset, own.end, here.length, keep_graces=bool(own.notes)), own]
    study = _with_row(study, bar, sorted(row, key=_order))
    if left > 0:
        study = write(study, bar + 1, replace(event, onset=_START, duration=left, articulations=(), stroke="",
                                              dynamic="", hairpin="", slur="", remark=""))
    return settle_ties(study, bar)


def erase(study: Study, place: NotePlace) -> Study:
    """With silence where the event was; a grace note is taken out, and a head of a double stop alone goes."""
    event = study.event_at(place)
    if event.grace:
        return _with_event(study, place, None)
    if len(event.notes) > 1:
        notes = tuple(note for at, note in enumerate(event.notes) if at != place.note)
        return settle_ties(_with_event(study, place, replace(event, notes=notes)), place.bar)
    rest = Event(event.onset, event.duration, tuplets=event.tuplets)
    return settle_ties(_with_event(study, place, rest), place.bar)


def silence(study: Study, first: NotePlace, last: NotePlace) -> Study:
    """With rests for everything from one event to another; graces among them go."""
    for bar in range(first.bar, last.bar + 1):
        kept = []
        for at, event in enumerate(study.bars[bar].events):
            if not first[:2] <= (bar, at) <= last[:2]:
                kept.append(event)
            elif not event.grace:
                kept.append(Event(event.onset, event.duration, tuplets=event.tuplets))
        study = set_events(study, bar, () if all(event.is_rest for event in kept) else tuple(kept))
    return settle_ties(study, first.bar, last.bar)


def toggle_ghost(study: Study, place: NotePlace) -> Study:
    """As a ghost note, or as a plain one again."""
    note = study.note_at(place)
    return _with_note(study, place, replace(note, ghost=not note.ghost))


def set_value(study: Study, place: NotePlace, value: Fraction, tuplets: tuple[Tuplet, ...] | None = None) -> Study:
    """With the event written as another value (quarters, dots counted): over the notes after it, or a rest after it."""
    event = study.event_at(place)
    if event.grace:
        if written(value) is None:
            raise BarglossError(f"no single note lasts {value} quarters; choose another value")
        return _with_event(study, place, replace(event, duration=value))
    tuplets = event.tuplets if tuplets is None else tuplets
    duration = sounding(value, tuplets)
    cleared = _with_event(study, place, Event(event.onset, event.duration, tuplets=event.tuplets))
    return write(cleared, place.bar, replace(plain_of(event), duration=duration, tuplets=tuplets,
                                             notes=tied(event.notes, False)))


def add_head(study: Study, place: NotePlace, note: Note) -> Study:
    """With one more note in the event, which becomes a double stop; on a rest, with its first note."""
    event = study.event_at(place)
    if any(other.pitch.midi == note.pitch.midi for other in event.notes):
        raise BarglossError(f"{note.pitch.name} is there already; choose another pitch",
                            bar=study.in_force[place.bar].number)
    return _with_event(study, place, replace(event, notes=tuple(sorted([*event.notes, note], key=height))))


def altered(study: Study, place: NotePlace, by: int) -> Study:
    """With the head, and all it is tied to, so many half steps sharper by the same letter. Raises BarglossError."""
    pitch = study.note_at(place).pitch
    if abs(pitch.alter + by) > _MOST_ALTERED:
        raise BarglossError(f"{pitch.name} has no more room for a sign; give it its other name, or move it by a half "
                            "step", bar=study.in_force[place.bar].number)
    return set_note_pitch(study, place, pitch._replace(alter=pitch.alter + by))


def toggle_tie(study: Study, place: NotePlace) -> Study:
    """Held on into the next note, or no longer. Raises BarglossError where no note of the same pitch follows."""
    note = study.note_at(place)
    changed = _with_note(study, place, replace(note, tie=not note.tie))
    if note.tie or tie_chain(changed, place)[-1] != place:
        return changed
    raise BarglossError(f"{note.pitch.name} is not followed by the same pitch; write it there first, then tie",
                        bar=study.in_force[place.bar].number)


def toggle_articulation(study: Study, place: NotePlace, articulation: str) -> Study:
    """With the articulation, or without it where it was there."""
    event = study.event_at(place)
    there = articulation in event.articulations
    marks = tuple(mark for mark in event.articulations if mark != articulation)
    return _with_event(study, place, replace(event, articulations=marks if there else (*marks, articulation)))


def slur_between(study: Study, first: NotePlace, last: NotePlace) -> Study:
    """With a slur from one event to a later one; without it where just that slur was there."""
    is_forward = (first.bar, first.event) < (last.bar, last.event)
    if not is_forward or study.event_at(first).is_rest or study.event_at(last).is_rest:
        raise BarglossError("a slur goes from a note to a later one; choose two notes",
                            bar=study.in_force[first.bar].number)
    start, stop = study.event_at(first).slur, study.event_at(last).slur
    is_there = start in ("start", "both") and stop in ("stop", "both")
    ends = (("stop" if start == "both" else ""), ("start" if stop == "both" else "")) if is_there else (
        ("both" if start in ("stop", "both") else "start"), ("both" if stop in ("start", "both") else "stop"))
    for place, slur in ((first, ends[0]), (last, ends[1])):
        study = _with_event(study, place, replace(study.event_at(place), slur=slur))  # type: ignore[arg-type]
    return study


def transpose(study: Study, first: NotePlace, last: NotePlace, move: Callable[[Pitch], Pitch]) -> Study:
    """With every pitch from one place to another moved. What the teacher set for the old pitch goes."""
    for bar in range(first.bar, last.bar + 1):
        events = study.bars[bar].events
        start = first.event if bar == first.bar else 0
        stop = last.event + 1 if bar == last.bar else len(events)
        moved = [_moved(event, move) if start <= at < stop else event for at, event in enumerate(events)]
        study = set_events(study, bar, tuple(moved)) if moved != list(events) else study
    return settle_ties(study, first.bar, last.bar)


def by_octaves(octaves: int) -> Callable[[Pitch], Pitch]:
    """A move by whole octaves."""
    return lambda pitch: pitch._replace(octave=pitch.octave + octaves)


def by_steps(steps: int, key: Key) -> Callable[[Pitch], Pitch]:
    """A move by scale steps of a key; a note outside the key keeps its distance from its letter's key form.

    Where that is a note of the key by another letter, it has the key's name: below A in Eb major is no G# but Ab.
    """
    def move(pitch: Pitch) -> Pitch:
        diatonic = pitch.diatonic + steps
        step = STEPS[diatonic % 7]
        alter = key.alter_of(step) + pitch.alter - key.alter_of(pitch.step)
        moved = Pitch(step, max(-2, min(2, alter)), diatonic // 7)
        other = respelled(moved)
        return other if not _is_of(key, moved) and _is_of(key, other) else moved
    return move


def _is_of(key: Key, pitch: Pitch) -> bool:
    return pitch.alter == key.alter_of(pitch.step)


def by_half_steps(half_steps: int, spell: Callable[[int], Pitch]) -> Callable[[Pitch], Pitch]:
    """A move by half steps. spell: the pitch for a key number."""
    return lambda pitch: spell(pitch.midi + half_steps)


def respelled(pitch: Pitch) -> Pitch:
    """The same sound by the next other letter with at most a single sign, the nearer first: C# Db, E Fb."""
    for way in (1, -1):
        diatonic = pitch.diatonic + way
        step, octave = STEPS[diatonic % 7], diatonic // 7
        alter = pitch.midi - Pitch(step, 0, octave).midi
        if abs(alter) <= 1:
            return Pitch(step, alter, octave)
    return pitch


def _order(event: PlainEvent) -> tuple[Fraction, bool]:
    return event.onset, not event.grace


def plain_of(event: Event) -> PlainEvent:
    return PlainEvent(**{name: getattr(event, name) for name in _SHARED})


def tied(notes: tuple[Note, ...], tie: bool) -> tuple[Note, ...]:
    return tuple(replace(note, tie=tie) for note in notes)


def _cleared(
    bar: Bar, start: Fraction, stop: Fraction, length: Fraction, *, keep_graces: bool = False
) -> Iterator[PlainEvent]:
    """The bar's events with nothing from `start` to `stop`. keep_graces: but the grace notes that lead to `start`."""
    events = [plain_of(event) for event in bar.events] or [PlainEvent(_START, length)]
    for event in events:
        if event.grace:
            if not start <= event.onset < stop or (keep_graces and event.onset == start):
                yield event
            continue
        if event.onset < start:
            cut = event.end > start
            yield replace(event, duration=start - event.onset, notes=tied(event.notes, False)) if cut else event
        if event.end > stop:
            yield PlainEvent(stop, event.end - stop, tuplets=event.tuplets) if event.onset < stop else event


def _is_in_group(bar: Bar, event: PlainEvent) -> bool:
    """Whether a tuplet of the same kind stands where the event begins."""
    kinds = [tuplet[:2] for tuplet in event.tuplets]
    return any(old.onset <= event.onset < old.end and [tuplet[:2] for tuplet in old.tuplets] == kinds
               for old in bar.events)


def _open_group(study: Study, bar: int, event: PlainEvent) -> Study:
    """With rests that make a whole group of the event's tuplet, where it fits the bar."""
    here = study.in_force[bar]
    units, span = event.tuplets[-1].actual, event.duration * event.tuplets[-1].actual
    stop = event.onset + span
    if stop > here.length or written(sounding(span, event.tuplets[:-1])) is None:
        return study
    rests = [PlainEvent(event.onset + unit * event.duration, event.duration,
                        tuplets=tuple(tuplet._replace(starts=unit == 0) for tuplet in event.tuplets))
             for unit in range(units)]
    row = sorted([*_cleared(here.bar, event.onset, stop, here.length), *rests], key=_order)
    return _with_row(study, bar, row, keep_rests=True)


def _with_row(study: Study, bar: int, row: Sequence[PlainEvent], *, keep_rests: bool = False) -> Study:
    here = study.in_force[bar]
    full, _ = filled(row, here.length)
    try:
        events = with_groups([head for event in _with_rests_joined(full) for head in heads_of(event, here.meter)])
    except BarglossError as fault:
        raise BarglossError(fault.what, bar=here.number) from None
    is_silent = not keep_rests and all(event.is_rest for event in events)
    return set_events(study, bar, () if is_silent else tuple(events))


def _with_rests_joined(row: Sequence[PlainEvent]) -> list[PlainEvent]:
    """Rests next to each other as one; those of a tuplet stay as they are."""
    joined: list[PlainEvent] = []
    for event in row:
        last = joined[-1] if joined else None
        if last is not None and all(one.notes == () and not one.tuplets and not one.dynamic and not one.hairpin
                                    for one in (last, event)):
            joined[-1] = replace(last, duration=last.duration + event.duration)
        else:
            joined.append(event)
    return joined


def heads_of(event: PlainEvent, meter: Meter) -> list[Event]:
    ratio = sounding(Fraction(1), event.tuplets)
    if event.tuplets and not event.grace and written(event.duration / ratio) is None:
        event = replace(event, tuplets=())  # what is left of a tuplet's note is written by its own length
    return writable(event, meter)


def settle_ties(study: Study, first: int, last: int | None = None) -> Study:
    """Without ties that nothing answers, from the bar before to the one after."""
    start = max(0, first - 1)
    stop = min(len(study.bars), (first if last is None else last) + 2)
    rows, _ = with_ties([study.bars[at].events for at in range(start, stop)])
    for at, row in enumerate(rows, start):
        ends_here = at == stop - 1 and stop < len(study.bars)
        if tuple(row) != study.bars[at].events and not ends_here:
            study = set_events(study, at, tuple(row))
    return study


def _with_event(study: Study, place: NotePlace, event: Event | None) -> Study:
    events = study.bars[place.bar].events
    changed = (*events[:place.event], *([] if event is None else [event]), *events[place.event + 1:])
    return set_events(study, place.bar, () if all(one.is_rest for one in changed) else changed)


def _with_note(study: Study, place: NotePlace, note: Note) -> Study:
    event = study.event_at(place)
    notes = (*event.notes[:place.note], note, *event.notes[place.note + 1:])
    return _with_event(study, place, replace(event, notes=notes))


def _moved(event: Event, move: Callable[[Pitch], Pitch]) -> Event:
    notes = []
    for note in event.notes:
        pitch = move(note.pitch)
        same_sound = pitch.midi == note.pitch.midi
        bare = note if pitch == note.pitch else replace(note, degree="", pitch=pitch)
        notes.append(bare if same_sound else replace(bare, string=None, fret=None, finger=None))
    return replace(event, notes=tuple(sorted(notes, key=height)))
