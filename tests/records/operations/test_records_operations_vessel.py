"""A boat from six answers; her measures corrected, her keel changed."""

from __future__ import annotations

import pytest

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.records.model import FormerName, Vessel, Zone, ZoneVersion
from hulllog.records.operations import queries, vessel, visits

SIX = {
    "name": "Marsh Wren", "kind": "motor", "material": "steel", "keel": "long",
    "length": "11.2 m", "beam": "3.6", "draught": "1.1",
}  # fmt: skip


def form(boat):
    with boat.logbook.read() as book:
        return queries.form_version(book)


def test_six_answers_make_a_boat_with_what_was_assumed_named(logbook):
    vessel.create_vessel(logbook, **SIX)
    with logbook.read() as book:
        made = queries.vessel(book)
        version = queries.form_version(book)
        zones = queries.zones_at(book)
    assert (made.name, made.kind, made.sample) == ("Marsh Wren", "motor", False)
    assert version.particulars["lwl"] == pytest.approx(0.92 * 11.2)
    assert "lwl" in version.assumed
    assert version.length.text == "11.2"
    assert 12 <= len(zones) <= 20
    assert all(zone.name and "zone_name" not in zone.name for zone, _ in zones)


def test_what_is_given_besides_the_six_is_not_assumed(logbook):
    vessel.create_vessel(logbook, **SIX, lwl="10 m", builder="Fen Yard", built="about 1982")
    with logbook.read() as book:
        version = queries.form_version(book)
        assert version.particulars["lwl"] == 10.0
        assert "lwl" not in version.assumed
        assert queries.vessel(book).built.about


def test_zones_stand_for_the_whole_skin(boat):
    with boat.logbook.read() as book:
        version = queries.form_version(book)
        outlines = [zone_version.outline for _, zone_version in queries.zones_at(book)]
    from hulllog.hull import zones

    built = HullForm.build(Particulars.from_json(version.particulars))
    total = sum(zones.area(built, zones.ZoneOutline.from_json(o)) for o in outlines)
    assert total == pytest.approx(zones.whole_area(built), rel=0.15)


def test_a_second_boat_is_refused(boat, refuses):
    refuses("vessel_there_already", "", vessel.create_vessel, **SIX)


@pytest.mark.parametrize(
    ("field", "typed", "code"),
    [
        ("length", "120 m", "number_high"),
        ("beam", "11 m", "measure_high"),
        ("draught", "", "number_wanted"),
        ("keel", "fins", "unknown_choice"),
        ("name", " ", "text_wanted"),
    ],
)
def test_an_impossible_answer_is_refused_by_its_field(logbook, field, typed, code):
    from hulllog.records.errors import Refused

    with pytest.raises(Refused) as found:
        vessel.create_vessel(logbook, **{**SIX, field: typed})
    assert (found.value.code, found.value.field) == (code, field)
    with logbook.read() as book:
        assert queries.vessel(book) is None


def test_a_correction_changes_the_form_and_leaves_the_zones(boat):
    before = len(boat.all(ZoneVersion))
    vessel.correct_particulars(boat.logbook, beam="3.0", lwl="7.4")
    version = form(boat)
    assert version.number == 1
    assert (version.particulars["beam"], version.particulars["lwl"]) == (3.0, 7.4)
    assert "lwl" not in version.assumed
    assert version.beam.text == "3.0"
    assert len(boat.all(ZoneVersion)) == before


def test_a_corrected_keel_draws_the_zones_anew(boat):
    vessel.correct_particulars(boat.logbook, keel="fin")
    with boat.logbook.read() as book:
        codes = [zone.code for zone, _ in queries.zones_at(book)]
    assert "keel-port" in codes
    assert "keel-port-outboard" not in codes
    assert any(zone.code == "keel-port-outboard" for zone in withdrawn_zones(boat))


def withdrawn_zones(boat):
    from sqlalchemy import select

    with boat.logbook.read() as book:
        return book.scalars(select(Zone).where(Zone.withdrawn.is_(True))).all()


def test_a_conversion_begins_a_form_and_leaves_the_older_to_older_visits(boat):
    vessel.convert(boat.logbook, begins="2025-05", draught="1.1")
    with boat.logbook.read() as book:
        old = queries.form_version(book, visits_begin(boat))
        new = queries.form_version(book)
    assert (old.number, old.particulars["draught"]) == (1, 0.95)
    assert (new.number, new.particulars["draught"]) == (2, 1.1)


def visits_begin(boat):
    from hulllog.records.model import Visit

    return boat.get(Visit, boat.visit).begins


def test_zone_names_name_the_keel_by_its_side():
    assert vessel.zone_name("keel-port-outboard") == "Port keel, outboard"
    assert vessel.zone_name("bottom-outer-forward-port") == "Bottom outer forward, port"
    assert vessel.zone_name("keel-under") == "Keel, underside"
    assert vessel.zone_name("bottom-aft-port-outboard") == "Bottom aft, port, outboard"


def test_names_and_numbers_are_kept(boat):
    vessel.set_about(boat.logbook, "home", "Alder Creek")
    vessel.add_former_name(boat.logbook, name="Grey Pebble", until="2009")
    vessel.add_registration(boat.logbook, register="Harbour list", number="417")
    vessel.rename_zone(boat.logbook, boat.zones["transom"], "Stern board")
    assert boat.all(Vessel)[0].home == "Alder Creek"
    assert boat.all(FormerName)[0].until.precision == "year"
    assert boat.get(Zone, boat.zones["transom"]).name == "Stern board"


def test_undo_takes_the_whole_boat_back(logbook):
    vessel.create_vessel(logbook, **SIX)
    assert logbook.can_undo == ("vessel.create", {"name": "Marsh Wren"})
    logbook.undo()
    with logbook.read() as book:
        assert queries.vessel(book) is None
        assert queries.zones_at(book) == []
    logbook.redo()
    with logbook.read() as book:
        assert len(queries.zones_at(book)) > 12


def test_a_visit_keeps_the_outline_it_was_walked_by(boat):
    later = visits.start_visit(boat.logbook, kind="diver", begins="2025-05-20")
    vessel.convert(boat.logbook, begins="2025-05-10", from_visit_id=later, keel="fin", beam="2.9")
    with boat.logbook.read() as book:
        newer = {zone.code for zone, _ in queries.zones_at(book, later)}
    assert "keel-port" in newer


def test_a_conversion_leaves_older_visits_the_zones_of_the_older_form(boat):
    before = zone_codes(boat, boat.visit)
    later = visits.start_visit(boat.logbook, kind="diver", begins="2025-05-20")
    vessel.convert(boat.logbook, begins="2025-05-10", keel="fin")
    assert "keel-port-outboard" in before
    assert set(zone_codes(boat, boat.visit)) == set(before)
    assert set(zone_codes(boat, later)) == set(zone_codes(boat, None))
    assert "keel-port" in zone_codes(boat, later)
    assert "keel-port-outboard" not in zone_codes(boat, later)


def zone_codes(boat, visit_id):
    with boat.logbook.read() as book:
        return [zone.code for zone, _ in queries.zones_at(book, visit_id)]
