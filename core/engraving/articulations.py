"""Articulations and the jazz signs of a transcription, beside their heads.

On the head's side of the note; staccato and tenuto may stand inside the staff, in a space, the
others outside it (Indiana guide, "Articulations"; marcato always above: common practice).
"""

from __future__ import annotations

from core.engraving.boxes import mark_box
from core.engraving.drawing import Arc, Glyph, Line, Mark, Tag
from core.engraving.heads import EventShape
from core.engraving.smufl import MusicFont

_NAMES = {"staccato": "articStaccato", "tenuto": "articTenuto", "accent": "articAccent", "marcato": "articMarcato"}
_ORDER = ("staccato", "tenuto", "accent", "marcato")


def articulation_marks(
    shape: EventShape, x: float, tip: float, index: int, font: MusicFont
) -> tuple[list[Mark], float, float]:
    """Marks, and the y range of their ink. x: of the column; tip: y of the stem's end."""
    marks: list[Mark] = []
    top, bottom = shape.top - 0.5, shape.bottom + 0.5
    edges = {True: min(top, tip) if shape.up else top, False: max(bottom, tip) if not shape.up else bottom}
    for name in _ORDER:
        if name not in shape.event.articulations:
            continue
        above = not shape.up or name == "marcato"
        glyph = f"{_NAMES[name]}{'Above' if above else 'Below'}"
        box = font.box(glyph)
        height = box.bottom - box.top
        near = _near(edges[above], above, inside=name in ("staccato", "tenuto"), height=height)
        marks.append(Glyph(x + shape.head_width / 2 - (box.left + box.right) / 2, near, glyph, 1.0, "ink",
                           Tag("note", index)))
        edges[above] = near - height if above else near + height
    gestures = _gestures(shape, x, index, font)
    boxes = [mark_box(mark, font) for mark in gestures]
    return ([*marks, *gestures], min([top, edges[True], *(box.top for box in boxes)]),
            max([bottom, edges[False], *(box.bottom for box in boxes)]))


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


def _gestures(shape: EventShape, x: float, index: int, font: MusicFont) -> list[Mark]:
    """Falls, scoops, doits, bends, slides and turns. The fonts carry no fall or scoop: drawn as curves."""
    tag = Tag("note", index)
    y = shape.top
    after = x + shape.head_width + 0.25
    marks: list[Mark] = []
    for name in shape.event.articulations:
        if name == "fall":
            marks.append(_swoop((after, y), (after + 1.7, y + 1.6), (0.9, 0.0), tag))
        elif name == "doit":
            marks.append(_swoop((after, y), (after + 1.7, y - 1.6), (0.9, 0.0), tag))
        elif name == "scoop":
            marks.append(_swoop((x - 1.3, y + 1.2), (x - 0.2, y + 0.1), (0.1, 0.9), tag))
        elif name == "bend":
            marks.append(_swoop((after, y), (after + 1.2, y - 1.3), (1.0, 0.0), tag))
        elif name == "slide":
            marks.append(Line(x - 1.5, y + 0.7, x - 0.25, y + 0.1, 0.16, "ink", tag))
        elif name == "turn":
            box = font.box("ornamentTurn")
            marks.append(Glyph(x + shape.head_width / 2 - box.right / 2, min(y - 1.2, -0.6), "ornamentTurn", 1.0,
                               "ink", tag))
    return marks


def _swoop(start: tuple[float, float], end: tuple[float, float], lean: tuple[float, float], tag: Tag) -> Arc:
    """A curved stroke that leaves `start` in the direction `lean`."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    first = (start[0] + lean[0] * abs(dx) * 0.6 + 0.001, start[1] + lean[1] * abs(dy) * 0.6)
    second = (end[0] - dx * 0.15, end[1] - dy * 0.45)
    thick = 0.07
    near = ((first[0] - thick, first[1] + thick), (second[0] - thick, second[1] + thick))
    far = ((first[0] + thick, first[1] - thick), (second[0] + thick, second[1] - thick))
    return Arc(start, end, near, far, "ink", tag)
