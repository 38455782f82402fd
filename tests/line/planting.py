"""Devices over one chord as a composer would write them, for the generator of planted lines.

Each function makes one device over the harmony it is given, or None where that harmony does not allow it. What is
ambiguous by definition is left out and said so beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from random import Random
from typing import Any, NamedTuple

from tests.line.trade import KINDS, OVER, SCALES, Harmony, low


class Setting(NamedTuple):
    """What a device is made for. coming: the chord at the next change; tonic, scale: the key's, 0 to 11 above C."""

    here: Harmony
    coming: Harmony | None
    tonic: int
    scale: frozenset[int]


class Beat(NamedTuple):
    """A fact known once the device stands in its bar: on which beat tone `at` falls, 0 off the beat."""

    at: int


class Lands(NamedTuple):
    """The degree of tone `at` if it falls on a beat; else nothing is claimed."""

    at: int


class Claim(NamedTuple):
    """That tones first to last (counted in the device) are a device of this kind, with at least these facts.

    None: where it begins or ends is not claimed.
    """

    kind: str
    first: int | None
    last: int | None
    facts: dict[str, Any]


class Draft(NamedTuple):
    """Key numbers in one octave, to be moved by octaves, and what is claimed of them.

    even: all of one length. on_beat: tones that fall on a beat. lengths, lead: in ticks, where the rhythm is part of
    the device; lead is how long before the change of chord it begins.
    """

    notes: tuple[int, ...]
    claims: tuple[Claim, ...]
    even: bool = False
    on_beat: tuple[int, ...] = ()
    lengths: tuple[int, ...] = ()
    lead: int = 0


Composer = Callable[[Random, Setting], Draft | None]
_PATTERNS = {  # digital patterns on a major and a minor triad; the last is 5 3 4 5
    4: ((0, 2, 4, 7), (0, 4, 5, 7), (7, 4, 2, 0), (7, 4, 5, 7)),
    3: ((0, 2, 3, 7), (0, 3, 5, 7), (7, 3, 2, 0), (7, 3, 5, 7)),
}
# Structures over a chord (references.md 3.3, and the same for the other kinds): name, semitones above the chord's root.
# A sixth chord is a seventh chord turned over, so seventh chords stand in root position only, but for the written one.
_STRUCTURES = {
    "dominant": (("diminished", 10, (0, 3, 6)), ("minor-seventh", 7, (0, 3, 7, 10)),
                 ("major-seventh", 10, (0, 4, 7, 11)), ("major", 2, (0, 4, 7)), ("major", 8, (0, 4, 7)),
                 ("major", 6, (0, 4, 7)), ("major", 9, (0, 4, 7)), ("dominant", 6, (0, 4, 7, 10)),
                 ("major-minor", 1, (0, 3, 7, 11)), ("half-diminished", 10, (0, 3, 6, 10)),
                 ("half-diminished", 4, (0, 3, 6, 10))),
    "major-seventh": (("minor-seventh", 4, (0, 3, 7, 10)), ("major", 7, (0, 4, 7)), ("major", 2, (0, 4, 7))),
    "minor-seventh": (("major-seventh", 3, (0, 4, 7, 11)), ("minor", 7, (0, 3, 7)), ("major", 10, (0, 4, 7))),
}
_INVERSIONS = ("root position", "first inversion", "second inversion", "third inversion")
_SHAPES = ((0, 4, 2), (0, -1, 3), (0, 5, 3), (0, 3, -2), (0, 4, 2, 7), (0, -3, 2, 5), (0, 5, 1, 3), (0, 2, -3, 4))
_STEPPED = ((0, 2), (0, 3), (0, 2, 1), (0, 2, 4, 1), (0, -2, 1), (0, 3, 1), (0, 2, 1, -1))  # in steps of the scale


