"""ABC through music21's tokens: which tune to take, and its first voice, bar by bar.

The tokens are read rather than music21's score of them, because on the way to a score it cuts and re-measures
bars that are over- or underfull, takes some quoted words for chords, and drops notes under others.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Literal

from music21.abcFormat import ABCBar, ABCFile, ABCHandlerException, ABCMetadata, ABCNote, ABCTokenException
from music21.pitch import Pitch as ReadPitch

from core.errors import BarglossError
from core.exchange.choice import choose
from core.exchange.frame import exact, meter_of
from core.exchange.plain import Piece, PlainBar, PlainChord, Remark
from core.exchange.slurs import with_slurs
from core.study import MODES, Key, Meter, Note, Pitch, Tuplet
from core.study.fit import PlainEvent

MOST_CHARACTERS = 100_000  # of one tune
MOST_LENGTH = 256
_LONGEST_SLUR = 4
"""Bars: where a bracket is read as a slur's beginning and its end is missed, the slur runs on to the last note."""
_ARTICULATIONS = {"staccato": "staccato", "accent": "accent", "strongaccent": "marcato", "tenuto": "tenuto"}
_STROKES: dict[str, Literal["up", "down"]] = {"upbow": "up", "downbow": "down"}
_BARLINES: dict[str, Literal["double", "final"]] = {"light-light": "double", "light-heavy": "final"}
_PLACED = "^_<>@"  # ABC 2.1, section 4.19: a quoted text that begins so is an annotation, not a chord


def read_abc(raw: bytes, part: int | None) -> Piece:
    """Tune number `part` (its X: field) of the file, or the only one. Raises BarglossError, ChoiceNeeded."""
    tunes = tunes_of(_text(raw))
    if not tunes:
        raise BarglossError("the file holds no tune: no line begins with X: or K:; choose another file")
    tune = tunes[choose({number: title_of(text) for number, text in tunes.items()}, part, "tune")]
    if len(tune) > MOST_CHARACTERS:
        raise BarglossError(f"the tune is longer than {MOST_CHARACTERS} characters; cut the file")
    _refuse_outsized(tune)
    try:
        tokens = ABCFile().readstr(_with_length(tune)).tokens
    except (ABCHandlerException, ABCTokenException) as error:
        raise BarglossError(f"the tune is not whole ABC ({' '.join(str(error).split())[:100]}); correct it") from error
    return _piece(tokens, tune)


def _refuse_outsized(tune: str) -> None:
    """music21 makes work and memory of a meter's and a length's numbers, however large."""
    for line, inline in re.findall(r"(?m)^[ \t]*M:(.*)$|\[M:([^\]]*)\]", tune):
        if re.search(r"\d", line + inline):
            meter_of(re.sub(r"[()]|%.*", "", line + inline))
    for digits in re.findall(r"\d{4,}", re.sub(r"(?m)^[A-Za-z]:.*$|%.*$|\"[^\"]*\"", "", tune)):
        raise BarglossError(f"a length of {digits[:12]} is no music; correct it")


def _text(raw: bytes) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("latin-1")
    if "\0" in text:
        raise BarglossError("the file is not text, as ABC is; choose another file")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def tunes_of(text: str) -> dict[int, str]:
    """The tunes of a file by the number in their X: field, in file order; one without X: is number 1."""
    starts = [match for match in re.finditer(r"(?m)^[ \t]*X:[ \t]*(\d{1,9})?.*$", text)]
    if not starts:
        return {1: text} if re.search(r"(?m)^K:", text) else {}
    ends = [match.start() for match in starts[1:]] + [len(text)]
    found: dict[int, str] = {}
    for match, end in zip(starts, ends, strict=True):
        tune = text[match.start():end]
        if re.search(r"(?m)^[ \t]*K:", tune):
            found.setdefault(int(match[1] or len(found) + 1), tune)
    return found


def title_of(tune: str) -> str:
    match = re.search(r"(?m)^[ \t]*T:(.*)$", tune)
    return " ".join(match[1].split())[:60] if match else ""


