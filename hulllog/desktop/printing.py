"""Writing sheets for the yard as files: where to, in the background, said when done."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.pages import Page
    from hulllog.records.logbook import Logbook


def choose_file(page: Page, proposed: Path) -> Path | None:
    """Ask where to write a file; None for nowhere."""
    chosen, _ = QFileDialog.getSaveFileName(
        page, say("papers.where"), str(proposed), say("papers.pdf_files")
    )
    return Path(chosen) if chosen else None


def write_sheet(page: Page) -> None:
    """Write the yard sheet where the person says."""

    def write(logbook: Logbook, path: Path) -> str:
        from hulllog.output import yardsheet

        written = yardsheet.write_sheet(logbook, path)
        return say("cli.sheet.written", file=str(written.path), rows=written.rows)

    _write(page, "sheet", say("sheet.writing"), write)


def write_cards(page: Page) -> None:
    """Write the zone cards where the person says."""

    def write(logbook: Logbook, path: Path) -> str:
        from hulllog.output import zonecards

        written = zonecards.write_cards(logbook, path)
        return say("zone_cards.written", file=str(written.path), cards=written.cards)

    _write(page, "cards", say("zone_cards.writing"), write)


def _write(page: Page, stem: str, title: str, write: Callable[[Logbook, Path], str]) -> None:
    logbook = page.state.logbook
    folder = logbook.folder
    path = choose_file(page, folder.parent / f"{folder.name}-{stem}.pdf")
    if path is not None:
        page.background(title, lambda _progress: write(logbook, path), page.state.tell)
