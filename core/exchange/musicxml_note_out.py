"""One event of a study as MusicXML <note> elements.

Element order and names follow W3C MusicXML 3.1. <pitch> is the sounding pitch: the octave
treble clef of the part, not the pitch, says that guitar is printed an octave up (G4).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from lxml import etree

from core.exchange.spans_out import EventSpans
from core.study import Event, Key, Note

if TYPE_CHECKING:
    from lxml.etree import _Element as Element

_TYPES: dict[Fraction, str] = {Fraction(8) / 2**power: name for power, name in enumerate((
    "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th"))}
_ACCIDENTALS = {-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp",
                3: "triple-sharp"}
_ARTICULATIONS = {"staccato": "staccato", "tenuto": "tenuto", "accent": "accent", "marcato": "strong-accent",
                  "fall": "falloff", "scoop": "scoop", "doit": "doit"}
_NOT_XML = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0, 2.2 does not allow."""
_STROKES = {"down": "down-bow", "up": "up-bow"}  # G5: the bow signs are the pick's as well


class Place(NamedTuple):
    """Where one head is played and with which finger; None where it is not said."""

    string: int | None
    fret: int | None
    finger: int | None


class Setting(NamedTuple):
    """What is known of an event beside its own values. name: as in reports, `7.3`, it makes the ids; places: one a
    head; stroke: "" where none is said; beams: `beam` values from level 1 on.
    """

    name: str
    spans: EventSpans
    places: tuple[Place, ...]
    stroke: str
    beams: tuple[str, ...]


class Signs:
    """The accidentals in force in one bar, by letter and octave (E25)."""

    def __init__(self, key: Key) -> None:
        self._key = key
        self._alters: dict[tuple[str, int], int] = {}

    def sign_for(self, note: Note, *, held: bool) -> str:
        """The accidental this head needs, "" for none. A held head shows none, and changes nothing (E26)."""
        step, alter, octave = note.pitch
        if held or self._alters.get((step, octave), self._key.alter_of(step)) == alter:
            return ""
        self._alters[step, octave] = alter
        return _ACCIDENTALS[alter]


def sub(parent: Element, name: str, text: object = "", /, **attributes: object) -> Element:
    """A new last child of `parent`."""
    child = etree.SubElement(parent, name, {key.replace("_", "-"): str(value) for key, value in attributes.items()})
    if text != "":
        child.text = _NOT_XML.sub(" ", str(text))
    return child


def add_event(measure: Element, event: Event, setting: Setting, signs: Signs, divisions: int) -> None:
    """Append the event's heads, or its rest, to the measure."""
    if event.is_rest:
        note = sub(measure, "note", id=f"n{setting.name}")
        sub(note, "rest")
        _add_length(note, event, divisions)
        _add_notations(note, event, setting)
    for index, head in enumerate(event.notes):
        note = sub(measure, "note", id=f"n{setting.name}.{index + 1}" if index else f"n{setting.name}")
        if event.grace:
            sub(note, "grace", slash="yes")
        if index:
            sub(note, "chord")
        pitch = sub(note, "pitch")
        sub(pitch, "step", head.pitch.step)
        if head.pitch.alter:
            sub(pitch, "alter", head.pitch.alter)
        sub(pitch, "octave", head.pitch.octave)
        held = head.pitch.midi in setting.spans.held
        _add_length(note, event, divisions, ties=(held, head.tie), accidental=signs.sign_for(head, held=held))
        if head.ghost:
            sub(note, "notehead", "normal", parentheses="yes")
        if index == 0:
            for level, value in enumerate(setting.beams, start=1):
                sub(note, "beam", value, number=level)
        _add_notations(note, event, setting, index)


def _add_length(note: Element, event: Event, divisions: int, *,
                ties: tuple[bool, bool] = (False, False), accidental: str = "") -> None:
    if not event.grace:
        sub(note, "duration", (event.duration * divisions).numerator)
    for there, kind in zip(ties, ("stop", "start"), strict=True):
        if there:
            sub(note, "tie", type=kind)
    sub(note, "voice", 1)
    shape = event.written
    sub(note, "type", _TYPES[shape.value])
    for _ in range(shape.dots):
        sub(note, "dot")
    if accidental:
        sub(note, "accidental", accidental)
    if event.tuplets:
        actual = normal = 1
        for tuplet in event.tuplets:
            actual, normal = actual * tuplet.actual, normal * tuplet.normal
        modification = sub(note, "time-modification")
        sub(modification, "actual-notes", actual)
        sub(modification, "normal-notes", normal)


def _add_notations(note: Element, event: Event, setting: Setting, index: int = 0) -> None:
    """What belongs to the head `index` goes on it, what belongs to the event on its first head or its rest only."""
    notations = etree.Element("notations")
    first = index == 0
    if event.notes:
        head = event.notes[index]
        if head.pitch.midi in setting.spans.held:
            sub(notations, "tied", type="stop")
        if head.tie:
            sub(notations, "tied", type="start")
    if first:
        _add_spans(notations, setting.spans)
        if "turn" in event.articulations:
            sub(sub(notations, "ornaments"), "turn")
    _add_technical(notations, setting.places[index] if event.notes else None, setting.stroke if first else "",
                   bend=first and "bend" in event.articulations)
    marks = [_ARTICULATIONS[name] for name in event.articulations if first and name in _ARTICULATIONS]
    if marks:
        articulations = sub(notations, "articulations")
        for name in marks:
            sub(articulations, name)
    if len(notations):
        note.append(notations)


def _add_spans(notations: Element, spans: EventSpans) -> None:
    for edge in spans.slurs:
        sub(notations, "slur", type=edge.kind, number=edge.number)
    for group in spans.tuplets:
        if group.kind == "stop":
            sub(notations, "tuplet", type="stop", number=group.number)
            continue
        tuplet = sub(notations, "tuplet", type="start", number=group.number, bracket="yes")
        for side, count in (("tuplet-actual", group.actual), ("tuplet-normal", group.normal)):
            portion = sub(tuplet, side)
            sub(portion, "tuplet-number", count)
            if group.unit is not None:
                sub(portion, "tuplet-type", _TYPES[group.unit])
    for edge in spans.slides:
        sub(notations, "slide", type=edge.kind, number=edge.number, line_type="solid")


def _add_technical(notations: Element, place: Place | None, stroke: str, *, bend: bool) -> None:
    technical = etree.Element("technical")
    if stroke:
        sub(technical, _STROKES[stroke])
    if place is not None and place.finger is not None:
        sub(technical, "fingering", place.finger)
    if place is not None and place.string is not None:
        sub(technical, "string", place.string)
    if place is not None and place.fret is not None:
        sub(technical, "fret", place.fret)
    if bend:
        # MusicXML wants an amount and a study gives none: a half step, common practice, no source.
        sub(sub(technical, "bend"), "bend-alter", 1)
    if len(technical):
        notations.append(technical)
