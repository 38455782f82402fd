"""Telling whether studies are whole, and what of one is not while it is printed all the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from app.console import faults_of, tell
from core.engraving.tokens import token_faults
from core.errors import BarglossError, Faults
from core.files import load_study
from core.guitar import out_of_range
from core.handout import Excerpt, all_of
from core.harmony import parse_chord, parse_harmony
from core.sound import play_order
from core.study import InForce


def check_studies(paths: Sequence[Path]) -> None:
    """Silent where every study is whole. Raises Faults, every problem of every file in order."""
    problems: list[BarglossError] = []
    for path in paths:
        try:
            found: Sequence[BarglossError] = list(problems_of(all_of(load_study(path))))
        except BarglossError as error:
            found = faults_of(error)
        problems += [problem.in_file(str(path)) for problem in found]
    if problems:
        raise Faults(tuple(problems))


def tell_problems(path: Path, part: Excerpt) -> None:
    """What `check` would tell of these bars, a line each: what is written is none the less what was asked for."""
    for problem in problems_of(part):
        tell(str(problem.in_file(str(path))))


def problems_of(part: Excerpt) -> Iterator[BarglossError]:
    """What may still be wrong with bars of a study that loads: harmony and words nobody can read, jumps that lead
    nowhere, notes and settings no hand can take."""
    study = part.study
    for here in study.in_force:
        yield from _unread(here)
    trouble = play_order(part.whole).trouble
    if trouble is not None:
        yield trouble
    lost = out_of_range(study)
    for bar in sorted({place.bar for place in lost}):
        names = dict.fromkeys(study.note_at(place).pitch.name for place in lost if place.bar == bar)
        yield BarglossError(f"{', '.join(names)} cannot be played on this neck; move by an octave, or leave out",
                            bar=study.in_force[bar].number)
    for place, sentence in part.fingering.notices:
        if place not in lost:
            yield BarglossError(sentence, bar=study.in_force[place.bar].number)


def _unread(here: InForce) -> Iterator[BarglossError]:
    for texts, read in ((here.bar.changes, parse_chord), (here.bar.readings, parse_harmony)):
        for _, text in texts:
            try:
                if text:
                    read(text)
            except BarglossError as error:
                yield BarglossError(error.what, bar=here.number)
    for fault in token_faults(here.bar):
        yield BarglossError(fault, bar=here.number)
