"""Writing by a MIDI keyboard. There is none here: a stand-in plays raw bytes, by the way that a device's would come."""

from __future__ import annotations

import sys
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from threading import Thread
from types import SimpleNamespace

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QInputDialog

from app import words_writing as words
from app.midi_keys import TOGETHER, MidiKeys, struck
from core.study import Bar, Change, Key, Study
from tests.app.windows import Person
from tests.strategies import CALM


class Keyboard:
    """In place of the system's inputs, with as many as it has names. `play` gives bytes to whoever opened one, each
    message whole and from a thread that is not the window's, as rtmidi2 does."""

    def __init__(self, *names: str) -> None:
        self._names, self.opened, self.is_closed = names, -1, False

    def names(self) -> list[str]:
        return list(self._names)

    def open(self, index, heard):
        self.opened, self._heard, self.is_closed = index, heard, False
        return self

    def close_port(self) -> None:
        self.is_closed = True

    def play(self, *messages: bytes) -> None:
        def all_of_them() -> None:
            for message in messages:
                self._heard(message)
        thread = Thread(target=all_of_them)
        thread.start()
        thread.join()


def down(*keys: int) -> list[bytes]:
    return [bytes((0x90, key, 64)) for key in keys]


def up(*keys: int) -> list[bytes]:
    """Both ways there are to say it."""
    return [bytes((0x80, key, 0) if at % 2 else (0x90, key, 0)) for at, key in enumerate(keys)]


@pytest.fixture
def person(qtbot):
    return Person(qtbot, Study(bars=(Bar(), Bar())))


@pytest.fixture
def keyboard(person):
    made = Keyboard("Little keys")
    person.window.writing.keys.inputs = lambda: made
    person.press_keys("Ctrl+K")
    return made


def strike(person, keyboard, *keys: int) -> None:
    before = person.study
    keyboard.play(*down(*keys), *up(*keys))
    person.qtbot.waitUntil(lambda: person.study is not before)


def written(person) -> list[tuple[str, Fraction]]:
    return [("+".join(note.pitch.name for note in event.notes), event.duration)
            for bar in person.study.bars for event in bar.events if event.notes]


def test_what_is_struck_is_written_with_the_pen_s_value_and_the_caret_goes_on(person, keyboard):
    assert person.window.message.label.text() == words.KEYBOARD_ON.format(name="Little keys")
    assert person.window.pen.writing
    strike(person, keyboard, 60)
    person.press_keys("4")
    strike(person, keyboard, 67)
    assert written(person) == [("C4", Fraction(1, 2)), ("G4", Fraction(1))]
    assert person.window.pen.caret == (0, Fraction(3, 2))
    assert person.window.document.undo_name.startswith("write G4")
    person.press_keys("Ctrl+Z")
    assert written(person) == [("C4", Fraction(1, 2))]


def test_notes_struck_together_are_one_double_stop_and_one_step(person, keyboard):
    strike(person, keyboard, 64, 60, 67)
    assert written(person) == [("C4+E4+G4", Fraction(1, 2))]
    person.press_keys("Ctrl+Z")
    assert written(person) == []


@pytest.mark.parametrize(("key", "chord", "midi", "name"), [
    (Key(-3), "", 63, "Eb4"), (Key(3), "", 68, "G#4"), (Key(0), "Eb7", 61, "Db4"), (Key(0), "A7", 61, "C#4"),
    (Key(-3), "B7", 63, "D#4"), (Key(0), "", 60, "C4"), (Key(6), "", 65, "E#4")])
def test_it_is_spelled_by_key_and_chord(person, keyboard, key, chord, midi, name):
    """Common practice, no source, as in core.harmony.spelling: a chord's tone as the chord has it, then the key's."""
    changes = (Change(Fraction(0), chord),) if chord else ()
    person.window.document.start(replace(person.study, key=key, bars=(Bar(changes=changes),)))
    person.press_keys("W")
    strike(person, keyboard, midi)
    assert written(person)[0][0] == name


def test_out_of_the_writing_mode_nothing_is_written(person, keyboard):
    person.press_keys("W")
    assert not person.window.pen.writing
    before = person.study
    keyboard.play(*down(60))
    person.qtbot.wait(round(TOGETHER * 1000) + 60)
    assert person.study is before


def test_chosen_again_it_is_heard_no_more(person, keyboard):
    action = next(one for one in person.window.page.actions() if one.text() == words.MIDI_KEYBOARD)
    assert action.isChecked()
    person.press_keys("Ctrl+K")
    assert keyboard.is_closed
    assert not action.isChecked()
    assert person.window.message.label.text() == words.KEYBOARD_OFF.format(name="Little keys")