def _with_length(tune: str) -> str:
    """music21 wants a meter or a unit length; without either ABC counts eighths (ABC 2.1, section 3.1.7)."""
    if re.search(r"(?m)^[ \t]*L:", tune) or re.search(r"(?m)^[ \t]*M:[ \t]*[^n\s]", tune):
        return tune
    return re.sub(r"(?m)^([ \t]*K:)", r"L:1/8\n\1", tune, count=1)


@dataclass
class _Walk:
    """What one pass over the tokens has gathered so far."""

    bars: list[PlainBar] = field(default_factory=list)
    rows: list[list[PlainEvent]] = field(default_factory=list)
    sources: list[Any] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    events: list[PlainEvent] = field(default_factory=list)
    chords: list[PlainChord] = field(default_factory=list)
    at: Fraction = Fraction(0)
    opening: PlainBar = field(default_factory=PlainBar)
    tuplet: Any = None
    shift: int = 0
    tempo: int | None = None
    in_body: bool = False

    def note(self, token: Any) -> None:
        self._quoted(token)
        event = self._event(token)
        if event is not None:
            self.events.append(event)
            self.sources.append(token)
            self.at = event.end

    def _quoted(self, token: Any) -> None:
        for text in token.chordSymbols:
            words = text.strip('"').strip()
            if words[:1] in _PLACED:
                self.remarks.append(Remark("Words in the music left out", len(self.bars)))
            elif words:
                self.chords.append(PlainChord(self.at, words[:60]))

    def _event(self, token: Any) -> PlainEvent | None:
        sounding = getattr(token, "subTokens", [token])
        heads = {pitch: Note(pitch, tie=token.tie in ("start", "continue"))
                 for pitch in (_pitch(each.pitchName, self.shift) for each in sounding if each.pitchName)}
        length = exact(token.quarterLength)
        if length <= 0 or not (heads or token.isRest):
            return None
        if length > MOST_LENGTH:
            raise BarglossError(f"a note of more than {MOST_LENGTH} quarters; shorten it")
        tuplets: tuple[Tuplet, ...] = ()
        if token.activeTuplet is not None and not token.inGrace:
            ratio = token.activeTuplet
            if ratio.numberNotesActual != ratio.numberNotesNormal:
                tuplets = (Tuplet(ratio.numberNotesActual, ratio.numberNotesNormal, ratio is not self.tuplet),)
                length = length * ratio.numberNotesNormal / ratio.numberNotesActual
            self.tuplet = ratio
        strokes = [_STROKES[mark] for mark in token.articulations if mark in _STROKES]
        notes = tuple(sorted(heads.values(), key=lambda head: (head.pitch.midi, head.pitch.diatonic)))
        return PlainEvent(self.at, length, notes, tuplets, bool(token.inGrace and notes), "",
                          tuple(_ARTICULATIONS[mark] for mark in token.articulations if mark in _ARTICULATIONS),
                          strokes[0] if strokes else "")

    def barline(self, token: Any) -> None:
        """A barline ends the bar if it has notes, and says how the next one begins."""
        if self.events:
            repeats = 2 if token.isRepeat() and token.repeatForm == "end" else 0
            self.close(replace(self.opening, repeat_end=repeats, barline=_BARLINES.get(token.barStyle, "")
                               if not token.isRepeat() else ""))
        elif self.bars and token.isRepeat() and token.repeatForm == "end":
            self.bars[-1] = replace(self.bars[-1], repeat_end=2)
        if token.isRepeat() and token.repeatForm == "start":
            self.opening = replace(self.opening, repeat_start=True)
        if token.isRepeatBracket():
            self.opening = replace(self.opening, ending=str(token.isRepeatBracket()))

    def close(self, bar: PlainBar) -> None:
        self.bars.append(replace(bar, chords=tuple(self.chords), span=self.at))
        self.rows.append(self.events)
        self.events, self.chords, self.at, self.opening = [], [], Fraction(0), PlainBar()

    def field(self, token: Any) -> None:
        """A header or inline field: key, meter, tempo; words under the notes are left out."""
        if token.isMeter():
            self._meter(token)
        elif token.isKey():
            self._key(token)
        elif token.isTempo() and self.tempo is None:
            mark = token.getMetronomeMarkObject()
            speed = mark.getQuarterBPM() if mark is not None else None
            self.tempo = round(speed) if speed and 10 <= round(speed) <= 500 else None
        elif token.tag == "P" and self.in_body and len(token.data.strip()) <= 8:
            self.opening = replace(self.opening, rehearsal=token.data.strip())
        elif token.tag in ("w", "W"):
            self.remarks.append(Remark("Lyrics left out", max(0, len(self.bars) - 1)))

    def _meter(self, token: Any) -> None:
        text = token.data.strip()
        if text.lower() == "none":
            self.remarks.append(Remark("A passage without a meter keeps the meter before it", len(self.bars)))
            return
        known = {"C": Meter((4,), 4, "common"), "C|": Meter((2,), 2, "cut")}
        self.opening = replace(self.opening, meter=known.get(text) or meter_of(text.replace("(", "").replace(")", "")))

    def _key(self, token: Any) -> None:
        self.in_body = True
        sharps, mode = token.getKeySignatureParameters()
        if -7 <= sharps <= 7:
            self.opening = replace(self.opening, key=Key(sharps, mode if mode in MODES else "major"))
        clef, semitones = token.getClefObject()
        if clef is not None and semitones:
            self.shift = int(semitones)


