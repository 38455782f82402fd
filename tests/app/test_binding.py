"""The Qt binding itself keeps Python's own objects alive."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtCore import QObject, Signal


class Bell(QObject):
    rings = Signal()


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="from 3.12 on None, True and False cannot die (PEP 683)")
def test_calls_do_not_use_up_none_or_true():
    """PySide6 6.12.0 on Python 3.11 drops a reference to None or True with every call, until Python aborts."""
    bell = Bell()
    before = sys.getrefcount(None), sys.getrefcount(True)
    for _ in range(200):
        bell.rings.emit()
        bell.blockSignals(False)
        bell.setObjectName("bell")
    after = sys.getrefcount(None), sys.getrefcount(True)
    assert all(abs(now - then) < 100 for now, then in zip(after, before, strict=True))
