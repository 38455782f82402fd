"""Opens the window as `bargloss STUDY` does, ends at its first picture, and tells what that took.

Prints seconds on the clock since the time given (or since here, without one), seconds of processor time, and the
heavy packages that were imported, as JSON.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path

BEGUN = float(sys.argv[2]) if len(sys.argv) > 2 else time.time()
HEAVY = ("music21", "pypdfium2", "reportlab", "rich", "soundfile", "typer", "verovio",
         "PySide6.QtMultimedia", "PySide6.QtPrintSupport")


def main() -> None:
    import app.main  # noqa: F401, PLC0415  (timed with the rest)
    from app.commands.window import make_ready  # noqa: PLC0415

    study = Path(sys.argv[1])
    make_ready(study)
    from PySide6.QtCore import QEvent, QObject, QTimer  # noqa: PLC0415

    from app.window import QApplication, stand  # noqa: PLC0415

    class FirstPicture(QObject):
        def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
            if event.type() == QEvent.Type.Paint:
                QTimer.singleShot(0, tell)  # after the painting, which is one go
            return False

    def tell() -> None:
        times = os.times()
        print(json.dumps({"clock": time.time() - BEGUN, "processor": times.user + times.system,
                          "heavy": [name for name in HEAVY if name in sys.modules]}), flush=True)
        os._exit(0)

    application = QApplication([])
    seen = FirstPicture()
    window = stand(study)
    window.page.viewport().installEventFilter(seen)
    application.exec()


if __name__ == "__main__":
    main()
