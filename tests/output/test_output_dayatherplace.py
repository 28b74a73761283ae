"""What is printed for the yard names the day that it is at her place."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from pypdf import PdfReader

from hulllog.output.pocketcard import write_card
from hulllog.output.yardsheet import write_sheet
from hulllog.output.zonecards import write_cards
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import vessel, visits
from hulllog.words import formats

EVENING = datetime(2026, 4, 17, 22, 30, tzinfo=UTC)
"""In Auckland it is the morning of the day after."""


@pytest.fixture
def far_away(tmp_path):
    around = Surroundings(now=lambda: EVENING, state_folder=tmp_path / "state")
    with Logbook.create(tmp_path / "book", around) as book:
        vessel.create_vessel(
            book, name="Test Ketch", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
        visits.start_haul_out(book, begins="2026-04-16", time_zone="Pacific/Auckland")
        yield book


@pytest.mark.parametrize("write", [write_sheet, write_cards, write_card])
def test_the_day_is_that_of_her_place(far_away, tmp_path, write):
    write(far_away, tmp_path / "printed.pdf")
    said = re.sub(
        r"\s+", " ", " ".join(p.extract_text() for p in PdfReader(tmp_path / "printed.pdf").pages)
    )
    assert re.sub(r"\s+", " ", formats.day(datetime(2026, 4, 18, tzinfo=UTC).date())) in said
    assert re.sub(r"\s+", " ", formats.day(EVENING.date())) not in said
    if write is write_card:
        phone = re.sub(r"\s+", " ", (tmp_path / "printed.html").read_text("utf-8"))
        assert re.sub(r"\s+", " ", formats.day(datetime(2026, 4, 18, tzinfo=UTC).date())) in phone
