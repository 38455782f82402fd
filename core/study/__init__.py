"""The study: the solo, its changes and the teacher's words, as values; edits make new values."""

from core.study.pitch import (
    MODES,
    STEPS,
    Key,
    Meter,
    Pitch,
    PitchClass,
    parse_meter,
    parse_pitch,
    parse_pitch_class,
)
from core.study.study import InForce, NotePlace, Study, note_name
from core.study.values import (
    ARTICULATIONS,
    BARLINES,
    GUITAR,
    Bar,
    Callout,
    Change,
    Chorus,
    Event,
    Instrument,
    Note,
    Reading,
    Tuplet,
    Written,
    written,
)

__all__ = [
    "ARTICULATIONS", "BARLINES", "GUITAR", "MODES", "STEPS", "Bar", "Callout", "Change", "Chorus", "Event", "InForce",
    "Instrument", "Key", "Meter", "Note", "NotePlace", "Pitch", "PitchClass", "Reading", "Study", "Tuplet", "Written",
    "note_name", "parse_meter", "parse_pitch", "parse_pitch_class", "written",
]
