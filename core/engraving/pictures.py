"""The neck pictures of callouts: for each, the places of the notes it speaks of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from core.engraving.drawing import Drawing, NeckDiagram, Tag
from core.engraving.neck import grips_in, neck_diagram
from core.engraving.style import Style
from core.engraving.word_boxes import widest_picture
from core.guitar import Fingering
from core.line import Analysis
from core.study import Bar, Callout, NotePlace, Study

_PICTURE = 1
"""What the tags of its marks have for a note."""
_SHY = 1 - 1e-9
"""Of the room: rounding may not make a picture wider than what holds it."""


def is_picture(tag: Tag | None) -> bool:
    """Whether a mark so tagged is of a callout's neck picture, and not of its words, box or bracket."""
    return tag is not None and tag.kind == "callout" and tag.note == _PICTURE


def pictured_in(study: Study, analysis: Analysis, fingering: Fingering, index: int) -> tuple[object, ...]:
    """What the pictures of a bar depend on beside the bar, the bars its callouts reach into by identity."""
    reaches = [callout.bars_on for callout in study.bars[index].callouts if callout.neck]
    if not reaches:
        return ()
    parts = (study.bars, analysis.bars, fingering.bars)
    return study.guitarist.left_handed, *[id(part[index + on]) for on in range(1, max(reaches) + 1) for part in parts]


def pictures_of(study: Study, analysis: Analysis, fingering: Fingering, index: int,
                style: Style) -> tuple[NeckDiagram | None, ...]:
    """One a callout of the bar at `index`; None where none is wished for, or no note can be played."""
    callouts = study.bars[index].callouts
    if style.necks == "none" or "callouts" not in style.rows:
        return (None,) * len(callouts)
    own = replace(style, degree_size=style.neck_size)
    found: list[NeckDiagram | None] = []
    for place, callout in enumerate(callouts):
        span = _span(study.bars, index, callout)
        if not callout.neck or not any(grips_in(fingering, span)):
            found.append(None)
            continue
        made = neck_diagram(study, fingering, analysis, span, style.necks, own)
        room = widest_picture(style)
        if made.width > room:
            size = own.degree_size * room / made.width * _SHY
            smaller = replace(own, degree_size=size, smallest=0.0)
            made = neck_diagram(study, fingering, analysis, span, style.necks, smaller)
        tag = Tag("callout", place, _PICTURE)
        found.append(made._replace(drawing=Drawing(tuple([mark._replace(tag=tag) for mark in made.drawing.marks]))))
    return tuple(found)


def _span(bars: Sequence[Bar], index: int, callout: Callout) -> tuple[NotePlace, NotePlace]:
    """From the first event at its start, a grace note before it too, to the last at its stop."""
    last = index + callout.bars_on
    first = sum(event.onset < callout.start for event in bars[index].events)
    end = sum(event.onset <= callout.stop for event in bars[last].events)
    return NotePlace(index, first), NotePlace(last, end - 1)
