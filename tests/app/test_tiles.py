"""Systems painted once and copied: an edit paints what it changed, and a system cut into tiles is whole."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage, QPainter

from app import tiles
from app.tiles import Tiles
from core.handout import Layout, lay_out, load_template
from core.study import edits
from tests.app.windows import demo
from tests.handout import pictures

SCALE = 96 / 72


@pytest.fixture
def layout() -> Layout:
    return lay_out(demo(), load_template("lesson"))


def picture(of: Tiles, index: int = 0, scale: float = SCALE) -> np.ndarray:
    page = of.layout.pages.pages[index]
    image = QImage(int(page.width * scale), int(page.height * scale), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    of.paint(painter, index, QRect(0, 0, image.width(), image.height()), scale)
    painter.end()
    return pictures.of_image(image)


def counted(monkeypatch) -> list[int]:
    """Grows by one for each tile painted."""
    painted: list[int] = []
    paint = Tiles._painted
    monkeypatch.setattr(Tiles, "_painted", lambda *all_: (painted.append(1), paint(*all_))[1])
    return painted


def test_an_edit_paints_its_own_system_and_tells_where_the_page_changed(qtbot, layout, monkeypatch):
    painted = counted(monkeypatch)
    kept = Tiles(layout)
    picture(kept)
    on_page = sum(system.page == 0 for system in layout.systems) + 3  # title, degree key and foot
    assert len(painted) == on_page
    shorter = edits.set_comment(layout.study, 2, "")
    after = lay_out(shorter, layout.template, before=layout)
    assert after.systems[1].y != layout.systems[1].y  # the page's white is shared out anew
    areas = kept.set_layout(after)
    here = picture(kept)
    assert len(painted) == on_page + 1
    assert np.array_equal(here, picture(Tiles(after)))
    rows = np.nonzero((here != picture(Tiles(layout))).any(axis=(1, 2)))[0]
    assert all(any(area.top() * SCALE - 1 <= row <= area.bottom() * SCALE + 1 for page, area in areas if page == 0)
               for row in rows)


def test_another_template_keeps_nothing(qtbot, layout):
    kept = Tiles(layout)
    picture(kept)
    other = lay_out(layout.study, load_template("handwritten"), before=layout)
    areas = kept.set_layout(other)
    assert {index for index, _ in areas} == set(range(len(other.pages.pages)))
    assert np.array_equal(picture(kept), picture(Tiles(other)))


@pytest.mark.parametrize("scale", [SCALE, 3.3])
def test_a_system_in_many_tiles_looks_as_it_does_in_one(qtbot, layout, scale, monkeypatch):
    """But for antialiasing at a tile's edge, a few parts in 255."""
    whole = picture(Tiles(layout), 0, scale)
    monkeypatch.setattr(tiles, "WIDE", 300)
    monkeypatch.setattr(tiles, "HIGH", 70)
    painted = counted(monkeypatch)
    assert np.abs(picture(Tiles(layout), 0, scale).astype(int) - whole).max() <= 3
    assert len(painted) > 20


def test_with_room_for_little_it_forgets_and_paints_the_same(qtbot, layout, monkeypatch):
    whole = picture(Tiles(layout))
    monkeypatch.setattr(tiles, "_KEEP", 1)
    small = Tiles(layout)
    assert np.array_equal(picture(small), whole)
    assert len(small._tiles) == 1
    assert np.array_equal(picture(small), whole)
