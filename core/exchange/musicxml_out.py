"""A study as MusicXML, plain and zipped.

Kept to what W3C MusicXML 3.1 knows, so that older readers take it. One part of one voice.
Degrees, readings and the recording's bar times have no place in the format and stay in the study file.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from fractions import Fraction
from math import lcm
from typing import TYPE_CHECKING

from lxml import etree

from core.errors import BarglossError
from core.exchange.beams_out import beam_values
from core.exchange.hairpins import Edge, hairpin_edges
from core.exchange.musicxml_note_out import Place, Setting, Signs, add_event, sub
from core.exchange.spans_out import EventSpans, study_spans
from core.exchange.words_out import plain
from core.guitar import Fingering
from core.harmony import NoChord, kind_of, parse_chord
from core.sound.loudness import LEVELS
from core.study import Bar, InForce, NotePlace, PitchClass, Study, note_name
from core.study.study import AGAIN, says_again

if TYPE_CHECKING:
    from lxml.etree import _Element as Element

_DOCTYPE = ('<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" '
            '"http://www.musicxml.org/dtds/partwise.dtd">')
_BARLINES = {"double": "light-light", "final": "light-heavy", "dashed": "dashed"}
_SOUNDS = {"segno": "segno", "coda": "coda", "Fine": "fine", "To Coda": "tocoda", "D.C.": "dacapo", "D.S.": "dalsegno"}
"""The attribute of `sound` that says a sign or jump to players (MusicXML 3.1)."""
_FORTE = 90
"""The MIDI velocity that `sound`'s dynamics are per cent of (MusicXML 3.1, `sound`)."""
_NOWHERE = Place(None, None, None)
_SMALL = 8
"""Points: the teacher's words, below the staff."""
_CONTAINER = b"""<?xml version="1.0" encoding="UTF-8"?>
<container><rootfiles><rootfile full-path="score.musicxml" media-type="application/vnd.recordare.musicxml+xml"/>\
</rootfiles></container>
"""
_MIMETYPE = b"application/vnd.recordare.musicxml"


def musicxml_bytes(study: Study, fingering: Fingering | None = None) -> bytes:
    """A score-partwise document, UTF-8. Strings, frets and fingers come from `fingering`, where there is none
    only the teacher's own are written.
    """
    root = etree.Element("score-partwise", version="3.1")
    _add_heading(root, study)
    part = sub(root, "part", id="P1")
    divisions = _divisions(study)
    for here, spans, hairpins in zip(study.in_force, study_spans(study), hairpin_edges(study), strict=True):
        marks = sorted([*_marks(study, here), *map(_wedge, hairpins)], key=lambda mark: mark[0])
        _add_measure(part, study, here, _settings(study, here, spans, fingering), marks, divisions)
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", doctype=_DOCTYPE, pretty_print=True)


