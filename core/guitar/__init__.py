"""The neck: where a solo lies on it, which fingers take it, how it is picked, and how hard that is.

`finger` turns a study into a Fingering, bar for bar and event for event. What the teacher set is
kept; everything else is the cheapest path for the hand, worked out exactly.
"""

from core.guitar.compass import Proposal, octave_proposal, out_of_range
from core.guitar.fingering import Fingering, finger
from core.guitar.neck import Place, fret_distance_mm, places
from core.guitar.playability import Playability, playability
from core.guitar.tunings import TUNINGS
from core.guitar.values import BarFingering, EventFingering, Fingered

__all__ = [
    "TUNINGS", "BarFingering", "EventFingering", "Fingered", "Fingering", "Place", "Playability", "Proposal", "finger",
    "fret_distance_mm", "octave_proposal", "out_of_range", "places", "playability",
]
