"""Coatings: what a sheet says, what was put on, taken off and treated."""

from __future__ import annotations

import pytest

from hulllog.records.model import Coat, CoatZone, Product, Removal, Treatment
from hulllog.records.operations import coatings, visits


@pytest.fixture
def product(boat):
    return coatings.add_product(
        boat.logbook, name="Tideguard Red", coating_class="self_polishing_antifouling",
        role="antifouling", colour="red", colour_hex="#993333", volume_solids="52 %", film="50",
    )  # fmt: skip


def test_a_product_is_kept_by_its_sheet(boat, refuses, product):
    kept = boat.get(Product, product)
    assert kept.volume_solids.si == pytest.approx(0.52)
    assert kept.film.si == pytest.approx(50e-6)
    refuses("number_high", "volume_solids", coatings.set_product, product, "volume_solids", "140")
    refuses(
        "unknown_choice", "coating_class", coatings.add_product,
        name="X", coating_class="magic", role="antifouling",
    )  # fmt: skip


def test_a_window_runs_from_short_to_long(boat, refuses, product):
    coatings.add_window(
        boat.logbook, product, step="launch", temperature="15", shortest="12 h", longest="30 d"
    )
    refuses(
        "longest_below_shortest", "longest", coatings.add_window, product,
        step="launch", temperature="15", shortest="2 d", longest="12 h",
    )  # fmt: skip


def test_coats_of_a_visit_are_numbered_as_they_go_on(boat, product):
    for litres in ("1.5", "1.25 L"):
        coatings.add_coat(boat.logbook, boat.visit, product, litres=litres, at="2025-04-20")
    found = boat.all(Coat)
    assert [(c.number, c.whole_bottom) for c in found] == [(1, True), (2, True)]
    assert found[1].litres.si == pytest.approx(0.00125)
    assert boat.logbook.can_undo == ("coat.add", {"product": "Tideguard Red"})


def test_a_coat_on_zones_has_its_litres_there(boat, product):
    zone = boat.zones["keel-port-under"]
    key = coatings.add_coat(boat.logbook, boat.visit, product, zones={zone: "0.2"})
    assert not boat.get(Coat, key).whole_bottom
    assert boat.all(CoatZone)[0].litres.si == pytest.approx(0.0002)


def test_a_coat_outside_of_the_stay_ashore_is_refused(boat, refuses, product):
    visits.relaunch(boat.logbook, boat.visit, "2025-04-25")
    wanted = {"visit_id": boat.visit, "product_id": product}
    refuses("coat_before_lift", "at", coatings.add_coat, **wanted, at="2025-04-10")
    refuses("coat_after_relaunch", "at", coatings.add_coat, **wanted, at="2025-04-26")
    refuses("number_high", "litres", coatings.add_coat, **wanted, litres="9000")
    refuses("no_such_record", "zones", coatings.add_coat, **wanted, zones=["none"])


def test_removals_and_treatments_name_their_zones(boat, refuses):
    zones = [boat.zones["bottom-aft-port"], boat.zones["bottom-middle-port"]]
    coatings.add_removal(boat.logbook, boat.visit, down_to="gelcoat", zones=zones, how="scraped")
    key = coatings.add_treatment(
        boat.logbook, boat.visit, sort="peeled", zones=zones, begins="2025-04-15",
        ends="2025-05", warranty_until="2030-05",
    )  # fmt: skip
    assert boat.all(Removal)[0].zone_ids == zones
    assert boat.get(Treatment, key).warranty_until.precision == "month"
    refuses("choice_wanted", "zone_ids", coatings.add_treatment, boat.visit, sort="dried", zones=[])
    refuses(
        "ends_before_begins", "ends", coatings.add_treatment, boat.visit,
        sort="dried", zones=zones, begins="2025-05-01", ends="2025-04-20",
    )  # fmt: skip
