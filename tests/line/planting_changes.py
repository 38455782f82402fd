"""Devices over a change of chord, all composers together, and two devices linked. See planting.py."""

from __future__ import annotations

from random import Random

from tests.line.planting import (
    Beat,
    Claim,
    Composer,
    Draft,
    Lands,
    Setting,
    arpeggio,
    cell,
    enclosure,
    neighbour,
    passing_half_step,
    run,
    sequence,
    turn,
)
from tests.line.trade import ALTERED

_LINKS = ("enclosure", "turn", "neighbour", "passing-half-step", "run")
_LINKED = ("run", "arpeggio", "cell", "sequence", "turn", "neighbour", "passing-half-step")
_TRIES = 12


def _step(a: int, b: int) -> int:
    """From one note to the nearest of another name, in semitones, up positive."""
    return (b - a + 6) % 12 - 6


def _size(step: int) -> str:
    return {0: "same", 1: "half", 2: "whole"}[abs(step)]


def guide_tone(chance: Random, at: Setting) -> Draft | None:
    """7 to 3, 3 to 7, b9 to 5, over the change."""
    here, into = at.here, at.coming
    if into is None:
        return None
    pairs = [(here.seventh, into.third), (here.third, into.seventh)]
    if here.is_dominant and (here.root - into.root) % 12 == 7 and into.has(into.root + 7):
        pairs.append(((here.root + 1) % 12, (into.root + 7) % 12))
    pairs = [(a, b) for a, b in pairs if a is not None and b is not None and abs(_step(a, b)) <= 2]
    if not pairs:
        return None
    a, b = chance.choice(pairs)
    facts = {"from": here.degree(a), "to": into.degree(b), "chord": here, "into": into, "step": _size(_step(a, b))}
    lead = chance.choice((6, 12))
    return Draft((60 + a, 60 + a + _step(a, b)), (Claim("guide-tone", 0, 1, facts),), lengths=(lead, 12), lead=lead)


def altered(chance: Random, at: Setting) -> Draft | None:
    """Altered tensions of a dominant, and by step into a tone of the chord a fifth below.

    Over the tonic's own seventh chord the #9 and #11 are blue notes as well.
    """
    here, into = at.here, at.coming
    if here.kind != "dominant" or into is None or (here.root - into.root) % 12 != 7:
        return None
    row, target = chance.choice((((1,), 0), ((3, 1), 0), ((8, 6), 5), ((6,), 5), ((8, 3, 1), 0)))
    if here.root == at.tonic and not {3, 6}.isdisjoint(row):
        return None
    notes = [60 + here.root + above for above in row]
    end = 60 + here.root + target
    if not into.has(end):
        return None
    facts = {"degrees": " ".join(ALTERED[above] for above in row), "to": into.degree(end), "chord": here,
             "into": into, "step": _size(end - notes[-1])}
    return Draft((*notes, end), (Claim("altered", 0, len(notes), facts),),
                 lengths=(*[6] * len(notes), 12), lead=6 * len(notes))


def anticipation(chance: Random, at: Setting) -> Draft | None:
    """A tone of the coming chord that the chord in force has not: tied over, or struck again on the change."""
    here, into = at.here, at.coming
    new = sorted(into.tones - here.tones) if into else []
    if not new or into is None:
        return None
    note = 60 + chance.choice(new)
    facts = {"degree": into.degree(note), "chord": into}
    if chance.random() < 0.5:
        return Draft((note,), (Claim("anticipation", 0, 0, facts | {"held": "tied"}),), lengths=(18,), lead=6)
    facts["held"] = "struck again"
    return Draft((note, note), (Claim("anticipation", 0, None, facts),), lengths=(6, 12), lead=6)


def delay(chance: Random, at: Setting) -> Draft | None:
    """A suspension: a chord tone tied over into a chord that has it not, then down by step to one it has."""
    here, into = at.here, at.coming
    if into is None:
        return None
    found = [(60 + tone, down) for tone in sorted(here.tones - into.tones) for down in (1, 2) if into.has(tone - down)]
    if not found:
        return None
    note, down = chance.choice(found)
    late = chance.choice((6, 12))
    facts = {"degree": into.degree(note - down), "chord": into, "late": "1/2" if late == 6 else "1", "by": "suspension"}
    lengths = (6 + late, 18 if late == 6 else 12)
    return Draft((note, note - down), (Claim("delay", 0, 1, facts),), lengths=lengths, lead=6)


def target(chance: Random, at: Setting) -> Draft | None:
    """A half step, foreign to both chords and the key, into a tone of the coming one on its first beat."""
    here, into = at.here, at.coming
    if into is None or into == here:
        return None
    note = 60 + chance.choice(sorted(into.tones))
    from_note = note + chance.choice((-1, 1))
    if here.has(from_note) or into.has(from_note) or from_note % 12 in at.scale:
        return None
    facts = {"degree": into.degree(note), "beat": Beat(1), "chord": into, "step": "half",
             "how": "approach from above" if from_note > note else "approach from below"}
    return Draft((from_note, note), (Claim("target", None, 1, facts),), lengths=(6, 12), lead=6)


COMPOSERS: dict[str, Composer] = {
    "run": run, "passing-half-step": passing_half_step, "enclosure": enclosure, "neighbour": neighbour, "turn": turn,
    "arpeggio": arpeggio, "cell": cell, "sequence": sequence, "guide-tone": guide_tone, "altered": altered,
    "anticipation": anticipation, "delay": delay, "target": target,
}


def linked(chance: Random, at: Setting, first: Draft) -> Draft | None:
    """The device and another that begins on its last tone and turns back, so that neither goes on into the other."""
    if first.claims[0].kind not in _LINKS:
        return None
    for _ in range(_TRIES):
        kind = chance.choice(_LINKED)
        second = COMPOSERS[kind](chance, at)
        if second is None or (second.notes[0] - first.notes[-1]) % 12:
            continue
        came, goes = first.notes[-1] - first.notes[-2], second.notes[1] - second.notes[0]
        if came * goes >= 0 or abs(goes) == abs(came):  # the same way, or the beginning of a trill
            continue
        on, up = len(first.notes) - 1, first.notes[-1] - second.notes[0]
        return Draft((*first.notes, *(midi + up for midi in second.notes[1:])),
                     (*first.claims, *(_later(claim, on) for claim in second.claims)), first.even or second.even,
                     (*first.on_beat, *(on + place for place in second.on_beat)))
    return None


def _later(claim: Claim, on: int) -> Claim:
    facts = {name: type(value)(value.at + on) if isinstance(value, Beat | Lands) else value
             for name, value in claim.facts.items()}
    return Claim(claim.kind, claim.first + on, claim.last + on, facts)
