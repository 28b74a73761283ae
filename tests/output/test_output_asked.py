"""What proves that a recommendation was met: the keeper's own entry is told from the papers."""

from __future__ import annotations

import pytest

from hulllog.insight.matters import Asked
from hulllog.insight.matters import asked as what_was_asked
from hulllog.output.asked import _proofs
from hulllog.records.media import add_document
from hulllog.records.operations import matters


@pytest.fixture
def work(logbook):
    """Work that is entered as the proof of what a survey asked for."""
    survey = matters.add_survey(logbook, at="2023-02-01", asked_by="insurer")
    item = matters.add_recommendation(logbook, survey, number="1", wording="Treat the bottom.")
    done = matters.add_work(logbook, text="Bottom treated.", done="2023-04-10")
    matters.add_proof(logbook, item, work_id=done)
    return done


def held(logbook, work, tmp_path, sort):
    path = tmp_path / f"{sort}.pdf"
    path.write_bytes(b"%PDF-1.4 " + sort.encode())
    paper = add_document(logbook, path, title=f"The {sort}", sort=sort, paper_date="2023-04-12")
    matters.link_work(logbook, work, document_id=paper)


def told(logbook):
    with logbook.read() as book:
        (item,) = what_was_asked(book)
    assert isinstance(item, Asked)
    return _proofs(item)


def test_work_is_no_document_and_a_missing_invoice_is_named(logbook, work, tmp_path):
    assert told(logbook) == "Owner’s entry: 10 Apr 2023, Bottom treated"
    held(logbook, work, tmp_path, "certificate")
    assert told(logbook) == (
        "Work entered by the keeper: 10 Apr 2023, Bottom treated (held of it: The certificate) "
        "(no invoice of it held)"
    )
    held(logbook, work, tmp_path, "invoice")
    assert told(logbook) == (
        "Work entered by the keeper: 10 Apr 2023, Bottom treated (held of it: The certificate; "
        "The invoice)"
    )
