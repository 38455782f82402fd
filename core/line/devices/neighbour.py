"""Neighbour: a chord tone, a step away and back (Open Music Theory, "Embellishing tones").

Facts: degree (of the tone it leaves and returns to), side (upper, lower), step (half, whole). No neighbours: part
of a turn, the note on which a scale turns round, and of a trill all but its beginning.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.line.devices.turn import notes_in_turn
from core.line.finding import Finding
from core.line.tones import Tone

KIND: Final = "neighbour"


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, min(stop, len(line) - 2)):
        tone, step, back = line[i], line[i + 1], line[i + 2]
        away = step.midi - tone.midi
        if (back.midi == tone.midi and 1 <= abs(away) <= 2 and tone.is_chord_tone and back.is_chord_tone
                and step.joined and back.joined and not step.is_chord_tone and step.length <= 1
                and not (_repeats(line, i) or _is_in_turn(line, i) or _is_peak(line, i))):
            facts = (("degree", tone.degree), ("side", "upper" if away > 0 else "lower"),
                     ("step", "half" if abs(away) == 1 else "whole"))
            yield Finding(KIND, tone.place, back.place, facts, 0.5 + 0.1 * (back.beat > 0) + 0.1 * (not step.in_key))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    degree, step = finding.fact("degree"), finding.fact("step")
    side = "an upper" if finding.fact("side") == "upper" else "a lower"
    shapes = (
        f"{{{degree}}} with {side} neighbour, a {step} step away.",
        f"The line leaves {{{degree}}} by a {step} step and comes back to it.",
        f"{side.capitalize()} neighbour decorates {{{degree}}}, a {step} step away.",
    )
    return shapes[shape % len(shapes)]


def _is_in_turn(line: Sequence[Tone], i: int) -> bool:
    return any(notes_in_turn(line, k) > i + 2 - k for k in range(max(0, i - 2), i + 1))


def _repeats(line: Sequence[Tone], i: int) -> bool:
    return (i > 1 and line[i - 1].joined and line[i].joined
            and line[i - 1].midi == line[i + 1].midi and line[i - 2].midi == line[i].midi)


def _is_peak(line: Sequence[Tone], i: int) -> bool:
    """Whether a scale only turns round here: D E F E D."""
    if i == 0 or i + 3 >= len(line) or not (line[i].joined and line[i + 3].joined):
        return False
    away = line[i + 1].midi - line[i].midi
    came, left = line[i].midi - line[i - 1].midi, line[i + 3].midi - line[i + 2].midi
    return abs(came) <= 2 and abs(left) <= 2 and came * away > 0 and left * away < 0
