"""Notes named by string and fret: what sounds there, and how one comes into the music."""

from __future__ import annotations

from app.pen import Caret
from core.guitar import Fingering, Place
from core.handout import Layout
from core.harmony.spelling import spell
from core.line import ChordSpan
from core.study import Instrument, Note, NotePlace, Study, edits, tie_chain
from core.study.writing import add_head


def sounding_at(instrument: Instrument, place: Place) -> int:
    """Key number of a place of the neck."""
    return instrument.tuning[-place.string].midi + instrument.capo + place.fret


def chord_heard(layout: Layout, at: Caret) -> ChordSpan | None:
    """What is in force there; None where no chord symbol comes before it."""
    heard = [span for span in layout.analysis.bars[at.bar].chords if span.offset <= at.onset]
    return heard[-1] if heard else None


def fretted(layout: Layout, at: Caret, place: Place) -> Note:
    """The note a place gives, spelled by the key and the chord in force there, and set on its string and fret."""
    study, heard = layout.study, chord_heard(layout, at)
    midi = sounding_at(study.instrument, place)
    pitch = spell(midi, study.in_force[at.bar].key, heard.chord if heard else None)
    return Note(pitch, string=place.string, fret=place.fret)


def fret_on(study: Study, fingering: Fingering, place: NotePlace, note: Note) -> Study:
    """With a note, which names its string and fret, in an event that sounds: instead of what that has on this
    string, or as one more head. fingering: of this study. Raises BarglossError."""
    grips = fingering.bars[place.bar].events[place.event].notes
    for at, (head, grip) in enumerate(zip(study.event_at(place).notes, grips, strict=True)):
        if (head.string or (grip.string if grip else None)) == note.string:
            moved = edits.set_note_pitch(study, place._replace(note=at), note.pitch)
            now = [one.pitch for one in moved.event_at(place).notes].index(note.pitch)
            return edits.set_string(moved, place._replace(note=now), note.string, note.fret)
    return add_head(study, place, note)


def set_at(study: Study, heads: list[NotePlace], place: Place) -> Study:
    """With these heads, and all they are tied to, set on a string and fret. Raises BarglossError."""
    for held in dict.fromkeys(one for head in heads for one in tie_chain(study, head)):
        study = edits.set_string(study, held, *place)
    return study
