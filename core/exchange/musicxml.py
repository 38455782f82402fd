"""MusicXML through music21: which part and staff to take, and what is around it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from music21.harmony import Harmony
from music21.interval import Interval
from music21.musicxml.xmlToM21 import MusicXMLImporter
from music21.pitch import Pitch

from core.errors import BarglossError
from core.exchange.choice import choose
from core.exchange.frame import SignReader, chords_of, exact, tempo_marks
from core.exchange.hairpins import with_hairpins
from core.exchange.plain import Piece, PlainBar, Remark
from core.exchange.slurs import with_slurs
from core.exchange.walk import Line, events_of
from core.exchange.xml_limits import parse_xml


@dataclass(frozen=True)
class _Part:
    """A part by name, with its staves from the top down, as music21 has them."""

    name: str
    staves: tuple[Any, ...]

    @property
    def is_playable(self) -> bool:
        return any(_has_notes(staff) for staff in self.staves)

    @property
    def is_percussion(self) -> bool:
        return any(True for staff in self.staves for note in staff.recurse().notes if not isinstance(note, Harmony))


def read_musicxml(raw: bytes, part: int | None) -> Piece:
    """The top voice of the top staff of a part, at sounding pitch. Raises BarglossError, ChoiceNeeded."""
    importer: Any = MusicXMLImporter()  # type: ignore[no-untyped-call]
    importer.xmlText = raw.decode("utf-8")
    importer.parseXMLText()
    score = importer.stream
    parts = _parts(score)
    playable = {number: each.name for number, each in enumerate(parts, 1) if each.is_playable}
    if not playable:  # a chart of changes, without a line yet
        playable = {number: each.name for number, each in enumerate(parts, 1) if not each.is_percussion}
    if not playable:
        raise BarglossError("the file has no notes of a pitch to bring in; choose another file")
    number = choose(playable, part, "part")
    chosen = parts[number - 1]
    staff = next((each for each in chosen.staves if _has_notes(each)), chosen.staves[0])
    others = [f"{n} {each.name}" for n, each in enumerate(parts, 1) if n != number]
    bars, remarks = _bars(score, chosen, staff)
    if others:
        remarks.append(Remark(f"Other parts left out: {', '.join(others)}"))
    tempo, words = tempo_marks(score)
    swings = any("swing" in word or "shuffle" in word for word in words) or _has_swing(raw)
    first = _measures(staff)[0].number
    return replace(_titles(score), bars=tuple(bars), first_number=first if first > 1 else None, tempo=tempo,
                   feel="swing" if swings else "straight", remarks=tuple(remarks))


def _has_swing(raw: bytes) -> bool:
    """Whether the sound of the score is swung anywhere (MusicXML 4.0, `swing`), which music21 does not read."""
    return any(swing.find("first") is not None for swing in parse_xml(raw).iter("swing"))


def _parts(score: Any) -> list[_Part]:
    """Parts in score order; the staves of one part, which music21 hands over as parts, joined again."""
    staves: dict[str, list[Any]] = {}
    for stream in score.parts:
        owner = str(stream.id).rpartition("-Staff")[0] if "PartStaff" in stream.classes else f"#{len(staves)}"
        staves.setdefault(owner, []).append(stream)
    return [_Part(" ".join(str(group[0].partName or f"Part {number}").split())[:40], tuple(group))
            for number, group in enumerate(staves.values(), 1)]


def _has_notes(staff: Any) -> bool:
    return any(True for _ in _pitched(staff))


def _pitched(staff: Any) -> Iterator[Any]:
    for note in staff.recurse().notes:
        if not isinstance(note, Harmony) and "NotRest" in note.classes and note.pitches \
                and "PercussionChord" not in note.classes:
            yield note


def _measures(staff: Any) -> list[Any]:
    return list(staff.getElementsByClass("Measure"))


def _bars(score: Any, chosen: _Part, staff: Any) -> tuple[list[PlainBar], list[Remark]]:
    written = [(pitch.nameWithOctave, pitch.midi) for note in _pitched(staff) for pitch in note.pitches]
    for each in chosen.staves:
        each.toSoundingPitch(inPlace=True)
    measures = _measures(staff)
    if not measures:
        raise BarglossError("the part has no bars; export it again")
    remarks = list(_moved(written, staff))
    line = Line(staff)
    tab = next((each for each in chosen.staves if each is not staff and _is_tab(each)), None)
    spans = _spans(score, len(measures))
    chords = _chords(score, chosen, staff)
    signs = SignReader(staff)
    bars, events, sources = [], [], []
    for index, measure in enumerate(measures):
        found = events_of(measure, index, line, _tab_places(tab, index), remarks)
        bar = signs.frame(measure, index, remarks)
        bars.append(replace(bar, chords=chords.get(index, ()), span=spans[index]))
        events.append([event for event, _ in found])
        sources += [source for _, source in found]
    flat, dropped = with_slurs([event for row in events for event in row], line.slurs(sources))
    owners = [index for index, row in enumerate(events) for _ in row]
    remarks += [Remark("Slurs that lie over other slurs left out", owners[at]) for at in dropped]
    swells = line.hairpins(sources)
    flat, dropped = with_hairpins(flat, swells)
    remarks += [Remark("Hairpins that lie over other hairpins left out", owners[at]) for at in dropped]
    if len(swells) < line.hairpin_count:
        remarks.append(Remark("Hairpins of other voices left out"))
    others = [each for each in chosen.staves if each is not staff and each is not tab and _has_notes(each)]
    if others:
        remarks.append(Remark(f"Lower staves of the part left out: {len(others)}"))
    filled = iter(flat)
    whole = [replace(bar, events=tuple(next(filled) for _ in row)) for bar, row in zip(bars, events, strict=True)]
    return whole, remarks


def _moved(written: list[tuple[str, int]], staff: Any) -> Iterator[Remark]:
    """How far a transposing instrument's notes have moved; an octave is the guitar's own way and is not told.

    written: name and midi number of each as they stood in the file.
    """
    sounding = [pitch for note in _pitched(staff) for pitch in note.pitches]
    ways = {pitch.midi - midi: (name, pitch) for (name, midi), pitch in zip(written, sounding, strict=True)}
    for semitones, (name, pitch) in ways.items():
        if semitones % 12:
            size = Interval(Pitch(name), pitch).niceName.lower()
            where = "above" if semitones > 0 else "below"
            yield Remark(f"A part for a transposing instrument: brought in as it sounds, {_an(size)} {where} what is "
                         "written, with its key and chord symbols")


def _an(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _spans(score: Any, count: int) -> list[Fraction | None]:
    """How far each bar reaches in whichever part or voice fills it most."""
    reach: list[Fraction | None] = [None] * count
    for staff in score.parts:
        for index, measure in enumerate(_measures(staff)[:count]):
            ends = [exact(each.getOffsetInHierarchy(measure)) + exact(each.quarterLength)
                    for each in measure.recurse().notesAndRests if not isinstance(each, Harmony)]
            own = reach[index]
            reach[index] = max([*ends, *([] if own is None else [own])], default=None)
    return reach




def _chords(score: Any, chosen: _Part, staff: Any) -> dict[int, tuple[Any, ...]]:
    """Chord symbols by bar: the staff's own, or else the part's, or else those of the first part that has any."""
    rest = [each for each in score.parts if each is not staff]
    rest.sort(key=lambda each: each not in chosen.staves)
    for each in [staff, *rest]:
        found = {index: row for index, measure in enumerate(_measures(each)) if (row := chords_of(measure))}
        if found:
            if each not in chosen.staves:
                each.toSoundingPitch(inPlace=True)
                found = {index: chords_of(measure) for index, measure in enumerate(_measures(each))}
            return found
    return {}


def _is_tab(staff: Any) -> bool:
    return any("TabClef" in clef.classes for clef in staff.recurse().getElementsByClass("Clef"))


def _tab_places(tab: Any, index: int) -> dict[tuple[Fraction, int], Any]:
    """The tab staff's notes by onset and pitch, to take strings and frets from."""
    measures = _measures(tab) if tab is not None else []
    if index >= len(measures):
        return {}
    return {(exact(note.getOffsetInHierarchy(measures[index])), pitch.midi): note
            for note in _pitched(measures[index]) for pitch in note.pitches}


def _titles(score: Any) -> Piece:
    found = score.metadata
    if found is None:
        return Piece()
    people = {str(who.role).lower(): " ".join(str(who.name).split())
              for who in found.contributors if who.role and who.name}
    player = next((people[role] for role in ("performer", "artist", "soloist", "player") if role in people), "")
    return Piece(title=_one_line(found.bestTitle), composer=_one_line(found.composer), player=player[:200],
                 transcriber=people.get("transcriber", "")[:200], rights=_one_line(found.copyright))


def _one_line(text: Any) -> str:
    return " ".join(str(text or "").split())[:200]
