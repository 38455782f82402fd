"""Pages as pictures: our own PDF rasterised, so that print and picture cannot differ."""

from __future__ import annotations

from io import BytesIO
from threading import Lock

import pypdfium2

from core.engraving.drawing import Pages
from core.handout.pdf import pdf_bytes

_ONE_AT_A_TIME = Lock()  # the rasteriser may not be called from two threads at once


def png_pages(pages: Pages, dpi: int = 150) -> tuple[bytes, ...]:
    """A PNG a page on white paper. dpi: pixels an inch, which the file also states."""
    data = pdf_bytes(pages)
    with _ONE_AT_A_TIME, pypdfium2.PdfDocument(data) as document:
        return tuple(_picture(document[number], dpi) for number in range(len(document)))


def _picture(page: pypdfium2.PdfPage, dpi: int) -> bytes:
    out = BytesIO()
    page.render(scale=dpi / 72).to_pil().save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()
