"""How loud a note is under the dynamics, as MIDI velocities.

MusicXML 3.1 (`sound`) takes 90 for forte; the steps between are ours, even to the ear.
"""

from __future__ import annotations

from core.study import Event, Note

LEVELS = {"ppp": 32, "pp": 44, "p": 56, "mp": 68, "mf": 80, "f": 90, "ff": 104, "fff": 118, "fp": 56}
"""Of the notes from a dynamic on; after fp they are soft. Without any a study is played mf."""
_STRUCK = {"sf": 1.3, "sfz": 1.4}
"""Of the one note they stand at, against the level around it."""
_ACCENT, _GHOST, _GRACE = 1.3, 0.55, 0.8


def velocity(note: Note, event: Event, level: str) -> int:
    """1 to 127. level: the last of LEVELS to have stood in the line, this event's own included."""
    base = float(LEVELS[level])
    if note.ghost:
        base *= _GHOST
    elif event.grace:
        base *= _GRACE
    elif event.dynamic == "fp":
        base = LEVELS["f"]
    elif event.dynamic in _STRUCK:
        base *= _STRUCK[event.dynamic]
    elif {"accent", "marcato"} & set(event.articulations):
        base *= _ACCENT
    return min(round(base), 127)
