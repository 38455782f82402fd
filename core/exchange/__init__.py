"""Exchange: files of open standards (MusicXML, MIDI, ABC) brought in as studies."""

from core.exchange.bring import bring
from core.exchange.build import Brought
from core.exchange.choice import ChoiceNeeded

__all__ = ["Brought", "ChoiceNeeded", "bring"]
