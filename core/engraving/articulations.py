"""Articulations beside their heads (falls, bends and the like: inflections.py).

On the head's side of the note; staccato and tenuto may stand inside the staff, in a space, the
others outside it (Indiana guide, "Articulations"; marcato always above: common practice).
"""

from __future__ import annotations

from core.engraving.drawing import Glyph, Mark, Tag
from core.engraving.heads import EventShape
from core.engraving.smufl import MusicFont

ARTICULATION_GLYPHS = {
    "staccato": "articStaccato", "tenuto": "articTenuto", "accent": "articAccent", "marcato": "articMarcato",
}  # fmt: skip
"""From the head outward."""


def articulation_marks(
    shape: EventShape, x: float, tip: float, index: int, font: MusicFont
) -> tuple[list[Mark], float, float]:
    """Marks, and the y range of their ink. x: of the column; tip: y of the stem's end."""
    marks: list[Mark] = []
    top, bottom = shape.top - 0.5, shape.bottom + 0.5
    edges = {True: min(top, tip) if shape.up else top, False: max(bottom, tip) if not shape.up else bottom}
    for name, sign in ARTICULATION_GLYPHS.items():
        if name not in shape.event.articulations:
            continue
        above = not shape.up or name == "marcato"
        glyph = f"{sign}{'Above' if above else 'Below'}"
        box = font.box(glyph)
        height = box.bottom - box.top
        near = _near(edges[above], above, inside=name in ("staccato", "tenuto"), height=height)
        marks.append(Glyph(x + shape.head_width / 2 - (box.left + box.right) / 2, near, glyph, 1.0, "ink",
                           Tag("note", index)))
        edges[above] = near - height if above else near + height
    return marks, min(top, edges[True]), max(bottom, edges[False])


def _near(edge: float, above: bool, *, inside: bool, height: float) -> float:
    """y of the sign's edge toward the head."""
    if above:
        if inside and edge > 0:  # centred in the next free space
            return _space(edge - 0.25 - height / 2, up=True) + height / 2
        return min(edge - 0.3, -0.4)
    if inside and edge < 4:
        return _space(edge + 0.25 + height / 2, up=False) - height / 2
    return max(edge + 0.3, 4.4)


def _space(y: float, *, up: bool) -> float:
    """The middle of a space (…, 0.5, 1.5, …) at y or beyond it."""
    whole = (y - 0.5) // 1 if up else -((0.5 - y) // 1)
    return whole + 0.5
