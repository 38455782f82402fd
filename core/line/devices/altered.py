"""Altered tensions of a dominant (b9 #9 #11 b13), and where they resolve at the next chord (common practice, no
source): the b9 falls a half step to the 5 of the chord a fifth below.

A group has no more than one other note between two of them. It is told where its last one moves by step into a tone
of the next chord, with one note between at most, or where it has two different ones (three notes in all, if the
symbol is not altered itself) and no foreign note is near. Passing half steps and neighbours inside the chord do not
count, and a blue note only where it resolves by half step.

Facts: degrees (of the altered tones, in playing order), chord, to (degree in the next chord, "" where they do not
resolve), into (the next chord, or ""), step (half, whole, "").
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from core.line.finding import Finding, symbol
from core.line.tones import Tone

KIND: Final = "altered"
_ALTERED: Final = ("b9", "#9", "#11", "b13")
_FOREIGN: Final = (5, 11)  # semitones above a dominant's root: its eleventh and its major seventh
_PASSING: Final = ("passing half step", "passing note", "neighbour", "double chromatic approach")


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, stop):
        if _counts(line[i]) and not _goes_on(line, i):
            found = _finding(line, i, _last(line, i))
            if found is not None:
                yield found


def _is_altered(tone: Tone) -> bool:
    return tone.degree in _ALTERED and tone.chord is not None and tone.chord.is_dominant


def _counts(tone: Tone) -> bool:
    """As the last note before a change it counts whatever it does besides."""
    return _is_altered(tone) and (tone.role not in _PASSING or tone.ahead is not None)


def _goes_on(line: Sequence[Tone], i: int) -> bool:
    """Whether the group has begun before."""
    for at in (i - 1, i - 2):
        if at < 0 or not line[at + 1].joined or line[at].chord is not line[i].chord:
            return False
        if _counts(line[at]):
            return True
    return False


def _last(line: Sequence[Tone], i: int) -> int:
    last = at = i
    while at + 1 < min(last + 3, len(line)) and line[at + 1].joined and line[at + 1].chord is line[i].chord:
        at += 1
        if _counts(line[at]):
            last = at
    return last


def _finding(line: Sequence[Tone], i: int, last: int) -> Finding | None:
    group = [tone for tone in line[i:last + 1] if _is_altered(tone)]
    chord, end = line[i].chord, _resolution(line, last)
    colours = {tone.degree for tone in group if tone.role != "blue note"}
    if chord is None:
        return None
    meant = len(group) > 2 or chord.altered or bool(chord.alterations)
    if end is None and not (len(colours) > 1 and meant and _stays(line[max(0, i - 1):last + 2])):
        return None
    facts = [("degrees", " ".join(tone.degree for tone in group)), ("chord", symbol(chord))]
    score = 0.5 + min(0.05 * (len(colours) - 1), 0.15)
    after = line[last] if end is None else line[end]
    if end is None or after.chord is None:
        facts += [("to", ""), ("into", ""), ("step", "")]
    else:
        half = abs(after.midi - line[last].midi) == 1
        facts += [("to", after.degree), ("into", symbol(after.chord)), ("step", "half" if half else "whole")]
        score += 0.1 + 0.1 * half + 0.1 * (end == last + 1)
    return Finding(KIND, line[i].place, after.place, tuple(facts), round(score, 2))


def _stays(tones: Sequence[Tone]) -> bool:
    """Whether a group and the notes next to it keep to the tones and tensions of their chords: no chance notes."""
    return not any(tone.chord is not None and tone.chord.is_dominant and tone.above in _FOREIGN for tone in tones)


def _resolution(line: Sequence[Tone], last: int) -> int | None:
    """Where the last of a group moves by step into a tone of the next chord: there, or one note later."""
    tone = line[last]
    for at in range(last + 1, min(last + 3, len(line))):
        after = line[at]
        if not after.joined or after.chord is None:
            return None
        if after.chord is not tone.chord:
            step = abs(after.midi - tone.midi)
            new_root = tone.chord is not None and after.chord.root.chroma != tone.chord.root.chroma
            is_near = step == 1 or (step == 2 and tone.role != "blue note")
            return at if new_root and is_near and after.is_chord_tone else None
    return None


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    degrees = [degree for degree, _ in groupby(str(facts["degrees"]).split())]
    chord, row = f"{{{facts['chord']}}}", " ".join(f"{{{degree}}}" for degree in degrees)
    if facts["into"]:
        last, goal = f"{{{degrees[-1]}}}", f"the {{{facts['to']}}} of {{{facts['into']}}}"
        step = f"a {facts['step']} step"
        also = f"{row} over {chord}, and the {last}" if len(degrees) > 1 else f"The {last} of {chord}"
        which = f"; the {last}" if len(degrees) > 1 else ", which"
        shapes = (f"{also} resolves by {step} to {goal}.",
                  f"The tension over {chord} is {row}{which} goes {step} to {goal}.",
                  f"Altered tone{'s' if len(degrees) > 1 else ''}: {row} over {chord}, then {step} to {goal}.")
    else:
        shapes = (f"Altered tensions over {chord}: {row}.", f"{chord} is coloured with {row}.",
                  f"{row} give {chord} its altered sound.")
    return shapes[shape % len(shapes)]
