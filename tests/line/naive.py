"""Whether what a finding claims is true of the notes: each device's definition, plain and slow.

Definitions: Open Music Theory, "Embellishing tones" (passing tone, neighbour, anticipation, suspension);
the others common practice, no source. See references.md 3.4.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from core.errors import BarglossError
from core.harmony import parse_chord, parse_harmony
from core.line.finding import Finding
from core.study import Key, parse_pitch_class
from tests.line.planted import Sounded
from tests.line.trade import ALTERED, SCALES, Harmony, low

Tones = Sequence[Sounded]
_INVERSIONS = {"root position": 0, "first inversion": 1, "second inversion": 2, "third inversion": 3}


def is_true(finding: Finding, tones: Tones) -> bool:
    """Of the whole line, in order. What cannot be read, a chord or a number, is not true."""
    places = [tone.place for tone in tones]
    if finding.first not in places or finding.last not in places or finding.last < finding.first:
        return False
    try:
        return _DEFINITIONS[finding.kind](finding, tones, places.index(finding.first), places.index(finding.last))
    except (BarglossError, KeyError, ValueError):
        return False


def same_chord(text: object, chord: Harmony) -> bool:
    """Root and tones, by sound."""
    parsed = parse_chord(str(text))
    return parsed.root.chroma == chord.root and frozenset(map(_within, parsed.pitch_classes)) == chord.tones


def _within(chroma: int) -> int:
    return chroma % 12


def degrees(tone: Sounded) -> set[str]:
    """Over the chord in force or, of a note that reaches the next change, over the coming one."""
    found = {tone.here.degree(tone.midi)}
    if tone.into is not None and _reaches_change(tone):
        found.add(tone.into.degree(tone.midi))
    return found


def _reaches_change(tone: Sounded) -> bool:
    return tone.stop >= tone.change > tone.start >= tone.change - 12


def is_chord_tone(tone: Sounded) -> bool:
    return tone.here.has(tone.midi) or (
        tone.into is not None and _reaches_change(tone) and tone.into.has(tone.midi))


def _moves(tones: Tones) -> list[int]:
    return [b.midi - a.midi for a, b in pairwise(tones)]


def _joined(tones: Tones) -> bool:
    return all(tone.joined for tone in tones[1:])


def _names(text: object, tones: Tones) -> bool:
    """Whether a row of degrees names these tones."""
    row = str(text).split()
    return len(row) == len(tones) and all(name in degrees(tone) for name, tone in zip(row, tones, strict=True))


def _in_scale(tones: Tones, name: str, tonic: int) -> bool:
    """Every tone in the scale, each next to the one before; a half step between two half steps may only pass."""
    above = SCALES[name]
    moves = _moves(tones)
    passing = {place for place in range(1, len(moves)) if moves[place - 1] == moves[place] in (1, -1)}
    inside = [tone for place, tone in enumerate(tones) if (tone.midi - tonic) % 12 in above or place not in passing]
    if any((tone.midi - tonic) % 12 not in above for tone in inside):
        return False
    steps = [(tone.midi - tonic) // 12 * len(above) + above.index((tone.midi - tonic) % 12) for tone in inside]
    return all(abs(b - a) == 1 for a, b in pairwise(steps))


def _run(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row, moves = tones[i:j + 1], _moves(tones[i:j + 1])
    if len(row) < 4 or not _joined(row) or not (min(moves) > 0 or max(moves) < 0):
        return False
    name = str(finding.fact("scale"))
    tonic = 0 if name == "chromatic" else parse_pitch_class(str(finding.fact("tonic"))).chroma
    sign = 1 if finding.fact("direction") == "up" else -1
    longer = [tones[i - 1:j + 1]] if i and tones[i].joined else []
    longer += [tones[i:j + 2]] if j + 1 < len(tones) and tones[j + 1].joined else []
    goes_on = any(all(0 < move * sign <= 2 for move in _moves(more)) and _in_scale(more, name, tonic)
                  for more in longer if all(tone.stop - tone.start <= 12 for tone in more[:-1]))
    return (all(move * sign > 0 for move in moves) and not goes_on and finding.fact("notes") == len(row)
            and _in_scale(row, name, tonic) and finding.fact("from") in degrees(row[0])
            and finding.fact("to") in degrees(row[-1]))


def _half_step(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row = tones[i:j + 1]
    if len(row) != 3 or not _joined(row) or _moves(row) not in ([1, 1], [-1, -1]) or is_chord_tone(row[1]):
        return False
    if not _names(f"{finding.fact('from')} {finding.fact('note')} {finding.fact('to')}", row):
        return False
    if not finding.fact("lands"):
        return finding.fact("beat") == 0
    after = [tone for tone in tones[j:j + 8] if tone.beat == finding.fact("beat")]
    return any(finding.fact("lands") in degrees(tone) and is_chord_tone(tone) for tone in after)


def _enclosure(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    target, around = tones[j], tones[i:j]
    away = [tone.midi - target.midi for tone in around]
    in_key = [tone.midi % 12 in tone.scale for tone in around]
    kind = finding.fact("type")
    if (kind == "chromatic" and all(in_key)) or (kind == "diatonic" and any(
            abs(step) == 1 and not within for step, within in zip(away, in_key, strict=True)) and not target.here):
        return False
    return (2 <= len(around) <= 4 and _joined(tones[i:j + 1]) and all(1 <= abs(step) <= 2 for step in away)
            and min(away) < 0 < max(away) and is_chord_tone(target) and finding.fact("notes") == len(around)
            and finding.fact("target") in degrees(target) and finding.fact("beat") == target.beat
            and finding.fact("first") == ("above" if away[0] > 0 else "below"))


def _neighbour(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row = tones[i:j + 1]
    if len(row) != 3 or not _joined(row) or not (is_chord_tone(row[0]) and is_chord_tone(row[2])):
        return False
    away, back = _moves(row)
    return (away == -back and 1 <= abs(away) <= 2 and finding.fact("degree") in degrees(row[0]) | degrees(row[2])
            and finding.fact("side") == ("upper" if away > 0 else "lower")
            and finding.fact("step") == ("half" if abs(away) == 1 else "whole"))


def _turn(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row = tones[i:j + 1]
    if len(row) not in (4, 5) or finding.fact("notes") != len(row) or not _joined(row) or not is_chord_tone(row[-1]):
        return False
    main = row[-1].midi
    first, second = row[-4].midi - main, row[-2].midi - main
    return (row[-3].midi == main and row[0].midi in (main, row[-4].midi) and first * second < 0
            and max(abs(first), abs(second)) <= 2 and finding.fact("degree") in degrees(row[-1])
            and finding.fact("first") == ("upper" if first > 0 else "lower"))


def _arpeggio(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row = tones[i:j + 1]
    chord = parse_chord(str(finding.fact("chord")))
    classes = [chroma % 12 for chroma in chord.pitch_classes]
    sounding = {tone.midi % 12 for tone in row}
    if not _joined(row) or len(sounding) < 3 or not sounding <= set(classes):
        return False
    if not _names(finding.fact("degrees"), row):
        return False
    moves = _moves(row)
    direction = "up" if min(moves) > 0 else "down" if max(moves) < 0 else "mixed"
    lowest = min(tone.midi for tone in row) % 12
    place = _INVERSIONS[str(finding.fact("inversion"))]
    over = {chord for tone in row for chord in (tone.here, tone.into) if chord}
    close = all(abs(move) <= 6 for move in moves)
    return (finding.fact("direction") == direction and classes[place] == lowest
            and (finding.fact("form") == "close") >= (close and direction != "mixed")
            and any(same_chord(finding.fact("over"), chord) for chord in over))


def _cell(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    row = tones[i:j + 1]
    pattern, plain = str(finding.fact("pattern")).split(), str(finding.fact("plain")).split()
    if not _joined(row) or not len(row) == len(pattern) == len(plain):
        return False
    heard = parse_chord(str(finding.fact("heard")))
    written = all(name in set(map(low, degrees(tone))) for name, tone in zip(pattern, row, strict=True))
    names = [low(heard.upper_names[(tone.midi - heard.root.chroma) % 12].name).lstrip("b#") for tone in row]
    return written and [name.lstrip("b#").replace("8", "1") for name in plain] == names


def _sequence(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    size, count, step = (int(finding.fact(name)) for name in ("notes", "count", "step"))
    row = tones[i:j + 1]
    if not _joined(row) or len(row) != size * count or count < 2 or step == 0:
        return False
    chunks = [row[k:k + size] for k in range(0, len(row), size)]
    if any([tone.stop - tone.start for tone in chunk[:-1]] != [tone.stop - tone.start for tone in chunks[0][:-1]]
           for chunk in chunks):
        return False
    if finding.fact("form") == "exact":
        return finding.fact("unit") == "half steps" and all(
            b.midi - a.midi == step for one, two in pairwise(chunks) for a, b in zip(one, two, strict=True))
    scale = sorted(row[0].scale)
    if all(tone.midi % 12 in scale for tone in row):
        steps = [[7 * (tone.midi // 12) + scale.index(tone.midi % 12) for tone in chunk] for chunk in chunks]
        return all(b - a == step for one, two in pairwise(steps) for a, b in zip(one, two, strict=True))
    return all(abs(a - b) <= 1 and a * b > 0 for one, two in pairwise(chunks)
               for a, b in zip(_moves(one), _moves(two), strict=True))


def _guide_tone(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    """Of two tones or, round the second, three; or of one that sounds on into the next chord."""
    a, b = tones[i], tones[j]
    into = a.into if i == j and a.stop > a.change else b.here
    step = abs(b.midi - a.midi)
    if into is None or j > i + 2 or not _joined(tones[i:j + 1]) or step > 2:
        return False
    roles = (str(finding.fact("from")).lstrip("b#"), str(finding.fact("to")).lstrip("b#"))
    is_guide = a.here.has(a.midi) or (a.here.is_dominant and finding.fact("from") == "b9")
    return (a.here != into and roles in (("7", "3"), ("3", "7"), ("9", "5")) and is_guide and into.has(b.midi)
            and a.here.degree(a.midi) == finding.fact("from") and into.degree(b.midi) == finding.fact("to")
            and finding.fact("step") == ("same", "half", "whole")[step]
            and same_chord(finding.fact("chord"), a.here) and same_chord(finding.fact("into"), into))


def _altered(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    """In one breath; passing and neighbouring ones need not be told."""
    row = tones[i:j + 1]
    found = [tone for tone in row if tone.here.is_dominant and (tone.midi - tone.here.root) % 12 in ALTERED]
    names = iter([tone.here.degree(tone.midi) for tone in found])
    claimed = str(finding.fact("degrees")).split()
    if not found or found[0] is not row[0] or not _joined(row) or not all(name in names for name in claimed):
        return False
    if claimed[0] != row[0].here.degree(row[0].midi) or 3 * len(found) < len(row) - 1:
        return False
    if not finding.fact("step"):
        return True
    step = abs(row[-1].midi - found[-1].midi)
    return (finding.fact("to") in degrees(row[-1]) and is_chord_tone(row[-1])
            and finding.fact("step") == {1: "half", 2: "whole"}.get(step))


def _anticipation(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    tone = tones[i]
    if tone.into is None or not tone.change - 12 <= tone.start < tone.change <= tone.stop:
        return False
    following = tones[i + 1] if i + 1 < len(tones) else None
    again = following is not None and following.start == tone.change and following.midi == tone.midi
    held = "tied" if tone.stop > tone.change else "struck again" if again else "let go"
    return (tone.into.has(tone.midi) and not tone.here.has(tone.midi) and finding.fact("held") == held
            and finding.fact("degree") == tone.into.degree(tone.midi) and same_chord(finding.fact("chord"), tone.into))


def _delay(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    end = tones[j]
    change = tones[i].change if tones[i].stop > tones[i].change else tones[i].start
    if finding.fact("by") == "suspension":
        down = tones[i].midi - end.midi
        if not (j == i + 1 and 1 <= down <= 2 and not end.here.has(tones[i].midi) and end.joined):
            return False
    late = end.start - change
    return (end.here.has(end.midi) and finding.fact("degree") == end.here.degree(end.midi) and late > 0
            and _quarters(str(finding.fact("late"))) == late and same_chord(finding.fact("chord"), end.here))


def _quarters(text: str) -> float:
    top, _, bottom = text.partition("/")
    return 12 * int(top) / int(bottom or 1)


def _target(finding: Finding, tones: Tones, i: int, j: int) -> bool:
    end = tones[j]
    if not end.beat or not is_chord_tone(end) or finding.fact("beat") != end.beat:
        return False
    before = tones[j - 1]
    came = end.midi - before.midi
    how = finding.fact("how")
    sides = [tone.midi - end.midi for tone in tones[max(0, j - 4):j]]
    right = {"approach from above": -2 <= came < 0, "approach from below": 0 < came <= 2, "leap": abs(came) > 2,
             "enclosure": 1 <= abs(came) <= 2 and any(-2 <= side < 0 for side in sides)
             and any(0 < side <= 2 for side in sides)}[str(how)]
    step = {1: "half", 2: "whole"}.get(abs(came), "")
    return right and finding.fact("degree") in degrees(end) and finding.fact("step") == step


def heard(harmony: object) -> set[int]:
    """The notes of a reading, 0 to 11 above C: a chord's tones, or a key's scale."""
    read = parse_harmony(str(harmony))
    if isinstance(read, Key):
        return {(note + read.alter_of(step)) % 12
                for step, note in zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11), strict=True)}
    return {chroma % 12 for chroma in read.pitch_classes}


_DEFINITIONS: dict[str, Callable[[Finding, Tones, int, int], bool]] = {
    "run": _run, "passing-half-step": _half_step, "enclosure": _enclosure, "neighbour": _neighbour, "turn": _turn,
    "arpeggio": _arpeggio, "cell": _cell, "sequence": _sequence, "guide-tone": _guide_tone, "altered": _altered,
    "anticipation": _anticipation, "delay": _delay, "target": _target,
}
