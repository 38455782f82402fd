"""Sound: a study as it is heard, at its tempo or under it, as times in seconds, as samples and as a sound file."""

from core.sound.mix import FORMATS, audio_bytes, render
from core.sound.order import Order, play_order
from core.sound.passage import Passage, Reached, passage
from core.sound.pluck import RATE
from core.sound.schedule import Sounded, Take, playing_time, schedule
from core.sound.stream import stream

__all__ = ["FORMATS", "RATE", "Order", "Passage", "Reached", "Sounded", "Take", "audio_bytes", "passage", "play_order",
           "playing_time", "render", "schedule", "stream"]
