"""Notes struck on a MIDI keyboard, where there is one: which input is heard, and what is struck together on it.

The library for it (rtmidi2: wheels for each system and Python) is an extra, and imported when it is wanted.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import monotonic
from typing import Protocol

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QInputDialog, QWidget

from app import words_writing as words
from app.work import Telling
from core.errors import BarglossError

TOGETHER = 0.04
"""Seconds from the first note of a double stop or chord to its last: ours, wider than hands that mean one, narrower
than a 32nd note at 180 quarters a minute (0.042)."""
_NOTE_ON = 0x90


class Port(Protocol):
    """An input that is being heard."""

    def close_port(self) -> None: ...


class Inputs(Protocol):
    """The MIDI inputs there are. Tests bring their own, which plays bytes as a device would."""

    def names(self) -> list[str]: ...

    def open(self, index: int, heard: Callable[[bytes], None]) -> Port:
        """Call `heard` with each message, whole, from a thread of the library's."""


class SystemInputs:
    """Those of the system. Raises BarglossError without the library."""

    def __init__(self) -> None:
        try:
            import rtmidi2  # noqa: PLC0415  (an extra, which few need)
        except ImportError:
            raise BarglossError(words.NO_MIDI_LIBRARY.format(python=sys.executable)) from None
        self._library = rtmidi2

    def names(self) -> list[str]:
        try:
            return list(self._library.get_in_ports())
        except RuntimeError:  # a system without MIDI at all
            return []

    def open(self, index: int, heard: Callable[[bytes], None]) -> Port:
        try:
            port = self._library.MidiIn()
            port.callback = lambda message, _seconds: heard(bytes(message))
            port.open_port(index)
        except (RuntimeError, OSError, ValueError):
            raise BarglossError(words.KEYBOARD_BUSY) from None
        return port


def struck(message: bytes) -> int | None:
    """The key number of a note that begins; None for anything else (MIDI 1.0: 9n, key, velocity above 0)."""
    if len(message) != 3 or message[0] & 0xF0 != _NOTE_ON:
        return None
    _, key, velocity = message
    return key if key < 0x80 and 0 < velocity < 0x80 else None


class MidiKeys(QObject):
    """changed: whether one is heard; news: what to tell the person. write: is given what was struck together."""

    changed, news = Signal(bool), Signal(str)
    _struck = Signal(int, float)

    def __init__(self, parent: QWidget, write: Callable[[list[int]], None], telling: Telling,
                 inputs: Callable[[], Inputs] = SystemInputs) -> None:
        super().__init__(parent)
        self._parent, self._write, self._telling, self.inputs = parent, write, telling, inputs
        self._port: Port | None = None
        self._name = ""
        self._together: set[int] = set()
        self._first = 0.0
        self._waiting = QTimer(self, singleShot=True, interval=round(TOGETHER * 1000),
                               timerType=Qt.TimerType.PreciseTimer)
        self._waiting.timeout.connect(self._hand_over)
        self._struck.connect(self._gather, Qt.ConnectionType.QueuedConnection)  # from the library's thread to ours

    def choose(self) -> None:
        """Hear a keyboard, asking which where there are several; hear it no more."""
        if self._port is not None:
            self.close()
            self.news.emit(words.KEYBOARD_OFF.format(name=self._name))
        else:
            with self._telling():
                self._open()
        self.changed.emit(self._port is not None)

    def _open(self) -> None:
        inputs = self.inputs()
        names = inputs.names()
        if not names:
            raise BarglossError(words.NO_KEYBOARD)
        self._name, chosen = names[0], True
        if len(names) > 1:
            self._name, chosen = QInputDialog.getItem(self._parent, words.KEYBOARD_TITLE, words.KEYBOARD_ASK, names, 0,
                                                      editable=False)
        if chosen:
            self._port = inputs.open(names.index(self._name), self._hear)
            self.news.emit(words.KEYBOARD_ON.format(name=self._name))

    def _hear(self, message: bytes) -> None:
        """In the library's thread."""
        midi = struck(message)
        if midi is not None:
            self._struck.emit(midi, monotonic())

    def _gather(self, midi: int, at: float) -> None:
        """What came late, for the window was busy, is still told apart by when it was struck."""
        if self._together and at - self._first > TOGETHER:
            self._hand_over()
        if not self._together:
            self._first = at
            self._waiting.start()
        self._together.add(midi)

    def _hand_over(self) -> None:
        self._waiting.stop()
        keys, self._together = sorted(self._together), set()
        if keys and self._port is not None:
            self._write(keys)

    def close(self) -> None:
        """Hear nothing more."""
        port, self._port = self._port, None
        if port is not None:
            port.close_port()