def run(chance: Random, at: Setting) -> Draft | None:
    """A whole octave of a scale and more, so that no other scale holds it; its tonic is the root."""
    name = chance.choice(OVER[at.here.kind])
    above = SCALES[name]
    size = len(above)
    count = chance.randint(5, 8) if name == "chromatic" else size + chance.choice((1, 1, 2))
    start = chance.randrange(size)
    row = [48 + at.here.root + 12 * ((start + i) // size) + above[(start + i) % size] for i in range(count)]
    direction = chance.choice(("up", "down"))
    if direction == "down":
        row.reverse()
    facts = {"scale": name, "direction": direction, "notes": count,
             "from": at.here.degree(row[0]), "to": at.here.degree(row[-1])}
    if name != "chromatic":
        facts["tonic"] = at.here.root
    claims = [Claim("run", 0, count - 1, facts)]
    added = {"bebop dominant": 11, "bebop major": 8, "bebop melodic minor": 8, "bebop dorian": 4}.get(name)
    claims += [_half_step(at.here, row, i) for i in range(1, count - 1) if (row[i] - at.here.root) % 12 == added]
    return Draft(tuple(row), tuple(claims))


def _half_step(here: Harmony, row: list[int], i: int) -> Claim:
    names = [here.degree(midi) for midi in row[i - 1:i + 2]]
    facts = dict(zip(("from", "note", "to"), names, strict=True))
    return Claim("passing-half-step", i - 1, i + 1, facts | ({"lands": Lands(i + 1)} if here.has(row[i + 1]) else {}))


def passing_half_step(chance: Random, at: Setting) -> Draft | None:
    """Between two notes of the key a whole step apart, one of them in the chord; the half step is in neither."""
    found = []
    for middle in range(60, 72):
        ends = (middle - 1, middle + 1)
        if (middle % 12 not in at.scale and not at.here.has(middle) and all(end % 12 in at.scale for end in ends)
                and any(map(at.here.has, ends))):
            found += [[middle - 1, middle, middle + 1], [middle + 1, middle, middle - 1]]
    if not found:
        return None
    row = chance.choice(found)
    return Draft(tuple(row), (_half_step(at.here, row, 1),))


def enclosure(chance: Random, at: Setting) -> Draft | None:
    """Two to four notes round a chord tone, none of them in the chord (else it may as well be an arpeggio).

    The target is on a beat; off the beat only where all that leads to it is foreign to the key.
    """
    target = 60 + chance.choice(sorted(at.here.tones))
    forms = ((2, -1), (1, -1), (1, -2), (2, -2), (2, 1, -1), (1, -2, -1), (2, -2, -1), (2, 1, -2, -1))
    around = chance.choice(forms)
    if chance.random() < 0.5:
        around = tuple(-step for step in around)
    if any(at.here.has(target + step) for step in around):
        return None
    facts = {"target": at.here.degree(target), "first": "above" if around[0] > 0 else "below",
             "notes": len(around), "beat": Beat(len(around)), "chord": at.here}
    in_key = [(target + step) % 12 in at.scale for step in around]
    plainest = SCALES[OVER[at.here.kind][0]]
    if all(in_key) and target % 12 in at.scale and max(map(abs, around)) == 2:
        facts["type"] = "diatonic"  # two half steps inside the key may be called either
    elif not any(in_key) and not any((target + step - at.here.root) % 12 in plainest for step in around):
        facts["type"] = "chromatic"
    return Draft((*(target + step for step in around), target), (Claim("enclosure", 0, len(around), facts),),
                 on_beat=(len(around),) if any(in_key) or chance.random() < 0.5 else ())


def neighbour(chance: Random, at: Setting) -> Draft | None:
    main = 60 + chance.choice(sorted(at.here.tones))
    away = chance.choice((-2, -1, 1, 2))
    if at.here.has(main + away):
        return None
    facts = {"degree": at.here.degree(main), "side": "upper" if away > 0 else "lower",
             "step": "half" if abs(away) == 1 else "whole"}
    return Draft((main, main + away, main), (Claim("neighbour", 0, 2, facts),))


def turn(chance: Random, at: Setting) -> Draft | None:
    """Round a chord tone; its neighbours are not in the chord, so that they are neighbours by any definition."""
    main = 60 + chance.choice(sorted(at.here.tones))
    upper = next((step for step in (1, 2) if (main + step) % 12 in at.scale), 2)
    lower = chance.choice((1, 2))
    if at.here.has(main + upper) or at.here.has(main - lower):
        return None
    around = chance.choice(((upper, -lower), (-lower, upper)))
    row = (main + around[0], main, main + around[1], main)
    facts = {"degree": at.here.degree(main), "first": "upper" if around[0] > 0 else "lower"}
    if chance.random() < 0.5:
        return Draft((main, *row), (Claim("turn", 0, 4, facts | {"notes": 5}),))
    return Draft(row, (Claim("turn", 0, 3, facts | {"notes": 4}),))


def arpeggio(chance: Random, at: Setting) -> Draft | None:
    kind, above, tones = at.here.kind, 0, KINDS[at.here.kind][1]
    if kind == "dominant-flat-ninth":
        kind, above, tones = chance.choice((("diminished", 10, (0, 3, 6)), ("diminished-seventh", 4, (0, 3, 6, 9))))
    elif kind in _STRUCTURES and chance.random() < 0.6:
        kind, above, tones = chance.choice(_STRUCTURES[kind])
    elif chance.random() < 0.3 and tones[1] in (3, 4) and tones[2] == 7:
        kind, tones = ("major" if tones[1] == 4 else "minor"), tones[:3]
    root = at.here.root + above
    symmetric = kind == "diminished-seventh"  # any of its tones may be its root
    turned = 0 if symmetric or (len(tones) == 4 and above) else chance.randrange(len(tones))
    stack = [60 + root + tone for tone in (*tones[turned:], *(12 + tone for tone in tones[:turned]))]
    form = "close"
    if len(stack) == 3 and not above and chance.random() < 0.5:  # three wide leaps in a foreign triad are any leaps
        stack, form = [stack[0], stack[2], stack[1] + 12], "spread"
    leads_in = stack[1] - stack[0] == 1  # 7 1 3 5 may as well be a leading note and a triad
    direction = "down" if leads_in else chance.choice(("up", "down"))
    row = stack if direction == "up" else stack[::-1]
    facts: dict[str, Any] = {"direction": direction, "form": form, "degrees": " ".join(map(at.here.degree, row))}
    if not symmetric:
        facts |= {"chord": Harmony(root % 12, kind), "inversion": _INVERSIONS[turned]}
    if above == 0:
        facts["relation"] = "same"
    return Draft(tuple(row), (Claim("arpeggio", 0, len(row) - 1, facts),))


def cell(chance: Random, at: Setting) -> Draft | None:
    """A digital pattern on the written triad, or on the triad a third above the root, in even notes from a beat."""
    third = 4 if 4 in KINDS[at.here.kind][1] else 3
    if 7 not in KINDS[at.here.kind][1]:
        return None
    above, family = 0, third
    if at.here.kind in ("major-seventh", "minor-seventh") and chance.random() < 0.5:
        above, family = third, 7 - third
    row = tuple(60 + at.here.root + above + step for step in chance.choice(_PATTERNS[family]))
    pattern = " ".join(low(at.here.degree(midi)) for midi in row)
    return Draft(row, (Claim("cell", 0, 3, {"pattern": pattern, "chord": at.here}),), even=True, on_beat=(0,))


def sequence(chance: Random, at: Setting) -> Draft | None:
    """A shape at least twice more, or once more where it has four notes; no shorter shape explains it."""
    exact = chance.random() < 0.5
    shape = chance.choice(_SHAPES if exact else _STEPPED)
    step = chance.choice((-3, -2, -1, 1, 2, 3) if exact else (-2, -1, 1, 2))
    count = {2: 4, 3: 3, 4: chance.choice((2, 3))}[len(shape)]
    row = [tone + step * time for time in range(count) for tone in shape]
    moves = [b - a for a, b in pairwise(row)][:len(shape)]
    if 0 in moves or any(moves[k:] + moves[:k] == moves for k in range(1, len(moves)) if len(moves) % k == 0):
        return None
    if exact:
        base = 60 + chance.randrange(12)
        notes = [base + tone for tone in row]
        facts = {"step": step, "unit": "half steps", "form": "exact"}
    else:
        scale = sorted(at.scale)
        start = chance.randrange(7)
        notes = [60 + 12 * ((start + tone) // 7) + scale[(start + tone) % 7] for tone in row]
        size = len(shape)
        if len({tuple(b - a for a, b in pairwise(notes[k:k + size])) for k in range(0, len(notes), size)}) == 1:
            return None  # exact by chance
        facts = {"step": step, "unit": "scale steps", "form": "diatonic"}
    facts |= {"count": count, "notes": len(shape)}
    return Draft(tuple(notes), (Claim("sequence", 0, len(notes) - 1, facts),), even=True)
