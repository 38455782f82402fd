"""Opens the 72-bar study in the window, types 200 keys, scrolls through it, and tells the memory it takes.

Prints megabytes as JSON: of Python with Qt's widgets alone, then resident after each step; `own` is what no other
program shares (RssAnon).
"""

from __future__ import annotations

import json
import sys
from itertools import cycle, islice
from pathlib import Path
from tempfile import TemporaryDirectory

from core.files import save_study
from tests.bench.big_study import big_study

KEYS = 200


def resident() -> dict[str, float]:
    """Megabytes, by what /proc calls them (proc(5))."""
    rows = dict(row.split(":", 1) for row in Path("/proc/self/status").read_text(encoding="ascii").splitlines())
    return {"resident": int(rows["VmRSS"].split()[0]) / 1024, "own": int(rows["RssAnon"].split()[0]) / 1024}


def main() -> None:
    from PySide6.QtCore import QCoreApplication, Qt  # noqa: PLC0415
    from PySide6.QtTest import QTest  # noqa: PLC0415
    from PySide6.QtWidgets import QApplication, QLabel  # noqa: PLC0415

    application = QApplication([])
    label = QLabel("Qt alone")
    label.show()
    application.processEvents()
    told = {"Qt alone": resident()}

    from app.line_work import REST_MS  # noqa: PLC0415
    from app.window import stand  # noqa: PLC0415

    with TemporaryDirectory() as folder:
        path = Path(folder) / "long.study"
        save_study(big_study(), path)
        window = stand(path)
        window.page.setFocus()
        QTest.qWait(3 * REST_MS)
        told["opened"] = resident()
        QTest.keyClick(window.page, Qt.Key.Key_W)
        for key in islice(cycle("CEGBRDFA"), KEYS):
            QTest.keyClick(window.page, key)
            window.page.viewport().repaint()
            QCoreApplication.processEvents()
        QTest.qWait(3 * REST_MS)
        told["typed"] = resident()
        bar = window.page.verticalScrollBar()
        for place in range(0, bar.maximum() + 1, bar.pageStep() // 2):
            bar.setValue(place)
            application.processEvents()
        told["scrolled"] = resident()
        assert window.document.steps >= KEYS // 2
        window.document.save(path)
        window.close()
    json.dump(told, sys.stdout)


if __name__ == "__main__":
    main()
