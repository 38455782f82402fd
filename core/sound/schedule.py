"""When everything sounds, in seconds. Exact fractions up to the last step."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from core.errors import BarglossError
from core.sound.feel import Mover, lead, straight, swing, swing_ratio
from core.sound.order import play_order
from core.sound.played import comp_notes, line_notes, placed_bars
from core.study import InForce, Study

_CLICK, _DOWNBEAT_CLICK = 76, 88  # MIDI numbers of the click's two pitches, our own choice
_CLICK_LENGTH = Fraction(1, 20)  # seconds


@dataclass(frozen=True, slots=True)
class Take:
    """How a study is played. percent: of its tempo. swing: long to short eighth, None for what the
    feel and the tempo ask for. count_in: a bar of clicks first. click: on every beat. comp: the changes as chords.
    """

    percent: int = 100
    swing: Fraction | None = None
    count_in: bool = False
    click: bool = False
    comp: bool = True

    def __post_init__(self) -> None:
        if not 10 <= self.percent <= 400:
            raise BarglossError(f"{self.percent} % of the tempo; give 10 to 400")
        if self.swing is not None and not 1 <= self.swing <= 4:
            raise BarglossError(f"a swing of {self.swing} to 1; give 1 (even) to 4")


class Sounded(NamedTuple):
    """start, length: seconds from the first sample. velocity: 1 to 127."""

    start: float
    length: float
    midi: int
    velocity: int
    kind: Literal["line", "comp", "click"]


def schedule(study: Study, take: Take | None = None) -> tuple[Sounded, ...]:
    """Every note and click, by start."""
    take = take or Take()
    order = play_order(study).bars
    if not take.count_in:
        return sounded(study, take, order)
    begin = _count_in(study)
    counted = clicks_before(study.in_force[0], begin, quarter(study, take))
    return tuple(sorted([*counted, *sounded(study, take, order, begin)]))


def sounded(study: Study, take: Take, order: tuple[int, ...], begin: Fraction = Fraction(0)) -> tuple[Sounded, ...]:
    """The notes, chords and clicks of these bars in this order, by start. begin: quarters before the first bar."""
    moved, second = mover(study, take), quarter(study, take)
    found = []
    for note in (*line_notes(study, order, moved), *(comp_notes(study, order, moved) if take.comp else ())):
        length = note.length / 2 if note.staccato else note.length  # half: common practice, no source
        found.append(Sounded(float((begin + note.start) * second), float(length * second),
                             note.midi, note.velocity, note.kind))
    if take.click:
        for at, here in placed_bars(study, order):
            found += [_clicked((begin + at + beat - lead(here)) * second, beat == 0) for beat in here.meter.beats
                      if 0 <= beat - lead(here) < here.length]
    return tuple(sorted(found))


def clicks_before(first: InForce, length: Fraction, second: Fraction) -> list[Sounded]:
    """A count-in: the beats of a bar, and again of what that bar has of them before the music begins.

    length: quarters from the first click to the music; second: seconds a quarter.
    """
    return [_clicked((bar + beat) * second, beat == 0) for bar in (Fraction(0), first.meter.length)
            for beat in first.meter.beats if bar + beat < length]


def _clicked(start: Fraction, is_first: bool) -> Sounded:
    return Sounded(float(start), float(_CLICK_LENGTH), _DOWNBEAT_CLICK if is_first else _CLICK, 70, "click")


def playing_time(study: Study, take: Take | None = None) -> float:
    """Seconds from the first click or note to the end of the last bar."""
    take = take or Take()
    quarters = sum((here.length for _, here in placed_bars(study, play_order(study).bars)), Fraction(0))
    if take.count_in:
        quarters += _count_in(study)
    return float(quarters * quarter(study, take))


def _tempo(study: Study, take: Take) -> Fraction:
    return Fraction(study.tempo * take.percent, 100)


def quarter(study: Study, take: Take) -> Fraction:
    """Seconds."""
    return 60 / _tempo(study, take)


def mover(study: Study, take: Take) -> Mover:
    """The ratio belongs to the tempo that sounds, so a study played slower swings more."""
    if take.swing is not None:
        return swing(take.swing)
    return swing(swing_ratio(_tempo(study, take))) if study.feel == "swing" else straight


def _count_in(study: Study) -> Fraction:
    """Quarters: a full bar, and before a pickup what the pickup leaves of its own."""
    first = study.in_force[0]
    return first.meter.length + lead(first)
