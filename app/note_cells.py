"""The cells of the table of notes: what each says of a head, who said it, and what the teacher may write there."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from app import words_about as words
from app.note_panel import read_degree
from app.spoken import degree_of, grip_of, pretty
from app.words import EDIT_DEGREE, EDIT_FINGER, EDIT_REMARK, EDIT_STRING, EDIT_STROKE
from core.errors import BarglossError
from core.guitar import EventFingering, Place, places
from core.handout import Layout
from core.study import NotePlace, Study, edits


class Cell(NamedTuple):
    """text: as shown; own: whether the teacher set it; typed: as it is edited."""

    text: str
    own: bool
    typed: str


class Written(NamedTuple):
    """An edit by the name it is undone by."""

    name: str
    change: Callable[[Study], Study]


def cell(layout: Layout, place: NotePlace, column: str) -> Cell:
    """What stands in a column of words.COLUMNS."""
    note, event, grip = layout.study.note_at(place), layout.study.event_at(place), grip_of(layout, place)
    if column == "note":
        return Cell(pretty(note.pitch.name), True, "")
    if column == "degree":
        return Cell(pretty(degree_of(layout, place)), bool(note.degree), note.degree)
    if column == "stroke":
        played = layout.fingering.bars[place.bar].events[place.event]
        return Cell(event.stroke or _hand(played), bool(event.stroke), event.stroke)
    if column == "remark":
        return Cell(event.remark, True, event.remark)
    own = getattr(note, column)
    found = getattr(grip, column) if grip else None
    shown = own if own is not None else found
    return Cell("–" if shown is None else str(shown), own is not None, "" if own is None else str(own))


def _hand(played: EventFingering) -> str:
    return words.STROKE_MARKS[played.technique or played.stroke]


def choices(study: Study, place: NotePlace, column: str, text: str = "") -> str:
    """What may be written there, as a tip; of a remark its whole text; "" where nothing needs to be said."""
    if column == "remark" and text:
        return text
    if column in ("string", "fret"):
        return words.FRETS_THERE.format(places=_named(_spots(study, place))) if _spots(study, place) else words.NOWHERE
    return words.CELL_TIPS.get(column, "")


def written(study: Study, place: NotePlace, column: str, text: str) -> Written:
    """The edit that a text typed into a column stands for; "" gives the cell back. Raises BarglossError."""
    text = text.strip()
    if column == "degree":
        degree = read_degree(text)
        return Written(EDIT_DEGREE, lambda study: edits.set_degree(study, place, degree))
    if column == "remark":
        return Written(EDIT_REMARK, lambda study: edits.set_remark(study, place, text))
    if column == "stroke":
        stroke = next((one for one in ("down", "up") if text and one.startswith(text.lower())), "")
        if text and not stroke:
            raise BarglossError(words.BAD_STROKE.format(text=text))
        return Written(EDIT_STROKE, lambda study: edits.set_stroke(study, place, stroke))
    if column == "finger":
        finger = _number(text, words.BAD_FINGER, range(5))
        return Written(EDIT_FINGER, lambda study: edits.set_finger(study, place, finger))
    spot = _spot(study, place, column, text)
    string, fret = spot or (None, None)
    return Written(EDIT_STRING, lambda study: edits.set_string(study, place, string, fret))


def _spot(study: Study, place: NotePlace, column: str, text: str) -> Place | None:
    """The one place on the neck where the note has this string, or this fret."""
    if not text:
        return None
    spots = _spots(study, place)
    found = [spot for spot in spots if str(getattr(spot, column)) == text]
    if not found:
        raise BarglossError(words.NO_PLACE.format(what=words.COLUMNS[column].lower(), number=text,
                                                  choices=choices(study, place, column)))
    return found[0]


def _spots(study: Study, place: NotePlace) -> tuple[Place, ...]:
    return places(study.note_at(place).pitch.midi, study.instrument)


def _named(spots: tuple[Place, ...]) -> str:
    return "; ".join(words.PLACE_THERE.format(string=spot.string, fret=spot.fret) for spot in spots)


def _number(text: str, fault: str, allowed: range) -> int | None:
    if not text:
        return None
    if not text.isdecimal() or int(text) not in allowed:
        raise BarglossError(fault.format(text=text))
    return int(text)
