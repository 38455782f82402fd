"""A few bars typed in ABC (the open standard, version 2.1, section 4), as events to write into a study.

What is typed is read by a grammar of our own and not from music21's tokens: those pass over what they do not know,
and a person who mistypes has to be told.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal, NoReturn

from core.errors import BarglossError
from core.exchange.slurs import with_slurs
from core.study import Key, Meter, Note, Pitch, Tuplet
from core.study.fit import PlainEvent
from core.study.values import height

MOST_TYPED = 2_000
_UNIT = Fraction(1, 2)
_ALTERS = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_ARTICULATIONS = {".": "staccato", "L": "accent", "!accent!": "accent", "!>!": "accent", "!emphasis!": "accent",
                  "!marcato!": "marcato", "!^!": "marcato", "!tenuto!": "tenuto", "!turn!": "turn", "!slide!": "slide"}
_STROKES: dict[str, Literal["up", "down"]] = {"u": "up", "!upbow!": "up", "v": "down", "!downbow!": "down"}
_IN_TIME_OF = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}  # section 4.13; 5, 7 and 9 go by the meter

# In the order of section 4.20. Decorations are those of section 4.14.
_DECORATIONS = ("trill", "trill(", "trill)", "lowermordent", "uppermordent", "mordent", "pralltriller", "roll", "turn",
                "turnx", "invertedturn", "invertedturnx", "arpeggio", ">", "accent", "emphasis", "fermata",
                "invertedfermata", "tenuto", "0", "1", "2", "3", "4", "5", "+", "plus", "snap", "slide", "wedge",
                "upbow", "downbow", "open", "thumb", "breath", "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff",
                "ffff", "sfz", "crescendo(", "<(", "crescendo)", "<)", "diminuendo(", ">(", "diminuendo)", ">)",
                "segno", "coda", "D.S.", "D.C.", "dacoda", "dacapo", "fine", "shortphrase", "mediumphrase",
                "longphrase", "marcato", "^")
_DECORATION = "!(?:" + "|".join(map(re.escape, _DECORATIONS)) + ")!"
_MARK = re.compile(rf"\"[^\"]*\"|[.~HLMOPSTuv]|{_DECORATION}")
_LENGTH = r"(?:[0-9]{1,3}(?:/[0-9]{1,3}|/{1,3})?|/[0-9]{1,3}|/{1,3})?"
_PITCH = r"(?:\^\^?|__?|=)?[A-Ga-g](?:,{1,3}|'{1,3})?"
_TOKENS = re.compile(rf"""
    (?P<bar> (?: \|\] | \[\| | \|\| | \|: | :\|:? | :: | \| ) [1-9]? | \[[1-9] )
  | (?P<tuplet> \([2-9] (?: :[0-9]? (?: :[0-9]? )? )? )
  | (?P<open> \.?\( ) (?![0-9])
  | (?P<close> \) )
  | (?P<broken> >{{1,3}} | <{{1,3}} )
  | (?P<space> [\s`]+ )
  | (?P<marks> (?: {_MARK.pattern} )* )
    (?: \{{ /? (?P<graces> (?: {_PITCH}{_LENGTH} \s* )+ ) \}}
      | (?: (?P<note> {_PITCH} ) | \[ (?P<chord> (?: {_PITCH}{_LENGTH} -? )+ ) \] | [zx] )
        (?P<length> {_LENGTH} ) (?P<tie> -? ) )
""", re.VERBOSE)
_HEAD = re.compile(rf"(\^\^?|__?|=)?([A-Ga-g])([,']*)({_LENGTH})(-?)")


def typed_abc(text: str, key: Key, meter: Meter) -> tuple[tuple[PlainEvent, ...], ...]:
    """The notes of each bar, parted by `|`; unit length an eighth, pitches as they sound (`C` is middle C).

    Onsets count from each bar's start. Chord symbols, repeats and the ornaments that a study does not know are read
    over. Raises BarglossError for what is no ABC, the bar counted from 1.
    """
    if len(text) > MOST_TYPED:
        raise BarglossError(f"more than {MOST_TYPED} characters in a line; type fewer bars at a time")
    line = _Line(text, key, meter)
    at = 0
    while at < len(text):
        at = line.read(at)
    line.end()
    if not any(event.notes for event in line.events):
        raise BarglossError(f"no note in {text.strip()[:40]!r}; write letters and lengths, as c2 d e")
    events, _ = with_slurs(line.events, line.slurs)
    bounds = [*dict.fromkeys([0, *line.barlines.values(), len(events)])]
    return tuple(tuple(events[start:stop]) for start, stop in pairwise(bounds))


@dataclass
class _Line:
    """What was read so far. Places are characters of the text, from 0.

    places: of each event; barlines: how many events stand before each; signs: accidentals of this bar, by letter;
    tuplet: the group being filled, where it begins and how many notes it wants; broken: where the sign stands, and
    what it makes of the next note's length; opened: slurs that are not closed yet, by place and first event.
    """

    text: str
    key: Key
    meter: Meter
    events: list[PlainEvent] = field(default_factory=list)
    places: list[int] = field(default_factory=list)
    barlines: dict[int, int] = field(default_factory=dict)
    onset: Fraction = Fraction(0)
    signs: dict[str, int] = field(default_factory=dict)
    tuplet: tuple[Tuplet, int, int] | None = None
    broken: tuple[int, Fraction] | None = None
    opened: list[tuple[int, int]] = field(default_factory=list)
    slurs: list[tuple[int, int]] = field(default_factory=list)

    def refuse(self, at: int, why: str) -> NoReturn:
        """Say what the word that begins there is not."""
        word = re.match(r"[^\s|]{1,20}|.", self.text[at:], re.DOTALL)
        before = {events for place, events in self.barlines.items() if place < at and events}
        raise BarglossError(f"{word[0] if word else ''!r} (character {at + 1}) {why}", bar=len(before) + 1)

    def read(self, at: int) -> int:
        """Take what stands there; where it ends."""
        found = _TOKENS.match(self.text, at)
        if found is None:
            if re.match(r"[A-Za-z]+:", self.text[at:]):
                self.refuse(at, "begins a field; type the notes alone")
            self.refuse(at, "is no note, rest or sign of ABC; write letters and lengths, as c2 d e")
        if found["bar"]:
            self._barline(at)
        elif found["tuplet"]:
            self._open_tuplet(at, found["tuplet"])
        elif found["open"]:
            self.opened.append((at, len(self.events)))
        elif found["close"]:
            self._close_slur(at)
        elif found["broken"]:
            self._break(at, found["broken"])
        elif found["graces"]:
            for head in _HEAD.finditer(found["graces"]):
                self._add(at, _UNIT * self._length(at, head[4]), (self._note(head, ""),), found["marks"], grace=True)
        elif not found["space"]:
            self._sound(at, found)
        return found.end()

    def end(self) -> None:
        """Refuse what was begun and is not whole."""
        self._barline(len(self.text))
        if self.opened:
            self.refuse(self.opened[-1][0], "opens a slur that nothing closes; write ) after its last note")
        for index, (event, after) in enumerate(pairwise(self.events)):
            sounding = {note.pitch for note in after.notes}
            if not after.grace and any(note.tie and note.pitch not in sounding for note in event.notes):
                self.refuse(self.places[index], "is tied to another pitch; a tie (-) holds one pitch on, ( ) slurs")

    def _barline(self, at: int) -> None:
        if self.tuplet is not None:
            self.refuse(self.tuplet[1], f"is a group that is not full; write its notes, {self.tuplet[2]} more")
        if self.broken is not None:
            self.refuse(self.broken[0], "stands between two notes of a bar; write the second one")
        if self.events and self.events[-1].grace:
            self.refuse(self.places[-1], "leads to no note in its bar; write one")
        self.barlines[at] = len(self.events)
        self.onset, self.signs = Fraction(0), {}

    def _open_tuplet(self, at: int, text: str) -> None:
        """`(3`, or `(3:2:2`: so many in the time of so many for the next so many notes (section 4.13)."""
        if self.tuplet is not None:
            self.refuse(at, "stands inside another tuplet; write the notes of that one first")
        actual, normal, notes = (int(part) if part else 0 for part in [*text[1:].split(":"), "", ""][:3])
        compound = self.meter.unit >= 8 and self.meter.groups[0] % 3 == 0
        normal = normal or _IN_TIME_OF.get(actual, 3 if compound else 2)
        self.tuplet = Tuplet(actual, normal, starts=True), at, notes or actual

    def _close_slur(self, at: int) -> None:
        if not self.opened or self.opened[-1][1] >= len(self.events):
            self.refuse(at, "closes a slur that nothing opens; write ( before its first note")
        self.slurs.append((self.opened.pop()[1], len(self.events) - 1))

    def _break(self, at: int, signs: str) -> None:
        """The note before longer by what the next one gives it, or the other way round (section 4.4)."""
        if not self.onset or self.events[-1].grace or self.broken is not None:
            self.refuse(at, "stands between two notes of a bar; write the first one")
        short = Fraction(1, 2 ** len(signs))
        own, next_ = (2 - short, short) if signs[0] == ">" else (short, 2 - short)
        last = self.events[-1]
        self.events[-1] = replace(last, duration=last.duration * own)
        self.onset, self.broken = self.events[-1].end, (at, next_)

    def _sound(self, at: int, found: re.Match[str]) -> None:
        length = self._length(at, found["length"])
        heads = list(_HEAD.finditer(found["note"] or found["chord"] or ""))
        if found["chord"]:
            length *= self._length(at, heads[0][4])  # of the first note: section 4.17
        if found["tie"] and not heads:
            self.refuse(at, "is a rest, which is not tied; leave the - out")
        notes = {note.pitch.midi: note for note in (self._note(head, found["tie"]) for head in heads)}
        if self.broken is not None:
            length, self.broken = length * self.broken[1], None
        tuplets: tuple[Tuplet, ...] = ()
        if self.tuplet is not None:
            kind, place, left = self.tuplet
            tuplets, length = (kind,), length * kind.normal / kind.actual
            self.tuplet = (kind._replace(starts=False), place, left - 1) if left > 1 else None
        self._add(at, _UNIT * length, tuple(sorted(notes.values(), key=height)), found["marks"], tuplets)

    def _add(self, at: int, duration: Fraction, notes: tuple[Note, ...], marks: str, tuplets: tuple[Tuplet, ...] = (),
             *, grace: bool = False) -> None:
        said = _MARK.findall(marks)
        event = PlainEvent(
            self.onset, duration, notes, tuplets, grace,
            articulations=tuple(dict.fromkeys(_ARTICULATIONS[mark] for mark in said if mark in _ARTICULATIONS)),
            stroke=next((_STROKES[mark] for mark in said if mark in _STROKES), ""))
        self.events.append(event)
        self.places.append(at)
        self.onset = event.end

    def _length(self, at: int, text: str) -> Fraction:
        """`2`, `3/2`, `/4`; each `/` without a figure halves (section 4.3)."""
        above, slashes, below = re.fullmatch(r"(\d*)(/*)(\d*)", text).groups()  # type: ignore[union-attr]
        part = int(below) if below else 2 ** len(slashes)
        length = Fraction(int(above or 1), part) if part else Fraction(0)
        if not length or length.denominator & (length.denominator - 1):
            self.refuse(at, "has a length that no note value writes; write 3/2 for a dotted note, (3 before a triplet")
        return length

    def _note(self, head: re.Match[str], tie: str) -> Note:
        """An accidental holds to the end of the bar, in every octave, and over it in a tied note (section 11.3)."""
        sign, letter, octave, _, own_tie = head.groups()
        step = letter.upper()
        if sign:
            self.signs[step] = _ALTERS[sign]
        alter = self.signs.get(step, self.key.alter_of(step))
        pitch = Pitch(step, alter, (5 if letter.islower() else 4) + octave.count("'") - octave.count(","))
        if not sign and self.onset == 0 and self.events:
            pitch = next((note.pitch for note in self.events[-1].notes if note.tie and note.pitch.step == step
                          and note.pitch.octave == pitch.octave), pitch)
        return Note(pitch, tie=bool(tie or own_tie))
