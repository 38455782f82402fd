"""Pages as arrays of pixels by painters that are not ours, and how far two of them lie apart."""

from __future__ import annotations

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from core.engraving.drawing import Page

Picture = NDArray[np.int16]  # height x width x red, green, blue
AGREE = 48  # of 255; antialiasing alone takes two painters no further apart, ink in a wrong place 100 and more


def of_pdf(data: bytes, number: int, zoom: float) -> Picture:
    """By pypdfium2. zoom: pixels a point."""
    with pypdfium2.PdfDocument(data) as document:
        bitmap = document[number].render(scale=zoom, rev_byteorder=True)
        return np.array(bitmap.to_numpy())[:, :, :3].astype(np.int16)


def blank(page: Page, zoom: float) -> QImage:
    image = QImage(round(page.width * zoom), round(page.height * zoom), QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    return image


def of_svg(data: bytes, page: Page, zoom: float) -> Picture:
    """By QtSvg."""
    renderer = QSvgRenderer(QByteArray(data))
    assert renderer.isValid()
    image = blank(page, zoom)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    renderer.render(painter, QRectF(0, 0, page.width * zoom, page.height * zoom))
    painter.end()
    return of_image(image)


def of_image(image: QImage) -> Picture:
    raw = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine() // 4, 4)
    return raw[:, :image.width(), 2::-1].astype(np.int16)


def farthest(one: Picture, other: Picture) -> int:
    """The greatest of their differences, 0 to 255."""
    return int(differences(one, other).max())


def differences(one: Picture, other: Picture) -> Picture:
    """Of each pixel, what moving ink by less than a pixel does not explain.

    Each pixel of either picture must lie between the lightest and the darkest of the nine around its
    place in the other.
    """
    assert one.shape == other.shape
    return np.maximum(_beyond(one, other), _beyond(other, one))


def _beyond(one: Picture, other: Picture) -> Picture:
    edged = np.pad(other, ((1, 1), (1, 1), (0, 0)), mode="edge")
    rows = edged[:-2], edged[1:-1], edged[2:]
    low, high = np.minimum.reduce(rows), np.maximum.reduce(rows)
    darkest = np.minimum.reduce((low[:, :-2], low[:, 1:-1], low[:, 2:]))
    lightest = np.maximum.reduce((high[:, :-2], high[:, 1:-1], high[:, 2:]))
    return np.maximum(one - lightest, darkest - one)
