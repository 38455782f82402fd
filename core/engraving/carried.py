"""The accidentals of notes held over from the system before, which stand where its music begins.

They are of the system, not of the bar: where a system ends is known only when bars are engraved. A tie
begins after them, as after a clef (from memory, Gould ch. 3; their place against the tie is ours).
"""

from __future__ import annotations

from collections.abc import Collection

from core.engraving.accidentals import Sign, sign_box, sign_marks
from core.engraving.drawing import Mark, Tag
from core.engraving.heads import shape_event
from core.engraving.view import BarView
from core.study import Event, Key, Pitch


def carried_signs(view: BarView, x: float) -> tuple[list[Mark], float]:
    """The accidentals that remind of alterations held over from the system before, from x on, and their width."""
    style = view.style
    index = next((index for index, event in enumerate(view.bar.events) if not event.grace), None)
    if style.courtesy == "none" or not view.tied_in or index is None or view.rests != 1:
        return [], 0.0
    event = view.bar.events[index]
    signs = _signs(event, view.key, view.tied_in, brackets=style.courtesy == "brackets")
    if not any(signs):
        return [], 0.0
    shape = shape_event(event, signs, True, style.music)
    shown = [(note, head, head.sign) for note, head in enumerate(shape.heads) if head.sign is not None]
    left = min(head.sign_x + sign_box(sign, style.music).left for _, head, sign in shown)
    right = max(head.sign_x + sign_box(sign, style.music).right for _, head, sign in shown)
    marks: list[Mark] = []
    for note, head, sign in shown:
        marks += sign_marks(sign, (x + head.sign_x - left, head.y), 1.0, style.music, Tag("note", index, note))
    return marks, right - left


def _signs(
    event: Event, key: Key, tied_in: Collection[Pitch], *, brackets: bool
) -> tuple[Sign | None, ...]:
    """Per note of a bar's first event, the sign that reminds of an alteration held over from the system before."""
    return tuple(
        Sign(note.pitch.alter, brackets)
        if note.pitch in tied_in and note.pitch.alter != key.alter_of(note.pitch.step) else None
        for note in event.notes
    )  # fmt: skip