def mxl_bytes(study: Study, fingering: Fingering | None = None) -> bytes:
    """The same document in MusicXML's zip container, the same bytes for the same study."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content, method in (("mimetype", _MIMETYPE, zipfile.ZIP_STORED),
                                      ("META-INF/container.xml", _CONTAINER, zipfile.ZIP_DEFLATED),
                                      ("score.musicxml", musicxml_bytes(study, fingering), zipfile.ZIP_DEFLATED)):
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = method
            archive.writestr(entry, content)
    return packed.getvalue()


def _divisions(study: Study) -> int:
    """Parts of a quarter that every duration and offset of the study is a whole number of."""
    found = 1
    for here in study.in_force:
        times = [here.length, *(event.duration for event in here.bar.events if not event.grace),
                 *(event.onset for event in here.bar.events), *(change.offset for change in here.bar.changes)]
        found = lcm(found, *(time.denominator for time in times))
    return found


def _settings(study: Study, here: InForce, spans: tuple[EventSpans, ...],
              fingering: Fingering | None) -> tuple[Setting, ...]:
    found = []
    for index, (event, edges, beams) in enumerate(zip(here.bar.events, spans, beam_values(here), strict=True)):
        places = tuple(Place(note.string, note.fret, note.finger) for note in event.notes)
        stroke: str = event.stroke
        if fingering is not None:
            played = fingering.bars[here.index].events[index]
            places = tuple(_NOWHERE if note is None else Place(note.string, note.fret, note.finger)
                           for note in played.notes)
            stroke = played.stroke
        found.append(Setting(note_name(study, NotePlace(here.index, index)), edges, places, stroke, beams))
    return tuple(found)


def _add_heading(root: Element, study: Study) -> None:
    if study.tune and study.tune != study.title:
        sub(sub(root, "work"), "work-title", study.tune)
    if study.title:
        sub(root, "movement-title", study.title)
    identification = sub(root, "identification")
    for role, name in (("performer", study.player), ("transcriber", study.transcriber)):
        if name:
            sub(identification, "creator", name, type=role)
    if study.rights:
        sub(identification, "rights", study.rights)
    sub(sub(identification, "encoding"), "software", "Bargloss")
    if study.recording:
        sub(identification, "source", study.recording)
    part = sub(sub(root, "part-list"), "score-part", id="P1")
    sub(part, "part-name", study.instrument.name)


def _add_measure(
    part: Element, study: Study, here: InForce, settings: tuple[Setting, ...], marks: list[tuple[Fraction, Element]],
    divisions: int,
) -> None:
    """marks: what stands above and below the staff, in time order."""
    measure = sub(part, "measure", number=here.number)
    if here.length != here.meter.length:
        measure.set("implicit", "yes")
    if here.bar.break_before:
        sub(measure, "print", **{f"new_{here.bar.break_before}": "yes"})
    _add_attributes(measure, here, divisions)
    _add_left_barline(measure, study, here)
    signs = Signs(here.key)
    for event, setting in zip(here.bar.events, settings, strict=True):
        while marks and (marks[0][0] < event.end or (event.grace and marks[0][0] == event.onset)):
            _place(measure, *marks.pop(0), event.onset, divisions)
        add_event(measure, event, setting, signs, divisions)
    if not here.bar.events:
        for mark in marks:
            _place(measure, *mark, Fraction(0), divisions)
        rest = sub(measure, "note")
        sub(rest, "rest", measure="yes")
        sub(rest, "duration", (here.length * divisions).numerator)
        sub(rest, "voice", 1)
    else:
        for mark in marks:  # where the bar ends
            _place(measure, *mark, here.length, divisions)
    if here.bar.jump:
        measure.append(_way(here.bar.jump))
    _add_right_barline(measure, study, here)


def _add_attributes(measure: Element, here: InForce, divisions: int) -> None:
    first = here.index == 0
    attributes = etree.Element("attributes")
    if first:
        sub(attributes, "divisions", divisions)
    if here.key_changed:
        key = sub(attributes, "key")
        sub(key, "fifths", here.key.fifths)
        sub(key, "mode", here.key.mode)
    if here.meter_changed:
        symbol = {"symbol": here.meter.symbol} if here.meter.symbol else {}
        time = sub(attributes, "time", **symbol)
        sub(time, "beats", "+".join(map(str, here.meter.groups)))
        sub(time, "beat-type", here.meter.unit)
    if first:
        clef = sub(attributes, "clef")
        sub(clef, "sign", "G")
        sub(clef, "line", 2)
        sub(clef, "clef-octave-change", -1)
    if len(attributes):
        measure.append(attributes)


def _marks(study: Study, here: InForce) -> Iterator[tuple[Fraction, Element]]:
    """Everything that stands above or below the staff, with its offset in the bar, in quarters."""
    start = Fraction(0)
    if here.index == 0:
        yield start, _tempo(study)
    labels = [chorus.label for chorus in study.choruses if chorus.bar == here.index]
    for label in [*labels, here.bar.rehearsal]:
        if label:
            yield start, _direction("rehearsal", label, placement="above")
    if here.bar.sign:
        yield start, _way(here.bar.sign)
    for change in here.changes if says_again(here.bar.changes) else here.bar.changes:
        if change.symbol != AGAIN:
            yield change.offset, _harmony(change.symbol)
    for event in here.bar.events:
        if event.dynamic:
            yield event.onset, _dynamic(event.dynamic)
    yield from _words_of(here.bar)


def _words_of(bar: Bar) -> Iterator[tuple[Fraction, Element]]:
    """The teacher's own."""
    if bar.comment:
        yield Fraction(0), _words(bar.comment)
    for callout in bar.callouts:
        text = ": ".join(part for part in (callout.heading, callout.text) if part)
        if text:
            yield callout.start, _words(text)
    for event in bar.events:
        if event.remark:
            yield event.onset, _words(event.remark)


def _place(measure: Element, at: Fraction, mark: Element, now: Fraction, divisions: int) -> None:
    """Append a mark; MusicXML counts its offset, in divisions, from the note that follows it."""
    if at != now:
        offset = etree.Element("offset")
        offset.text = str(int((at - now) * divisions))
        mark.append(offset)
    measure.append(mark)


