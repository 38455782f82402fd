"""Exchange: open standards in and out. MusicXML, MIDI and ABC become studies; studies become MusicXML, MIDI, text."""

from core.exchange.bring import bring
from core.exchange.build import Brought
from core.exchange.choice import ChoiceNeeded
from core.exchange.midi_out import midi_bytes
from core.exchange.musicxml_out import musicxml_bytes, mxl_bytes
from core.exchange.text_out import study_text

__all__ = ["Brought", "ChoiceNeeded", "bring", "midi_bytes", "musicxml_bytes", "mxl_bytes", "study_text"]