def test_of_several_one_is_chosen_and_the_window_lets_it_go_at_its_end(person, monkeypatch):
    made = Keyboard("Through", "Little keys")
    person.window.writing.keys.inputs = lambda: made
    asked = []

    def ask(*args, **_):
        """Left by Escape the first time."""
        asked.append(args[3])
        return "Little keys", len(asked) > 1
    monkeypatch.setattr(QInputDialog, "getItem", ask)
    person.press_keys("Ctrl+K")
    assert made.opened == -1
    assert not person.window.pen.writing
    person.press_keys("Ctrl+K")
    assert asked == [["Through", "Little keys"]] * 2
    assert made.opened == 1
    person.window.close()
    assert made.is_closed


def test_without_a_library_or_a_device_one_line_says_what_to_do(person, monkeypatch):
    monkeypatch.setitem(sys.modules, "rtmidi2", None)
    person.press_keys("Ctrl+K")
    assert person.window.message.label.text() == words.NO_MIDI_LIBRARY.format(python=sys.executable)
    action = next(one for one in person.window.page.actions() if one.text() == words.MIDI_KEYBOARD)
    assert not action.isChecked()

    def no_midi():
        raise RuntimeError("error creating ALSA sequencer client object")  # as it says on this machine
    for ports in (no_midi, list):
        monkeypatch.setitem(sys.modules, "rtmidi2", SimpleNamespace(get_in_ports=ports))
        person.window.message.hide()
        person.press_keys("Ctrl+K")
        assert person.window.message.label.text() == words.NO_KEYBOARD


def test_the_library_s_messages_come_through_and_a_busy_port_is_told(person, monkeypatch):
    """Against a module of rtmidi2's own shape: `get_in_ports`, `MidiIn` with `callback` and `open_port`."""
    ports = []

    class MidiIn:
        def open_port(self, port):
            ports.append(self)
            if len(ports) == 1:
                raise RuntimeError("busy")

        def close_port(self):
            pass
    monkeypatch.setitem(sys.modules, "rtmidi2", SimpleNamespace(get_in_ports=lambda: ["Keys"], MidiIn=MidiIn))
    person.press_keys("Ctrl+K")
    assert person.window.message.label.text() == words.KEYBOARD_BUSY
    person.press_keys("Ctrl+K")
    ports[1].callback([0x9F, 62, 1], 0.0)
    person.qtbot.waitUntil(lambda: bool(written(person)))
    assert written(person) == [("D4", Fraction(1, 2))]


MESSAGES = st.one_of(
    st.builds(lambda kind, channel, one, two: bytes((kind << 4 | channel, one, two)),
              st.integers(8, 14), st.integers(0, 15), st.integers(0, 127), st.integers(0, 127)),
    st.sampled_from([bytes((kind,)) for kind in (0xF6, 0xF8, 0xFA, 0xFB, 0xFC, 0xFE, 0xFF)]),
    st.binary(max_size=5).map(lambda inside: b"\xf0" + bytes(byte & 0x7F for byte in inside) + b"\xf7"),
    st.binary(min_size=1, max_size=3))


@CALM
@given(MESSAGES)
def test_mido_hears_the_same_notes(message):
    """Source: mido 1.3, its parser of MIDI bytes; a note-on of velocity 0 ends a note (MIDI 1.0)."""
    parser = mido.Parser()
    parser.feed(message)
    heard = list(parser)
    found = [one.note for one in heard if one.type == "note_on" and one.velocity]
    assert ([] if struck(message) is None else [struck(message)]) == found


@CALM
@given(st.lists(st.tuples(st.integers(0, 90), st.integers(40, 88)), min_size=1, max_size=12))
def test_groups_are_no_longer_than_a_chord_and_no_note_is_lost(struck_at):
    """Struck so many milliseconds apart, all of it heard late and at once, as when the window was busy."""
    groups = []
    keys = MidiKeys(None, groups.append, None, lambda: Keyboard("Keys"))
    keys._port = Keyboard()
    times, now = [], 0
    for gap, midi in struck_at:
        now += gap / 1000
        times.append((now, midi))
        keys._gather(midi, now)
    keys._hand_over()
    starts, rest = [], list(times)
    for group in groups:
        mine = [one for one in rest if one[0] - rest[0][0] <= TOGETHER]
        assert group == sorted({midi for _, midi in mine})
        starts.append(mine[0][0])
        rest = rest[len(mine):]
    assert rest == []
    assert all(later - earlier > TOGETHER for earlier, later in pairwise(starts))
