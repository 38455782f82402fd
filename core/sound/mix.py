"""A study as samples, and as the bytes of a sound file."""

from __future__ import annotations

import io

import numpy as np

from core.errors import BarglossError
from core.sound.pluck import RATE, Samples, click, pluck
from core.sound.schedule import Sounded, Take, playing_time, schedule
from core.study import Study

FORMATS = ("wav", "flac", "mp3")
PEAK = 10 ** (-3 / 20)
"""-3 dB of full scale."""
_LONGEST = 3600
"""Seconds a rendering may last."""
_RELEASE = 0.03
"""Seconds in which a note is damped, at its end."""
_LEVELS = {"line": 1.0, "comp": 0.6, "click": 0.5}
_SUBTYPES = {"wav": "PCM_16", "flac": "PCM_16", "mp3": "MPEG_LAYER_III"}


def render(study: Study, take: Take | None = None) -> Samples:
    """The study played, mono at 44 100 Hz, its loudest sample at -3 dB; all zeros for a study of rests.

    As long as its bars. Raises BarglossError beyond an hour.
    """
    seconds = playing_time(study, take)
    if seconds > _LONGEST:
        raise BarglossError(f"this would play for {seconds / 60:.0f} minutes; choose fewer bars, "
                            f"or fewer repeats, to stay within {_LONGEST // 60}")
    mixed = np.zeros(round(seconds * RATE), dtype=np.float32)
    for note in schedule(study, take):
        first = round(note.start * RATE)
        tone = tone_of(note)[:len(mixed) - first]
        mixed[first:first + len(tone)] += tone
    loudest = float(np.abs(mixed).max(initial=0.0))
    return mixed * np.float32(PEAK / loudest) if loudest else mixed


def tone_of(note: Sounded) -> Samples:
    """One note at its level, damped within its length."""
    count = round((note.start + note.length) * RATE) - round(note.start * RATE)
    if note.kind == "click":
        tone = click(note.midi, count)
    else:
        tone = pluck(note.midi, RATE * (1 + count // RATE))[:count].copy()
        damped = min(round(_RELEASE * RATE), count // 2)
        tone[count - damped:] *= np.linspace(1, 0, damped, dtype=np.float32)
    return tone * np.float32(_LEVELS[note.kind] * note.velocity / 127)


def audio_bytes(study: Study, format: str, take: Take | None = None) -> bytes:
    """The study played, as a `wav`, `flac` or `mp3` file. Raises BarglossError for a format it cannot write."""
    import soundfile  # noqa: PLC0415  (a library to load, and to play from the window nobody needs it)
    if format not in FORMATS or format.upper() not in soundfile.available_formats():
        raise BarglossError(f"{format} sound cannot be written here; use {' or '.join(FORMATS[:2])}")
    packed = io.BytesIO()
    soundfile.write(packed, render(study, take), RATE, format=format.upper(), subtype=_SUBTYPES[format])
    return packed.getvalue()
