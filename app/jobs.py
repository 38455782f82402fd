"""Work that takes its time, done beside the window: with a bar that shows how far it is, and a way to stop it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Event

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QPushButton

from app import words_around
from app.last_resort import fault_of_ours
from core.errors import BarglossError

Told = Callable[[float], None]
"""Called by the work with the share of it that is done; raises where the person has cancelled it."""


class _Cancelled(Exception):  # noqa: N818  (no fault of anybody's)
    """The person has thought better of it."""


class JobBar(QFrame):
    """A strip that is there while a job runs. news, fault: how it ended; idle: it has, and another may begin."""

    news, fault, idle = Signal(str), Signal(str), Signal()
    _moved = Signal(float)
    _ended = Signal(str, bool)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("jobs")
        self._worker = ThreadPoolExecutor(1, "job")
        self._stop = Event()
        self.is_busy = False
        self.label = QLabel()
        self.bar = QProgressBar(maximum=1000, textVisible=False, accessibleName=words_around.PROGRESS)
        self.cancel_button = QPushButton(words_around.CANCEL, accessibleName=words_around.CANCEL)
        self.cancel_button.clicked.connect(self.cancel)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 8, 6)
        row.addWidget(self.label)
        row.addWidget(self.bar, 1)
        row.addWidget(self.cancel_button)
        self._moved.connect(lambda share: self.bar.setValue(round(share * 1000)))
        self._ended.connect(self._end)
        self.hide()

    def start(self, name: str, work: Callable[[Told], str]) -> None:
        """Do the work beside the window, and tell what it returns. One at a time."""
        if self.is_busy:
            self.fault.emit(words_around.BUSY)
            return
        self.is_busy = True
        self._stop.clear()
        self.label.setText(name)
        self.bar.setValue(0)
        self.show()
        self._worker.submit(self._run, work)

    def _run(self, work: Callable[[Told], str]) -> None:
        """In the worker."""
        try:
            self._ended.emit(work(self._tell), True)
        except _Cancelled:
            self._ended.emit(words_around.CANCELLED, True)
        except BarglossError as error:
            self._ended.emit("\n".join(error.lines()), False)
        except Exception as error:  # a fault of ours; the window goes on
            self._ended.emit(fault_of_ours(error), False)

    def _tell(self, share: float) -> None:
        if self._stop.is_set():
            raise _Cancelled
        self._moved.emit(share)

    def _end(self, what: str, is_well: bool) -> None:
        self.hide()
        self.is_busy = False
        (self.news if is_well else self.fault).emit(what)
        self.idle.emit()

    def cancel(self) -> None:
        """Stop it at the next place where it can be stopped."""
        self._stop.set()

    def close_down(self) -> None:
        """Cancel what runs, and wait until it has stopped."""
        self.cancel()
        self._worker.shutdown()
