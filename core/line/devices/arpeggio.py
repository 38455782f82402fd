"""Arpeggio: three or more chord tones by thirds, up, down, or with one turn (common practice, no source).

Its notes lie close (each the next chord tone, a third or fourth away) or spread. An inverted seventh chord
has one step in it, from the seventh to the root; that step counts as part of the arpeggio where the line
goes through it in one direction, or where it ends the line and the notes are those of the written chord or a
minor sixth. From seven thirds upward the stack may go on to the ninth, eleventh and thirteenth.

Facts: chord (what is spelled out), over (the written chord), direction (up, down, mixed), inversion, form
(close, spread), relation (same, upper structure, substitution), degrees (over the written chord, in playing
order), heard (the chord both make together, "" where nothing new). A substitution contradicts the written
chord, or is the dominant a tritone away. Without a written chord the facts about it are "".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final, NamedTuple

from core.harmony import ChordSymbol
from core.line.finding import Finding, symbol
from core.line.naming import PARTS, chord_on, mask_of, names_of, plainest, together
from core.line.tones import Tone

KIND: Final = "arpeggio"
_WIDEST: Final = 16  # semitones, a tenth
_BACK: Final = 8  # tones before, in which a longer arpeggio may begin
_INVERSIONS: Final = ("root position", "first inversion", "second inversion", "third inversion")


class _Shape(NamedTuple):
    """What is known of a span from its notes and the written chord."""

    moves: list[int]  # in semitones
    mask: int
    over: ChordSymbol | None
    direction: str
    is_close: bool
    is_inside: bool  # nothing but tones of the written chord


def find(line: Sequence[Tone], start: int, stop: int) -> Iterator[Finding]:
    """Those that begin at line[start:stop]."""
    known: dict[int, int] = {}

    def last(i: int) -> int:
        if i not in known:
            known[i] = _last(line, i)
        return known[i]

    for i in range(start, min(stop, len(line) - 2)):
        end = last(i)
        if end and not _is_beaten(line, i, end, last):
            yield _finding(line[i:end + 1])


def _is_beaten(line: Sequence[Tone], i: int, end: int, last: Callable[[int], int]) -> bool:
    """Whether another arpeggio that shares two notes or more is longer, or as long and earlier."""
    for j in range(i - 1, max(-1, i - 1 - _BACK), -1):
        if not line[j + 1].joined or _is_two_steps(line, j):
            break
        if last(j) >= max(i + 1, j + end - i):
            return True
    return any(last(j) - j > end - i for j in range(i + 1, end))


def _last(line: Sequence[Tone], i: int) -> int:
    """The last note of the longest arpeggio that begins at a tone, 0 where there is none."""
    if i + 2 >= len(line) or _is_two_steps(line, i):
        return 0
    if 1 << line[i].midi % 12 | 1 << line[i + 1].midi % 12 | 1 << line[i + 2].midi % 12 not in PARTS:
        return 0
    return next((last for last, mask in reversed(_ends(line, i)) if _is_arpeggio(line, i, last, mask)), 0)


def _is_two_steps(line: Sequence[Tone], i: int) -> bool:
    middle = line[i + 1].midi
    return -2 <= middle - line[i].midi <= 2 and -2 <= line[i + 2].midi - middle <= 2


def _ends(line: Sequence[Tone], i: int) -> list[tuple[int, int]]:
    """Where a line that goes on by leaps, and one step at most, with one turn at most, has spelled out a chord.

    Each place with the mask of the notes so far. Three notes do not turn.
    """
    found = []
    before, mask = line[i], 1 << line[i].midi % 12
    chord = _over(line, i)
    came = turns = steps = 0
    for at in range(i + 1, len(line)):
        tone = line[at]
        move = tone.midi - before.midi
        mask |= 1 << tone.midi % 12
        if not tone.joined or not move or not -_WIDEST <= move <= _WIDEST or move in (12, -12) or _is_long(before):
            break
        turns += move * came < 0
        steps += -2 <= move <= 2
        if turns > 1 or steps > 1 or (tone.chord is not chord and tone.chord != chord):
            break
        if mask in PARTS:
            if names_of(mask) and not (turns and at == i + 2):
                found.append((at, mask))
        elif _is_stack(_moves(line[i:at + 1])):
            found.append((at, mask))
        else:
            break
        before, came = tone, move
    return found


def _is_long(tone: Tone) -> bool:
    """Over a quarter."""
    return tone.length.numerator > tone.length.denominator  # several times as fast as `> 1`


def _over(line: Sequence[Tone], i: int) -> ChordSymbol | None:
    """The chord a tone belongs to: the coming one where the tone after it stands there (it leads in)."""
    tone = line[i]
    after = line[i + 1].chord if tone.ahead is not None and i + 1 < len(line) else tone.chord
    return after if after is tone.ahead or after == tone.ahead else tone.chord


def _moves(tones: Sequence[Tone]) -> list[int]:
    return [after.midi - before.midi for before, after in pairwise(tones)]


def _is_stack(moves: list[int]) -> bool:
    """Nothing but thirds in one direction."""
    return all(3 <= move <= 4 for move in moves) or all(-4 <= move <= -3 for move in moves)


def _is_arpeggio(line: Sequence[Tone], i: int, last: int, mask: int) -> bool:
    tones = line[i:last + 1]
    shape = _shape(tones, mask, _over(line, i))
    if shape.direction == "mixed" and _begins_late(tones, mask):
        return False
    if line[i].chord != shape.over and (shape.direction == "mixed" or abs(tones[1].midi - tones[0].midi) <= 2):
        return False  # a note that leads in from the chord before
    if not _steps_fit(line, i, last, shape):
        return False
    if shape.is_inside:
        return True
    if shape.is_close:
        return len(tones) > 3 or tones[0].strength >= 2 or _fit(shape) != ""
    return len(tones) > 3 and shape.direction != "mixed" and _fit(shape) != ""


def _begins_late(tones: Sequence[Tone], mask: int) -> bool:
    """Whether the arpeggio really begins with its second note: stronger, a turn, and the first comes again."""
    first, second, third = (tone.midi for tone in tones[:3])
    return ((second - first) * (third - second) < 0 and tones[0].strength < tones[1].strength
            and mask == mask_of(tone.midi for tone in tones[1:]))


def _shape(tones: Sequence[Tone], mask: int, over: ChordSymbol | None) -> _Shape:
    moves = _moves(tones)
    direction = "up" if min(moves) > 0 else "down" if max(moves) < 0 else "mixed"
    apart = _apart(mask)
    is_close = mask.bit_count() > 4 or all([  # nothing but thirds, or each to the next note of the chord
        move == apart[tone.midi % 12] if move > 0 else -move == apart[(tone.midi + move) % 12]
        for tone, move in zip(tones, moves, strict=False)])
    is_inside = (over is not None and tones[0].midi % 12 in over.pitch_classes
                 and all([tone.is_chord_tone for tone in tones[1:]]))
    return _Shape(moves, mask, over, direction, is_close, is_inside)


@lru_cache(maxsize=4096)
def _apart(mask: int) -> tuple[int, ...]:
    """From each of the twelve notes up to the next one of a chord, in semitones."""
    return tuple(next(up for up in range(1, 13) if mask >> (note + up) % 12 & 1) for note in range(12))


def _steps_fit(line: Sequence[Tone], i: int, last: int, shape: _Shape) -> bool:
    """Whether a step, if there is one, is the seventh next to the root and not the way into something else."""
    moves = shape.moves
    at = next((at for at, move in enumerate(moves) if -2 <= move <= 2), None)
    if at is None:
        return True
    if 0 < at < len(moves) - 1:
        return moves[at - 1] * moves[at] > 0 and moves[at] * moves[at + 1] > 0
    if at == 0 and moves[0] == 1:
        return False  # a leading note
    if not shape.is_inside and (at == 0 or "m6" not in (kind for _, kind in names_of(shape.mask))):
        return False
    if at and last + 1 < len(line) and line[last + 1].joined:
        on = line[last + 1].midi - line[last].midi
        if abs(on) <= 2 and on * moves[at] > 0:
            return False  # a run
    return shape.direction != "mixed" and (at == 0 or not _ends(line, last))


def _fit(shape: _Shape) -> str:
    """How the notes go with the written chord: natural (its tones and natural tensions), altered (with altered
    tensions of a dominant), or "" where they contradict it.
    """
    over = shape.over
    if over is None or shape.is_inside:
        return "natural"
    root = over.root.chroma
    chromas = {chroma for chroma in range(12) if shape.mask >> (root + chroma) % 12 & 1}
    chromas -= {tone.chroma for tone in over.tones}
    chromas -= {tension.chroma for tension in over.tensions if not tension.alter}
    if not over.extension:
        chromas -= {10, 11}  # a triad leaves its seventh open
    if over.is_dominant and not shape.mask >> (root + 4) % 12 & 1:
        chromas.discard(5)  # without the third an eleventh makes it a suspended chord
    if not chromas:
        return "natural"
    return "altered" if chromas <= {tension.chroma for tension in over.tensions} else ""


def _relation(shape: _Shape, fit: str, spelled: ChordSymbol) -> str:
    over = shape.over
    if over is None:
        return ""
    above = (spelled.root.chroma - over.root.chroma) % 12
    if not fit or (above == 6 and spelled.is_dominant and over.is_dominant):
        return "substitution"
    return "same" if fit == "natural" and not above else "upper structure"


def _finding(tones: Sequence[Tone]) -> Finding:
    over = _over(tones, 0)
    shape = _shape(tones, mask_of(tone.midi for tone in tones), over)
    spelled = _spelled(tones, shape.mask, over)
    fit = _fit(shape)
    relation = _relation(shape, fit, spelled)
    degrees = () if over is None else tuple(over.upper_names[(tone.midi - over.root.chroma) % 12] for tone in tones)
    low = min(tone.midi for tone in tones) - spelled.root.chroma
    place = next(at for at, tone in enumerate(spelled.tones) if tone.chroma == low % 12)
    heard = None if over is None or not fit else together(over, degrees)
    facts = (("chord", symbol(spelled)), ("over", "" if over is None else symbol(over)),
             ("direction", shape.direction), ("inversion", _INVERSIONS[place]),
             ("form", "close" if shape.is_close else "spread"), ("relation", relation),
             ("degrees", " ".join(degree.name for degree in degrees)),
             ("heard", "" if heard is None else symbol(heard)))
    return Finding(KIND, tones[0].place, tones[-1].place, facts, _score(tones, shape, relation))


def _spelled(tones: Sequence[Tone], mask: int, over: ChordSymbol | None) -> ChordSymbol:
    played = [tone.pitch.pitch_class for tone in tones]
    lowest = min(tones, key=lambda tone: tone.midi).midi % 12
    if names_of(mask):
        return chord_on(*plainest(mask, lowest, over), played)
    stack = sorted(tone.midi for tone in tones)
    base = chord_on(*plainest(mask_of(stack[:4]), lowest, over), played)
    more = tuple(base.upper_names[(midi - base.root.chroma) % 12] for midi in stack[4:])
    return together(base, more) or base


def _score(tones: Sequence[Tone], shape: _Shape, relation: str) -> float:
    notes = shape.mask.bit_count()
    score = 0.5 if notes == 3 else 0.65
    if relation == "upper structure" and not shape.is_inside:
        score += 0.15
    elif relation == "substitution" and notes == 3:
        score -= 0.1
    score += 0.05 * (len(tones) > 3) + 0.05 * (tones[0].strength >= 2)
    return round(score - 0.1 * (notes > 3 and not shape.is_close), 2)


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which wording, any number will do."""
    facts = dict(finding.facts)
    chord, over, heard = (f"{{{facts[name]}}}" for name in ("chord", "over", "heard"))
    way = {"up": "going up", "down": "coming down", "mixed": "up and down"}[str(facts["direction"])]
    degrees = _row(str(facts["degrees"]))
    spread = "a spread" if facts["form"] == "spread" else "an"
    where = "" if facts["inversion"] == "root position" else f" in {facts['inversion']}"
    if not facts["relation"]:
        shapes = (f"{spread.capitalize()} arpeggio of {chord}{where}, {way}.", f"The notes spell out {chord}{where}.",
                  f"{chord}{where}, {way}, one chord tone after the other.")
    elif facts["relation"] == "same":
        shapes = (f"{spread.capitalize()} arpeggio of {chord}{where}, {way}: {degrees}.",
                  f"The line spells out {chord}{where}: {degrees}.",
                  f"{degrees}: {spread} arpeggio of {chord}{where}, {way}.")
    elif facts["relation"] == "upper structure":
        sounds = f", so the line sounds {heard}" if facts["heard"] else ""
        shapes = (f"{chord}{where} {way} over {over} gives {degrees}{sounds}.",
                  f"An upper structure: {chord}{where} over {over} is {degrees}{sounds}.",
                  f"Think {chord}{where} over {over}: {degrees}{sounds}.")
    else:
        shapes = (f"This might be {chord}{where} in place of {over}: {degrees} against the chart.",
                  f"{chord}{where} might stand in for {over} here; its notes are {degrees}.",
                  f"Over {over} the line might be spelling out {chord}{where} instead: {degrees}.")
        if finding.score >= 0.5:
            shapes = (f"{chord}{where} in place of {over}: {degrees} against the chart.",
                      f"{chord}{where} stands in for {over} here; its notes are {degrees}.",
                      f"Over {over} the line spells out {chord}{where} instead: {degrees}.")
    return shapes[shape % len(shapes)]


def _row(degrees: str) -> str:
    return " ".join(f"{{{degree}}}" for degree in degrees.split())
