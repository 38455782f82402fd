"""What the neck shows of the music: where the selected notes lie, and where else the one selected note does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from app.fretting import chord_heard, fretted
from app.pen import Caret
from app.places import Selected, heads, span_of
from app.spoken import degree_of, grip_of, pretty
from app.words import STATUS_DEGREE
from core.guitar import Fingered, Place, places
from core.handout import Layout
from core.harmony import degree_in_chord
from core.study import NotePlace

Shows = Literal["degrees", "fingers", "notes"]
MOST_NAMES = 2
"""Of one place: as many as a fret has room for."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place of the neck that is played. names: of the notes there, without repeats, in the order they come.

    is_set: the teacher put a note there; is_selected: the note that is selected is one of them.
    """

    place: Place
    names: tuple[str, ...]
    is_set: bool = False
    is_selected: bool = False


def marks_of(layout: Layout, at: Selected, shows: Shows, *, whole_bar: bool) -> list[Mark]:
    """Of what is selected, or (whole_bar) of all in its bar; where one note lies on another's place, joined."""
    bar = at.moving.bar if at.moving else at.bar
    first, last = span_of(layout.study, Selected(bar) if whole_bar else at)
    found: dict[Place, Mark] = {}
    for head in heads(layout.study, range(first.bar, last.bar + 1)):
        grip = grip_of(layout, head)
        if grip is not None and first[:2] <= head[:2] <= last[:2]:
            place = Place(grip.string, grip.fret)
            found[place] = _joined(found.get(place, Mark(place, ())), _name(layout, head, grip, shows),
                                   layout.study.note_at(head).string is not None, head == at.moving)
    return list(found.values())


def _joined(mark: Mark, name: str, is_set: bool, is_selected: bool) -> Mark:
    if is_selected:
        names = (name,)  # what is selected is told alone
    elif mark.is_selected or name in mark.names:
        names = mark.names
    else:
        names = (*mark.names, name)[:MOST_NAMES]
    return replace(mark, names=names, is_set=mark.is_set or is_set, is_selected=mark.is_selected or is_selected)


def _name(layout: Layout, head: NotePlace, grip: Fingered, shows: Shows) -> str:
    if shows == "fingers":
        return str(grip.finger)
    pitch = layout.study.note_at(head).pitch
    return pretty(degree_of(layout, head) or "–" if shows == "degrees" else pitch.name.rstrip("-0123456789"))


def elsewhere(layout: Layout, at: Selected) -> list[Place]:
    """The other places of the one selected note; none where several are selected, or no note."""
    if at.note is None or at.until is not None:
        return []
    grip = grip_of(layout, at.note)
    here = None if grip is None else Place(grip.string, grip.fret)
    study = layout.study
    return [place for place in places(study.note_at(at.note).pitch.midi, study.instrument) if place != here]


def pitch_words(layout: Layout, at: Caret, place: Place) -> str:
    """What a place gives there: `B♭4`, or over a chord that can be read `B♭4, ♭7 of C7`."""
    pitch, heard = fretted(layout, at, place).pitch, chord_heard(layout, at)
    if heard is None or heard.chord is None:
        return pretty(pitch.name)
    degree = STATUS_DEGREE.format(degree=pretty(degree_in_chord(pitch, heard.chord).name), chord=pretty(heard.symbol))
    return f"{pretty(pitch.name)}, {degree}"