def _direction(kind: str, text: str, placement: str, **attributes: object) -> Element:
    direction = etree.Element("direction", placement=placement)
    sub(sub(direction, "direction-type"), kind, text, **attributes)
    return direction


def _way(name: str) -> Element:
    """A sign, or a jump in words, that players obey as well."""
    is_sign = name in ("segno", "coda")
    direction = _direction(name if is_sign else "words", "" if is_sign else name, placement="above")
    kind = _SOUNDS[name if name in _SOUNDS else name[:4]]
    sub(direction, "sound", **{kind: "yes" if kind in ("dacapo", "fine") else 1})
    return direction


def _dynamic(name: str) -> Element:
    """An accent of one note (sf, sfz) says nothing of the notes after it."""
    direction = etree.Element("direction", placement="below")
    sub(sub(sub(direction, "direction-type"), "dynamics"), name)
    if name in LEVELS:
        sub(direction, "sound", dynamics=round(LEVELS[name] * 100 / _FORTE))
    return direction


def _wedge(edge: Edge) -> tuple[Fraction, Element]:
    """A hairpin's beginning or end."""
    kind = {"cresc": "crescendo", "dim": "diminuendo"}.get(edge.kind, edge.kind)
    return edge.onset, _direction("wedge", "", placement="below", type=kind, number=1)


def _words(text: str) -> Element:
    return _direction("words", plain(text), placement="below", font_size=_SMALL)


def _tempo(study: Study) -> Element:
    direction = _direction("words", study.feel, placement="above")
    metronome = sub(sub(direction, "direction-type"), "metronome")
    sub(metronome, "beat-unit", "quarter")
    sub(metronome, "per-minute", study.tempo)
    sub(direction, "sound", tempo=study.tempo)
    return direction


def _harmony(symbol: str) -> Element:
    """The chord, or its text as words where it is no chord we can read."""
    try:
        chord = parse_chord(symbol)
    except BarglossError:
        return _direction("words", symbol, placement="above")
    harmony = etree.Element("harmony")
    if isinstance(chord, NoChord):
        root = sub(harmony, "root")
        sub(root, "root-step", "C", text="")  # a root is required; its own text hides it
        sub(harmony, "kind", "none", text="N.C.")
        return harmony
    _add_pitch_class(harmony, "root", chord.root)
    kind, degrees = kind_of(chord)
    sub(harmony, "kind", kind)
    if chord.bass is not None:
        _add_pitch_class(harmony, "bass", chord.bass)
    for value, alter, sort in degrees:
        degree = sub(harmony, "degree")
        sub(degree, "degree-value", value)
        sub(degree, "degree-alter", alter)
        sub(degree, "degree-type", sort)
    return harmony


def _add_pitch_class(harmony: Element, name: str, note: PitchClass) -> None:
    holder = sub(harmony, name)
    sub(holder, f"{name}-step", note.step)
    if note.alter:
        sub(holder, f"{name}-alter", note.alter)


def _add_left_barline(measure: Element, study: Study, here: InForce) -> None:
    before = study.bars[here.index - 1].ending if here.index else ""
    begins = here.bar.ending if here.bar.ending != before else ""
    if not (here.bar.repeat_start or begins):
        return
    barline = sub(measure, "barline", location="left")
    if here.bar.repeat_start:
        sub(barline, "bar-style", "heavy-light")
    if begins:
        sub(barline, "ending", begins, number=_passes(begins), type="start")
    if here.bar.repeat_start:
        sub(barline, "repeat", direction="forward")


def _add_right_barline(measure: Element, study: Study, here: InForce) -> None:
    bar = here.bar
    last = here.index + 1 == len(study.bars)
    ends = bar.ending if last or study.bars[here.index + 1].ending != bar.ending else ""
    if not (bar.barline or bar.repeat_end or ends):
        return
    barline = sub(measure, "barline", location="right")
    style = "light-heavy" if bar.repeat_end else _BARLINES.get(bar.barline)
    if style:
        sub(barline, "bar-style", style)
    if ends:
        sub(barline, "ending", number=_passes(ends), type="stop" if bar.repeat_end else "discontinue")
    if bar.repeat_end:
        times = {"times": bar.repeat_end} if bar.repeat_end > 1 else {}
        sub(barline, "repeat", direction="backward", **times)


def _passes(ending: str) -> str:
    """`1. 2.` as MusicXML's list of passes, `1, 2`; a blank where no number is named."""
    return ", ".join(str(int(number)) for number in re.findall(r"\d+", ending) if int(number)) or " "


