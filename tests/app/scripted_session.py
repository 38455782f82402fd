"""A session in a process of its own: edits a study by keys, one after the other, and tells each as it is made.

Run as `python -m tests.app.scripted_session STUDY`; it goes on until it is killed. Each line it prints is the count of
the edit that the document now has. Every few edits it saves, and says so.
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import open_document
from app.window import Window

SAVE_EVERY = 17


def main() -> None:
    application = QApplication([])
    window = Window(open_document(Path(sys.argv[1])))
    window.show()
    window.activateWindow()
    window.document.changed.connect(lambda: tell(window))
    numbers = count(1)
    timer = QTimer(window, interval=0)
    timer.timeout.connect(lambda: write(window, next(numbers)))
    timer.start()
    application.exec()


def write(window: Window, number: int) -> None:
    """One edit: the number, typed as the comment of a bar."""
    window.selection.go(window.selection.at._replace(bar=number % 3, note=None, until=None))
    comment = window.bar_panel.comment
    comment.setFocus()
    QTest.keyClick(comment, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    comment.insertPlainText(str(number))
    if number % SAVE_EVERY == 0:
        window.filing.save()


def tell(window: Window) -> None:
    print(highest(window.document.study), flush=True)


def highest(study) -> int:
    """The edit that the study was left by."""
    return max((int(bar.comment) for bar in study.bars if bar.comment.isdigit()), default=0)


if __name__ == "__main__":
    main()
