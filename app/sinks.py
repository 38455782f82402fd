"""Where sound goes: the system's device, or nowhere, at the same pace. Samples are 16 bits, mono, at RATE."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QElapsedTimer, QLoggingCategory, QObject

from app import words_around
from core.sound import RATE

_FRAME = 2  # bytes a sample
_AHEAD = 0.3
"""Seconds the device is kept filled for: a window busy for less is not heard."""


class Sink(Protocol):
    """Takes samples as they are wanted, and tells how many seconds of them have sounded."""

    def room(self) -> int:
        """Bytes that may be written now."""

    def write(self, data: bytes) -> int:
        """How many bytes of it were taken."""

    def sounded(self) -> float: ...

    def close(self) -> None: ...


class Silence:
    """Plays nothing, by the clock."""

    def __init__(self) -> None:
        self._clock = QElapsedTimer()
        self._taken = 0

    def room(self) -> int:
        return max(0, round((self.sounded() + _AHEAD) * RATE) * _FRAME - self._taken)

    def write(self, data: bytes) -> int:
        if not self._clock.isValid():
            self._clock.start()
        self._taken += len(data)
        return len(data)

    def sounded(self) -> float:
        elapsed = self._clock.elapsed() / 1000 if self._clock.isValid() else 0.0
        return min(elapsed, self._taken / _FRAME / RATE)

    def close(self) -> None:
        self._clock.invalidate()


def open_sink(parent: QObject) -> tuple[Sink, str]:
    """The system's sound device; silence, and why, where there is none."""
    QLoggingCategory.setFilterRules("qt.multimedia.*=false")  # what it tells the terminal is no use to a teacher
    try:
        # its libraries take a while, and may not be there
        from PySide6.QtMultimedia import QAudioFormat, QAudioSink, QMediaDevices, QtAudio  # noqa: PLC0415
    except ImportError as error:
        return Silence(), words_around.NO_SOUND_LIBRARY.format(what=str(error).partition(":")[0])
    kind = QAudioFormat()
    kind.setSampleRate(RATE)
    kind.setChannelCount(1)
    kind.setSampleFormat(QAudioFormat.SampleFormat.Int16)
    device = QMediaDevices.defaultAudioOutput()
    if device.isNull() or not device.isFormatSupported(kind):
        return Silence(), words_around.NO_DEVICE
    sink = QAudioSink(device, kind, parent)
    sink.setBufferSize(round(_AHEAD * RATE) * _FRAME)
    entry = sink.start()
    if entry is None or sink.error() != QtAudio.Error.NoError:
        return Silence(), words_around.NO_DEVICE
    return _Device(sink, entry), ""


class _Device:
    def __init__(self, sink: object, entry: object) -> None:
        self._sink, self._entry = sink, entry

    def room(self) -> int:
        return self._sink.bytesFree()

    def write(self, data: bytes) -> int:
        return max(0, self._entry.write(data))

    def sounded(self) -> float:
        return self._sink.processedUSecs() / 1e6

    def close(self) -> None:
        self._sink.stop()
        self._sink.deleteLater()
