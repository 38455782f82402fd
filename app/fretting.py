"""A fret typed on a string of the tab: a new note, another pitch for the one that is there, or a double stop."""

from __future__ import annotations

from core.guitar import Fingering
from core.study import NotePlace, Study, edits
from core.study.fit import PlainEvent
from core.study.writing import add_head, write


def with_fret(study: Study, fingering: Fingering, bar: int, event: PlainEvent) -> Study:
    """With the event's one note, which names its string and fret. fingering: of this study. Raises BarglossError.

    Where a note stands already, it keeps its value: what it has on this string moves, other strings stay as they are.
    """
    note = event.notes[0]
    index = next((at for at, one in enumerate(study.bars[bar].events)
                  if one.onset == event.onset and one.notes and not one.grace), None)
    if index is None:
        return write(study, bar, event)
    heads = study.bars[bar].events[index].notes
    grips = fingering.bars[bar].events[index].notes
    for at, (head, grip) in enumerate(zip(heads, grips, strict=True)):
        if (head.string or (grip.string if grip else None)) == note.string:
            moved = edits.set_note_pitch(study, NotePlace(bar, index, at), note.pitch)
            now = [one.pitch for one in moved.bars[bar].events[index].notes].index(note.pitch)
            return edits.set_string(moved, NotePlace(bar, index, now), note.string, note.fret)
    return add_head(study, NotePlace(bar, index), note)
