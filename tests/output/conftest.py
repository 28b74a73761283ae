"""A small logbook with a past, entered by the operations a person would use."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import (
    anodes,
    berths,
    coatings,
    looks,
    matters,
    queries,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NOW = datetime(2026, 1, 15, 9, 30, tzinfo=UTC)
YEARS = range(2017, 2026)


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the logbook, made once."""
    folder = tmp_path_factory.mktemp("filled")
    with Logbook.create(folder / "book", surroundings(folder)) as book:
        vessel.create_vessel(
            book,
            name="Test Ketch",
            kind="yacht",
            material="grp",
            keel="twin",
            length="8.7 m",
            beam="2.85 m",
            draught="1.05 m",
        )
        berths.add_berth_period(
            book, begins="2016", location="Back Creek", water="brackish", shore_power="none"
        )
        fill(book)
    return folder / "book"


@pytest.fixture
def logbook(filled: Path, tmp_path: Path) -> Iterator[Logbook]:
    """A ketch with nine haul-outs: blisters that grow, one coat a year, an anode a year."""
    shutil.copytree(filled, tmp_path / "book")
    with Logbook.open(tmp_path / "book", surroundings(tmp_path)) as book:
        yield book


def surroundings(folder: Path) -> Surroundings:
    """A still clock and a state folder of its own."""
    return Surroundings(now=lambda: NOW, state_folder=folder / "state", person="A. Keeper")


def fill(book: Logbook) -> None:
    """Enter a haul-out a year."""
    with book.read() as session:
        zones = {zone.code: zone.id for zone, _ in queries.zones_at(session)}
    position = anodes.add_position(book, name="Shaft")
    paint = coatings.add_product(
        book,
        name="Redweed",
        coating_class="ablative_antifouling",
        role="antifouling",
        colour="red",
        colour_hex="#8a2a22",
    )
    for number, year in enumerate(YEARS):
        visit = visits.start_haul_out(book, begins=f"{year}-04-10", way="hoist", yard="Low Yard")
        visits.set_looked_for(book, visit, looked_for=["laminate-blisters"], methods=["close"])
        rated = Rated(
            "laminate-blisters",
            {"count": str(5 + 6 * number), "largest_mm": f"{3 + number} mm"},
            {"wetness": "wet"},
        )
        looks.log_inspection(book, visit, zones["bottom-aft-port"], ratings=[rated])
        looks.nothing_found(book, visit, zones["bottom-aft-starboard"])
        looks.log_inspection(
            book, visit, zones["keel-port-under"], coverage="not_seen", hidden_by="support"
        )
        if number:
            with book.read() as session:
                piece = queries.present_piece(session, position)
            assert piece is not None
            anodes.check_anode(book, piece.id, visit_id=visit, way="weighed", mass="0.53 kg")
        anodes.fit_piece(book, position, visit_id=visit, mass_new="0.68 kg", insert_mass="0.06 kg")
        coatings.add_coat(book, visit, paint, litres="2.5 L")
        if year == YEARS[-1]:
            matters.raise_finding(
                book,
                title="Blister field",
                sort="blisters",
                must="next_lift",
                severity="moderate",
                visit_id=visit,
                zones=[zones["bottom-aft-port"]],
            )
        visits.relaunch(book, visit, f"{year}-04-16")
        visits.close(book, visit)
