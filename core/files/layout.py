"""What stands where in a study file: each element's attributes, in the order they are written.

The reader and the writer both go by these tables; study.rng says the same to other programs,
and a test holds the two against each other and against the fields of the values.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from core.files import codes
from core.files.codes import Code
from core.study import BARLINES, DYNAMICS, GUITAR, HAIRPINS, JUMPS, SIGNS, Key, Meter
from core.study.guitarist import OPEN_STRINGS, PICKINGS, SPANS
from core.study.study import FEELS
from core.study.values import BREAKS, SLURS, STROKES

NAMESPACE = "urn:bargloss:study:1"
VERSION = 1
MOST_BYTES = 20_000_000
MOST_BARS = 10_000
MOST_ELEMENTS = 200_000  # read in about ten seconds, the longest a hostile file may take
NEEDED: Any = object()


class Entry(NamedTuple):
    """name: of the attribute (or element) in the file; field: of the value. A default is left out of the file."""

    name: str
    field: str
    code: Code
    default: Any = NEEDED


DETAILS = (
    Entry("title", "title", codes.TEXT, ""),
    Entry("tune", "tune", codes.TEXT, ""),
    Entry("player", "player", codes.TEXT, ""),
    Entry("transcriber", "transcriber", codes.TEXT, ""),
    Entry("recording", "recording", codes.TEXT, ""),
    Entry("starts-at", "starts_at", codes.SECONDS, None),
    Entry("rights", "rights", codes.TEXT, ""),
    Entry("tempo", "tempo", codes.WHOLE, 120),
    Entry("feel", "feel", codes.one_of(FEELS), "swing"),
    Entry("key", "key", codes.KEY, Key()),
    Entry("meter", "meter", codes.METER, Meter()),
    Entry("first-number", "first_number", codes.WHOLE, None),
)
INSTRUMENT = (
    Entry("name", "name", codes.TEXT, "guitar"),
    Entry("tuning", "tuning", codes.PITCHES, GUITAR),
    Entry("frets", "frets", codes.WHOLE, 22),
    Entry("capo", "capo", codes.WHOLE, 0),
)
GUITARIST = (
    Entry("span", "span", codes.one_of(SPANS), "normal"),
    Entry("position", "position", codes.WHOLE, None),
    Entry("open-strings", "open_strings", codes.one_of(OPEN_STRINGS), "allow"),
    Entry("picking", "picking", codes.one_of(PICKINGS), "alternate"),
    Entry("strings", "strings", codes.WHOLES, ()),
    Entry("left-handed", "left_handed", codes.YES, False),
)
CHORUS = Entry("chorus", "chorus", codes.TEXT, None)
BAR = (
    Entry("rehearsal", "rehearsal", codes.TEXT, ""),
    Entry("key", "key", codes.KEY, None),
    Entry("meter", "meter", codes.METER, None),
    Entry("length", "length", codes.FRACTION, None),
    Entry("repeat-start", "repeat_start", codes.YES, False),
    Entry("repeat-end", "repeat_end", codes.WHOLE, 0),
    Entry("ending", "ending", codes.TEXT, ""),
    Entry("barline", "barline", codes.one_of(BARLINES), ""),
    Entry("break", "break_before", codes.one_of(BREAKS), ""),
    Entry("recording", "recording", codes.SECONDS, None),
    Entry("sign", "sign", codes.one_of(SIGNS), ""),
    Entry("jump", "jump", codes.one_of(JUMPS), ""),
)
CHORD = (Entry("at", "offset", codes.FRACTION), Entry("symbol", "symbol", codes.TEXT))
READING = (Entry("at", "offset", codes.FRACTION), Entry("harmony", "harmony", codes.TEXT))
PITCH = Entry("pitch", "pitch", codes.PITCH)
HEAD = (
    Entry("tie", "tie", codes.YES, False),
    Entry("ghost", "ghost", codes.YES, False),
    Entry("string", "string", codes.WHOLE, None),
    Entry("fret", "fret", codes.WHOLE, None),
    Entry("finger", "finger", codes.WHOLE, None),
    Entry("degree", "degree", codes.TEXT, ""),
)
LENGTH = (
    Entry("length", "duration", codes.FRACTION),
    Entry("tuplet", "tuplets", codes.TUPLETS, ()),
    Entry("grace", "grace", codes.YES, False),
)
PLAYED = (
    Entry("slur", "slur", codes.one_of(SLURS), ""),
    Entry("articulations", "articulations", codes.WORDS, ()),
    Entry("dynamic", "dynamic", codes.one_of(DYNAMICS), ""),
    Entry("hairpin", "hairpin", codes.one_of(HAIRPINS), ""),
    Entry("stroke", "stroke", codes.one_of(STROKES), ""),
    Entry("remark", "remark", codes.TEXT, ""),
)
CALLOUT = (
    Entry("from", "start", codes.FRACTION),
    Entry("to", "stop", codes.FRACTION),
    Entry("bars-on", "bars_on", codes.WHOLE, 0),
    Entry("source", "source", codes.TEXT, "teacher"),
    Entry("neck", "neck", codes.YES, False),
    Entry("heading", "heading", codes.TEXT, ""),
)
DISMISSED = (Entry("at", "onset", codes.FRACTION), Entry("kind", "kind", codes.TEXT))

# The attributes of each element; elements by the order they stand in.
ATTRIBUTES = {
    "instrument": INSTRUMENT,
    "guitarist": GUITARIST,
    "bar": (CHORUS, *BAR),
    "chord": CHORD,
    "reading": READING,
    "note": (PITCH, *LENGTH, *HEAD, *PLAYED),
    "with": (PITCH, *HEAD),
    "rest": (*LENGTH, *PLAYED),
    "callout": CALLOUT,
    "dismissed": DISMISSED,
    "comment": (),
}
IN_STUDY = {name: place for place, name in enumerate((*(entry.name for entry in DETAILS),
                                                      "instrument", "guitarist", "bar"))}
IN_BAR = {"chord": 0, "reading": 1, "note": 2, "with": 2, "rest": 2, "callout": 3, "dismissed": 4, "comment": 5}
