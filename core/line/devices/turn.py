"""Turn: the note above, the main note, the note below, the main note, or turned over; the main note may come first
(common ornament rule; "double neighbour" where the main note is a chord tone).

Facts: degree (of the main note), first (upper, lower), notes (4; 5 with the main note first). The main note is a chord
tone or an altered tension of a dominant; the others lie within a whole step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from core.line.finding import Finding, in_words
from core.line.tones import Tone

KIND: Final = "turn"
_ALTERED = (1, 3, 6, 8)  # semitones above the root of a dominant
_ORNAMENT = Fraction(1, 2)  # quarters: slower, and it is rather a piece of melody


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    for i in range(start, min(stop, len(line) - 3)):
        count = notes_in_turn(line, i)
        if count:
            main, last = line[i + count - 3], line[i + count - 1]
            first = line[i + count - 4].midi - main.midi
            facts = (("degree", main.degree), ("first", "upper" if first > 0 else "lower"), ("notes", count))
            yield Finding(KIND, line[i].place, last.place, facts, _score(line, i, count))


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    degree, first, count = (finding.fact(name) for name in ("degree", "first", "notes"))
    after = "the upper neighbour first" if first == "upper" else "the lower neighbour first"
    shapes = (
        f"A turn around {{{degree}}}, {after}.",
        f"{in_words(count).capitalize()} notes turn around {{{degree}}}, {after}.",
        f"The line circles {{{degree}}}, {after}: a turn.",
    )
    if finding.score < 0.5:
        shapes = (
            f"This might be a turn around {{{degree}}}, {after}.",
            f"The line might be circling {{{degree}}}, {after}.",
            f"You may hear a turn here: {{{degree}}} with a step on either side, {after}.",
        )
    return shapes[shape % len(shapes)]


def notes_in_turn(line: Sequence[Tone], i: int) -> int:
    """How many notes the turn has that begins at line[i], 0 where none does."""
    if i + 3 >= len(line):
        return 0
    main, after = line[i + 1], line[i + 3]
    if main.midi == after.midi:
        again = i > 0 and main.midi == line[i - 1].midi and line[i].joined and line[i - 1].length <= 1
        if again or not _goes_round(line, i) or (_step_in(line, i) and _step_out(line, i)):
            return 0
        return 0 if notes_in_turn(line, i + 1) else 4
    if i + 4 < len(line) and line[i].midi == line[i + 2].midi and line[i].length <= 1 and line[i + 1].joined:
        return 5 if _goes_round(line, i + 1) else 0
    return 0


def _goes_round(line: Sequence[Tone], i: int) -> bool:
    """One side, main note, other side, main note, all short but the last."""
    one, main, other, last = line[i:i + 4]
    if last.midi != main.midi:
        return False
    up, down = one.midi - main.midi, other.midi - main.midi
    wide = abs(up) == 2 or abs(down) == 2
    return (up * down < 0 and abs(up) <= 2 and abs(down) <= 2 and _can_be_main(main, wide) and _can_be_main(last, wide)
            and main.joined and other.joined and last.joined
            and one.length <= 1 and main.length <= 1 and other.length <= 1)


def _can_be_main(tone: Tone, wide: bool) -> bool:
    """wide: not between both its half steps, where an altered tension would only pass."""
    if tone.is_chord_tone:
        return True
    return wide and tone.chord is not None and tone.chord.is_dominant and tone.above in _ALTERED


def _step_in(line: Sequence[Tone], i: int) -> bool:
    """Whether the line comes to the first note by step, as a scale would."""
    if i == 0 or not line[i].joined:
        return False
    move, way = line[i].midi - line[i - 1].midi, line[i + 1].midi - line[i].midi
    return abs(move) <= 2 and move * way > 0


def _step_out(line: Sequence[Tone], i: int) -> bool:
    """Whether it goes on behind the last note by step in the direction it came back."""
    if i + 4 == len(line) or not line[i + 4].joined:
        return False
    back, move = line[i + 3].midi - line[i + 2].midi, line[i + 4].midi - line[i + 3].midi
    return abs(move) <= 2 and move * back > 0


def _score(line: Sequence[Tone], i: int, count: int) -> float:
    if count == 4 and (_step_in(line, i) or _step_out(line, i)):
        return 0.4
    is_quick = all(tone.length <= _ORNAMENT for tone in line[i:i + count - 1])
    return (0.6 if is_quick else 0.4) + 0.2 * (count == 5)
