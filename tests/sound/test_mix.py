"""What is heard: pitch, level, silence, and the files."""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pytest
import soundfile

from core.errors import BarglossError
from core.sound.mix import PEAK, audio_bytes, render
from core.sound.pluck import RATE, frequency, pluck
from core.sound.schedule import Take
from core.study import Bar, Change, Event, Note, Study, parse_pitch

QUIET = Take(comp=False)


def bar(*names: str) -> Bar:
    length = Fraction(4, len(names))
    return Bar(tuple(Event(length * place, length, (Note(parse_pitch(name)),) if name else ())
                     for place, name in enumerate(names)))


def measured(samples: np.ndarray, near: float) -> float:
    """Hz of the partial next to `near`: the spectrum's peak, between bins by a parabola through its logarithm
    (Smith, "Spectral Audio Signal Processing", quadratic interpolation of spectral peaks)."""
    size = 1 << 19
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples)), size))
    low, high = (round(near * factor * size / RATE) for factor in (0.94, 1.06))
    top = low + int(np.argmax(spectrum[low:high]))
    left, middle, right = np.log(spectrum[top - 1:top + 2])
    return (top + (left - right) / (2 * (left - 2 * middle + right))) * RATE / size


@pytest.mark.parametrize("midi", range(40, 89, 3))
def test_a_string_is_in_tune_within_two_cents(midi):
    """f = 440 * 2^((m - 69) / 12) (P1), from E2 to E6."""
    expected = 440 * 2 ** ((midi - 69) / 12)
    assert frequency(midi) == pytest.approx(expected)
    tone = pluck(midi, RATE).astype(np.float64)
    assert abs(1200 * np.log2(measured(tone, expected) / expected)) < 2


def test_a_string_dies_away_and_does_not_grow():
    for midi in (40, 64, 88):
        loud = [float(np.abs(pluck(midi, RATE)[at:at + 4410]).max()) for at in range(0, RATE - 4410, 4410)]
        assert loud == sorted(loud, reverse=True)
        assert 0.05 < loud[0] <= 1.0 + 1e-6


@pytest.mark.parametrize("midi", [40, 64, 76, 88])
def test_the_fundamental_falls_as_fast_as_the_loop_s_loss_and_softening_say(midi):
    """Level of one partial at two times, by its Fourier integral. A period costs it the loss (60 dB in 1.2 s and 200
    periods, our own choice) and the gain of [s, 1 - 2s, s], which is 1 - 2s(1 - cos w).
    """
    tone, pitch = pluck(midi, 2 * RATE).astype(np.float64), frequency(midi)
    wave = np.exp(-2j * np.pi * pitch * np.arange(RATE // 4) / RATE) * np.hanning(RATE // 4)
    early, late = (abs(tone[at:at + RATE // 4] @ wave) for at in (RATE // 4, RATE // 4 + RATE))
    softened = 1 - 2 * 0.08 * (1 - np.cos(2 * np.pi * pitch / RATE))
    expected = 60 / (1.2 + 200 / pitch) - 20 * np.log10(softened) * pitch
    assert 20 * np.log10(early / late) == pytest.approx(expected, abs=1)


@pytest.mark.parametrize("midi", [0, 12, 120, 127])
def test_the_ends_of_the_midi_range_make_a_finite_sound(midi):
    assert np.isfinite(pluck(midi, 2000)).all()


def test_a_rendered_note_has_its_pitch_and_its_place():
    played = render(Study(bars=(bar("", "A4", "", ""),), tempo=60), QUIET)
    assert len(played) == 4 * RATE
    assert played.dtype == np.float32
    assert not played[:RATE].any()
    assert not played[2 * RATE:].any()
    assert measured(played[RATE:2 * RATE].astype(np.float64), 440) == pytest.approx(440, rel=0.001)


def test_the_loudest_sample_is_at_minus_three_decibels():
    crowd = Study(bars=(Bar(bar("E2", "G4", "C5", "E5").events, (Change(Fraction(0), "C-7"),)),) * 2, tempo=200)
    assert float(np.abs(render(crowd)).max()) == pytest.approx(10 ** (-3 / 20), rel=1e-5)
    assert pytest.approx(10 ** (-3 / 20)) == PEAK


def test_a_bar_of_rest_is_silence_between_notes_and_a_study_of_rests_all_silence():
    played = render(Study(bars=(bar("C4", "D4"), Bar(), bar("E4")), tempo=120), QUIET)
    assert played[:2 * RATE].any()
    assert not played[2 * RATE:4 * RATE].any()
    assert played[4 * RATE:].any()
    assert not render(Study(bars=(Bar(),) * 2)).any()


def test_the_chords_are_there_unless_they_are_not_wanted():
    study = Study(bars=(Bar(changes=(Change(Fraction(0), "C-7"),)),))
    assert render(study).any()
    assert not render(study, QUIET).any()


def test_the_click_is_heard():
    assert render(Study(), Take(click=True)).any()


@pytest.mark.parametrize(("name", "container", "coding"), [
    ("wav", "WAV", "PCM_16"), ("flac", "FLAC", "PCM_16"), ("mp3", "MP3", "MPEG_LAYER_III")])
def test_the_files_are_read_back_by_libsndfile(name, container, coding):
    study = Study(bars=(bar("C4", "E4", "G4", "Bb4"),), tempo=120)
    written = audio_bytes(study, name, QUIET)
    facts = soundfile.info(io.BytesIO(written))
    assert (facts.format, facts.subtype, facts.samplerate, facts.channels) == (container, coding, RATE, 1)
    samples, _ = soundfile.read(io.BytesIO(written))
    played = render(study, QUIET)
    if name == "mp3":
        assert len(played) <= len(samples) <= len(played) + 4 * 1152  # an MP3 is padded to whole frames of 1152
        assert measured(samples[RATE // 10:RATE // 2], frequency(60)) == pytest.approx(frequency(60), rel=0.002)
    else:
        assert len(samples) == len(played)
        assert np.abs(samples - played).max() < 2 / 32768
    assert np.abs(samples).max() <= 1


def test_an_unknown_format_and_an_endless_study_are_refused():
    with pytest.raises(BarglossError, match="ogg sound cannot be written here; use wav or flac"):
        audio_bytes(Study(), "ogg")
    with pytest.raises(BarglossError, match="choose fewer bars"):
        render(Study(bars=(Bar(),) * 5000, tempo=60))
