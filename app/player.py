"""Plays a passage: samples are made in a worker, handed to the sink as it wants them, and the mark moves with them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from queue import Empty, Full, Queue
from threading import Event

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal

from app import words_around
from app.sinks import Sink, open_sink
from core.errors import BarglossError
from core.sound import Passage, Take, passage, stream
from core.study import NotePlace, Study

_TICK = 20  # milliseconds
_AHEAD = 8  # pieces kept ready


class Player(QObject):
    """reached: a note or a bar (a Reached); ended: it plays no more; fault, news: what to tell the person."""

    reached = Signal(object)
    ended = Signal()
    fault, news = Signal(str), Signal(str)

    def __init__(self, parent: QObject, opening: Callable[[QObject], tuple[Sink, str]] = open_sink) -> None:
        super().__init__(parent)
        self._opening = opening
        self._worker = ThreadPoolExecutor(1, "player")
        self._tick = QTimer(self, interval=_TICK)
        self._tick.timeout.connect(self._feed)
        self._playing: _Playing | None = None

    @property
    def is_playing(self) -> bool:
        return self._playing is not None

    def play(self, study: Study, take: Take, start: NotePlace, stop: NotePlace | None, again: bool) -> None:
        """From one note on, to the end or to another note; over and over if again."""
        self.stop()
        sink, trouble = self._opening(self)
        if trouble:
            self.news.emit(trouble)
        self._playing = _Playing(sink, again)
        self._playing.made = self._worker.submit(self._playing.make, study, take, start, stop)
        self._tick.start()

    def stop(self) -> None:
        """Be silent now."""
        playing, self._playing = self._playing, None
        if playing is not None:
            self._tick.stop()
            playing.stop.set()
            playing.sink.close()
            self.ended.emit()

    def close_down(self) -> None:
        self.stop()
        self._worker.shutdown()

    def _feed(self) -> None:
        playing = self._playing
        if playing is None:
            return
        if playing.made is not None and playing.made.done() and (error := playing.made.exception()) is not None:
            self.stop()
            if not isinstance(error, BarglossError):
                raise error
            self.fault.emit(error.what)
            return
        trouble = playing.trouble()
        if trouble is not None:
            self.news.emit(words_around.AS_IT_STANDS.format(what=trouble))
        playing.hand_on()
        mark = playing.mark()
        if mark is not None:
            self.reached.emit(mark)
        if playing.is_over:
            self.stop()


class _Playing:
    """One time of playing. What `make` does, it does in the worker."""

    def __init__(self, sink: Sink, again: bool) -> None:
        self.sink, self._again = sink, again
        self.stop = Event()
        self.made: Future[None] | None = None
        self._passage: Passage | None = None
        self._starts: list[float] = []
        self._is_told = False
        self._pieces: Queue[bytes] = Queue(_AHEAD)
        self._rest = b""
        self._last = -1

    def make(self, study: Study, take: Take, start: NotePlace, stop: NotePlace | None) -> None:
        part = passage(study, take, start, stop)
        self._starts = [mark.start for mark in part.marks]
        self._passage = part
        begin = 0.0
        while not self.stop.is_set():
            for piece in stream(part.notes, begin, part.seconds):
                if not self._put((piece * 32767).astype(np.int16).tobytes()):
                    return
            if not self._again:
                return
            begin = part.begin

    def _put(self, piece: bytes) -> bool:
        """Whether it is still wanted."""
        while not self.stop.is_set():
            try:
                self._pieces.put(piece, timeout=0.1)
            except Full:
                continue
            return True
        return False

    def hand_on(self) -> None:
        """Give the sink what it has room for."""
        room = self.sink.room()
        while room > 1:
            if not self._rest:
                try:
                    self._rest = self._pieces.get_nowait()
                except Empty:
                    return
            taken = self.sink.write(self._rest[:room - room % 2])
            self._rest = self._rest[taken:]
            room = 0 if not taken else room - taken

    def mark(self) -> object:
        """What has been reached since it was last asked; None for nothing."""
        part = self._passage
        if part is None or not part.marks:
            return None
        at = bisect_right(self._starts, self._now(part) + 1e-3) - 1
        if at == self._last or at < 0:
            return None
        self._last = at
        return part.marks[at]

    def _now(self, part: Passage) -> float:
        """Seconds into the passage."""
        now = self.sink.sounded()
        if self._again and now >= part.seconds:
            return part.begin + (now - part.begin) % (part.seconds - part.begin)
        return now

    def trouble(self) -> BarglossError | None:
        """Why the passage is played as it stands, the first time it is asked."""
        if self._passage is None or self._is_told:
            return None
        self._is_told = True
        return self._passage.trouble

    @property
    def is_over(self) -> bool:
        part = self._passage
        return part is not None and not self._again and self.sink.sounded() >= part.seconds - 2e-3
