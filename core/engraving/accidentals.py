"""Which heads need an accidental.

An accidental holds to the barline, on its own line or space only; another octave needs its own
(Dzubay & Freund, *Music Notation Style Guide*, "Accidentals"). A tie carries it over without a
new sign, and the next separate note needs it again (Gould ch. 3). A courtesy sign stands where a
letter comes back to what the key says, in the bar after one that altered it (Dzubay & Freund).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from core.study import STEPS, Event, Key, Pitch

GLYPHS = {
    -3: "accidentalTripleFlat", -2: "accidentalDoubleFlat", -1: "accidentalFlat", 0: "accidentalNatural",
    1: "accidentalSharp", 2: "accidentalDoubleSharp", 3: "accidentalTripleSharp",
}  # fmt: skip


def altered(heard: Sequence[tuple[int, int]], key: Key) -> dict[int, int]:
    """Of the last alterations heard in a bar (`Bar.last_alters`), those that its key does not give."""
    return {place: alter for place, alter in heard if alter != key.alter_of(STEPS[place % 7])}


def shown_accidentals(
    events: Sequence[Event], key: Key, tied_in: Collection[Pitch] = (), before: Mapping[int, int] | None = None
) -> tuple[tuple[int | None, ...], ...]:
    """Per event and note, the alteration to print, or None. tied_in: pitches held over the barline;
    before: what the bar before altered, to print courtesy signs against.
    """
    in_force: dict[int, int] = {}
    to_recall = dict(before or {})
    held: Collection[Pitch] = tied_in
    shown = []
    for event in events:
        signs: list[int | None] = []
        for note in event.notes:
            pitch = note.pitch
            usual = in_force.get(pitch.diatonic)
            if usual is None:
                usual = key.alter_of(pitch.step)
            is_held = pitch in held and not event.grace
            if is_held:
                signs.append(None)
                continue
            is_courtesy = to_recall.pop(pitch.diatonic, usual) != usual and pitch.diatonic not in in_force
            if pitch.alter == usual and not is_courtesy:
                signs.append(None)
            else:
                signs.append(pitch.alter)
                in_force[pitch.diatonic] = pitch.alter
        if not event.grace:
            held = [note.pitch for note in event.notes if note.tie]
        shown.append(tuple(signs))
    return tuple(shown)
