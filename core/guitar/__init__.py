"""The neck: where a solo lies on it, which fingers take it, how it is picked, and how hard that is.

`finger` turns a study into a Fingering, bar for bar and event for event. What the teacher set is
kept; everything else is the cheapest path for the hand, worked out exactly.
"""

from core.guitar.compass import Proposal, advice, moved_by, octave_proposal, out_of_range
from core.guitar.difficulty import BarDemand, Difficulty, Spot, difficulty
from core.guitar.fingering import Fingering, finger
from core.guitar.neck import Place, fret_distance_mm, places
from core.guitar.octaves import Fold, OctavePlan, folded, octave_plan
from core.guitar.playability import Playability, playability
from core.guitar.practice import PracticePlan, Rung, practice_plan
from core.guitar.presets import Preset, load_preset, parse_preset, preset_names
from core.guitar.tunings import TUNINGS
from core.guitar.values import BarFingering, EventFingering, Fingered
from core.guitar.ways import Way, in_position, on_next_string, taken, ways

__all__ = [
    "TUNINGS", "BarDemand", "BarFingering", "Difficulty", "EventFingering", "Fingered", "Fingering", "Fold",
    "OctavePlan", "Place", "Playability", "PracticePlan", "Preset", "Proposal", "Rung", "Spot", "Way", "advice",
    "difficulty", "finger", "folded", "fret_distance_mm", "in_position", "load_preset", "moved_by", "octave_plan",
    "octave_proposal", "on_next_string", "out_of_range", "parse_preset", "places", "playability", "practice_plan",
    "preset_names", "taken", "ways",
]
