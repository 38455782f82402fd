"""The PNG pages, read by Pillow."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from core.engraving.drawing import Drawing, Page, Placed, Polygon
from core.handout.png import png_pages
from tests.handout import sample


@pytest.mark.parametrize("dpi", [72, 150, 300])
def test_as_many_pixels_an_inch_as_asked(dpi):
    """A point is 1/72 inch (ISO 32000-1, 8.3.2.3); PNG counts pixels a metre (ISO 15948, pHYs), so dpi rounds."""
    pictures = [Image.open(BytesIO(data)) for data in png_pages(sample.pages(), dpi)]
    assert [picture.size for picture in pictures] == [
        (pytest.approx(420 * dpi / 72, abs=1), pytest.approx(height * dpi / 72, abs=1)) for height in (300, 260)]
    assert pictures[0].info["dpi"] == pytest.approx((dpi, dpi), abs=0.05)


def test_black_on_white_at_its_place():
    """A rectangle from (10, 20) to (40, 30) points, at 144 dots: two pixels a point, sharp edges."""
    box = Drawing((Polygon(((0, 0), (6, 0), (6, 2), (0, 2))),))
    (data,) = png_pages(replace(sample.pages(), pages=(Page(60, 50, (Placed(box, 10, 20, 5),)),), bookmarks=()), 144)
    pixels = np.array(Image.open(BytesIO(data)).convert("L"))
    wanted = np.full((100, 120), 255)
    wanted[40:60, 20:80] = 0
    assert np.array_equal(pixels, wanted)
