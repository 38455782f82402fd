"""Questions answered beside the window, which never waits: of several, only the last one asked is heard."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import NamedTuple

from PySide6.QtCore import QObject, Signal

from app.last_resort import fault_of_ours
from core.errors import BarglossError


class _Answer(NamedTuple):
    """number: of the question; fault: why there is none, "" for none."""

    number: int
    what: object
    fault: str


class Beside(QObject):
    """answered: with what the last question came to. fault: why it came to nothing."""

    answered, fault = Signal(object), Signal(str)
    _came = Signal(_Answer)

    def __init__(self) -> None:
        super().__init__()
        self._worker = ThreadPoolExecutor(1, "beside")
        self._number = 0
        self._waiting: Future[None] | None = None
        self._came.connect(self._hear)

    def ask(self, question: Callable[[], object]) -> None:
        """Begin on it, once what is under way has ended; what is asked reads values that never change."""
        self.forget()
        self._waiting = self._worker.submit(self._run, self._number, question)

    def forget(self) -> None:
        """Hear no answer to what was asked so far."""
        self._number += 1
        if self._waiting is not None:
            self._waiting.cancel()

    def close_down(self) -> None:
        """Wait until nothing is under way."""
        self.forget()
        self._worker.shutdown()

    def _run(self, number: int, question: Callable[[], object]) -> None:
        """In the worker."""
        try:
            self._came.emit(_Answer(number, question(), ""))
        except BarglossError as error:
            self._came.emit(_Answer(number, None, "\n".join(error.lines())))
        except Exception as error:  # a fault of ours; the window goes on
            self._came.emit(_Answer(number, None, fault_of_ours(error)))

    def _hear(self, answer: _Answer) -> None:
        if answer.number == self._number:
            if answer.fault:
                self.fault.emit(answer.fault)
            else:
                self.answered.emit(answer.what)