def _piece(tokens: Sequence[Any], tune: str) -> Piece:
    walk, others = _Walk(), set()
    first_voice = voice = ""
    for token in tokens:
        if isinstance(token, ABCMetadata):
            if token.isVoice():
                voice = token.data.split()[0] if token.data.split() else ""
                first_voice = first_voice or voice
            elif voice in ("", first_voice):
                walk.field(token)
        elif voice not in ("", first_voice):
            others.add(voice)
        elif isinstance(token, ABCBar):
            walk.barline(token)
        elif isinstance(token, ABCNote):
            walk.note(token)
    if walk.events:
        walk.close(walk.opening)
    if not any(event.notes for row in walk.rows for event in row):
        raise BarglossError("the tune has no notes; choose another")
    owners = [index for index, row in enumerate(walk.rows) for _ in row]
    slurs = _slurs(walk.sources)
    closed = [slur for slur in slurs if owners[slur[1]] - owners[slur[0]] < _LONGEST_SLUR]
    flat, dropped = with_slurs([event for row in walk.rows for event in row], closed)
    endless = sorted(set(slurs) - set(closed))
    walk.remarks += [Remark("Slurs that never seem to end left out", owners[first]) for first, _ in endless]
    walk.remarks += [Remark("Slurs that lie over other slurs left out", owners[at]) for at in dropped]
    if others:
        walk.remarks.append(Remark(f"Other voices left out: {', '.join(sorted(others))}"))
    filled = iter(flat)
    bars = [replace(bar, events=tuple(next(filled) for _ in row))
            for bar, row in zip(walk.bars, walk.rows, strict=True)]
    composer = re.search(r"(?m)^[ \t]*C:(.*)$", tune)
    return Piece(tuple(_spread_endings(bars)), title_of(tune), " ".join(composer[1].split())[:200] if composer else "",
                 tempo=walk.tempo, remarks=tuple(walk.remarks))


def _spread_endings(bars: Sequence[PlainBar]) -> list[PlainBar]:
    """A first ending reaches to its repeat; a second one is marked over its first bar, ABC not saying where it ends."""
    spread, under = [], ""
    for bar in bars:
        under = bar.ending or under
        spread.append(replace(bar, ending=under))
        if bar.repeat_end or under != "1":
            under = ""
    return spread


def _pitch(name: str, shift: int) -> Pitch:
    read = ReadPitch(name)
    if shift:
        read = read.transpose(shift)
    return Pitch(read.step, int(read.alter), read.implicitOctave)


def _slurs(sources: Sequence[Any]) -> list[tuple[int, int]]:
    """First and last note under each slur that music21 found open over them."""
    ends: dict[int, list[int]] = {}
    for index, token in enumerate(sources):
        for spanner in token.applicableSpanners:
            if "Slur" in spanner.classes:
                ends.setdefault(id(spanner), []).append(index)
    return [(indices[0], indices[-1]) for indices in ends.values()]
