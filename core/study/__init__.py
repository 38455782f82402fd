"""The study: the solo, its changes and the teacher's words, as values; edits make new values."""

from core.study import edits
from core.study.alike import shared_ends
from core.study.guitarist import Guitarist
from core.study.hairpins import hairpin_over, hairpins_in
from core.study.hands import freed, is_set
from core.study.passages import bars_between, chorus_span, delete_bars, insert_bars
from core.study.pitch import (
    MODES,
    STEPS,
    Key,
    Meter,
    Pitch,
    PitchClass,
    parse_key,
    parse_meter,
    parse_pitch,
    parse_pitch_class,
)
from core.study.study import InForce, NotePlace, Study, note_name, notes_named, sounding_number
from core.study.ties import tie_chain, tied_from, tied_to
from core.study.values import (
    ARTICULATIONS,
    BARLINES,
    DYNAMICS,
    GUITAR,
    HAIRPINS,
    JUMPS,
    SIGNS,
    Bar,
    Callout,
    Change,
    Chorus,
    Dismissed,
    Event,
    Instrument,
    Note,
    Reading,
    Tuplet,
    Written,
    written,
)

__all__ = [
    "ARTICULATIONS", "BARLINES", "DYNAMICS", "GUITAR", "HAIRPINS", "JUMPS", "MODES", "SIGNS", "STEPS", "Bar",
    "Callout", "Change", "Chorus", "Dismissed", "Event", "Guitarist", "InForce", "Instrument", "Key", "Meter", "Note",
    "NotePlace", "Pitch", "PitchClass", "Reading", "Study", "Tuplet", "Written",
    "bars_between", "chorus_span", "delete_bars", "edits", "freed", "hairpin_over", "hairpins_in", "insert_bars",
    "is_set", "note_name", "notes_named", "parse_key", "parse_meter", "parse_pitch", "parse_pitch_class",
    "shared_ends", "sounding_number", "tie_chain", "tied_from", "tied_to", "written",
]
