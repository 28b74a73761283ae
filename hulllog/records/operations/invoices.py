"""An invoice: a paper kept with its sum, as one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records import media
from hulllog.records.operations import around
from hulllog.records.operations import typed as t

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook


def add_invoice(
    logbook: Logbook,
    *,
    title: str,
    what: str,
    amount: str,
    currency: str,
    file: Path | None = None,
    paper_date: t.When | None = None,
    visit_id: str | None = None,
) -> str:
    """Keep an invoice and its sum; returns the key of the paper.

    What was typed is read before the file is taken in, so that a refusal leaves no file behind.
    Raises Refused as ``around.add_document``, ``around.add_cost`` and ``media.add_document``.
    """
    cost = {"what": what or title, "amount": amount, "currency": currency, "visit_id": visit_id}
    paper = {"title": title, "sort": "invoice", "paper_date": paper_date, "visit_id": visit_id}
    with logbook.change("invoice.add", title=title) as book:
        t.read(book, around.DOCUMENT, paper)
        t.read(book, around.COST, cost)
        if file is None:
            key = around.add_document(
                logbook, title=title, sort="invoice", paper_date=paper_date, visit_id=visit_id
            )
        else:
            key = media.add_document(
                logbook, file, title=title, sort="invoice", visit_id=visit_id,
                paper_date=paper_date,
            )  # fmt: skip
        around.add_cost(
            logbook, what=what or title, amount=amount, currency=currency, visit_id=visit_id,
            document_id=key,
        )  # fmt: skip
    return key
