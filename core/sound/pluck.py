"""A plucked string, and a click.

The string is Karplus and Strong's (Computer Music Journal 7(2), 1983): one period of a
plucked shape, then each period the one before, softened a little. A delay of a whole
number of samples is out of tune (by up to 26 cents at E6), so the delay line is read
between samples by Lagrange's cubic (Laakso et al., "Splitting the Unit Delay", 1996, from
memory); the softening is symmetric, so it delays every partial alike and is counted in.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

RATE = 44_100
"""Samples a second."""
_PICK = 0.18
"""Where the string is plucked, as a share of its length from the bridge; our own choice."""
_SOFTEN = 0.08
"""Share of each neighbour in the softening; our own choice."""

Samples = NDArray[np.float32]


def frequency(midi: int) -> float:
    """Hz, equal temperament, A4 = 440 (P1)."""
    return float(440 * 2 ** ((midi - 69) / 12))


@lru_cache(maxsize=256)
def pluck(midi: int, count: int) -> Samples:
    """`count` samples of a string at the pitch, peak near 1, read-only. For MIDI 28 to 100."""
    period = RATE / frequency(midi)
    taps, nearest = _taps(period)
    history = nearest + len(taps) - 1
    sound = np.zeros(history + count + nearest)
    sound[:history] = _shape(period, history)
    at = history
    while at < history + count:
        sound[at:at + nearest] = np.convolve(sound[at - history:at], taps, mode="valid")[:nearest]
        at += nearest
    tone: Samples = (sound[history:history + count] / np.abs(sound[:history]).max()).astype(np.float32)
    tone.flags.writeable = False
    return tone


def _taps(period: float) -> tuple[NDArray[np.float64], int]:
    """The loop's filter, and the delay in samples of its nearest tap.

    Cubic at a delay of 1 to 2 samples, then [s, 1 - 2s, s] with its delay of 1: nearest + that = period.
    """
    nearest = math.floor(period) - 2
    between = period - nearest - 1
    cubic = np.array([math.prod((between - m) / (k - m) for m in range(4) if m != k) for k in range(4)])
    seconds = 1.2 + 200 / (RATE / period)  # to fall by 60 dB, before softening; our own choice
    loss = 10 ** (-3 * period / RATE / seconds)
    return loss * np.convolve(cubic, [_SOFTEN, 1 - 2 * _SOFTEN, _SOFTEN]), nearest


def _shape(period: float, count: int) -> NDArray[np.float64]:
    """The plucked string's partials, sin(pi k pick) / k, as many as fit below half the sampling rate."""
    time = np.arange(count) / period
    partials = np.arange(1, max(2, min(int(period / 2), 60)))
    strengths = np.sin(np.pi * partials * _PICK) / partials
    wave: NDArray[np.float64] = strengths @ np.sin(2 * np.pi * np.outer(partials, time))
    return wave


def click(midi: int, count: int) -> Samples:
    """A short tick at the pitch, peak below 1."""
    time = np.arange(count) / RATE
    tick: Samples = (np.sin(2 * np.pi * frequency(midi) * time) * np.exp(-time * 120)).astype(np.float32)
    return tick
