"""The notes of a music21 measure: the top voice, as plain events."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import floor
from typing import Any, Literal, NamedTuple

from music21.duration import convertTypeToQuarterLength
from music21.harmony import Harmony

from core.exchange.frame import NO_CHORD, exact
from core.exchange.hairpins import Span
from core.exchange.plain import Remark
from core.study import DYNAMICS, Note, Pitch, Tuplet
from core.study.fit import PlainEvent

_ARTICULATIONS = {
    "Staccato": ("staccato",), "Tenuto": ("tenuto",), "Accent": ("accent",), "StrongAccent": ("marcato",),
    "DetachedLegato": ("staccato", "tenuto"), "Falloff": ("fall",), "Scoop": ("scoop",), "Doit": ("doit",),
    "FretBend": ("bend",)}
_READ_ELSEWHERE = {"StringIndication", "FretIndication", "Fingering", "UpBow", "DownBow", "FretBend",
                   "HammerOn", "PullOff"}
_WEDGES: dict[str, Literal["cresc", "dim"]] = {"Crescendo": "cresc", "Diminuendo": "dim"}
_HAND_MARKS = ("StringIndication", "FretIndication", "Fingering")
Places = dict[tuple[Fraction, int], Any]


class _Hand(NamedTuple):
    """Where the file has a head played, None where it does not say."""

    string: int | None = None
    fret: int | None = None
    finger: int | None = None


class Line:
    """The marks of a staff that reach from note to note."""

    def __init__(self, staff: Any) -> None:
        spanners = [(kind, spanner) for kind in ("Slur", "Glissando")
                    for spanner in staff.recurse().getElementsByClass(kind)]
        self._slurs = [(id(spanner.getFirst()), id(spanner.getLast())) for kind, spanner in spanners if kind == "Slur"]
        wedges = staff.recurse().getElementsByClass("DynamicWedge")
        self._hairpins = [(_WEDGES[type(wedge).__name__], id(wedge.getFirst()), id(wedge.getLast()))
                          for wedge in wedges]
        self._slides = {id(spanner.getLast()) for kind, spanner in spanners if kind == "Glissando"}

    def slurs(self, sources: list[Any]) -> list[tuple[int, int]]:
        """First and last index, into the notes that were taken, of every slur between two of them."""
        at = {id(source): index for index, source in enumerate(sources)}
        return [(at[first], at[last]) for first, last in self._slurs if first in at and last in at]

    def hairpins(self, sources: list[Any]) -> list[Span]:
        """Every hairpin between two of the notes and rests that were taken."""
        at = {id(source): index for index, source in enumerate(sources)}
        return [Span(kind, at[first], at[last]) for kind, first, last in self._hairpins if first in at and last in at]

    @property
    def hairpin_count(self) -> int:
        return len(self._hairpins)

    def slides_to(self, note: Any) -> bool:
        return id(note) in self._slides


def events_of(measure: Any, index: int, line: Line, tab: Places,
              remarks: list[Remark]) -> list[tuple[PlainEvent, Any]]:
    """The top voice of the measure in time order, each event beside the music21 object it was read from."""
    _remark_marks(measure, index, remarks)
    voices = sorted(measure.voices, key=_voice_order)
    sounding = [voice for voice in voices if any(not isinstance(note, Harmony) for note in voice.notes)]
    container = (sounding or voices or [measure])[0]
    if len(sounding) > 1:
        remarks.append(Remark("Lower voices left out", index))
    found = []
    for source in container.notesAndRests:
        if isinstance(source, Harmony):
            continue
        onset = exact(source.getOffsetInHierarchy(measure))
        event = _event(source, onset, index, remarks)
        if event is not None:
            hand = _hands(source, event, tab)
            if len(event.notes) > 1 and any(type(mark).__name__ in _HAND_MARKS for mark in source.articulations) \
                    and not any(any(place) for place in hand):
                remarks.append(Remark("Fingering of double stops that is not given for every note left out", index))
            notes = tuple(_with_hand(note, place) for note, place in zip(event.notes, hand, strict=True))
            slide = ("slide",) if line.slides_to(source) else ()
            found.append((replace(event, notes=notes, articulations=event.articulations + slide), source))
    return _with_dynamics(found, measure, index, remarks)


def _with_dynamics(found: list[tuple[PlainEvent, Any]], measure: Any, index: int,
                   remarks: list[Remark]) -> list[tuple[PlainEvent, Any]]:
    """Each dynamic at the event that begins with it, or else sounds then; one an event."""
    events = [event for event, _ in found]
    for mark in measure.recurse().getElementsByClass("Dynamic"):
        at = exact(mark.getOffsetInHierarchy(measure))
        place = max((place for place, event in enumerate(events) if not event.grace and event.onset <= at < event.end),
                    default=None)
        if mark.value not in DYNAMICS:
            remarks.append(Remark("Dynamics other than ppp to fff, sf, sfz and fp left out", index))
        elif place is None or events[place].dynamic not in ("", mark.value):
            remarks.append(Remark("Dynamics without a note of their own left out", index))
        else:
            events[place] = replace(events[place], dynamic=mark.value)
    return [(event, source) for event, (_, source) in zip(events, found, strict=True)]


def _voice_order(voice: Any) -> tuple[int, str]:
    name = str(voice.id)
    return (int(name), "") if name.isdecimal() else (1_000, name)


def _remark_marks(measure: Any, index: int, remarks: list[Remark]) -> None:
    for element in measure.recurse():
        kinds = element.classSet
        if "TextExpression" in kinds and str(element.content).strip() not in NO_CHORD:
            remarks.append(Remark("Words of direction left out", index))
        elif "GeneralNote" in kinds and element.lyrics:
            remarks.append(Remark("Lyrics left out", index))


def _event(source: Any, onset: Fraction, index: int, remarks: list[Remark]) -> PlainEvent | None:
    duration = source.duration
    tuplets = _tuplets(duration)
    length = exact(duration.quarterLength)
    if duration.isGrace:
        base = exact(convertTypeToQuarterLength(duration.type)) if duration.type not in ("zero", "inexpressible") \
            else Fraction(1, 2)
        length, tuplets = base * (2 - Fraction(1, 2**duration.dots)), ()
    elif length == 0:
        remarks.append(Remark("Notes of no length left out", index))
        return None
    if source.isRest:
        return PlainEvent(onset, length, (), tuplets)
    if "Unpitched" in source.classes or "PercussionChord" in source.classes or not source.pitches:
        remarks.append(Remark("Notes of no pitch are shown as rests", index))
        return PlainEvent(onset, length, (), tuplets)
    articulations, stroke = _marks(source, index, remarks)
    return PlainEvent(onset, length, _heads(source, index, remarks), tuplets, duration.isGrace, "",
                      articulations, stroke)


def _tuplets(duration: Any) -> tuple[Tuplet, ...]:
    """Outermost first. music21 hangs a group that was never closed on the next, with its inverse to undo it."""
    found = [Tuplet(each.numberNotesActual, each.numberNotesNormal, each.type in ("start", "startStop"))
             for each in duration.tuplets]
    for tuplet in list(found):
        inverse = next((other for other in found if other[:2] == (tuplet.normal, tuplet.actual)), None)
        if tuplet in found and inverse is not None and inverse is not tuplet:
            found.remove(tuplet)
            found.remove(inverse)
    return tuple(found)


def _heads(source: Any, index: int, remarks: list[Remark]) -> tuple[Note, ...]:
    heads = []
    for note in (source.notes if source.isChord else [source]):
        tie = note.tie or (source.tie if source.isChord else None)
        pitch = _pitch(note.pitch, index, remarks)
        heads.append(Note(pitch, tie=tie is not None and tie.type in ("start", "continue"),
                          ghost=bool(note.noteheadParenthesis)))
    return tuple(sorted(heads, key=lambda head: (head.pitch.midi, head.pitch.diatonic)))


def _pitch(pitch: Any, index: int, remarks: list[Remark]) -> Pitch:
    alter = pitch.alter + (pitch.microtone.cents / 100 if pitch.microtone is not None else 0)
    whole = floor(alter + 0.5)
    if whole != alter:
        remarks.append(Remark("Microtones rounded to the nearest half step", index))
    if abs(whole) > 3:
        return Pitch(*_plain_spelling(pitch))
    return Pitch(pitch.step, whole, pitch.implicitOctave)


def _plain_spelling(pitch: Any) -> tuple[str, int, int]:
    simple = type(pitch)(pitch.midi)
    return simple.step, int(simple.alter), simple.implicitOctave


def _marks(source: Any, index: int,
           remarks: list[Remark]) -> tuple[tuple[str, ...], Literal["", "down", "up"]]:
    names: list[str] = []
    stroke: Literal["", "down", "up"] = ""
    for mark in source.articulations:
        kind = type(mark).__name__
        if kind in ("UpBow", "DownBow"):  # MusicXML 4.0: the strokes of plucked instruments too (references G5)
            stroke = "up" if kind == "UpBow" else "down"
        elif kind not in _ARTICULATIONS and kind not in _READ_ELSEWHERE:
            remarks.append(Remark("Other articulations left out", index))
        names += _ARTICULATIONS.get(kind, ())
    for ornament in source.expressions:
        if type(ornament).__name__ == "Turn":
            names.append("turn")
        else:
            remarks.append(Remark("Ornaments and fermatas left out", index))
    return tuple(dict.fromkeys(names)), stroke


def _hands(source: Any, event: PlainEvent, tab: Places) -> list[_Hand]:
    """String, fret and finger of each head, low to high; the tab staff's where the note's own staff says nothing."""
    own = _hand_marks(source) if event.notes else {}
    found = []
    for note in event.notes:
        hand = own.get(note.pitch.midi, _Hand())
        below = tab.get((event.onset, note.pitch.midi))
        if hand.string is None and below is not None and not event.grace:
            hand = _hand_marks(below).get(note.pitch.midi, _Hand())._replace(finger=hand.finger)
        found.append(hand)
    return found


def _hand_marks(source: Any) -> dict[int, _Hand]:
    """By MIDI number. music21 hands over a chord's marks in the order of its notes, in one list."""
    by_kind: dict[str, list[int]] = {kind: [] for kind in _HAND_MARKS}
    for mark in source.articulations:
        kind = type(mark).__name__
        if kind in by_kind:
            value = mark.fingerNumber if kind == "Fingering" else mark.number
            by_kind[kind].append(value if isinstance(value, int) else -1)
    pitches = [pitch.midi for pitch in source.pitches]
    columns = [row if len(row) == len(pitches) else [-1] * len(pitches) for row in by_kind.values()]
    return {midi: _Hand(*(value if value >= 0 else None for value in values))
            for midi, *values in zip(pitches, *columns, strict=True)}


def _with_hand(note: Note, hand: _Hand) -> Note:
    finger = hand.finger if hand.finger is not None and 0 <= hand.finger <= 4 else None
    fret = hand.fret if hand.string else None
    return Note(note.pitch, note.tie, note.ghost, hand.string or None, fret, finger)
