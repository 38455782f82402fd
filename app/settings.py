"""What the window remembers from one day to the next, in an ini file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QObject, QSettings, Signal

MOST_RECENT = 10


class Settings(QObject):
    """recent_changed: the list of recent studies is another one."""

    recent_changed = Signal()

    def __init__(self, file: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._kept = QSettings(str(file), QSettings.Format.IniFormat, self)

    @property
    def recent(self) -> list[Path]:
        """The studies last opened or saved, the latest first."""
        count = self._kept.beginReadArray("recent")
        found = []
        for place in range(min(count, MOST_RECENT)):
            self._kept.setArrayIndex(place)
            found.append(Path(str(self._kept.value("path"))))
        self._kept.endArray()
        return found

    def remember(self, path: Path) -> None:
        """This study was worked on just now."""
        whole = path.absolute()
        before = self.recent
        if before[:1] != [whole]:
            self._set_recent([whole, *(one for one in before if one != whole)])

    def forget(self, path: Path | None = None) -> None:
        """Take one study off the list; all of them for None."""
        self._set_recent([] if path is None else [one for one in self.recent if one != path])

    def _set_recent(self, paths: list[Path]) -> None:
        self._kept.remove("recent")
        self._kept.beginWriteArray("recent")
        for place, path in enumerate(paths[:MOST_RECENT]):
            self._kept.setArrayIndex(place)
            self._kept.setValue("path", str(path))
        self._kept.endArray()
        self.recent_changed.emit()

    def text(self, name: str, otherwise: str = "") -> str:
        return str(self._kept.value(name, otherwise))

    def state(self, name: str) -> QByteArray:
        """What a widget saved of itself; empty for nothing."""
        kept = self._kept.value(name)
        return kept if isinstance(kept, QByteArray) else QByteArray()

    def keep(self, name: str, value: str | QByteArray) -> None:
        self._kept.setValue(name, value)

    def write(self) -> None:
        """Put it on the disk now."""
        self._kept.sync()
