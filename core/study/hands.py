"""What a teacher has set for the hands: strings, frets, fingers and strokes, and their being given back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from core.study import edits
from core.study.study import NotePlace, Study
from core.study.ties import tie_chain
from core.study.values import Event, Note


def is_set(study: Study, heads: Iterable[NotePlace]) -> bool:
    """Whether anything is set for the hands at one of these heads."""
    return any(_held(study.note_at(head)) or study.event_at(head).stroke for head in heads)


def freed(study: Study, heads: Iterable[NotePlace]) -> Study:
    """With nothing set for the hands at these heads, nor a string, fret or finger at what they are tied to.

    Raises BarglossError.
    """
    wanted = tuple(heads)
    chains = {link for head in wanted for link in tie_chain(study, head)}
    struck = {head[:2] for head in wanted}
    for bar in sorted({head.bar for head in chains}):
        events = tuple(_freed(event, {head.note for head in chains if head[:2] == (bar, index)}, (bar, index) in struck)
                       for index, event in enumerate(study.bars[bar].events))
        if events != study.bars[bar].events:
            study = edits.replace_bar(study, bar, replace(study.bars[bar], events=events))
    return study


def _freed(event: Event, notes: set[int], is_struck: bool) -> Event:
    own = tuple(replace(note, string=None, fret=None, finger=None) if at in notes else note
                for at, note in enumerate(event.notes))
    return replace(event, notes=own, stroke="" if is_struck else event.stroke)


def _held(note: Note) -> bool:
    return note.string is not None or note.fret is not None or note.finger is not None
