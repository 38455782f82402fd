"""What annotating adds to the window's work: finding anew after an edit, a bar's findings shown, the lists made.

As in test_speed.py no time is asserted. The first is done after a moment's rest, not between a key and its picture;
the lists only while they are seen.
"""

from __future__ import annotations

from itertools import cycle

import pytest

from app.places import first_of_bar
from core.study import NotePlace, Study, edits, parse_pitch
from tests.app.conftest import folders_of_its_own  # noqa: F401  (without a display: paints into memory)
from tests.app.windows import Person
from tests.bench.big_study import big_study

SIZES = pytest.mark.parametrize("person", [6, 60], ids=["72 bars", "720 bars"], indirect=True)


@pytest.fixture
def person(qtbot, request):
    one = Person(qtbot, big_study(request.param))
    qtbot.waitUntil(lambda: one.window.line.is_ready, timeout=20_000)
    return one


def one_note(study: Study, at: int) -> Study:
    pitch = parse_pitch(("C4", "F#4", "Bb3", "E4", "A3")[at % 5])
    return edits.set_note_pitch(study, NotePlace(5 * at % len(study.bars), 1), pitch)


@SIZES
@pytest.mark.benchmark(group="findings and drafts after one note edited")
def test_found_anew(benchmark, person):
    document, line, at = person.window.document, person.window.line, iter(range(1000))

    def setup():
        document.edit("note", lambda study: one_note(study, next(at)))

    benchmark.pedantic(lambda: line.told, setup=setup, rounds=20)
    assert line.is_ready


@SIZES
@pytest.mark.benchmark(group="the findings of another bar shown")
def test_another_bar(benchmark, person):
    view, bars = person.window.bar_panel.findings, cycle(range(len(person.study.bars)))
    benchmark.pedantic(lambda: view.show_bar(next(bars)), rounds=60, warmup_rounds=3)
    assert view._cards


@SIZES
@pytest.mark.benchmark(group="a list of the whole study made anew")
@pytest.mark.parametrize("tab", ["unfinished", "solo"])
def test_lists(benchmark, person, tab):
    person.window.selection.go(first_of_bar(person.study, 3))
    view = getattr(person.window.side, tab)
    person.window.side.show_tab(tab)

    def setup():
        view._shown = None

    benchmark.pedantic(view.refresh, setup=setup, rounds=8)
    assert view._shown
