"""The keyboard's way through parts that come and go: as one reads them, from the top down."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLayout, QWidget


def in_reading_order(layout: QLayout) -> Iterator[QWidget]:
    """Every widget of a layout, and of the layouts in it, that Tab stops at."""
    for index in range(layout.count()):
        item = layout.itemAt(index)
        widget, inner = item.widget(), item.layout()
        inside = widget.layout() if widget is not None else inner
        if inside is not None:
            yield from in_reading_order(inside)
        elif widget is not None and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            yield widget


def chain(layout: QLayout) -> None:
    """Let Tab go through a layout in reading order. Qt would visit what was made last at the very end."""
    for one, after in pairwise(in_reading_order(layout)):
        QWidget.setTabOrder(one, after)
