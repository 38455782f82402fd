"""Telling whether studies are whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from app.console import faults_of
from core.errors import BarglossError, Faults
from core.files import load_study
from core.guitar import finger, out_of_range
from core.harmony import parse_chord, parse_harmony
from core.study import Study


def check_studies(paths: Sequence[Path]) -> None:
    """Silent where every study is whole. Raises Faults, every problem of every file in order."""
    problems: list[BarglossError] = []
    for path in paths:
        try:
            found: Sequence[BarglossError] = list(problems_of(load_study(path)))
        except BarglossError as error:
            found = faults_of(error)
        problems += [problem.in_file(str(path)) for problem in found]
    if problems:
        raise Faults(tuple(problems))


def problems_of(study: Study) -> Iterator[BarglossError]:
    """What may still be wrong with a study that loads: harmony nobody can read, notes and settings no hand can take."""
    for here in study.in_force:
        for texts, read in ((here.bar.changes, parse_chord), (here.bar.readings, parse_harmony)):
            for _, text in texts:
                try:
                    if text:
                        read(text)
                except BarglossError as error:
                    yield BarglossError(error.what, bar=here.number)
    lost = out_of_range(study)
    for bar in sorted({place.bar for place in lost}):
        names = dict.fromkeys(study.note_at(place).pitch.name for place in lost if place.bar == bar)
        yield BarglossError(f"{', '.join(names)} cannot be played on this neck; move by an octave, or leave out",
                            bar=study.in_force[bar].number)
    for place, sentence in finger(study).notices:
        if place not in lost:
            yield BarglossError(sentence, bar=study.in_force[place.bar].number)
