"""From a key to the new picture while writing, in a window that is painted: 72 and 720 bars.

Run with `pytest tests/bench/test_writing_speed.py --benchmark-enable -q`. No time is asserted.
"""

from __future__ import annotations

from itertools import cycle

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject

from app.pen import Caret
from app.window import set_garbage_aside
from tests.app.conftest import folders_of_its_own  # noqa: F401  (without a display: paints into memory)
from tests.app.windows import Person
from tests.bench.big_study import big_study

KEYS = ("C", "E", "G", "B", "R", "A", "F", "D")
"""Eighths: a bar is full after so many. Each letter goes to its nearest octave: up, and down to where it began."""


class Paints(QObject):
    """How often what it watches was painted."""

    count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        self.count += event.type() == QEvent.Type.Paint
        return False


@pytest.mark.benchmark(group="a note typed")
@pytest.mark.parametrize("until", ["the painted picture", "all the rest"])
@pytest.mark.parametrize("choruses", [6, 60], ids=["72 bars", "720 bars"])
def test_key(benchmark, qtbot, choruses, until):
    """The rest (panels' layout, status line, journal) is timed with the picture, or done between the keys."""
    person = Person(qtbot, big_study(choruses))
    page = person.window.page
    person.press_keys("W")
    person.window.pen.go(Caret(30, 0))
    QCoreApplication.processEvents()
    set_garbage_aside()
    keys, paints, edits = cycle(KEYS), Paints(), []
    page.viewport().installEventFilter(paints)
    person.window.document.changed.connect(lambda: edits.append(person.window.document.undo_name))
    finish = QCoreApplication.sendPostedEvents if until == "the painted picture" else QCoreApplication.processEvents

    def stroke() -> None:
        qtbot.keyClick(page, next(keys))
        finish()

    benchmark.pedantic(stroke, setup=QCoreApplication.processEvents, rounds=120, warmup_rounds=4)
    assert paints.count
    assert len(edits) > 0.9 * paints.count  # a note may be what it was
    assert edits[-1].startswith("write ")
