"""music21's own reading of the tunes it carries, walked without anything of ours.

Items of the corpus are used by the rule of shared/corpus.md: open where the first byte of sha256(id) is even.
"""

from __future__ import annotations

import hashlib
from copy import deepcopy
from fractions import Fraction
from math import floor
from pathlib import Path
from typing import Any

from music21 import clef, corpus, harmony, key

from tests.exchange.sources import Sounded, joined

SHEETS = ("leadSheet/fosterBrownHair.mxl", "leadSheet/berlinAlexandersRagtime.mxl",
          "demos/ComprehensiveChordSymbolsTestFile.mxl")
REELS = "nottingham-dataset/reelsa-c.abc"
# Kinds of the demo file for which music21 plays something else, and why ours is right.
OURS_IS_RIGHT = {
    "minor-major": "not a kind of MusicXML 4.0 (that is major-minor): music21 plays the root alone; its text is mMaj7",
    "Neapolitan": "the sixth chord of the lowered second is a major triad over its third; see test_harmony_kinds",
    "tristan": "lower case in the file: music21 plays the root alone",
}
# music21 names the tonic the root of an augmented sixth chord; a reader of changes needs the note it is built on.
SIXTHS = ("Italian", "French", "German")


def is_open(name: str) -> bool:
    return hashlib.sha256(name.encode()).digest()[0] % 2 == 0


def path_of(name: str) -> Path:
    return Path(corpus.getWork(name))


def score_of(name: str, number: int | None = None) -> Any:
    """The whole file, or its tune of that number."""
    return corpus.parse(name, number=number) if number else corpus.parse(name)


def exact(value: Any) -> Fraction:
    return Fraction(value).limit_denominator(65_536)


def measures(part: Any) -> list[Any]:
    return list(part.getElementsByClass("Measure"))


def sounding(measure: Any) -> list[Any]:
    """Notes and note chords of the upper voice, graces among them, in order."""
    voices = sorted(measure.voices, key=lambda voice: int(voice.id)) or [measure]
    return [each for each in voices[0].notes if not isinstance(each, harmony.Harmony)]


def is_held(each: Any) -> bool:
    """Whether it is tied to what follows."""
    first = each.notes[0] if each.isChord else each
    tie = first.tie or each.tie
    return tie is not None and tie.type in ("start", "continue")


def theirs(part: Any) -> list[Sounded]:
    """Notes as music21 has them, tied ones joined, of the upper voice."""
    rows = []
    for measure in measures(part):
        for each in sounding(measure):
            if not each.duration.isGrace:
                start = exact(measure.offset) + exact(each.offset)
                keys = tuple(sorted(floor(pitch.ps + 0.5) for pitch in each.pitches))
                rows.append((start, start + exact(each.quarterLength), keys, is_held(each)))
    return joined(rows)


def graces(part: Any) -> int:
    return sum(each.duration.isGrace for each in part.recurse().notes)


def chord_symbols(measure: Any) -> list[Any]:
    """Its chord symbols, those for no chord apart."""
    return [each for each in measure.recurse() if isinstance(each, harmony.ChordSymbol)
            and not isinstance(each, harmony.NoChord)]


def no_chords(measure: Any) -> list[Fraction]:
    """Where it says N.C.: music21 keeps the kind `none` of some writers as words."""
    return [exact(each.getOffsetInHierarchy(measure)) for each in measure.recurse()
            if isinstance(each, harmony.NoChord) or getattr(each, "content", None) == "N.C."]


def pitch_name(pitch: Any) -> str:
    """`Bb4`, as our reports write what music21 calls `B-4`."""
    return pitch.nameWithOctave.replace("-", "b")


def printed_signs(measure: Any) -> list[list[int | None]]:
    """Of each note and rest, and each of its pitches low to high: the alteration of the sign it prints with, or None.

    By music21's makeAccidentals on the bar alone, without its courtesy signs; those the file asks for are forgotten.
    Chord symbols go first: music21 would take their pitches for notes that have had their sign.
    """
    bare = deepcopy(measure)
    bare.removeByClass(harmony.Harmony)
    for pitch in (pitch for each in bare.notes for pitch in each.pitches):
        if pitch.accidental is not None:
            pitch.accidental.displayStatus = None
    bare.makeAccidentals(inPlace=True, overrideStatus=True, cautionaryPitchClass=False,
                         cautionaryNotImmediateRepeat=False,
                         useKeySignature=measure.getContextByClass(key.KeySignature))
    return [[] if each.isRest else [_sign(pitch) for pitch in sorted(each.pitches)] for each in bare.notesAndRests]


def _sign(pitch: Any) -> int | None:
    sign = pitch.accidental
    return int(sign.alter) if sign is not None and sign.displayStatus else None


def numbers_of(part: Any) -> list[int]:
    """Bar numbers: a pickup is 0. Of an ABC tune music21 numbers from 0 whether it has a pickup or not."""
    first, *others = measures(part)
    start = 0 if first.duration.quarterLength < first.barDuration.quarterLength else 1
    return list(range(start, start + 1 + len(others)))


def staff_y(pitch: Any) -> float:
    """Of its head under a treble clef with an 8 below, in staff spaces down from the top line."""
    return 4 - (pitch.diatonicNoteNum - clef.Treble8vbClef().lowestLine) / 2
