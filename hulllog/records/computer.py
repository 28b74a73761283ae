"""What this computer keeps about a logbook, outside it: name of its copy, head last seen, backup.

Losing these files costs a warning, never a record.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
import time
import uuid
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import platformdirs

if TYPE_CHECKING:
    from collections.abc import Callable


_HEAD = re.compile(r"[0-9a-f]{64}")
_PLAIN_ID = re.compile(r"[0-9A-Za-z-]{8,64}")


def _now() -> datetime:
    return datetime.now(UTC)


def _new_id() -> str:
    """Return a key that sorts by the time it was made, finer than the second of an entry.

    A UUID of version 7 with a sub-millisecond part (RFC 9562, 5.7 and 6.2).
    """
    milliseconds, rest = divmod(time.time_ns(), 1_000_000)
    begun = (milliseconds << 16 | 7 << 12 | rest * 4096 // 1_000_000) << 64
    return str(uuid.UUID(int=begun | 2 << 62 | secrets.randbits(62)))


def _new_salt() -> bytes:
    return os.urandom(16)


def _state_folder() -> Path:
    return Path(platformdirs.user_state_path("hulllog"))


def _cache_folder() -> Path:
    return Path(platformdirs.user_cache_path("hulllog"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What a logbook takes from outside: clock, keys, salts, the writer, where state is kept.

    ``new_logbook_id`` stands apart from ``new_id``: two logbooks made by one script with the same
    keys are still two logbooks to the computer that opens them.  ``synced`` waits for the disk at
    every entry; only what can be built again from a script does without.
    """

    now: Callable[[], datetime] = _now
    new_id: Callable[[], str] = _new_id
    new_logbook_id: Callable[[], str] = _new_id
    new_salt: Callable[[], bytes] = _new_salt
    person: str = "owner"
    state_folder: Path = field(default_factory=_state_folder)
    cache_folder: Path = field(default_factory=_cache_folder)
    synced: bool = True


class Memory:
    """What this computer remembers of one logbook: replica, head and anything else by name.

    The head has a small file of its own, written over after every entry.
    """

    def __init__(self, logbook_id: str, around: Surroundings) -> None:
        folder = around.state_folder / "logbooks"
        self._file = folder / f"{file_name(logbook_id)}.json"
        self._head_file = self._file.with_suffix(".head")
        self._kept = _read(self._file)
        self.lasting = True
        """False where nothing can be written there; it then lasts until the program ends."""
        if not self.get("replica"):
            self.put(replica=around.new_id())

    @property
    def replica(self) -> str:
        """Name of this computer's copy, made at first sight."""
        return self.get("replica")

    @property
    def head(self) -> str:
        """Head of the journal that this computer saw last; empty for none."""
        try:
            found = self._head_file.read_text("ascii")
        except (OSError, ValueError):
            return ""
        return found if _HEAD.fullmatch(found) else ""

    def see(self, head: str) -> None:
        """Remember the head that was seen last."""
        try:
            with self._head_file.open("r+b" if self._head_file.exists() else "wb") as file:
                file.write(head.encode())
        except OSError:
            self.lasting = False

    def get(self, name: str) -> str:
        """Return what is kept under a name; empty for nothing."""
        found = self._kept.get(name)
        return found if isinstance(found, str) else ""

    def put(self, **kept: str) -> None:
        """Keep texts by name."""
        self._kept.update(kept)
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            making = self._file.with_suffix(".making")
            making.write_text(json.dumps(self._kept, ensure_ascii=False), "utf-8")
            making.replace(self._file)
        except OSError:
            self.lasting = False


def file_name(logbook_id: str) -> str:
    """Return a name for files about a logbook; an id that a stranger wrote is never a path."""
    if _PLAIN_ID.fullmatch(logbook_id):
        return logbook_id
    return hashlib.sha256(logbook_id.encode()).hexdigest()


def _read(file: Path) -> dict[str, Any]:
    try:
        found = json.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
