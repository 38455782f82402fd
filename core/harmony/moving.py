"""A whole study moved to another key: its notes, chord symbols, readings and changes of key, each by the same step."""

from __future__ import annotations

from dataclasses import replace

from core.errors import BarglossError
from core.harmony.changes import transposed_symbol
from core.harmony.chord import ChordSymbolError
from core.harmony.reading import parse_harmony
from core.study import Event, InForce, Key, Note, Pitch, PitchClass, Study, edits
from core.study.values import height
from core.study.writing import settle_ties

_MOST_ALTERED = 2  # a note that would need three signs is written by its other name


def moved_to(study: Study, key: Key, half_steps: int) -> Study:
    """With every note so many half steps higher, spelled by where it stood in its key, and beginning in this one.

    half_steps: from the old tonic to the new, in whichever direction. What does not parse as harmony stays as it is
    written, and so do words. Strings, frets and fingers of the teacher's go where notes sound elsewhere.
    Raises BarglossError, told with the printed bar number, for a note that would be out of range.
    """
    old = study.in_force[0].key
    if (key.tonic.chroma - old.tonic.chroma - half_steps) % 12:
        raise BarglossError(f"{half_steps} half steps do not lead from {old.name} to {key.name}; choose another number")
    step = key.tonic.fifths - old.tonic.fifths
    bars = []
    for here in study.in_force:
        fifths = step if here.key == old else _moved_key(here.key, step).tonic.fifths - here.key.tonic.fifths
        try:
            events = tuple(_moved_event(event, fifths, half_steps) for event in here.bar.events)
        except BarglossError as fault:
            raise BarglossError(fault.what, bar=here.number) from None
        bars.append(replace(
            here.bar, events=events, key=_key_at(here, old, key, step),
            changes=tuple(one._replace(symbol=_moved_symbol(one.symbol, fifths)) for one in here.bar.changes),
            readings=tuple(one._replace(harmony=_moved_harmony(one.harmony, step, fifths))
                           for one in here.bar.readings)))
    moved = edits.set_key(replace(study, bars=tuple(bars)), key)
    return settle_ties(moved, 0, len(bars) - 1)


def _key_at(here: InForce, old: Key, new: Key, step: int) -> Key | None:
    """What the bar says of its key."""
    if here.bar.key is None:
        return None
    return new if here.bar.key == old else _moved_key(here.bar.key, step)


def _moved_key(key: Key, fifths: int) -> Key:
    place = key.fifths + fifths
    while place > 7:
        place -= 12
    while place < -7:
        place += 12
    return Key(place, key.mode)


def _moved_event(event: Event, fifths: int, half_steps: int) -> Event:
    if event.is_rest:
        return event
    notes = [_moved_note(note, fifths, half_steps) for note in event.notes]
    return replace(event, notes=tuple(sorted(notes, key=height)))


def _moved_note(note: Note, fifths: int, half_steps: int) -> Note:
    place = note.pitch.pitch_class.fifths + fifths
    name = PitchClass.at_fifths(place)
    while abs(name.alter) > _MOST_ALTERED:
        place += -12 if name.alter > 0 else 12
        name = PitchClass.at_fifths(place)
    midi = note.pitch.midi + half_steps
    pitch = Pitch(name.step, name.alter, (midi - name.alter) // 12 - 1)
    return replace(note, pitch=pitch) if not half_steps else replace(
        note, pitch=pitch, string=None, fret=None, finger=None)


def _moved_symbol(symbol: str, fifths: int) -> str:
    try:
        return transposed_symbol(symbol, fifths)
    except ChordSymbolError:
        return symbol


def _moved_harmony(text: str, step: int, fifths: int) -> str:
    try:
        harmony = parse_harmony(text)
    except BarglossError:
        return text
    return f"key of {_moved_key(harmony, step).name}" if isinstance(harmony, Key) else transposed_symbol(text, fifths)
