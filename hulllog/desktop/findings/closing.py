"""What is stored when a finding is closed by work, or changed in several fields: one entry each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.records.model import Finding, Firm, Person
from hulllog.records.operations import around, matters, queries
from hulllog.records.operations.keeping import name_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook


def known_names(book: Book) -> list[str]:
    """Return the names of persons and firms on record."""
    names = {person.name for person in queries.kept(book, Person)}
    names |= {firm.name for firm in queries.kept(book, Firm)}
    return sorted(names, key=str.casefold)


def close_by_new_work(
    logbook: Logbook,
    finding_id: str,
    *,
    text: str,
    who: str = "",
    done: Any = None,
    visit_id: str | None = None,
    documents: Sequence[str] = (),
    photos: Sequence[str] = (),
) -> None:
    """Enter the work that put a finding right, and close it by that, as one entry.

    ``who`` is a person or firm on record by name, else a person entered with it.
    """
    title = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.close", title=title) as book:
        matters.add_work(
            logbook, text=text, done=done, visit_id=visit_id, documents=documents, photos=photos,
            closes=[finding_id], **_who(logbook, book, who),
        )  # fmt: skip


def _who(logbook: Logbook, book: Book, name: str) -> dict[str, str]:
    wanted = name.strip().casefold()
    if not wanted:
        return {}
    for firm in queries.kept(book, Firm):
        if firm.name.casefold() == wanted:
            return {"firm_id": firm.id}
    for person in queries.kept(book, Person):
        if person.name.casefold() == wanted:
            return {"person_id": person.id}
    return {"person_id": around.add_person(logbook, name=name.strip(), role="other")}


def change_finding(logbook: Logbook, finding_id: str, **typed: Any) -> None:
    """Set several fields of a finding as one entry; those that stay as they are, are left alone."""
    with logbook.read() as book:
        finding = book.get(Finding, finding_id)
        changed = {
            field: value
            for field, value in typed.items()
            if finding is None or (getattr(finding, field) or "") != value
        }
    name = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.set", name=name, fields=sorted(changed)):
        for field, value in changed.items():
            matters.set_finding(logbook, finding_id, field, value)
