"""Listening: this machine has no sound device, so the real silence is played to, and a device that counts samples."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import groupby

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtMultimedia import QMediaDevices

from app import player, sinks, words_around
from app.sinks import Silence, open_sink
from core.errors import BarglossError
from core.sound import RATE, Take, passage, stream
from core.study import Bar, Change, Event, Note, NotePlace, Study, parse_pitch
from tests.app.windows import Person

Key = Qt.Key
PICKED = NotePlace(0, 2)


def four(*names: str, **more) -> Bar:
    return Bar(tuple(Event(Fraction(at), Fraction(1), (Note(parse_pitch(name)),)) for at, name in enumerate(names)),
               **more)


SHORT = Study(bars=(four("C4", "D4", "E4", "F4", changes=(Change(Fraction(0), "C"),)), four("G4", "A4", "B4", "C5")),
              tempo=400, feel="straight")


class Counting:
    """A device that keeps what it is given, and has played as much of it as the test says."""

    def __init__(self) -> None:
        self.data, self.played, self.is_closed = b"", 0.0, False

    def room(self) -> int:
        return max(0, round((self.played + 0.3) * RATE) * 2 - len(self.data))

    def write(self, data: bytes) -> int:
        taken = data[:4096]  # a device takes what it likes
        self.data += taken
        return len(taken)

    def sounded(self) -> float:
        return min(self.played, len(self.data) / 2 / RATE)

    def close(self) -> None:
        self.is_closed = True


@pytest.fixture
def person(qtbot):
    return Person(qtbot, SHORT)


@pytest.fixture
def device(person):
    """In place of the system's."""
    made = Counting()
    person.window.around.listening.player._opening = lambda _: (made, "")
    return made


def choose(person, *, count_in=False, chords=True, again=False, click=False, tempo=100):
    listening = person.window.around.listening
    for action, is_on in ((listening.count_in, count_in), (listening.chords, chords), (listening.again, again),
                          (listening.click, click)):
        if action.isChecked() != is_on:
            action.trigger()
    listening.tempo.setValue(tempo)
    return listening


def play_through(person, device, seconds, step=0.02):
    """Let the device play on to this second; where the mark was on the way."""
    listening = person.window.around.listening
    seen = [listening.mark.at] if listening.mark.at and not device.played else []  # the key may have got it so far
    listening.player.reached.connect(seen.append)
    while listening.player.is_playing and device.played < seconds:
        device.played = min(seconds, device.played + step)
        person.qtbot.waitUntil(lambda: device.is_closed or device.sounded() >= device.played - 1e-4)
        with person.qtbot.waitSignal(listening.player._tick.timeout, raising=False, timeout=500):
            pass
    listening.player.reached.disconnect(seen.append)
    return [mark.place for mark in seen]


def samples(device):
    return np.frombuffer(device.data, dtype=np.int16) / 32767


