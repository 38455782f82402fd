"""A study as plain text, bar by bar, for a screen reader or an e-mail: words and numbers, no drawn staff.

Accidentals are spoken out (B flat 4, sharp 11), since a screen reader passes over ♭ and reads # as number.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from core.errors import BarglossError
from core.exchange.words_out import plain
from core.guitar import EventFingering, Fingered, Fingering
from core.harmony import ChordStyle, house, parse_chord
from core.line import Analysis, NoteAnalysis, shown_degree
from core.sound.feel import lead
from core.study import Callout, Event, InForce, Note, Study
from core.study.study import says_again

_VALUES: dict[Fraction, str] = {Fraction(8) / 2**power: name for power, name in enumerate((
    "double whole", "whole", "half", "quarter", "eighth", "sixteenth", "32nd", "64th", "128th", "256th"))}
_DOTS = ("", "dotted ", "double dotted ", "triple dotted ")
_SIGNS = {"b": "flat ", "#": "sharp "}
_SLURS = {"start": "slur begins", "stop": "slur ends", "both": "one slur ends and the next begins"}
_DYNAMICS = {"ppp": "very very soft", "pp": "very soft", "p": "soft", "mp": "moderately soft", "mf": "moderately loud",
             "f": "loud", "ff": "very loud", "fff": "very very loud", "sf": "with sudden force",
             "sfz": "with sudden force", "fp": "loud, then soft at once"}
_HAIRPINS = {"cresc": "growing louder from here", "dim": "growing softer from here", "stop": "no further from here"}
_BARLINES = {"double": "double barline", "final": "final barline", "dashed": "dashed barline"}
_SPOKEN_CHORDS = ChordStyle(minor="m", major="maj")


def study_text(study: Study, analysis: Analysis, fingering: Fingering) -> str:
    """The whole study, one line a note. analysis, fingering: of this study; their bars stand beside its own."""
    lines = [*_heading(study), ""]
    labels = {chorus.bar: chorus.label for chorus in study.choruses}
    for here, read, played in zip(study.in_force, analysis.bars, fingering.bars, strict=True):
        if labels.get(here.index):
            lines += [labels[here.index], ""]
        lines.append(_bar_line(here))
        for event, notes, hands in zip(here.bar.events, read.notes, played.events, strict=True):
            lines.append(f"  {_event_line(here, event, notes, hands)}")
        if not here.bar.events:
            lines.append("  rest for the whole bar")
        lines += [f"  {line}" for line in _words(study, here)]
        lines.append("")
    return "\n".join(lines[:-1]) + "\n"


def _heading(study: Study) -> Iterator[str]:
    yield study.title or study.tune or "Untitled"
    for name, text in (("Tune", study.tune), ("Played by", study.player), ("Transcribed by", study.transcriber),
                       ("Recording", study.recording), ("Rights", study.rights)):
        if text:
            yield f"{name}: {text}"
    strings = ", ".join(spoken(pitch.name) for pitch in study.instrument.tuning)
    capo = f", capo at fret {study.instrument.capo}" if study.instrument.capo else ""
    yield f"Instrument: {study.instrument.name}, strings from low to high {strings}{capo}"
    yield f"Tempo: {study.tempo} quarter notes a minute, {study.feel}"


def _bar_line(here: InForce) -> str:
    bar = here.bar
    found = [f"Bar {here.number}" if here.number else "Pickup"]
    if here.meter_changed:
        found.append(f"meter {here.meter.text}")
    if here.key_changed:
        found.append(f"key of {spoken(here.key.tonic.name)} {here.key.mode}")
    if bar.length is not None and bar.length != here.meter.length:
        found.append(f"{_mixed(bar.length * here.meter.unit / 4)} beats long")
    found += [f"{what} {name}" for what, name in (("rehearsal mark", bar.rehearsal), ("ending", bar.ending),
                                                  ("sign", bar.sign)) if name]
    if bar.repeat_start:
        found.append("repeat begins")
    if bar.changes:
        again = says_again(bar.changes) and bool(here.changes)
        found.append(("chords as in the bar before, " if again else "chords ") + ", ".join(
            f"{_chord(change.symbol)} on {_beat(here, change.offset)}"
            for change in (here.changes if again else bar.changes)))
    elif here.chord:
        found.append(f"chord {_chord(here.chord)} goes on")
    found += [f"heard as {reading.harmony} from {_beat(here, reading.offset)}"
              for reading in bar.readings if reading.harmony]
    if bar.repeat_end:
        found.append(f"repeat ends, played {bar.repeat_end} times")
    found += filter(None, [bar.jump, _BARLINES.get(bar.barline, "")])
    return "; ".join(found) + "."


def _loudness(event: Event) -> tuple[str, str]:
    """Its dynamic and its hairpin in words, "" for none."""
    return _DYNAMICS.get(event.dynamic, ""), _HAIRPINS.get(event.hairpin, "")


def _event_line(here: InForce, event: Event, notes: tuple[NoteAnalysis, ...], hands: EventFingering) -> str:
    found = f"{_beat(here, event.onset)}, {_length(event)}"
    if event.is_rest:
        return "; ".join(filter(None, [f"{found} rest", *_loudness(event)])) + _remark(event)
    heads = [_head(note, read, place) for note, read, place in zip(event.notes, notes, hands.notes, strict=True)]
    stroke = {"down": "downstroke", "up": "upstroke", "": hands.technique}[hands.stroke]
    more = [*_loudness(event), stroke, *event.articulations, _SLURS.get(event.slur, "")]
    return f"{found}: " + "; ".join([" with ".join(heads), *filter(None, more)]) + _remark(event)


def _remark(event: Event) -> str:
    return f". Remark: {plain(event.remark)}" if event.remark else ""


def _head(note: Note, read: NoteAnalysis, place: Fingered | None) -> str:
    """One head: pitch, degree and role, where it is played."""
    found = [spoken(note.pitch.name)]
    degree = shown_degree(note, read)
    found.append(f"{spoken(degree)} ({read.role})" if degree else read.role)
    if read.reading is not None:
        found.append(f"{spoken(read.reading.name)} as heard")
    if place is None:
        found.append("cannot be played here")
    else:
        finger = f" finger {place.finger}" if place.finger else ""
        found.append(f"string {place.string} " + (f"fret {place.fret}{finger}" if place.fret else "open"))
    if note.ghost:
        found.append("ghost note")
    if note.tie:
        found.append("tied on")
    return ", ".join(found)


def _length(event: Event) -> str:
    shape = event.written
    tuplets = "".join(f", {tuplet.actual} in the time of {tuplet.normal}" for tuplet in event.tuplets)
    return ("grace " if event.grace else "") + _DOTS[shape.dots] + _VALUES[shape.value] + tuplets


def _words(study: Study, here: InForce) -> Iterator[str]:
    if here.bar.comment:
        yield f"Comment: {plain(here.bar.comment)}"
    for callout in here.bar.callouts:
        yield _callout(study, here, callout)


def _callout(study: Study, here: InForce, callout: Callout) -> str:
    last = study.in_force[here.index + callout.bars_on]
    where = _beat(here, callout.start)
    if callout.bars_on:
        where += f" to bar {last.number} {_beat(last, callout.stop)}"
    elif callout.stop != callout.start:
        where += f" to {_beat(here, callout.stop)}"
    text = plain(": ".join(part for part in (callout.heading, callout.text) if part))
    return f"Callout, {where}: {text}"


def _chord(symbol: str) -> str:
    """The house spelling in letters, the round signs as words; as it stands where it is no chord we can read."""
    try:
        text = house(parse_chord(symbol), _SPOKEN_CHORDS).text
    except BarglossError:
        return symbol
    if text == "%":
        return "the same"
    return text.replace("ø", " half-diminished ").replace("°", " diminished ").strip()


def _beat(here: InForce, onset: Fraction) -> str:
    """`beat 2 1/2`: counted from 1 in the meter's lower number; a pickup lies at the end of its meter."""
    return f"beat {_mixed((onset + lead(here)) * here.meter.unit / 4 + 1)}"


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(number, 1)
    return " ".join(str(part) for part in (whole, rest) if part)


def spoken(name: str) -> str:
    """`Bb4` as `B flat 4`, `#11` as `sharp 11`."""
    letter = name[:1] if name[:1].isupper() else ""
    words = "".join(_SIGNS.get(sign, sign) for sign in name[len(letter):]).strip()
    return f"{letter} {words}".strip()
