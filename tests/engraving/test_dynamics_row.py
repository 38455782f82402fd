"""The dynamics row: ready-made glyphs, centred under their heads on one baseline, and no row where none is."""

from __future__ import annotations

from dataclasses import replace
from importlib.util import find_spec
from itertools import pairwise
from json import loads
from pathlib import Path

import pytest

from core.engraving import Style
from core.engraving.drawing import Glyph
from core.engraving.dynamics import GLYPHS
from core.engraving.smufl import music_font
from core.study import DYNAMICS, Bar
from tests.engraving.scenes import events, study, system

FONT = music_font("Bravura")
HEAD = FONT.box("noteheadBlack").right


def loud(text: str, **dynamics: str) -> Bar:
    """Events with dynamics by index: e0="mf"."""
    line = [replace(event, dynamic=dynamics.get(f"e{index}", "")) for index, event in enumerate(events(text))]
    return Bar(tuple(line))


def marks(ink) -> list[tuple[Glyph, float, float]]:
    return [(mark, item.x, item.y) for item in ink.items for mark in item.drawing.marks
            if mark.tag is not None and mark.tag.kind == "dynamic" and isinstance(mark, Glyph)]


@pytest.mark.parametrize("font", ["Bravura", "Petaluma"])
def test_every_dynamic_has_a_glyph_of_the_range(font):
    """SMuFL 1.4, glyphnames.json as smufolib carries it: Dynamics are U+E520 to U+E54F."""
    metadata = Path(find_spec("smufolib").origin).parent / "metadata"  # read as a file: the package does not import
    names = loads((metadata / "glyphnames.json").read_text())
    assert set(GLYPHS) == set(filter(None, DYNAMICS))
    for glyph in GLYPHS.values():
        code = int(names[glyph]["codepoint"].removeprefix("U+"), 16)
        assert 0xE520 <= code <= 0xE54F
        assert music_font(font).box(glyph).codepoint == code


def test_a_dynamic_is_centred_under_its_head():
    ink = system(study(loud("C4:4 D4:4 E4:2", e0="mf", e2="fff")))
    heads = [mark.x + item.x for item in ink.items for mark in item.drawing.marks
             if isinstance(mark, Glyph) and mark.name.startswith("notehead")]
    for (mark, x, _), head in zip(marks(ink), (heads[0], heads[2]), strict=True):
        box = FONT.box(mark.name)
        assert mark.x + x + (box.left + box.right) / 2 == pytest.approx(head + HEAD / 2)


def test_dynamics_share_one_baseline_between_the_staves():
    ink = system(study(loud("C5:1", e0="p"), loud("E2:1", e0="f")))
    (one, _, first), (other, _, second) = marks(ink)
    assert one.y + first == other.y + second
    top = min(FONT.box(mark.name).top + y for mark, _, y in marks(ink))
    low = next(mark for item in ink.items for mark in item.drawing.marks
               if isinstance(mark, Glyph) and mark.name.startswith("notehead") and mark.y > 6)
    assert top >= low.y + 0.5 + 1.2  # the lesson page: 1.2 spaces between any two inks
    tab = next(item.y for item in ink.items for mark in item.drawing.marks if mark.tag and mark.tag.kind == "tab")
    assert tab > max(FONT.box(mark.name).bottom + y for mark, _, y in marks(ink))


def test_a_row_without_dynamics_takes_no_height():
    bare = Style(rows=tuple(name for name in Style().rows if name != "dynamics"))
    assert system(study(loud("C4:1"))).bottom == system(study(loud("C4:1", e0="mf")), style=bare).bottom
    assert system(study(loud("C4:1", e0="mf"))).bottom > system(study(loud("C4:1"))).bottom + 1


def test_neighbours_leave_each_other_room():
    ink = system(study(loud("C4:16 C4:16 C4:8 C4:4 C4:2", e0="fff", e1="ppp", e2="sfz")), stretch=0.5)
    placed = sorted((mark.x + x + FONT.box(mark.name).left, mark.x + x + FONT.box(mark.name).right)
                    for mark, x, _ in marks(ink))
    assert all(after[0] - before[1] >= 0.75 for before, after in pairwise(placed))
