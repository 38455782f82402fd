"""How long a handout and an edit take, beside verovio's load-and-SVG of the same music in the same run.

Run with `pytest tests/bench --benchmark-enable -q`; without it each body runs once, as a plain test.
No time is asserted: a figure means something only beside the others of its run.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from dataclasses import replace
from itertools import cycle

import pytest
import verovio

from core.engraving.faces import face
from core.engraving.smufl import music_font
from core.exchange import musicxml_bytes
from core.files import parse_study, study_xml
from core.guitar import finger
from core.handout import Layout, lay_out, load_template, pdf
from core.handout.pdf import pdf_bytes
from core.study import Study, edits, parse_pitch
from core.study.study import NotePlace
from tests.bench.big_study import big_study

KEPT = {music_font, face, load_template, pdf._embedded}  # files that are read once in a process


@pytest.fixture(autouse=True)
def garbage_aside():
    """As the program does at its start: what pytest and music21 hold is not walked at each collection."""
    gc.collect()
    gc.freeze()
    yield
    gc.unfreeze()


def forget() -> None:
    """Empty every cache of ours but those of font and template files, so that each round does all the work."""
    for name, module in list(sys.modules.items()):
        if name.startswith("core."):
            for value in vars(module).values():
                if hasattr(value, "cache_clear") and value not in KEPT:
                    value.cache_clear()


def fresh(study: Study) -> Study:
    """An equal study made of other objects, so that nothing is known by identity."""
    return parse_study(study_xml(study), "bench")


def a_handout(study: Study) -> bytes:
    return pdf_bytes(lay_out(study, load_template("lesson")).pages)


@pytest.mark.benchmark(group="72 bars: a whole handout")
def test_study_to_pdf_bytes_from_nothing(benchmark):
    study = big_study()
    a_handout(study)

    def setup():
        forget()
        return (fresh(study),), {}

    data = benchmark.pedantic(a_handout, setup=setup, rounds=8)
    assert data.startswith(b"%PDF")


@pytest.mark.benchmark(group="720 bars: a whole handout")
def test_ten_times_the_bars_from_nothing(benchmark):
    """Beside the 72 bars from nothing: at most eleven times as long is the goal."""
    study = big_study(60 if not benchmark.disabled else 6)
    data = benchmark.pedantic(a_handout, setup=lambda: (forget(), ((fresh(study),), {}))[1], rounds=3)
    assert data.startswith(b"%PDF")


@pytest.mark.benchmark(group="72 bars: a whole handout")
def test_study_to_pdf_bytes_again(benchmark):
    study = big_study()
    a_handout(study)
    data = benchmark.pedantic(a_handout, setup=lambda: ((fresh(study),), {}), rounds=8)
    assert data.startswith(b"%PDF")


@pytest.mark.benchmark(group="72 bars: a whole handout")
@pytest.mark.parametrize("words", [False, True], ids=["without words", "with words"])
def test_verovio_load_and_svg(benchmark, words):
    """The same notes, chord symbols, strings and frets; without the commentary unless named."""
    verovio.enableLog(verovio.LOG_OFF)
    study = big_study()
    if not words:
        for bar in range(len(study.bars)):
            study = edits.replace_bar(study, bar, bare(study, bar))
    music = musicxml_bytes(study, finger(study)).decode()

    def load_and_draw() -> list[str]:
        toolkit = verovio.toolkit()
        toolkit.setOptions({"pageWidth": 2100, "pageHeight": 2970, "scale": 40})
        toolkit.loadData(music)
        return [toolkit.renderToSVG(page + 1) for page in range(toolkit.getPageCount())]

    pages = benchmark.pedantic(load_and_draw, rounds=5)
    assert pages[0].startswith("<svg") or "<svg" in pages[0]


def bare(study: Study, index: int):
    return replace(study.bars[index], comment="", callouts=(), readings=())


def one_note_edits(study: Study) -> Callable[[], Layout]:
    """A function that changes one note of the study, another each time, and lays it out anew."""
    lesson = load_template("lesson")
    state = [lay_out(study, lesson)]
    places = cycle([
        NotePlace(bar, event) for bar in range(0, len(study.bars), 5)
        for event, what in enumerate(study.bars[bar].events[:3]) if what.notes
    ])
    pitches = cycle([parse_pitch(name) for name in ("C4", "F#4", "Bb3", "E4", "A3")])

    def edit() -> Layout:
        before = state[0]
        state[0] = lay_out(edits.set_note_pitch(before.study, next(places), next(pitches)), lesson, before=before)
        return state[0]

    return edit


@pytest.mark.benchmark(group="one note edited, to the new drawing")
@pytest.mark.parametrize("choruses", [6, 60], ids=["72 bars", "720 bars"])
def test_one_note_edit_to_new_drawing(benchmark, choruses):
    edit = one_note_edits(big_study(choruses))
    layout = benchmark.pedantic(edit, rounds=60, warmup_rounds=3)
    assert len(layout.study.bars) == 12 * choruses
