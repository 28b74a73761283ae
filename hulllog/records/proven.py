"""When this computer last proved a backup of a logbook: asked at every start, so kept light."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from hulllog.records.types import instant_text, read_instant

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook


@dataclass(frozen=True, slots=True)
class ProvenBackup:
    """The last backup of a logbook that was proved on this computer."""

    at: datetime
    folder: Path
    head: str


def last_proven_backup(logbook: Logbook) -> ProvenBackup | None:
    """Return the last backup that was proved on this computer, or None."""
    kept = logbook.memory
    if not kept.get("backup_at"):
        return None
    at = read_instant(kept.get("backup_at"))
    return ProvenBackup(at, Path(kept.get("backup_folder")), kept.get("backup_head"))


def remember_proven(logbook: Logbook, folder: Path, head: str) -> None:
    """Note that a backup was proved just now."""
    logbook.memory.put(
        backup_at=instant_text(logbook.around.now()), backup_folder=str(folder), backup_head=head
    )
