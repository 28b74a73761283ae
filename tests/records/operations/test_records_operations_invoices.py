"""An invoice is kept with its sum as one entry, or not at all."""

from __future__ import annotations

import pytest

from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.model import CostLine, Document
from hulllog.records.operations.invoices import add_invoice
from hulllog.records.operations.queries import kept


@pytest.fixture
def logbook(tmp_path):
    with Logbook.create(tmp_path / "book") as made:
        yield made


@pytest.fixture
def bill(tmp_path):
    file = tmp_path / "bill.pdf"
    file.write_bytes(b"%PDF-1.4 a bill")
    return file


def held(logbook):
    with logbook.read() as book:
        return kept(book, Document), kept(book, CostLine)


def files(logbook):
    folder = logbook.folder / "documents"
    return [one.name for one in folder.iterdir()] if folder.exists() else []


def test_paper_file_and_sum_are_one_entry(logbook, bill):
    key = add_invoice(
        logbook, title="Yard", what="", amount="12,50", currency="eur", file=bill,
        paper_date="2024-05",
    )  # fmt: skip
    (paper,), (cost,) = held(logbook)
    assert (paper.id, paper.sort, paper.paper_date.text) == (key, "invoice", "2024-05")
    assert (cost.document_id, cost.what, cost.amount, cost.currency) == (
        key, "Yard", "12.50", "EUR",
    )  # fmt: skip
    assert len(files(logbook)) == 1
    logbook.undo()
    assert held(logbook) == ([], [])


@pytest.mark.parametrize(
    ("field", "typed"),
    [("amount", "much"), ("currency", "€"), ("title", ""), ("paper_date", "soon")],
)
def test_what_is_refused_leaves_nothing_behind(logbook, bill, field, typed):
    given = {"title": "Yard", "what": "Lift", "amount": "9", "currency": "EUR", field: typed}
    with pytest.raises(Refused) as refused:
        add_invoice(logbook, file=bill, **given)
    assert refused.value.field == field
    assert (held(logbook), files(logbook)) == (([], []), [])


def test_a_paper_without_a_file_is_kept_too(logbook):
    add_invoice(logbook, title="Yard", what="Lift", amount="9", currency="EUR")
    (paper,), (_cost,) = held(logbook)
    assert paper.sha256 is None
