"""Issued histories: what left the owner's hands, to whom, at which head of the journal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.records.model import IssuedHistory
from hulllog.records.operations import choices
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import make

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from hulllog.records.logbook import Logbook

ISSUE: t.Fields = {
    "to_whom": t.name(wanted=False),
    "reader": t.one_of(choices.READERS, wanted=True),
    "file_name": t.text(255, wanted=True),
    "file_sha256": t.text(64, wanted=True),
}


def record_issue(
    logbook: Logbook,
    *,
    reader: str,
    head: str,
    file_sha256: str,
    file_name: str,
    options: Mapping[str, Any],
    issued_at: datetime,
    to_whom: str | None = None,
) -> str:
    """Enter a history that was issued.  ``head`` is the head it prints, that before this entry."""
    typed = {
        "reader": reader, "to_whom": to_whom, "file_sha256": file_sha256, "file_name": file_name,
    }  # fmt: skip
    details = {"reader": reader, "to_whom": to_whom or ""}
    with logbook.change("history.issue", kind="issue", **details) as book:
        values = t.read(book, ISSUE, typed)
        made = {"head": head, "options": dict(options), "issued_at": issued_at, **values}
        return make(book, IssuedHistory, made)