def test_this_machine_has_no_sound_and_the_window_says_so_and_goes_on(person):
    assert not QMediaDevices.audioOutputs()
    listening = choose(person)
    person.press(Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    with person.qtbot.waitSignal(listening.player.reached) as reached:
        person.press_keys("Ctrl+L")
    assert person.window.message.label.text() == words_around.NO_DEVICE
    assert reached.args[0].place == NotePlace(1, 3)
    with person.qtbot.waitSignal(listening.player.ended):
        pass  # the last note lasts 0.15 s
    assert not listening.player.is_playing
    assert listening.mark.at is None


def test_what_is_heard_is_as_it_was_left(person, qtbot):
    choose(person, count_in=False, chords=False, click=True, again=True)
    person.window.around.settings.write()
    later = Person(qtbot, SHORT).window.around.listening
    told = [action.isChecked() for action in (later.count_in, later.chords, later.click, later.again)]
    assert told == [False, False, True, False]  # a passage to repeat is chosen anew


def test_a_system_without_the_library_says_so(person, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "PySide6.QtMultimedia", None)
    sink, told = open_sink(person.window)
    assert isinstance(sink, Silence)
    assert told.startswith(words_around.NO_SOUND_LIBRARY.partition("{")[0])


def test_what_the_device_is_given_is_the_passage(person, device):
    choose(person)
    person.window.selection.go(person.at._replace(note=PICKED))
    person.press_keys("Ctrl+L")
    seen = play_through(person, device, 10)
    part = passage(SHORT, Take(), PICKED)
    expected = np.concatenate(list(stream(part.notes, 0, part.seconds)))
    assert np.abs(samples(device) - expected).max() < 1e-4
    assert seen == [NotePlace(0, 2), NotePlace(0, 3), *(NotePlace(1, at) for at in range(4))]
    assert device.is_closed


def test_the_mark_lies_on_the_note_that_sounds_and_lets_the_mouse_through(person, device):
    listening = choose(person)
    person.press_keys("Ctrl+L")
    play_through(person, device, 0.5)  # a quarter lasts 0.15 s
    assert listening.mark.at.place == NotePlace(0, 3)
    assert listening.mark.geometry().contains(person.spot_of(NotePlace(0, 3), "note"))
    assert listening.mark.geometry().contains(person.spot_of(NotePlace(0, 3), "tab"))
    assert not listening.mark.geometry().contains(person.spot_of(NotePlace(0, 2), "note"))
    person.click_page(person.spot_of(NotePlace(0, 3), "note"))
    assert person.at.note == NotePlace(0, 3)
    before = listening.mark.geometry()
    person.window.page.zoom_by(-2)  # and nothing scrolls
    assert listening.mark.geometry() != before
    assert listening.mark.geometry().contains(person.spot_of(NotePlace(0, 3), "note"))
    person.press_keys("Ctrl+L")
    assert not listening.mark.isVisible()
    assert not listening.player.is_playing


def test_a_selection_is_repeated_and_counted_in_once(person, device):
    choose(person, again=True, count_in=True, chords=False)
    person.press(Key.Key_Right)
    person.press(Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert person.at.span == (NotePlace(0, 1), NotePlace(0, 2))
    person.press_keys("Ctrl+L")
    part = passage(SHORT, Take(count_in=True, comp=False), NotePlace(0, 1), NotePlace(0, 2))
    turn = part.seconds - part.begin
    seen = play_through(person, device, part.begin + 2.4 * turn)
    assert seen == [NotePlace(0, 1), NotePlace(0, 2)] * 2 + [NotePlace(0, 1)]
    assert person.window.around.listening.player.is_playing
    first, size = round(part.begin * RATE), round(part.seconds * RATE) - round(part.begin * RATE)
    heard = samples(device)
    assert np.abs(heard[:first]).max() > 0.05
    assert np.array_equal(heard[first:first + size], heard[first + size:first + 2 * size])
    person.press_keys("Ctrl+L")


def test_a_single_note_repeats_its_bar(person, device):
    choose(person, again=True, chords=False)
    person.window.selection.go(person.at._replace(note=PICKED))
    person.press_keys("Ctrl+L")
    assert play_through(person, device, 0.8) == [*(NotePlace(0, at) for at in range(4)), NotePlace(0, 0),
                                                 NotePlace(0, 1)]
    person.press_keys("Ctrl+L")


@pytest.mark.parametrize(("percent", "shown"), [(30, "120 a minute"), (120, "480 a minute")])
def test_under_tempo(person, device, percent, shown):
    listening = choose(person, tempo=percent, chords=False)
    assert listening.tempo_now.text() == shown
    person.press_keys("Ctrl+L")
    play_through(person, device, 30, step=0.1)
    assert len(device.data) / 2 / RATE == pytest.approx(8 * 0.15 * 100 / percent, abs=1e-3)


def test_the_tempo_stays_within_its_bounds(person):
    tempo = person.window.around.listening.tempo
    tempo.setValue(10)
    assert tempo.value() == 30
    tempo.setValue(400)
    assert tempo.value() == 120


def test_a_choice_made_while_it_plays_goes_on_from_there(person, device):
    listening = choose(person, chords=False)
    person.press_keys("Ctrl+L")
    play_through(person, device, 0.5)
    second = Counting()
    listening.player._opening = lambda _: (second, "")
    listening.click.trigger()
    assert device.is_closed
    assert play_through(person, second, 10)[0] == NotePlace(0, 3)


def test_another_study_and_closing_stop_it(person, device):
    listening = choose(person)
    person.press_keys("Ctrl+L")
    person.window.filing.open_demo("ferry-timetable")
    assert not listening.player.is_playing
    assert device.is_closed
    person.press_keys("Ctrl+L")
    person.window.close()
    assert not listening.player.is_playing


def test_notes_taken_away_while_it_plays_do_no_harm(person, device):
    listening = choose(person)
    person.press_keys("Ctrl+L")
    play_through(person, device, 0.5)
    person.window.document.edit("fewer", lambda study: replace(study, bars=(Bar(),)))
    assert not listening.mark.isVisible()
    play_through(person, device, 10)
    assert not listening.player.is_playing


def test_the_mark_follows_a_jump_back_and_away_to_the_coda(person, device):
    form = Study(tempo=400, feel="straight", bars=(
        four("C4", "D4", "E4", "F4", jump="To Coda"), four("G4", "A4", "B4", "C5", jump="D.C. al Coda"),
        four("C4", "E4", "G4", "C5", sign="coda")))
    person.window.document.start(form)
    choose(person, chords=False)
    person.press_keys("Ctrl+L")
    assert [place.bar for place in play_through(person, device, 10)] == [0] * 4 + [1] * 4 + [0] * 4 + [2] * 4


def test_signs_that_lead_nowhere_are_told_and_the_bars_played_as_they_stand(person, device):
    person.window.document.start(replace(SHORT, bars=(SHORT.bars[0], replace(SHORT.bars[1], jump="D.S."))))
    choose(person, chords=False)
    with person.qtbot.waitSignal(person.window.around.listening.player.news) as told:
        person.press_keys("Ctrl+L")
    assert told.args == [person.window.message.label.text()]
    assert "bar 2: D.S. leads nowhere" in told.args[0]
    assert [bar for bar, _ in groupby(place.bar for place in play_through(person, device, 10))] == [0, 1]


def test_a_study_that_cannot_be_played_is_told(person, device, monkeypatch):
    def fail(*_args):
        raise BarglossError("no sound today")
    monkeypatch.setattr(player, "passage", fail)
    with person.qtbot.waitSignal(person.window.around.listening.player.fault):
        person.press_keys("Ctrl+L")
    assert person.window.message.label.text() == "no sound today"
    assert not person.window.around.listening.player.is_playing


def test_silence_keeps_the_time():
    """It plays no more than it was given, and asks for no more than it will soon play."""
    silence = Silence()
    assert silence.sounded() == 0
    room = silence.room()
    assert room == round(0.3 * RATE) * 2
    assert silence.write(bytes(room)) == room
    assert silence.room() < room
    assert 0 <= silence.sounded() <= 0.3
    assert sinks.Silence().sounded() == 0
