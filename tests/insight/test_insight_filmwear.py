"""Film worn off a zone, by readings that can be compared and by nothing else."""

from __future__ import annotations

import pytest

from hulllog.insight.filmwear import film_worn
from hulllog.records.operations import coatings, looks, queries, vessel, visits
from hulllog.records.operations.measuring import Rated

ZONE = "bottom-aft-port"


@pytest.fixture
def boat(logbook):
    vessel.create_vessel(
        logbook, name="Case", kind="yacht", material="steel", keel="fin", length="9 m",
        beam="3 m", draught="1.5 m",
    )  # fmt: skip
    with logbook.read() as book:
        return {zone.code: zone.id for zone, _ in queries.zones_at(book)}


def read(logbook, zones, day, state, films, gauge="magnetic"):
    visit = visits.start_haul_out(logbook, begins=day)
    measure(logbook, zones, visit, state, films, gauge)
    return visit


def measure(logbook, zones, visit, state, films, gauge="magnetic"):
    rated = Rated("film-thickness", {"film": films}, {"gauge": gauge})
    looks.log_inspection(logbook, visit, zones[ZONE], state=state, ratings=[rated])


def worn(logbook, zones):
    with logbook.read() as book:
        return film_worn(book, zones[ZONE])


def test_the_film_lost_from_relaunch_to_lift_is_their_difference(logbook, boat):
    read(logbook, boat, "2022-04-14", "left", "310 um")
    read(logbook, boat, "2023-04-14", "found", "262 um")
    found = worn(logbook, boat)
    assert found.worn.value == pytest.approx(48)
    assert (found.begins.text, found.ends.text) == ("2022-04-14", "2023-04-14")


def test_nothing_is_told_of_one_reading_or_of_two_gauges(logbook, boat):
    read(logbook, boat, "2022-04-14", "left", "310 um")
    assert worn(logbook, boat) is None
    read(logbook, boat, "2023-04-14", "found", "262 um", "ultrasonic")
    assert worn(logbook, boat) is None


def test_paint_put_on_between_two_readings_hides_what_wore(logbook, boat):
    visit = read(logbook, boat, "2022-04-14", "found", "310 um")
    paint = coatings.add_product(
        logbook, name="P", coating_class="hard_antifouling", role="antifouling"
    )
    coatings.add_coat(logbook, visit, paint)
    read(logbook, boat, "2023-04-14", "found", "290 um")
    assert worn(logbook, boat) is None
