"""What the person prefers on this computer, kept in one INI file.

Window state and look live here; units, words and limits travel with the logbook instead.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from platformdirs import user_config_path
from PySide6.QtCore import QByteArray, QSettings

_RECENT = 8


class Look(StrEnum):
    """Which palette the window wears; ``SUN`` has larger type and targets for the yard."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"
    SUN = "sun"


class Preferences:
    """Typed access to the user's INI file; a value that cannot be read counts as not set."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or user_config_path("hulllog", appauthor=False) / "hulllog.ini"
        self._store = QSettings(str(self.path), QSettings.Format.IniFormat)

    @property
    def look(self) -> Look:
        """The look that was chosen, or ``Look.SYSTEM``."""
        text = str(self._store.value("window/look", Look.SYSTEM.value))
        return Look(text) if text in {look.value for look in Look} else Look.SYSTEM

    @look.setter
    def look(self, look: Look) -> None:
        self._store.setValue("window/look", look.value)

    @property
    def geometry(self) -> QByteArray:
        """Where the window stood, as Qt keeps it; empty when never kept."""
        found = self._store.value("window/geometry")
        return found if isinstance(found, QByteArray) else QByteArray()

    @geometry.setter
    def geometry(self, geometry: QByteArray) -> None:
        self._store.setValue("window/geometry", geometry)

    @property
    def page(self) -> str:
        """The code of the page that was open last, or empty."""
        return str(self._store.value("window/page", ""))

    @page.setter
    def page(self, code: str) -> None:
        self._store.setValue("window/page", code)

    @property
    def shelf(self) -> Path:
        """The folder in which new logbooks are made."""
        kept = str(self._store.value("logbooks/shelf", ""))
        return Path(kept) if kept else Path.home() / "hulllog"

    @shelf.setter
    def shelf(self, folder: Path) -> None:
        self._store.setValue("logbooks/shelf", str(folder))

    @property
    def recent(self) -> list[Path]:
        """The logbooks opened last, the latest first, without those that are gone."""
        kept = self._store.value("logbooks/recent", [])
        names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
        return [Path(str(name)) for name in names if name and Path(str(name)).is_dir()]

    def opened(self, logbook: Path) -> None:
        """Put a logbook first among the recent ones."""
        others = [path for path in self.recent if path != logbook]
        names = [str(path) for path in [logbook, *others]][:_RECENT]
        self._store.setValue("logbooks/recent", names)

    def save(self) -> None:
        """Write the file now."""
        self._store.sync()
