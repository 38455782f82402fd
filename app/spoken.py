"""A note in words: for a screen reader, and shorter for the status line."""

from __future__ import annotations

from app.words import (
    ACCIDENTALS,
    BAR,
    ORDINALS,
    PICKUP,
    SIGN_NAMES,
    SPOKEN_BAR,
    SPOKEN_DEGREE,
    SPOKEN_GRIP,
    SPOKEN_NOTE,
    SPOKEN_PICKUP,
    UNPLAYABLE,
)
from core.guitar import Fingered
from core.handout import Layout
from core.line import ChordSpan, NoteAnalysis, shown_degree
from core.study import NotePlace, Pitch, Study, sounding_number


def pretty(text: str) -> str:
    """ASCII degree or pitch with real accidentals: `b9` as ♭9, `Bb4` as B♭4."""
    head, rest = (text[:1], text[1:]) if text[:1] in "ABCDEFG" else ("", text)
    for plain, sign in ACCIDENTALS.items():
        rest = rest.replace(plain, sign)
    return head + rest


def spoken_pitch(pitch: Pitch) -> str:
    """`B flat 4`."""
    return " ".join([pitch.step, *([SIGN_NAMES[pitch.alter]] if pitch.alter else []), str(pitch.octave)])


def spoken_degree(degree: str) -> str:
    """`flat 7`, `double flat 7`; what is no degree as it stands."""
    figure = degree.lstrip("b#")
    alter = degree.count("#") - degree.count("b")
    return f"{SIGN_NAMES[alter]} {figure}" if figure.isdigit() and alter in SIGN_NAMES else degree


def note_number(layout: Layout, place: NotePlace) -> int:
    """Which of its bar's sounding events a note is, from 1."""
    return sounding_number(layout.study.bars[place.bar], place.event)


def found_of(layout: Layout, place: NotePlace) -> NoteAnalysis:
    return layout.analysis.bars[place.bar].notes[place.event][place.note]


def grip_of(layout: Layout, place: NotePlace) -> Fingered | None:
    """Where the note lies on the neck; None where no hand can take it."""
    return layout.fingering.bars[place.bar].events[place.event].notes[place.note]


def degree_of(layout: Layout, place: NotePlace) -> str:
    """As the degree row prints it; "" for none."""
    return shown_degree(layout.study.note_at(place), found_of(layout, place))


def chord_at(layout: Layout, place: NotePlace) -> str:
    """The chord symbol in force at a note; "" for none yet."""
    onset = layout.study.event_at(place).onset
    in_force: list[ChordSpan] = [span for span in layout.analysis.bars[place.bar].chords if span.offset <= onset]
    return in_force[-1].symbol if in_force else ""


def bar_name(study: Study, bar: int) -> str:
    """The bar at an index, in a sentence: `bar 7`, `pickup`."""
    number = study.in_force[bar].number
    return SPOKEN_BAR.format(number=number) if number else SPOKEN_PICKUP


def bar_title(study: Study, bar: int) -> str:
    """The same where it stands first: `Bar 7`, `Pickup`."""
    number = study.in_force[bar].number
    return BAR.format(number=number) if number else PICKUP


def spoken_note(layout: Layout, place: NotePlace) -> str:
    """`bar 7, third note, B flat 4, degree flat 7, string 2 fret 11`."""
    number, grip, degree = note_number(layout, place), grip_of(layout, place), degree_of(layout, place)
    where = SPOKEN_GRIP.format(string=grip.string, fret=grip.fret) if grip else UNPLAYABLE
    ordinal = ORDINALS[number - 1] if number <= len(ORDINALS) else str(number)
    parts = [bar_name(layout.study, place.bar), SPOKEN_NOTE.format(ordinal=ordinal),
             spoken_pitch(layout.study.note_at(place).pitch),
             SPOKEN_DEGREE.format(degree=spoken_degree(degree)) if degree else "", where]
    return ", ".join(filter(None, parts))
