"""What to know of the study as it stands: harmony and words nobody can read, notes and settings no hand can take."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import NamedTuple

from app import words
from app.page_faults import words_for
from app.spoken import pretty
from core.engraving.tokens import token_faults
from core.errors import BarglossError
from core.handout import Layout
from core.handout.inspect import proofread
from core.harmony import parse_chord, parse_harmony


class Notice(NamedTuple):
    """bar: index."""

    bar: int
    what: str


@lru_cache(maxsize=2)
def notices_of(layout: Layout) -> tuple[Notice, ...]:
    """In the order of the bars."""
    settings = [Notice(place.bar, what) for place, what in layout.fingering.notices]
    return tuple(sorted([*_unread(layout), *_off_the_neck(layout), *settings], key=lambda notice: notice.bar))


def on_the_page(layout: Layout) -> list[Notice]:
    """What the proof-reader would mark on the pages; it reads those that changed since it was asked last."""
    return [Notice(flaw.bar or 0, words_for(flaw)) for flaw in proofread(layout)]


def _unread(layout: Layout) -> Iterator[Notice]:
    for bar, heard in enumerate(layout.analysis.bars):
        texts: list[tuple[str, Callable[[str], object]]] = [
            (span.symbol, parse_chord) for span in heard.chords if span.chord is None and not span.carried]
        texts += [(span.harmony, parse_harmony) for span in heard.readings if span.heard is None]
        for text, read in texts:
            try:
                read(text)
            except BarglossError as error:
                yield Notice(bar, error.what)
        for fault in token_faults(layout.study.bars[bar]):
            yield Notice(bar, fault)


def _off_the_neck(layout: Layout) -> Iterator[Notice]:
    for bar, played in enumerate(layout.fingering.bars):
        lost = [layout.study.bars[bar].events[at].notes[head].pitch.name for at, event in enumerate(played.events)
                if None in event.notes for head, grip in enumerate(event.notes) if grip is None]
        if lost:
            names = ", ".join(pretty(name) for name in dict.fromkeys(lost))
            yield Notice(bar, words.OFF_THE_NECK.format(pitches=names))
