"""The status line: where the selection is, in a few words."""

from __future__ import annotations

from app import words
from app.places import Selected
from app.spoken import bar_title, chord_at, degree_of, grip_of, note_number, pretty
from core.handout import Layout


def status_words(layout: Layout, at: Selected) -> str:
    """`Bar 7 · Note 3: B♭4 · ♭7 of C7 · string 2, fret 11 · finger 3`."""
    place = at.moving
    parts = [bar_title(layout.study, at.bar if place is None else place.bar)]
    if place is not None:
        grip, chord, degree = grip_of(layout, place), chord_at(layout, place), degree_of(layout, place)
        pitch = pretty(layout.study.note_at(place).pitch.name)
        parts.append(words.NOTE_OF.format(number=note_number(layout, place), pitch=pitch))
        if degree and chord:
            parts.append(words.STATUS_DEGREE.format(degree=pretty(degree), chord=pretty(chord)))
        parts.append(words.STATUS_GRIP.format(string=grip.string, fret=grip.fret) if grip else words.UNPLAYABLE)
        if grip and grip.finger:
            parts.append(words.STATUS_FINGER.format(finger=grip.finger))
    else:
        parts.append(" ".join(pretty(span.symbol) for span in layout.analysis.bars[at.bar].chords))
    return "   ·   ".join(filter(None, parts))
