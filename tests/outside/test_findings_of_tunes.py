"""What the line does in tunes others wrote: told without a fault, and most of it explained.

Items of music21's corpus and of the MusicXML suite it carries, of the open half (shared/corpus.md names the ones with
chords): those with chords of their own, and folk tunes with chords of ours. The rates are printed by
`tests/bench/test_findings_table.py`.
"""

from __future__ import annotations

from functools import cache
from itertools import chain

import pytest

from core.errors import BarglossError
from core.exchange.build import build
from core.exchange.limits import load
from core.exchange.reader import read
from core.line import analyse
from core.line.telling import tell, told
from core.study import Study
from tests.line.explained import Explained, explained
from tests.outside.corpus_scores import REELS, SHEETS
from tests.outside.test_pages_of_tunes import CORPUS, open_suite, sample, tune, with_changes

OF_THE_CORPUS = (*SHEETS, f"{REELS}#80", f"{REELS}#81")
FOLK = 30
# Of the corpus's own chords nine notes in ten are explained; the chords we set at random under folk tunes explain less.
LEAST_EXPLAINED = 0.8
LEAST_OF_FOLK = 0.5
SHAPES = 3


@cache
def with_chords() -> dict[str, Study]:
    """By id: every open item that carries chord symbols over notes."""
    studies = {name: _piece(name) for name in OF_THE_CORPUS}
    for path in open_suite():
        try:
            study = build(read(load(path)), path.stem).study
        except BarglossError:
            continue  # several parts: which one is a question
        if explained(study).notes:
            studies[path.name] = study
    return studies


def _piece(name: str) -> Study:
    return tune(name) if "#" in name else build(read(load(CORPUS / name)), name).study


@cache
def folk() -> dict[str, Study]:
    return {name: with_changes(tune(name), name) for name in sample(FOLK)}


def check(study: Study) -> None:
    found = told(study, analyse(study))
    chosen = list(chain.from_iterable(found.chosen))
    assert set(chosen) <= set(chain.from_iterable(found.bars))
    for one in chain.from_iterable(found.noticed):
        assert study.note_at(one.first)
        assert study.note_at(one.last)
        assert one.first <= one.last
        assert 0 <= one.score <= 1
        for shape in range(SHAPES):
            sentence = tell(one, shape)
            assert sentence[-1] in ".!?"
            assert "{}" not in sentence
            assert sentence.count("{") == sentence.count("}")


def test_tunes_with_chords_of_their_own():
    studies = with_chords()
    assert len(studies) > len(OF_THE_CORPUS)
    for study in studies.values():
        check(study)


@pytest.mark.parametrize("name", sample(FOLK))
def test_folk_tunes_with_chords_of_ours(name):
    check(folk()[name])


def total(studies: dict[str, Study]) -> Explained:
    return sum((explained(study) for study in studies.values()), Explained())


def test_most_notes_are_explained():
    assert total({name: with_chords()[name] for name in OF_THE_CORPUS}).rate >= LEAST_EXPLAINED
    assert total(folk()).rate >= LEAST_OF_FOLK
