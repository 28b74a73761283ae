"""Key dates say how far the thing went."""

from __future__ import annotations

from hulllog.insight.keydates import key_dates
from hulllog.records.operations import coatings, looks, matters, spots, visits


def dates(made):
    """Return code -> (day, values, zones, until)."""
    with made.logbook.read() as book:
        found = key_dates(book)
    return {
        (one.code, *(value for name, value in one.values if name == "sort")): one for one in found
    }


def test_what_was_peeled_is_not_told_as_taken_to_gelcoat(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    port, starboard = made.zones["bottom-aft-port"], made.zones["bottom-aft-starboard"]
    coatings.add_removal(made.logbook, visit, down_to="gelcoat", zones=[port])
    coatings.add_treatment(
        made.logbook, visit, sort="peeled", zones=[port], ends="2024-05-01",
        warranty_until="2029-05-01",
    )  # fmt: skip
    found = dates(made)
    assert ("taken_off", "gelcoat") not in found
    assert found["taken_off", "laminate"].zones == ("Bottom aft, port",)
    warranty = found["warranty",]
    assert warranty.when.text == "2024-05-01"
    assert warranty.until.text == "2029-05-01"
    coatings.add_removal(made.logbook, visit, down_to="gelcoat", zones=[port, starboard])
    assert dates(made)["taken_off", "gelcoat"].zones == ("Bottom aft, starboard",)


def test_coats_over_the_bottom_over_zones_and_on_a_spot_are_told_apart(made):
    primer = coatings.add_product(
        made.logbook, name="Grip", coating_class="epoxy_primer", role="primer"
    )
    zone = made.zones["rudder"]
    first = visits.start_haul_out(made.logbook, begins="2024-04-01")
    coatings.add_coat(made.logbook, first, primer)
    visits.relaunch(made.logbook, first, "2024-04-09")
    second = visits.start_haul_out(made.logbook, begins="2025-04-01")
    coatings.add_coat(made.logbook, second, primer, zones=[zone])
    spot = spots.add_spot(made.logbook, label="Corner", zone_id=zone, visit_id=second)
    finding = matters.raise_finding(
        made.logbook, title="Rust", sort="rust", must="watch", severity="slight",
        visit_id=second, spots=[spot],
    )  # fmt: skip
    matters.add_work(
        made.logbook, text="Primed", done="2025-04-15", visit_id=second, findings=[finding]
    )
    found = dates(made)
    assert found["primed",].when.earliest.year == 2024
    assert found["primed_zones",].when.earliest.year == 2025
    assert len(found["primed_zones",].zones) == 1
    assert found["repaired_locally",].when.text == "2025-04-15"


def test_the_whole_bottom_is_told_without_what_could_not_be_reached(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    looks.log_inspection(made.logbook, visit, made.zones["keel-port-under"], result="nothing_found")
    looks.log_inspection(
        made.logbook, visit, made.zones["keel-starboard-under"], coverage="not_seen",
        hidden_by="support",
    )  # fmt: skip
    coatings.add_coat(made.logbook, visit, made.paints["red"])
    assert dates(made)["antifouled",].but == ("Starboard keel, underside",)


def test_coats_on_a_share_of_a_zone_are_not_told_as_on_whole_zones(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    zone = made.zones["rudder"]
    coatings.add_coat(made.logbook, visit, made.paints["red"], zones=[zone], share="4 %")
    found = dates(made)
    assert ("antifouled_zones",) not in found
    assert found["antifouled_parts",].zones == ("Rudder",)


def test_the_last_survey_is_a_key_date(made):
    assert ("surveyed",) not in dates(made)
    matters.add_survey(made.logbook, at="2021-04-14")
    matters.add_survey(made.logbook, at="2019-05")
    assert dates(made)["surveyed",].when.text == "2021-04-14"
