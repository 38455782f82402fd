"""Which heads need an accidental.

An accidental holds to the barline, on its own line or space only; another octave needs its own
(Dzubay & Freund, *Music Notation Style Guide*, "Accidentals"). A tie carries it over without a
new sign, and the next separate note needs it again (Gould ch. 3).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from core.study import Event, Key, Pitch

GLYPHS = {
    -3: "accidentalTripleFlat", -2: "accidentalDoubleFlat", -1: "accidentalFlat", 0: "accidentalNatural",
    1: "accidentalSharp", 2: "accidentalDoubleSharp", 3: "accidentalTripleSharp",
}  # fmt: skip


def shown_accidentals(
    events: Sequence[Event], key: Key, tied_in: Collection[Pitch] = ()
) -> tuple[tuple[int | None, ...], ...]:
    """Per event and note, the alteration to print, or None. tied_in: pitches held over the barline."""
    in_force: dict[int, int] = {}
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
            if is_held or pitch.alter == usual:
                signs.append(None)
            else:
                signs.append(pitch.alter)
                in_force[pitch.diatonic] = pitch.alter
        if not event.grace:
            held = [note.pitch for note in event.notes if note.tie]
        shown.append(tuple(signs))
    return tuple(shown)
