"""What was changed of the boat's own record, by whom and when."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.labels import Prose
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.state import action_said
from hulllog.desktop.theme import BODY
from hulllog.records.history import record_history
from hulllog.records.operations import queries
from hulllog.words import formats, say

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page
    from hulllog.records.book import Book
    from hulllog.records.history import Change


def show_history(page: Page) -> None:
    """Show the entries that touched her own record or her form, the newest first."""
    told = page.state.read(_history)
    sheet = Sheet(page, say("boat_page.past"))
    for change in reversed(told[-20:]):
        what = action_said(change.action, change.details)
        line = say(
            "boat_page.past_line", when=formats.moment(change.at), by=change.person, what=what
        )
        sheet.add(Prose(f"{line} {change.reason}".strip(), BODY))
    if not told:
        sheet.add(Prose(say("boat_page.none_yet"), BODY))
    sheet.open()


def _history(book: Book) -> list[Change]:
    vessel = queries.vessel(book)
    found = record_history(book, "vessel", vessel.id) if vessel else []
    for form in queries.form_versions(book):
        found += record_history(book, "form_version", form.id)
    once = {change.entry_id: change for change in found}
    return sorted(once.values(), key=lambda change: change.at)
